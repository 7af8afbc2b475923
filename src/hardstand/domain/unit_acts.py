"""What each act on a box writes: decisions as bodies, or a refusal. Pure.

A box is in one place. A position holds one box or is empty. A move is told at both its ends in
one write, and leaves an X where nothing took the box's place.

Source: whole-job C-15, M-23.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from hardstand.domain import bodies as b
from hardstand.domain.bodies import By
from hardstand.domain.bodies_units import Store
from hardstand.domain.box_facts import boxes_of
from hardstand.domain.boxes import Whereabouts
from hardstand.domain.checklist import Fit, Symbol
from hardstand.domain.defects import Refused, Report, raised
from hardstand.domain.facts import AirframeFacts, OpenEntry
from hardstand.domain.words import NOTE_LIMIT

STORES: Mapping[str, Store] = {
    "serviceable": "serviceable store",
    "unserviceable": "unserviceable store",
}
"""The stores as typed."""

NOT_FITTABLE = {
    "unserviceable store": "has an unserviceable tag",
    "bench": "is at the bench",
    "scrapped": "was scrapped",
    "lost": "is lost",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Swap:
    """A box to go into a position, as asked for.

    `serial` and `out` are as read off the boxes; `out` is empty where the position is. `out_to` is
    where the one that comes out goes.
    """

    position: str
    serial: str
    reason: str
    out: str = ""
    out_to: Store = "unserviceable store"
    symptom: str = ""
    entry: str = ""
    ordered_by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Taking:
    """A box to come out of a position with nothing in its place, as asked for."""

    position: str
    serial: str
    goes_to: str
    reason: str
    symptom: str = ""
    entry: str = ""
    ordered_by: str = ""
    symbol: str = "X"


@dataclass(frozen=True, slots=True, kw_only=True)
class Aircraft:
    """The airframe worked at, the fit it carries, and the device that writes."""

    facts: AirframeFacts
    fit: Fit
    device: str

    def part(self, position: str) -> str:
        """The part number that belongs in a position."""
        return self.fit.units[position].part

    def functions(self, position: str) -> tuple[str, ...]:
        """The functions a position feeds."""
        return tuple(n for n, f in self.fit.functions.items() if position in f.fed_by)

    def serial(self, position: str) -> str:
        """The serial the record has in a position; empty where it has none."""
        return (self.facts.serials or {}).get(position, "")

    def heads(self, position: str) -> tuple[str, ...]:
        """The last lines about a position."""
        slot = boxes_of(self.facts).slot(position)
        return slot.heads if slot else ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Carried:
    """An entry that is open on a box, and the aircraft it was written on."""

    tail: str
    entry: OpenEntry


def carried_by(facts: AirframeFacts, position: str, serial: str) -> tuple[Carried, ...]:
    """The entries of an aircraft that were written on that box in that position."""
    return tuple(
        Carried(tail=facts.tail, entry=entry)
        for entry in facts.open
        if entry.unit == position and entry.serial == serial and serial
    )


def fit_in(
    at: Aircraft,
    asked: Swap,
    box: Whereabouts | None,
    by: By,
    carried: Sequence[Carried] = (),
) -> tuple[b.Body, ...] | Refused:
    """Put a box from a store into a position, taking out what was in it.

    What is `carried` on the box comes with it, as entries of the aircraft it is fitted to.
    """
    wrong = (
        _wrong_position(at, asked.position)
        or _no_serial(asked.serial)
        or _not_fittable(at, asked, box)
    )
    if wrong is not None:
        return wrong
    taken = _taken_out(at, asked, by)
    if isinstance(taken, Refused):
        return taken
    came = _came_with(at, asked, carried, by)
    return (*taken, _fitted(at, asked, "serviceable store", by), *came)


def move(
    donor: Aircraft, receiver: Aircraft, taking: Taking, asked: Swap, by: By
) -> tuple[tuple[b.Body, ...], tuple[b.Body, ...]] | Refused:
    """Take a box out of one aircraft into another: what each of the two is told, in one write.

    The donor's entries stay where they are; those on the box itself come with it too.
    """
    if donor.facts.tail == receiver.facts.tail:
        return Refused(
            what=f"{donor.facts.tail} cannot give a box to itself",
            hint="Take it out with `hardstand unit remove`, put it in with `hardstand unit fit`.",
        )
    wrong = _wrong_position(receiver, asked.position) or _wrong_part(donor, receiver, taking, asked)
    if wrong is not None:
        return wrong
    out = take_out(donor, taking, by)
    if isinstance(out, Refused):
        return out
    taken = _taken_out(receiver, asked, by)
    if isinstance(taken, Refused):
        return taken
    source = f"{donor.facts.tail} {taking.position}"
    came = _came_with(receiver, asked, carried_by(donor.facts, taking.position, taking.serial), by)
    return out, (*taken, _fitted(receiver, asked, source, by), *came)


def take_out(at: Aircraft, asked: Taking, by: By) -> tuple[b.Body, ...] | Refused:
    """Take a box out and leave the position empty, which is an entry of its own."""
    wrong = (
        _wrong_position(at, asked.position)
        or _no_serial(asked.serial)
        or _other_serial(at, asked.position, asked.serial)
    )
    if wrong is not None:
        return wrong
    functions = at.functions(asked.position)
    away = f" for {asked.goes_to.split(' ')[0]}" if asked.goes_to not in STORES.values() else ""
    hole = Report(
        symbol="/" if asked.symbol == "/" else "X",
        text=f"{asked.position} removed{away}, not replaced",
        takes=functions,
        unit=asked.position,
    )
    removed = b.UnitRemoved(
        position=asked.position, part=at.part(asked.position), serial=asked.serial,
        goes_to=asked.goes_to, reason=asked.reason, symptom=asked.symptom, entry=asked.entry,
        ordered_by=asked.ordered_by, functions=functions, by=by, seen=at.heads(asked.position),
    )  # fmt: skip
    return removed, _of_place(at, hole, by)


def read_off(at: Aircraft, position: str, serial: str, by: By) -> tuple[b.Body, ...] | Refused:
    """Say which serial was read off the box in a position.

    Where the record had another one, an entry says so and nothing is known of its functions.
    """
    wrong = _wrong_position(at, position) or _no_serial(serial)
    if wrong is not None:
        return wrong
    known = at.serial(position)
    functions = at.functions(position) if known != serial else ()
    read = b.UnitRead(
        position=position, part=at.part(position), serial=serial, before=known,
        functions=functions, by=by, seen=at.heads(position),
    )  # fmt: skip
    if known == serial:
        return (read,)
    other = Report(
        symbol="-",
        text=f"unit not as recorded: {position} read {serial}, the record had {known or 'none'}",
        unit=position,
    )
    return read, _of_place(at, other, by)


def read_twice(at: Aircraft, position: str, serial: str, there: str, by: By) -> b.DefectRaised:
    """The entry of an aircraft in which the record has a box that was read off in another one.

    Source: whole-job scenario 82, both positions in doubt until each is read off the box.
    """
    doubt = Report(
        symbol="-",
        text=f"unit in doubt: {position} {serial} was read off the box in {there} too",
        untested=at.functions(position),
        unit=position,
    )
    return _of_place(at, doubt, by)


def _of_place(at: Aircraft, report: Report, by: By) -> b.DefectRaised:
    """An entry about a position and not about the box that was in it: it goes with no box."""
    return replace(raised(at.facts, report, device=at.device, by=by), serial="")


def _came_with(
    at: Aircraft, asked: Swap, carried: Sequence[Carried], by: By
) -> Iterator[b.DefectRaised]:
    """What is open on a box, as entries of the aircraft it goes into; found when it was found."""
    for after, one in enumerate(carried):
        entry = one.entry
        report = Report(
            symbol=_AS_RAISED.get(entry.symbol, "X"),
            text=f"came with {asked.serial} from {one.tail}: {entry.number} {entry.text}",
            takes=tuple(f for f in entry.takes if f in at.fit.functions),
            weakens=tuple(f for f in entry.weakens if f in at.fit.functions),
            unit=asked.position, symptom=entry.symptom, found_at=entry.found_at,
        )  # fmt: skip
        raised_ = raised(at.facts, report, device=at.device, by=by, after=after)
        yield replace(raised_, serial=asked.serial, text=raised_.text[:NOTE_LIMIT])


_AS_RAISED: Mapping[str, Symbol] = {"X": "X", "-": "-", "/": "/"}
"""A circled X comes as an X: its limits were written for another aircraft."""


def _fitted(at: Aircraft, asked: Swap, source: str, by: By) -> b.UnitFitted:
    return b.UnitFitted(
        position=asked.position, part=at.part(asked.position), serial=asked.serial, source=source,
        reason=asked.reason, entry=asked.entry, ordered_by=asked.ordered_by,
        functions=at.functions(asked.position), by=by, seen=at.heads(asked.position),
    )  # fmt: skip


def _taken_out(at: Aircraft, asked: Swap, by: By) -> tuple[b.UnitRemoved, ...] | Refused:
    """What was in the position comes out; nothing if it was empty."""
    known = at.serial(asked.position)
    if not known and not asked.out:
        return ()
    if not asked.out:
        return Refused(
            what=f"{asked.position} of {at.facts.tail} holds {known}",
            rule="one box to a position",
            hint=f"Read its serial off the box and say where it goes: --out {known} "
            "--out-to unserviceable",
        )
    other = _other_serial(at, asked.position, asked.out)
    if other is not None:
        return other
    removed = b.UnitRemoved(
        position=asked.position, part=at.part(asked.position), serial=asked.out,
        goes_to=asked.out_to, reason=asked.reason, symptom=asked.symptom, entry=asked.entry,
        ordered_by=asked.ordered_by, functions=at.functions(asked.position), by=by,
        seen=at.heads(asked.position),
    )  # fmt: skip
    return (removed,)


def _wrong_position(at: Aircraft, position: str) -> Refused | None:
    if position in at.fit.units and at.fit.units[position].part:
        return None
    boxes = [name for name, unit in at.fit.units.items() if unit.part]
    return Refused(
        what=f"{at.facts.tail} carries fit {at.fit.id}, which has no box at {position!r}",
        hint=f"Positions: {', '.join(boxes)}.",
    )


def _wrong_part(donor: Aircraft, receiver: Aircraft, taking: Taking, asked: Swap) -> Refused | None:
    if taking.position not in donor.fit.units:
        return _wrong_position(donor, taking.position)
    one, other = donor.part(taking.position), receiver.part(asked.position)
    if one == other:
        return None
    return Refused(
        what=f"{taking.position} of {donor.facts.tail} is part {one}, {asked.position} of "
        f"{receiver.facts.tail} takes part {other}",
        rule="a box goes where its part number belongs",
    )


def _no_serial(read: str) -> Refused | None:
    """A box without a serial is none: nothing is there to take out or to read."""
    if read:
        return None
    return Refused(what="no serial is given", rule="a box is named by the serial read off it")


def _other_serial(at: Aircraft, position: str, read: str) -> Refused | None:
    """The serial read off the box is not the record's: one of the two is wrong."""
    known = at.serial(position)
    if known == read:
        return None
    return Refused(
        what=f"{position} of {at.facts.tail}: read {read or 'nothing'}, the record has "
        f"{known or 'no box there'}",
        rule="the serial is read off the box, never copied from the card",
        hint=f"Read it again. If it is so: hardstand unit read {at.facts.tail} {position} {read}",
    )


def _not_fittable(at: Aircraft, asked: Swap, box: Whereabouts | None) -> Refused | None:
    part = at.part(asked.position)
    if box is None:
        return Refused(
            what=f"no box {part} {asked.serial} is known",
            hint=f"If it came from outside: hardstand unit receive {part} {asked.serial}",
        )
    if box.tail:
        return Refused(
            what=f"{part} {asked.serial} is in {box.tail} at {box.position}",
            rule="a box is in one place",
            hint=f"hardstand unit move {box.tail} {box.position} {at.facts.tail} {asked.position}",
        )
    why = NOT_FITTABLE.get(box.place)
    if why is None:
        return None
    return Refused(
        what=f"{part} {asked.serial} {why}",
        rule="a box is fitted with a serviceable tag",
        hint="`hardstand unit bench` says what the bench found; `hardstand unit tag` ties a tag. "
        "If it is in the aircraft already, raise an X.",
    )


def shelving(box: Whereabouts | None, name: str, body: b.Body) -> tuple[b.Body, ...] | Refused:
    """A line about a box in no aircraft; it must be known, unless it is received."""
    if isinstance(body, b.UnitReceived):
        if box is not None and box.tail:
            return Refused(what=f"{name} is in {box.place}", rule="a box is in one place")
        return (body,)
    if box is None:
        return Refused(what=f"no box {name} is known", hint="hardstand unit receive PART SERIAL")
    if box.tail:
        return Refused(
            what=f"{name} is in {box.place}",
            rule="a tag and the bench are for boxes out of an aircraft",
            hint=f"hardstand unit remove {box.tail} {box.position}",
        )
    return _kept_from(box, name, body) or (body,)


def _kept_from(box: Whereabouts, name: str, body: b.Body) -> Refused | None:
    """What is not done to a box in no aircraft: only the bench takes an unserviceable tag off.

    Source: whole-job C-15.
    """
    if box.place == "scrapped":
        return Refused(
            what=f"{name} was scrapped",
            rule="a scrapped box is used no more",
            hint=f"If it was not: hardstand unit receive {box.part} {box.serial} "
            "--tag unserviceable",
        )
    serviceable = isinstance(body, b.UnitTagged) and body.tag == "serviceable"
    if serviceable and box.place != "serviceable store":
        return Refused(
            what=f"{name} {NOT_FITTABLE[box.place]}",
            rule="only the bench takes an unserviceable tag off",
            hint=f"hardstand unit bench {box.serial} rectified, or no_fault_found",
        )
    return None


def find(boxes: Sequence[Whereabouts], serial: str, part: str = "") -> tuple[Whereabouts, ...]:
    """The boxes of a serial, and of a part if one is named; look-alike signs are not told apart."""
    return tuple(
        box for box in boxes if box.serial.upper() == serial.upper() and part in {"", box.part}
    )
