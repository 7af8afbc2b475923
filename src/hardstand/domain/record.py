"""What the whole record says: fleet and settings in force, lists adopted. Pure."""

from __future__ import annotations

from collections.abc import Iterable

from hardstand.domain import bodies as b
from hardstand.domain.airframe import Ground, corrected, in_order
from hardstand.domain.codec import decode
from hardstand.domain.entry import Entry
from hardstand.domain.facts import Act, RecordFacts
from hardstand.domain.fleet import Fleet
from hardstand.domain.ids import short_tail
from hardstand.domain.plain import from_plain
from hardstand.domain.settings import Settings

WHOLE = frozenset({
    "record.made", "fleet.loaded", "settings.adopted", "fit.adopted", "checklist.adopted",
})  # fmt: skip
"""Kinds that belong to no airframe and change the record's own facts."""


def fold_record(entries: Iterable[Entry]) -> tuple[RecordFacts, Fleet | None]:
    """The record's facts and the fleet in force, from the entries that belong to no airframe."""
    demo, fleet, settings = False, None, Settings()
    adopted: dict[tuple[str, str], Act] = {}
    for entry in in_order(entries):
        body = decode(entry)
        if isinstance(body, b.RecordMade):
            demo = body.demo
        if not isinstance(body, b.Adopted):
            continue
        if entry.kind == "fleet.loaded":
            fleet = from_plain(Fleet, body.value)
        elif entry.kind == "settings.adopted":
            settings = from_plain(Settings, body.value)
        name = entry.kind.split(".")[0]
        words = f"{name} {body.id} {body.revision}".rstrip()
        adopted[name, body.id] = Act(
            ref=entry.ref, at=corrected(entry), by=entry.author, what=words
        )
    facts = RecordFacts(
        demo=demo,
        operator=fleet.operator if fleet else "",
        time_zone=fleet.time_zone if fleet else "UTC",
        tails=tuple(sorted(fleet.airframes)) if fleet else (),
        preflight_hours=settings.preflight_hours,
        walk_alive_min=settings.walk_alive_min,
        adopted=tuple(adopted.values()),
    )
    return facts, fleet


def ground(fleet: Fleet, tail: str) -> Ground:
    """What the fleet file says of one airframe.

    Raises:
        KeyError: the fleet has no such airframe.
    """
    airframe = fleet.airframes[tail]
    return Ground(
        tail=tail,
        type=airframe.type,
        fits=airframe.fits,
        short=short_tail(tail, fleet.airframes),
        serials=airframe.serials or {},
        entries_before=airframe.entries_before or {},
    )
