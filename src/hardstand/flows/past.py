"""The record as it was true at an earlier instant, by everything it holds now."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from hardstand.domain import bodies as b
from hardstand.domain.airframe import fold
from hardstand.domain.codec import decode
from hardstand.domain.entry import Entry
from hardstand.domain.facts import AirframeFacts, RecordFacts
from hardstand.domain.fleet import Fleet
from hardstand.domain.ground import corrected, in_order, made_at
from hardstand.domain.handing_over import handed_over
from hardstand.domain.plain import to_plain
from hardstand.domain.quantity import Instant, later, parse_instant
from hardstand.domain.record import ground
from hardstand.domain.shift_facts import Sheet
from hardstand.domain.walk_lines import WalkLine
from hardstand.flows.adopting import the_fleet
from hardstand.ports import Journal

EVERY = 2**31
"""More lines than an airframe will ever have."""
_LATE = b'"late":'
_TIMED = frozenset({"flight.begun", "flight.ended"})
"""Only a LATE line and these say in their body when the act was; the others are not read."""


def _made(entry: Entry, at: Instant) -> Instant:
    """When the act of a line was, which was written at `at`."""
    if _LATE not in entry.body and entry.kind not in _TIMED:
        return at
    body = decode(entry)
    if isinstance(body, b.FlightBegun):
        return min(at, parse_instant(body.off) or at)
    if isinstance(body, b.FlightEnded):
        return min(at, parse_instant(body.on) or at)
    by = getattr(body, "by", None)
    return made_at(at, by) if isinstance(by, b.By) else at


class Past:
    """A record read at an instant: each airframe folded from the acts done by then."""

    def __init__(self, journal: Journal, at: Instant) -> None:
        self._journal = journal
        self._at = at
        self._fleet: Fleet = the_fleet(journal)
        self._record = journal.record()
        self._record = self._record._replace(sheet=to_plain(self._sheet()))

    def record(self) -> RecordFacts:
        """The settings in force now, by which the past is told, and who had the shift then."""
        return self._record

    def _sheet(self) -> Sheet | None:
        """The last handover sheet as of the instant."""
        given = self._journal.entries(kind="handover.given", until=self._latest())
        taken = self._journal.entries(kind="handover.taken", until=self._latest())
        sheet: Sheet | None = None
        for entry in in_order(self._until((*given, *taken))):
            at = corrected(entry, self._record.clocks or {})
            sheet = handed_over(sheet, entry, decode(entry), at)
        return sheet

    def facts(self, tail: str) -> AirframeFacts:
        """The facts of one airframe as of the instant."""
        entries = self._until(self._journal.newest_of(tail, EVERY))
        return fold(ground(self._fleet, tail, self.record()), entries)

    def _latest(self) -> Instant:
        """The latest time any device's clock could have shown by the instant."""
        clocks = self.record().clocks or {}
        ahead = max((o.offset_s for known in clocks.values() for o in known), default=0)
        return later(self._at, seconds=max(ahead, 0))

    def _until(self, entries: Iterable[Entry]) -> Iterator[Entry]:
        """Those made by the instant, by all that is known of clocks; LATE ones when they were."""
        clocks = self.record().clocks or {}
        return (e for e in entries if _made(e, corrected(e, clocks)) <= self._at)

    def all_facts(self) -> tuple[AirframeFacts, ...]:
        """The facts of every airframe as of the instant, by tail."""
        return tuple(self.facts(tail) for tail in sorted(self._fleet.airframes))

    def newest(self) -> Instant | None:
        """The past is asked about on purpose; no clock is behind it."""
        return None

    def last_of_walk(self, walk: str) -> Instant | None:
        """The time of a walk's last line as of the instant."""
        entries = list(self._until(self._journal.entries(walk=walk)))
        return corrected(entries[-1], self.record().clocks or {}) if entries else None

    def lines_of_walk(self, walk: str) -> tuple[WalkLine, ...]:
        """The lines of a walk as of the instant, oldest first."""
        entries = self._until(self._journal.entries(walk=walk))
        return tuple(WalkLine(e.kind, json.loads(e.body), e.at, e.author) for e in entries)

    def steps_of_list(self, digest: str) -> tuple[Mapping[str, Any], ...]:
        """The steps of an adopted list, as they stand in its adoption; none if it is not here."""
        for entry in self._journal.entries(kind="checklist.adopted"):
            value = json.loads(entry.body)
            if value["digest"] == digest:
                return tuple(value["value"]["steps"])
        return ()

    def device(self) -> str:
        """The device this copy of the record was made for."""
        return self._journal.device

    def devices(self) -> dict[str, Instant]:
        """When each device was last heard, as of the instant."""
        clocks = self.record().clocks or {}
        heard: dict[str, Instant] = {}
        for entry in self._until(self._journal.chains()):  # one at a time: it is every line
            at = corrected(entry, clocks)
            heard[entry.device] = max(at, heard.get(entry.device, at))
        return heard
