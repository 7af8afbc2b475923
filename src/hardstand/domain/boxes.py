"""Where boxes are: the positions of one airframe while it is folded, and the whole fleet's boxes.

Every box is in one place; every position holds one box or is empty; a move is told at both ends.

Source: whole-job C-15.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from hardstand.domain import bodies_units as u
from hardstand.domain.box_facts import Boxes, Shelved, Slot, State
from hardstand.domain.entry import Entry
from hardstand.domain.quantity import Instant, later, parse_instant
from hardstand.domain.recurrence import ROGUE_DAYS, Removal

_STORES: Mapping[str, State] = {
    "serviceable store": "serviceable store",
    "unserviceable store": "unserviceable store",
}

Moving = u.UnitFitted | u.UnitRemoved | u.UnitRead
"""Bodies about a position of an aircraft."""


@dataclass(slots=True)
class BoxWork:
    """The positions of one airframe, mutable inside one fold."""

    tail: str
    serials: dict[str, str]
    slots: dict[str, Slot] = field(default_factory=dict)
    removals: list[Removal] = field(default_factory=list)
    out: dict[str, Shelved] = field(default_factory=dict)

    @classmethod
    def after(cls, tail: str, serials: Mapping[str, str], known: Boxes) -> BoxWork:
        """Go on from what an earlier fold kept."""
        return cls(
            tail=tail, serials=dict(serials), slots={s.position: s for s in known.slots},
            removals=list(known.removals), out={f"{o.part} {o.serial}": o for o in known.out},
        )  # fmt: skip

    def result(self) -> Boxes:
        """What the lines said."""
        newest = max((r.at for r in self.removals), default=Instant(""))
        since = later(newest, hours=-24 * ROGUE_DAYS) if newest else newest
        kept = tuple(r for r in self.removals if r.at >= since)
        return Boxes(slots=tuple(self.slots.values()), removals=kept, out=tuple(self.out.values()))

    def moved(self, entry: Entry, body: Moving, at: Instant) -> str:
        """Take a move; what touched the functions of the position, in words.

        Whoever writes has seen the line they wrote before, as in a box out and another in.
        """
        what = words(body)
        empty = isinstance(body, u.UnitRemoved)
        known = self.slots.get(body.position)
        seen = {*body.seen, entry.prev.hex()}
        before = known.heads if known else ()
        heads = (*(h for h in before if h not in seen), entry.digest.hex())
        serial = "" if empty else body.serial
        self.slots[body.position] = Slot(
            position=body.position, part=body.part, serial=serial, at=at, ref=entry.ref,
            by=entry.author, what=what, heads=heads,
        )  # fmt: skip
        if isinstance(body, u.UnitRead):
            self._not_there(entry, body, at, known)
        if serial:
            self.serials[body.position] = serial
        else:
            self.serials.pop(body.position, None)
        if isinstance(body, u.UnitRemoved):
            self._out(entry, body, at)
        else:
            self.out.pop(f"{body.part} {body.serial}", None)
        return what

    def _not_there(self, entry: Entry, body: u.UnitRead, at: Instant, known: Slot | None) -> None:
        """Another box was read than the record had: nobody knows where that one is.

        One that was itself only read there was misread, and is in no other place for it.
        """
        before = self.serials.get(body.position, "")
        misread = known is not None and known.what == words(replace(body, serial=before, before=""))
        if before and before != body.serial and not misread:
            self.out[f"{body.part} {before}"] = Shelved(
                part=body.part, serial=before, at=at, ref=entry.ref, state="lost",
                words=f"{body.serial} was read in its place",
            )  # fmt: skip

    def moved_since(self, at: Instant) -> bool:
        """Whether any position was moved at since an instant."""
        return any(slot.at >= at for slot in self.slots.values())

    def _out(self, entry: Entry, body: u.UnitRemoved, at: Instant) -> None:
        self.removals.append(
            Removal(part=body.part, serial=body.serial, tail=self.tail, at=at, symptom=body.symptom)
        )
        state = _STORES.get(body.goes_to)
        if state is not None:
            self.out[f"{body.part} {body.serial}"] = Shelved(
                part=body.part, serial=body.serial, at=at, ref=entry.ref, words=body.reason,
                state=state,
            )  # fmt: skip

    def carded(self, body: u.UnitCarded) -> None:
        """Take what a paper card says."""
        at = parse_instant(f"{body.removed}T12:00Z")
        if at is not None:
            self.removals.append(
                Removal(
                    part=body.part,
                    serial=body.serial,
                    tail=self.tail,
                    at=at,
                    symptom=body.symptom,
                    bench=body.bench,
                )
            )


def told(slots: Iterable[Slot]) -> Mapping[str, tuple[str, ...]] | None:
    """Positions with what was done there and the line that says so; None for none."""
    return {slot.position: (slot.what, slot.ref) for slot in slots} or None


def words(body: Moving) -> str:
    """A move in words."""
    if isinstance(body, u.UnitFitted):
        return f"{body.position} {body.serial} fitted from {body.source}"
    if isinstance(body, u.UnitRemoved):
        return f"{body.position} {body.serial} removed to {body.goes_to}"
    if body.serial == body.before:
        return f"{body.position} {body.serial} read off the box, as recorded"
    return f"{body.position} read off the box as {body.serial}"


def shelved(
    known: Mapping[str, Shelved], entry: Entry, body: object, at: Instant
) -> Mapping[str, Shelved]:
    """The boxes in no aircraft after one more line, which may be about one of them."""
    state = _state(body)
    if state is None or not isinstance(body, Shelving):
        return known
    one = Shelved(
        part=body.part, serial=body.serial, state=state, at=at, ref=entry.ref, words=body.words
    )
    return {**known, f"{body.part} {body.serial}": one}


def _state(body: object) -> State | None:
    match body:
        case u.UnitReceived():
            return body.place
        case u.UnitTagged():
            return "serviceable store" if body.tag == "serviceable" else "unserviceable store"
        case u.UnitBenched():
            return _AFTER_BENCH[body.result]
        case u.UnitLost():
            return "lost"
        case _:
            return None


Shelving = u.UnitReceived | u.UnitTagged | u.UnitBenched | u.UnitLost
"""Bodies about a box that is in no aircraft."""

_AFTER_BENCH: Mapping[u.BenchResult, State] = {
    "in": "bench",
    "rectified": "serviceable store",
    "no_fault_found": "serviceable store",
    "scrapped": "scrapped",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Whereabouts:
    """A box of the fleet and where it is: in an aircraft, or in a state of a shelf."""

    part: str
    serial: str
    place: str
    tail: str = ""
    position: str = ""


def whereabouts(
    fitted: Iterable[tuple[str, str, str, str]], out: Iterable[Shelved], shelf: Iterable[Shelved]
) -> tuple[Whereabouts, ...]:
    """Every box known, by part and serial; one found in two aircraft stands twice.

    Args:
        fitted: tail, position, part and serial of every box in an aircraft.
        out: boxes as airframes' lines say where they went.
        shelf: boxes as their own lines say.
    """
    found = [
        Whereabouts(
            part=part, serial=serial, place=f"{tail} {position}", tail=tail, position=position
        )
        for tail, position, part, serial in fitted
    ]
    inside = {(w.part, w.serial) for w in found}
    last: dict[tuple[str, str], Shelved] = {}
    for box in sorted((*out, *shelf), key=lambda b: b.at):
        last[box.part, box.serial] = box
    found += [
        Whereabouts(part=box.part, serial=box.serial, place=box.state)
        for key, box in last.items()
        if key not in inside
    ]
    return tuple(sorted(found, key=lambda w: (w.part, w.serial, w.place)))


def doubles(boxes: Iterable[Whereabouts]) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Serials that stand in more than one aircraft, each with its places: all are in doubt."""
    places: dict[str, list[str]] = {}
    for box in boxes:
        if box.tail:
            places.setdefault(f"{box.part} {box.serial}", []).append(box.place)
    return tuple((name, tuple(there)) for name, there in places.items() if len(there) > 1)
