"""Boxes by serial number: fit, remove, move, read off, tag, bench, receive, show."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from hardstand.domain import bodies as b
from hardstand.domain import unit_acts
from hardstand.domain.authority import may
from hardstand.domain.bodies import By
from hardstand.domain.box_facts import boxes_of, shelf_of
from hardstand.domain.boxes import Whereabouts, doubles, whereabouts
from hardstand.domain.checklist import Fit
from hardstand.domain.codec import decode
from hardstand.domain.defects import Refused
from hardstand.domain.entry import Entry
from hardstand.domain.facts import AirframeFacts
from hardstand.domain.ground import corrected
from hardstand.domain.ids import find_tail
from hardstand.domain.quantity import Instant
from hardstand.domain.recurrence import Rogue, rogues
from hardstand.domain.unit_acts import Aircraft, Swap, Taking
from hardstand.domain.verdict import fit_of
from hardstand.domain.words import brief
from hardstand.errors import NotThere, Refusal
from hardstand.flows.adopting import lists
from hardstand.flows.logging_defects import the_tail
from hardstand.flows.pen import Pen
from hardstand.flows.recording import refusal, write
from hardstand.flows.signing import case_of
from hardstand.ports import Journal, Writing

_KINDS = (
    "unit.fitted", "unit.removed", "unit.read", "unit.carded", "unit.received", "unit.tagged",
    "unit.benched", "unit.lost",
)  # fmt: skip


def fit(pen: Pen, typed: str, asked: Swap, *, by: By) -> str:
    """Put a box from the store into a position; what was written, in words.

    Raises:
        Refusal: the box is elsewhere or has an unserviceable tag, or the position is not free.
        NotThere: no such tail.
    """
    tail, asked = the_tail(pen, typed), _tidy(asked)
    with pen.journal.write() as writing:
        at = _aircraft(pen, writing, tail)
        _refuse_unentitled(pen, by, at.facts)
        part = at.fit.units[asked.position].part if asked.position in at.fit.units else ""
        box = next(iter(unit_acts.find(_boxes(pen, writing), asked.serial, part)), None)
        carried = _carried(pen, writing, tail, part, asked.serial)
        bodies = unit_acts.fit_in(at, asked, box, by, carried)
        _write(pen, writing, tail, bodies)
    out = f", {asked.out} out to the {asked.out_to}" if asked.out else ""
    told = f" {_raised(bodies)}".rstrip()
    return f"{tail} {asked.position}: {asked.serial} in{out}.{told}{_then(asked.entry)}"


def remove(pen: Pen, typed: str, asked: Taking, *, by: By) -> str:
    """Take a box out and leave its position empty, which is an X; what was written, in words.

    Raises:
        Refusal: the serial read is not the record's.
        NotThere: no such tail.
    """
    tail = the_tail(pen, typed)
    with pen.journal.write() as writing:
        at = _aircraft(pen, writing, tail)
        _refuse_unentitled(pen, by, at.facts)
        bodies = unit_acts.take_out(at, asked, by)
        _write(pen, writing, tail, bodies)
    return f"{tail} {asked.position}: {asked.serial} out to the {asked.goes_to}. {_raised(bodies)}"


def move(pen: Pen, source: str, position: str, target: str, asked: Swap, *, by: By) -> str:
    """Take a box out of one aircraft into another, by a lead's order, in one write.

    Raises:
        Refusal: who ordered it may not, a serial is not the record's, or the part is another one.
        NotThere: no such tail.
    """
    donor, receiver, asked = the_tail(pen, source), the_tail(pen, target), _tidy(asked)
    taking = Taking(
        position=position, serial=asked.serial, goes_to=f"{receiver} {asked.position}",
        reason=asked.reason, entry=asked.entry, ordered_by=asked.ordered_by,
    )  # fmt: skip
    with pen.journal.write() as writing:
        one, other = _aircraft(pen, writing, donor), _aircraft(pen, writing, receiver)
        _refuse_unentitled(pen, by, other.facts)
        _refuse_order(pen, asked.ordered_by or by.doer)
        bodies = unit_acts.move(one, other, taking, asked, by)
        if isinstance(bodies, Refused):
            raise refusal(bodies)
        _write(pen, writing, donor, bodies[0])
        _write(pen, writing, receiver, bodies[1])
    moved = f"{asked.serial} out of {donor} {position} into {receiver} {asked.position}"
    told = " ".join(filter(None, (_raised(bodies[0]), _raised(bodies[1]))))
    return f"{moved}. {told}{_then(asked.entry)}"


def read(pen: Pen, typed: str, position: str, serial: str, *, by: By) -> str:
    """Say which serial was read off the box in a position; what was written, in words.

    Where the record has that box in another aircraft too, both are in doubt.

    Raises:
        Refusal: the fit has no box there.
        NotThere: no such tail.
    """
    tail, serial = the_tail(pen, typed), serial.strip().upper()
    with pen.journal.write() as writing:
        at = _aircraft(pen, writing, tail)
        _refuse_unentitled(pen, by, at.facts)
        bodies = unit_acts.read_off(at, position, serial, by)
        others = _elsewhere(pen, writing, at, position, serial)
        _write(pen, writing, tail, bodies)
        doubts = [
            unit_acts.read_twice(one, place, serial, f"{tail} {position}", by)
            for one, place in others
        ]
        for (one, _), doubt in zip(others, doubts, strict=True):
            _write(pen, writing, one.facts.tail, (doubt,))
    said = _raised(bodies) or "As recorded."
    told = f" {_raised(tuple(doubts))}" if doubts else ""
    return f"{tail} {position}: read {serial}. {said}{told}"


def _elsewhere(
    pen: Pen, writing: Writing, at: Aircraft, position: str, serial: str
) -> list[tuple[Aircraft, str]]:
    """Other aircraft in which the record has the box just read, by their positions."""
    if position not in at.fit.units or at.serial(position) == serial:
        return []
    boxes = unit_acts.find(_boxes(pen, writing), serial, at.part(position))
    return [
        (_aircraft(pen, writing, box.tail), box.position)
        for box in boxes
        if box.tail and box.tail != at.facts.tail
    ]


def card(pen: Pen, typed: str, carded: b.UnitCarded) -> str:
    """Take over what a paper card says of a box's time in an aircraft; in words.

    Raises:
        NotThere: no such tail.
    """
    tail = the_tail(pen, typed)
    with pen.journal.write() as writing:
        write(pen, writing, (carded,), tail=tail)
    span = f"{carded.fitted or '?'} to {carded.removed or 'now'}"
    return f"{carded.part} {carded.serial}: {tail} {carded.position}, {span}, from its card."


Shelving = b.UnitReceived | b.UnitTagged | b.UnitBenched | b.UnitLost


def shelve(pen: Pen, body: Shelving) -> str:
    """Write a line about a box in no aircraft; where it is now, in words.

    A part left out is found by the serial, if only one part has it.

    Raises:
        Refusal: the box is in an aircraft, or nobody knows it.
        NotThere: two parts have that serial, and none was named.
    """
    with pen.journal.write() as writing:
        known = unit_acts.find(_boxes(pen, writing), body.serial, body.part)
        if len(known) > 1:
            raise NotThere(
                f"{body.serial} is a serial of {', '.join(w.part for w in known)}.",
                safe="Nothing was written.",
                hint="Name the part too: --part NUMBER",
            )
        box = known[0] if known else None
        whole = replace(body, part=body.part or (box.part if box else ""))
        name = f"{whole.part} {whole.serial}".strip()
        decided = unit_acts.shelving(box, name, whole)
        if isinstance(decided, Refused):
            raise refusal(decided)
        write(pen, writing, decided)
        after = unit_acts.find(_boxes(pen, writing), whole.serial, whole.part)
    return f"{name}: {after[0].place}."


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitLine:
    """One line of the record about a box or a position, with the tail it was written at.

    `at` is when it was made by all that is known of its device's clock.
    """

    entry: Entry
    at: Instant
    tail: str
    body: b.Body | b.Unknown


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """Boxes asked about: where each is, every line about them, and whether one goes on failing.

    `empty` are positions with no box in them, `doubles` boxes that stand in two aircraft.
    """

    what: str
    time_zone: str
    boxes: tuple[Whereabouts, ...]
    lines: tuple[UnitLine, ...]
    rogues: tuple[Rogue, ...] = ()
    empty: tuple[str, ...] = ()
    doubles: tuple[tuple[str, tuple[str, ...]], ...] = ()


def show(journal: Journal, now: Instant, what: str, position: str = "") -> Shown:
    """A box by its serial, an aircraft's positions by its tail, or every box.

    Raises:
        NotThere: neither a serial nor a tail of this record.
    """
    record = journal.record()
    every = tuple(journal.facts(tail) for tail in record.tails)
    boxes = whereabouts(
        _fitted(journal, now, every),
        (o for f in every for o in boxes_of(f).out),
        shelf_of(record).values(),
    )
    lines = tuple(_lines(journal))
    said = _rogues(every, now)
    shown = Shown(
        what=what, time_zone=record.time_zone, boxes=boxes, lines=(), rogues=said,
        doubles=doubles(boxes),
    )  # fmt: skip
    if not what:
        return shown
    found = unit_acts.find(boxes, what)
    names = {(w.part, w.serial) for w in found}
    told = tuple(x for x in lines if names & _boxes_of(x.body))
    if found or told:
        rogue = tuple(r for r in said if r.serial.upper() == what.upper())
        return replace(shown, boxes=found, lines=told, rogues=rogue, doubles=doubles(found))
    tail = _tail(journal, what)
    here = tuple(w for w in boxes if w.tail == tail and position in {"", w.position})
    there = tuple(
        x for x in lines if x.tail == tail and position in {"", getattr(x.body, "position", "")}
    )
    empty = next((f.empty or {} for f in every if f.tail == tail), {})
    holes = tuple(p for p in empty if position in {"", p})
    return replace(shown, what=tail, boxes=here, lines=there, rogues=(), empty=holes, doubles=())


def _rogues(every: Iterable[AirframeFacts], now: Instant) -> tuple[Rogue, ...]:
    return rogues((r for facts in every for r in boxes_of(facts).removals), now)


def _lines(journal: Journal) -> Iterator[UnitLine]:
    clocks = journal.record().clocks or {}
    found = [entry for kind in _KINDS for entry in journal.entries(kind=kind)]
    for entry in sorted(found, key=lambda e: (e.tick, e.device, e.seq)):
        at = corrected(entry, clocks)
        yield UnitLine(entry=entry, at=at, tail=entry.airframe or "", body=decode(entry))


def _boxes_of(body: object) -> set[tuple[str, str]]:
    """The boxes a line is about: the one it names, and the one a reading says is not there."""
    part = str(getattr(body, "part", ""))
    return {(part, str(getattr(body, name, ""))) for name in ("serial", "before")}


def _tidy(asked: Swap) -> Swap:
    return replace(asked, serial=asked.serial.strip().upper(), out=asked.out.strip().upper())


def _aircraft(pen: Pen, writing: Writing, tail: str) -> Aircraft:
    facts = writing.facts(tail)
    return Aircraft(facts=facts, fit=_fit(pen, facts), device=pen.device)


def _fit(pen: Pen, facts: AirframeFacts) -> Fit:
    name = fit_of(facts, pen.clock.now(), pen.journal.record())
    fits = lists(pen.journal).fits
    if name not in fits:
        raise NotThere(
            f"{facts.tail} carries fit {name or '(none)'}, which is not in this record.",
            safe="Nothing was written.",
            hint="Adopt it: hardstand checklist adopt FOLDER",
        )
    return fits[name]


def _tail(journal: Journal, typed: str) -> str:
    found = find_tail(typed, journal.record().tails)
    if found is None:
        raise NotThere(
            f"{typed!r} is neither a box nor a tail of this record.",
            hint="`hardstand unit show` lists every box.",
        )
    return found


def _fitted(
    journal: Journal, now: Instant, every: Iterable[AirframeFacts]
) -> Iterator[tuple[str, str, str, str]]:
    fits, record = lists(journal).fits, journal.record()
    for facts in every:
        known = fits.get(fit_of(facts, now, record))
        for position, serial in (facts.serials or {}).items():
            if known is not None and position in known.units:
                yield facts.tail, position, known.units[position].part, serial


def _boxes(pen: Pen, writing: Writing) -> Sequence[Whereabouts]:
    record = writing.record()
    every = [writing.facts(tail) for tail in record.tails]
    out = (o for facts in every for o in boxes_of(facts).out)
    return whereabouts(_fitted(pen.journal, pen.clock.now(), every), out, shelf_of(record).values())


def _carried(
    pen: Pen, writing: Writing, tail: str, part: str, serial: str
) -> tuple[unit_acts.Carried, ...]:
    """What is open on a box by another aircraft it was in; the bench closes what was found before.

    Source: whole-job C-15, a linked unserviceability goes with the box and only the bench closes.
    """
    benched = [
        corrected(e, writing.record().clocks or {})
        for e in pen.journal.entries(kind="unit.benched")
        if _is_result(decode(e), part, serial)
    ]
    last = max(benched, default=Instant(""))
    others = [writing.facts(t) for t in writing.record().tails if t != tail]
    found = [
        one
        for facts in others
        for position in dict.fromkeys(e.unit for e in facts.open)
        for one in unit_acts.carried_by(facts, position, serial)
        if one.entry.found_at >= last
    ]
    return tuple(one for one in found if not any(_tells_of(x, one) for x in found))


def _tells_of(one: unit_acts.Carried, other: unit_acts.Carried) -> bool:
    """Whether an entry came with the box because of the other one."""
    return f": {other.entry.number} " in one.entry.text


def _is_result(body: object, part: str, serial: str) -> bool:
    """Whether the bench said what it found of that box."""
    if not isinstance(body, b.UnitBenched) or body.result == "in":
        return False
    return (body.part, body.serial) == (part, serial)


def _write(pen: Pen, writing: Writing, tail: str, bodies: tuple[b.Body, ...] | Refused) -> None:
    if isinstance(bodies, Refused):
        raise refusal(bodies)
    write(pen, writing, bodies, tail=tail)


def _refuse_unentitled(pen: Pen, by: By, facts: AirframeFacts) -> None:
    case = case_of(pen, pen.journal.record(), facts)
    barred = may("act", by.doer, case, with_=by.with_)
    if barred is not None:
        raise Refusal(
            f"{by.doer} does not work on boxes of {facts.tail} now.",
            rule=barred.rule, who_could=barred.who_could, safe="Nothing was written.",
        )  # fmt: skip


def _refuse_order(pen: Pen, person: str) -> None:
    """A box leaves an aircraft for another by a lead's order only."""
    barred = may("order_move", person, case_of(pen, pen.journal.record()))
    if barred is not None:
        raise Refusal(
            f"{person} does not order a box from one aircraft into another.",
            rule=barred.rule, who_could=barred.who_could, safe="Nothing was written.",
            hint="Name who ordered it: --ordered-by INITIALS",
        )  # fmt: skip


def _raised(bodies: object) -> str:
    """The entry that a move raised, in words; empty if it raised none."""
    raised = (
        [x for x in bodies if isinstance(x, b.DefectRaised)] if isinstance(bodies, tuple) else []
    )
    return " ".join(f"{x.number} {x.symbol}: {brief(x.text)}." for x in raised)


def _then(entry: str) -> str:
    """What is left to do for the entry a box was moved for."""
    return f" Next: hardstand defect action {entry}" if entry else ""
