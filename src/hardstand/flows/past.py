"""The record as it was true at an earlier instant, by everything it holds now."""

from __future__ import annotations

from hardstand.domain.airframe import fold
from hardstand.domain.facts import AirframeFacts, RecordFacts
from hardstand.domain.fleet import Fleet
from hardstand.domain.quantity import Instant
from hardstand.domain.record import ground
from hardstand.flows.adopting import the_fleet
from hardstand.ports import Journal


class Past:
    """A record read at an instant: each airframe folded from the entries made by then."""

    def __init__(self, journal: Journal, at: Instant) -> None:
        self._journal = journal
        self._at = at
        self._fleet: Fleet = the_fleet(journal)

    def record(self) -> RecordFacts:
        """The settings in force now: a verdict on the past is told by today's settings."""
        return self._journal.record()

    def facts(self, tail: str) -> AirframeFacts:
        """The facts of one airframe as of the instant."""
        entries = self._journal.entries(airframe=tail, until=self._at)
        return fold(ground(self._fleet, tail, self.record()), entries)

    def all_facts(self) -> tuple[AirframeFacts, ...]:
        """The facts of every airframe as of the instant, by tail."""
        return tuple(self.facts(tail) for tail in sorted(self._fleet.airframes))

    def newest(self) -> Instant | None:
        """The past is asked about on purpose; no clock is behind it."""
        return None

    def last_of_walk(self, walk: str) -> Instant | None:
        """The time of a walk's last line as of the instant."""
        entries = list(self._journal.entries(walk=walk, until=self._at))
        return entries[-1].at if entries else None
