"""What is true of an airframe's flights, as a fold keeps it: types only, light to import.

Tuples with names, not dataclasses: the board makes them at each start, and ten cost what one does.
"""

from __future__ import annotations

from typing import Literal, NamedTuple

from hardstand.domain.facts import AirframeFacts
from hardstand.domain.plain import from_plain
from hardstand.domain.quantity import Instant
from hardstand.domain.recurrence import Report

Said = Literal["owed", "none known", "reported"]


class Flight(NamedTuple):
    """One flight: which of its tail it is, and what its pilot said.

    `ref` and `digest` are of the line that says it began. `on` is empty while it is in the air.
    """

    nth: int
    mission: str
    pilot: str
    off: Instant
    ref: str
    digest: str
    on: str = ""
    said: Said = "owed"
    entries: tuple[str, ...] = ()


class Acceptance(NamedTuple):
    """The list a pilot took the aircraft on; `undone` says by what, if by anything."""

    mission: str
    pilot: str
    at: Instant
    ref: str
    digest: str
    listed: tuple[str, ...]
    list_of: str
    paper: bool = False
    undone: str = ""
    undone_at: str = ""


class Irregularity(NamedTuple):
    """A flight that left when the record stood against it, with each reason."""

    mission: str
    pilot: str
    off: Instant
    ref: str
    texts: tuple[str, ...]
    entries: tuple[str, ...] = ()


class Outcome(NamedTuple):
    """What came of an entry a pilot had reported, until the pilot was shown it."""

    number: str
    pilot: str
    text: str
    found: str
    by: str
    at: Instant


class Flown(NamedTuple):
    """What an airframe's own lines say of its flights.

    `begun` counts the flights of the tail, `last` are the newest of them. `reports` are the
    entries young enough to count as repeats.
    """

    begun: int = 0
    last: tuple[Flight, ...] = ()
    accepted: Acceptance | None = None
    irregular: tuple[Irregularity, ...] = ()
    reports: tuple[Report, ...] = ()
    outcomes: tuple[Outcome, ...] = ()

    @property
    def aloft(self) -> Flight | None:
        """The flight that has begun and not ended."""
        return next((flight for flight in reversed(self.last) if not flight.on), None)

    @property
    def owed(self) -> tuple[Flight, ...]:
        """Flights that ended without a word from the pilot."""
        return tuple(flight for flight in self.last if flight.on and flight.said == "owed")


def flown_of(facts: AirframeFacts) -> Flown:
    """The flights of an airframe, read from what its facts keep."""
    return from_plain(Flown, facts.flown) if facts.flown else Flown()
