"""What stands, what is open, and why: light reads for the shift lead. Writes nothing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Protocol

from hardstand.domain.clocks import is_trusted
from hardstand.domain.facts import AirframeFacts, Line, OpenEntry, OpenWalk, RecordFacts
from hardstand.domain.ids import bearers, find_tail
from hardstand.domain.quantity import Instant
from hardstand.domain.symbols import ORDER
from hardstand.domain.verdict import Verdict, verdict
from hardstand.errors import NotThere, Usage


class Reading(Protocol):
    """A record opened for reading only."""

    def record(self) -> RecordFacts:
        """The facts of the whole record."""

    def all_facts(self) -> tuple[AirframeFacts, ...]:
        """The facts of every airframe, by tail."""

    def facts(self, tail: str) -> AirframeFacts:
        """The facts of one airframe."""

    def newest(self) -> Instant | None:
        """The newest time any line bears."""

    def devices(self) -> dict[str, Instant]:
        """The newest time each device has written."""

    def last_of_walk(self, walk: str) -> Instant | None:
        """The time of a walk's last line."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """Airframes as they stand at an instant, with the settings they were judged by."""

    as_of: Instant
    record: RecordFacts
    verdicts: tuple[Verdict, ...]
    clock_behind: Instant | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenList:
    """Open entries in order, and how many a filter hides."""

    as_of: Instant
    record: RecordFacts
    items: tuple[tuple[str, OpenEntry, str], ...]
    hidden: int


def board(reading: Reading, now: Instant, tail: str = "", *, missions: bool = True) -> Board:
    """How each airframe stands at `now`, or only the one of that tail.

    Without `missions` what each can fly is left out.

    Raises:
        NotThere: no such tail.
    """
    record = reading.record()
    found = (the_airframe(reading, record, tail),) if tail else reading.all_facts()
    newest = reading.newest()
    trusted = newest is None or is_trusted(now, newest, record.settings.clock_grace_s)
    behind = None if trusted else newest
    verdicts = tuple(
        verdict(f, now, record, _last(reading, f), trusted=trusted, missions=missions)
        for f in found
    )
    return Board(as_of=now, record=record, verdicts=verdicts, clock_behind=behind)


def the_airframe(reading: Reading, record: RecordFacts, typed: str) -> AirframeFacts:
    """The facts of the airframe a person means; the last three of the tail are enough.

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
    return reading.facts(whole)


def _last(reading: Reading, facts: AirframeFacts) -> Mapping[str, Instant]:
    found = ((w.walk, reading.last_of_walk(w.walk)) for w in facts.walks)
    return {walk: at for walk, at in found if at is not None}


@dataclass(frozen=True, slots=True, kw_only=True)
class Filter:
    """What a person narrows an open list by; an empty field narrows nothing."""

    fit: str = ""
    unit: str = ""
    symbol: str = ""
    person: str = ""
    words: str = ""
    state: str = ""
    older_than_days: int | None = None

    def takes(self, fit: str, entry: OpenEntry, symbol: str, now: Instant) -> bool:
        """Whether the entry passes every narrowing that was named."""
        from hardstand.domain.quantity import seconds_between  # noqa: PLC0415  only when asked
        from hardstand.domain.words import sought  # noqa: PLC0415  only when asked

        days = self.older_than_days
        text = sought(f"{entry.text} {entry.unit} {entry.serial} {entry.number}")
        return (
            self.fit in {"", fit}
            and self.unit in {"", entry.unit}
            and self.symbol in {"", symbol}
            and (not self.person or self.person in {entry.found_by, *entry.doers})
            and sought(self.words) in text
            and self.state in {"", entry.state}
            and (days is None or seconds_between(entry.found_at, now) > days * 86400)
        )


def narrowed(given: Mapping[str, str | int | None]) -> Filter:
    """The filter of what a person typed.

    Raises:
        Usage: a word is none of those accepted.
    """
    known = {"symbol": {"", *ORDER}, "state": {"", "open", "ruled", "deferred", "action_recorded"}}
    for name, accepted in known.items():
        if given.get(name, "") not in accepted:
            words = ", ".join(sorted(accepted - {"", "clear"}))
            raise Usage(f"--{name} {given[name]!r} is not known.", hint=f"One of: {words}")
    person = str(given.get("person") or "").upper()
    return Filter(**{**given, "person": person})  # type: ignore[arg-type]  # fields by name


def open_list(
    reading: Reading, now: Instant, tail: str = "", only: Filter | None = None
) -> OpenList:
    """Open entries: worst first, then oldest, then by number; the same order every time."""
    stand = board(reading, now, tail, missions=False)
    every = [(v.tail, v.fit, s.entry, s.symbol) for v in stand.verdicts for s in v.open]
    wanted = only or Filter()
    kept = [(t, e, s) for t, fit, e, s in every if wanted.takes(fit, e, s, now)]
    kept.sort(key=lambda x: (ORDER.index(x[2]), x[1].found_at, x[1].number))
    return OpenList(
        as_of=now, record=stand.record, items=tuple(kept), hidden=len(every) - len(kept)
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Why:
    """Why an airframe stands as it does, or one entry of it with all that was done about it."""

    record: RecordFacts
    verdict: Verdict
    entry: OpenEntry | None = None


def reasons(reading: Reading, now: Instant, what: str) -> Why:
    """The reasons of an airframe, by tail; or of one open entry, by its number.

    Raises:
        NotThere: neither is known.
    """
    number = what.strip().upper()
    for tail in bearers(number, reading.record().tails):
        entry = reading.facts(tail).entry(number)
        if entry is not None:
            stand = board(reading, now, tail)
            return Why(record=stand.record, verdict=stand.verdicts[0], entry=entry)
    try:
        stand = board(reading, now, what)
    except NotThere as unknown:
        raise NotThere(
            f"{what!r} is neither a tail nor an open entry of this record.",
            hint="`hardstand open` lists open entries; `hardstand record history ENTRY` tells "
            "closed ones.",
        ) from unknown
    return Why(record=stand.record, verdict=stand.verdicts[0])


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """An open walk: its airframe, its last line, and what is not put back there."""

    tail: str
    walk: OpenWalk
    last: Instant | None
    lines: tuple[Line, ...]
    time_zone: str


def open_walks(reading: Reading, tail: str = "") -> tuple[Standing, ...]:
    """Every walk that is not closed, or those of one airframe, newest last line first."""
    record = reading.record()
    found = (the_airframe(reading, record, tail),) if tail else reading.all_facts()
    standing = [
        Standing(
            tail=facts.tail, walk=walk, last=reading.last_of_walk(walk.walk), lines=facts.lines,
            time_zone=record.time_zone,
        )
        for facts in found
        for walk in facts.walks
    ]  # fmt: skip
    return tuple(sorted(standing, key=lambda s: s.last or s.walk.started, reverse=True))
