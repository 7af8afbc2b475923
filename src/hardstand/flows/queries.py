"""How each airframe stands: the light read that every other question begins with."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple, Protocol

from hardstand.domain.clocks import is_trusted
from hardstand.domain.facts import AirframeFacts, RecordFacts
from hardstand.domain.ids import find_tail
from hardstand.domain.quantity import Instant
from hardstand.domain.verdict import Verdict, verdict
from hardstand.domain.walk_lines import WalkLine
from hardstand.errors import NotThere


class Reading(Protocol):
    """A record opened for reading only."""

    def record(self) -> RecordFacts:
        """The facts of the whole record."""

    def all_facts(self) -> tuple[AirframeFacts, ...]:
        """The facts of every airframe, by tail."""

    def facts(self, tail: str) -> AirframeFacts:
        """The facts of one airframe."""

    def newest(self) -> Instant | None:
        """The newest time any line was made at, by all that is known of clocks."""

    def devices(self) -> dict[str, Instant]:
        """The newest time each device has written at, by all that is known of its clock."""

    def last_of_walk(self, walk: str) -> Instant | None:
        """The time of a walk's last line."""

    def lines_of_walk(self, walk: str) -> tuple[WalkLine, ...]:
        """The lines of a walk, oldest first."""

    def steps_of_list(self, digest: str) -> tuple[Mapping[str, Any], ...]:
        """The steps of an adopted list, as they stand in its adoption; none if it is not here."""

    def device(self) -> str:
        """The device this copy of the record was made for."""


class Board(NamedTuple):
    """Airframes as they stand at an instant, with the settings they were judged by."""

    as_of: Instant
    record: RecordFacts
    verdicts: tuple[Verdict, ...]
    facts: tuple[AirframeFacts, ...] = ()
    clock_behind: Instant | None = None


def board(reading: Reading, now: Instant, tail: str = "", *, missions: bool = True) -> Board:
    """How each airframe stands at `now`, or only the one of that tail.

    Without `missions` what each can fly is left out.

    Raises:
        NotThere: no such tail.
    """
    record = reading.record()
    found = (the_airframe(reading, record, tail),) if tail else _flown_here(reading, record)
    newest = reading.newest()
    trusted = newest is None or is_trusted(now, newest, record.settings.clock_grace_s)
    behind = None if trusted else newest
    verdicts = tuple(
        verdict(f, now, record, _last(reading, f), trusted=trusted, missions=missions)
        for f in found
    )
    return Board(
        as_of=now, record=record, verdicts=verdicts, facts=tuple(found), clock_behind=behind
    )


def _flown_here(reading: Reading, record: RecordFacts) -> Sequence[AirframeFacts]:
    """Every airframe of the fleet, and any that left it with something in hand."""
    every = reading.all_facts()
    return [f for f in every if f.tail not in record.left or f.in_hand] if record.left else every


def the_airframe(reading: Reading, record: RecordFacts, typed: str) -> AirframeFacts:
    """The facts of the airframe a person means; the last three of the tail are enough.

    Raises:
        NotThere: no tail, or more than one, is meant.
    """
    return reading.facts(whole_tail(record, typed))


def whole_tail(record: RecordFacts, typed: str) -> str:
    """The tail a person means; its last three are enough.

    Raises:
        NotThere: no tail, or more than one, is meant.
    """
    whole = find_tail(typed, record.tails)
    ends = [t for t in record.tails if t.endswith(typed.strip().upper())]
    if whole is None and len(typed.strip()) >= 3 and len(ends) == 1:
        whole = ends[0]
    if whole is None:
        raise NotThere(
            f"There is no airframe {typed!r} in this record.",
            hint="`hardstand fleet show` lists the tails.",
        )
    return whole


def _last(reading: Reading, facts: AirframeFacts) -> Mapping[str, Instant]:
    found = ((w.walk, reading.last_of_walk(w.walk)) for w in facts.walks)
    return {walk: at for walk, at in found if at is not None}
