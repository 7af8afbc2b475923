"""What the whole record says: fleet and settings in force, lists adopted. Pure."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import replace
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
    demo, fleet, settings = False, None, Settings()
    listed = frozenset[str]()
    adopted: dict[tuple[str, str], Act] = {}
    books: dict[str, FitBook] = {}
    minutes: dict[str, int] = {}
    shelf: Mapping[str, Shelved] = {}
    sheet: Sheet | None = None
    for entry, body in lines:
        try:
            if isinstance(body, b.RecordMade):
                demo = body.demo
            shelf = shelved(shelf, entry, body, corrected(entry, known.clocks))
            sheet = handed_over(sheet, entry, body, corrected(entry, known.clocks))
            if not isinstance(body, b.Adopted):
                continue
            if not _entitled(entry, known):
                if entry.kind == "fleet.loaded":
                    said = from_plain(Fleet, body.value)
                    listed |= said.airframes.keys()
                    fleet = with_more(fleet, said)
                continue
            if entry.kind == "fleet.loaded":
                said = from_plain(Fleet, body.value)
                listed = frozenset(said.airframes)
                fleet = with_more(said, fleet)
            elif entry.kind == "settings.adopted":
                settings = from_plain(Settings, body.value)
            elif entry.kind == "fit.adopted":
                books[body.id] = book_of(from_plain(Fit, body.value))
            elif body.value.get("purpose") == "preflight":
                minutes[body.fit] = walk_minutes(body.value)
            name = entry.kind.split(".")[0]
            words = f"{name} {body.id} {body.revision}".rstrip()
            at = corrected(entry, known.clocks)
            adopted[name, body.id] = Act(ref=entry.ref, at=at, by=entry.author, what=words)
        except NOT_FOLDED as error:
            raise misread(entry, error) from error
    facts = RecordFacts(
        demo=demo,
        operator=fleet.operator if fleet else "",
        time_zone=fleet.time_zone if fleet else "UTC",
        tails=tuple(sorted(fleet.airframes)) if fleet else (),
        preflight_hours=settings.preflight_hours,
        walk_alive_min=settings.walk_alive_min,
        adopted=tuple(adopted.values()),
        settings=settings,
        people=known.people,
        founded=known.founded,
        clocks=dict(known.clocks) or None,
        disowned=known.disowned,
        books=to_plain(books) or None,
        daylight={d.since: (d.rises, d.sets) for d in fleet.daylight} or None if fleet else None,
        batteries=_batteries(fleet) if fleet else None,
        walk_min=minutes or None,
        shelf=to_plain(shelf) or None,
        sheet=to_plain(sheet),
        left=tuple(sorted(fleet.airframes.keys() - listed)) if fleet else (),
    )
    return facts, fleet


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
}
"""What it takes to put each kind of file in force."""


def _entitled(entry: Entry, known: Register) -> bool:
    before = (known.founded or {}).get(entry.device, 0)
    if known.founded is None or entry.seq <= before:
        return True
    case = Case(people=known.people, at=corrected(entry, known.clocks))
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
