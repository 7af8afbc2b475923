"""What the whole record says: fleet and settings in force, lists adopted. Pure."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import Any

from hardstand.domain import bodies as b
from hardstand.domain.authority import Case, Deed, may
from hardstand.domain.box_facts import Shelved
from hardstand.domain.boxes import shelved
from hardstand.domain.checklist import Fit
from hardstand.domain.codec import NOT_FOLDED, decode, misread
from hardstand.domain.enrolment import Register, register
from hardstand.domain.entry import Entry
from hardstand.domain.facts import Act, AirframeFacts, RecordFacts
from hardstand.domain.fleet import Fleet
from hardstand.domain.ground import Ground, corrected, in_order
from hardstand.domain.handing_over import handed_over
from hardstand.domain.ids import short_tail
from hardstand.domain.mission_book import FitBook, book_of
from hardstand.domain.plain import from_plain, to_plain
from hardstand.domain.quantity import Instant
from hardstand.domain.settings import Settings
from hardstand.domain.shift_facts import Sheet

WHOLE = frozenset({
    "record.made", "fleet.loaded", "settings.adopted", "fit.adopted", "checklist.adopted",
    "checklist.withdrawn", "paper.seconded",
    "person.enrolled", "person.role", "person.ended", "person.keyed", "person.witnessed",
    "person.disowned", "clock.observed", "clock.jumped", "unit.received", "unit.tagged",
    "unit.benched", "unit.lost", "handover.given", "handover.taken",
})  # fmt: skip
"""Kinds that belong to no airframe and change the record's own facts."""


def fold_record(entries: Iterable[Entry]) -> tuple[RecordFacts, Fleet | None]:
    """The record's facts and the fleet in force, from the entries that belong to no airframe.

    A file that was put in force by somebody not entitled to it counts for nothing; but for a
    fleet, which then only adds airframes. An airframe that a fleet file leaves out stays known:
    whoever wrote the file may not have heard of what is open there.
    """
    lines = [(entry, decode(entry)) for entry in in_order(entries)]
    known = register(lines)
    papers, demo = _Papers(), False
    shelf: Mapping[str, Shelved] = {}
    sheet: Sheet | None = None
    for entry, body in lines:
        try:
            at = corrected(entry, known.clocks)
            shelf = shelved(shelf, entry, body, at)
            sheet = handed_over(sheet, entry, body, at)
            if isinstance(body, b.RecordMade):
                demo = body.demo
            if isinstance(body, b.Adopted):
                papers.adopt(entry, body, at, entitled=entitled(entry, known))
        except NOT_FOLDED as error:
            raise misread(entry, error) from error
    facts = RecordFacts(
        demo=demo,
        people=known.people,
        founded=known.founded,
        clocks=dict(known.clocks) or None,
        disowned=known.disowned,
        shelf=to_plain(shelf) or None,
        sheet=to_plain(sheet),
    )
    return papers.told(facts), papers.fleet


@dataclass(slots=True)
class _Papers:
    """The files in force as one after the other was adopted: mutable inside one fold.

    `listed` are the tails that the last fleet file named, `minutes` what a preflight takes by fit.
    """

    fleet: Fleet | None = None
    settings: Settings = field(default_factory=Settings)
    listed: frozenset[str] = frozenset()
    adopted: dict[tuple[str, str], Act] = field(default_factory=dict)
    books: dict[str, FitBook] = field(default_factory=dict)
    minutes: dict[str, int] = field(default_factory=dict)

    def adopt(self, entry: Entry, body: b.Adopted, at: Instant, *, entitled: bool) -> None:
        if entry.kind == "fleet.loaded":
            self._load(from_plain(Fleet, body.value), entitled=entitled)
        if not entitled:
            return
        if entry.kind == "settings.adopted":
            self.settings = from_plain(Settings, body.value)
        elif entry.kind == "fit.adopted":
            self.books[body.id] = book_of(from_plain(Fit, body.value))
        elif entry.kind == "checklist.adopted" and body.value.get("purpose") == "preflight":
            self.minutes[body.fit] = walk_minutes(body.value)
        name = entry.kind.split(".")[0]
        words = f"{name} {body.id} {body.revision}".rstrip()
        self.adopted[name, body.id] = Act(ref=entry.ref, at=at, by=entry.author, what=words)

    def _load(self, said: Fleet, *, entitled: bool) -> None:
        if entitled:
            self.listed = frozenset(said.airframes)
            self.fleet = with_more(said, self.fleet)
        else:
            self.listed |= said.airframes.keys()
            self.fleet = with_more(self.fleet, said)

    def told(self, facts: RecordFacts) -> RecordFacts:
        """The record's facts with what the files in force say."""
        found = facts._replace(
            settings=self.settings,
            preflight_hours=self.settings.preflight_hours,
            walk_alive_min=self.settings.walk_alive_min,
            adopted=tuple(self.adopted.values()),
            books=to_plain(self.books) or None,
            walk_min=self.minutes or None,
        )
        fleet = self.fleet
        if fleet is None:
            return found
        return found._replace(
            operator=fleet.operator,
            time_zone=fleet.time_zone,
            tails=tuple(sorted(fleet.airframes)),
            daylight={d.since: (d.rises, d.sets) for d in fleet.daylight} or None,
            batteries=_batteries(fleet),
            left=tuple(sorted(fleet.airframes.keys() - self.listed)),
        )


def walk_minutes(checklist: Mapping[str, Any]) -> int:
    """What the steps of a list take together by its author, in minutes, rounded up."""
    steps: list[Mapping[str, str]] = checklist.get("steps", [])
    return math.ceil(sum(Decimal(step.get("minutes", "1")) for step in steps))


def _batteries(fleet: Fleet) -> Mapping[str, tuple[Decimal, ...]] | None:
    known = {n: t.battery for n, t in fleet.types.items() if t.battery}
    return {name: (b.rated_ah, b.reserve_ah) for name, b in known.items()} or None


def with_more(counts: Fleet | None, other: Fleet | None) -> Fleet | None:
    """The fleet that counts with what another adds to it, and nothing it takes away or alters."""
    if counts is None or other is None:
        return counts or other
    return replace(
        counts,
        types={**other.types, **counts.types},
        airframes={**other.airframes, **counts.airframes},
    )


ADOPTING: Mapping[str, Deed] = {
    "fleet.loaded": "load_fleet",
    "settings.adopted": "settings",
    "fit.adopted": "adopt",
    "checklist.adopted": "adopt",
    "checklist.withdrawn": "withdraw",
}
"""What it takes to put each kind of file in force, and to withdraw a list."""


def entitled(entry: Entry, known: Register | RecordFacts) -> bool:
    """Whether whoever adopted or withdrew it might; before anybody was enrolled everybody might."""
    before = (known.founded or {}).get(entry.device, 0)
    if known.founded is None or entry.seq <= before:
        return True
    case = Case(people=known.people, at=corrected(entry, known.clocks or {}))
    return may(ADOPTING[entry.kind], entry.author, case) is None


def ground_on(facts: AirframeFacts, record: RecordFacts) -> Ground:
    """What a fold of one airframe is gone on with: its own facts, and the record's."""
    return Ground(
        tail=facts.tail,
        type=facts.type,
        fits=facts.fits,
        short=facts.short,
        serials=facts.serials or {},
        entries_before={},
        **_shared(record),
    )


def _shared(record: RecordFacts) -> dict[str, Any]:
    """What the ground of every airframe takes from the record."""
    return {
        "time_zone": record.time_zone,
        "settings": record.settings,
        "people": record.people,
        "founded": record.founded,
        "clocks": record.clocks or {},
        "disowned": frozenset(record.disowned),
    }


def ground(fleet: Fleet, tail: str, record: RecordFacts | None = None) -> Ground:
    """What an airframe's entries are folded on: the fleet file, and the record's own facts.

    Raises:
        KeyError: the fleet has no such airframe.
    """
    airframe = fleet.airframes[tail]
    known = record or RecordFacts()
    return Ground(
        tail=tail,
        type=airframe.type,
        fits=airframe.fits,
        short=short_tail(tail, fleet.airframes),
        serials=airframe.serials or {},
        entries_before=airframe.entries_before or {},
        **_shared(known._replace(time_zone=fleet.time_zone)),
    )
