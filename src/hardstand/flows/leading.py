"""The shift lead's board: everything that stands, gathered from the record. Writes nothing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from hardstand.domain.board import (
    DUE_S,
    WALK,
    Bank,
    BoardLine,
    Drawn,
    bank,
    drawn,
    entry_line,
    line_line,
    ordered,
)
from hardstand.domain.box_facts import boxes_of
from hardstand.domain.facts import AirframeFacts, Line, RecordFacts
from hardstand.domain.flight_facts import Acceptance, Flight, Irregularity, flown_of
from hardstand.domain.mission_book import FitBook, book_in
from hardstand.domain.quantity import Instant, seconds_between
from hardstand.domain.recurrence import Repeat, Rogue, did_not_hold, repeats, rogues
from hardstand.domain.shift_facts import Sheet, sheet_of
from hardstand.domain.verdict import Verdict
from hardstand.flows.queries import Board, Reading, board

SILENT_S = 12 * 3600
"""A device not heard for so long is told as silent; ours."""

MONTH_S = 30 * 86_400
"""Flights out of order are told one by one for so long, then counted; ours."""

ENDING_S = 30 * 86_400
"""Authority that ends within so long is told; whole-job S-21."""


class LeadBoard(NamedTuple):
    """All that a lead reads: how each airframe stands, then every thing to see to, in order.

    `busy` is what walks in progress have moved: theirs to put back, and on the sheet of a shift.
    `idle_since` is the newest line of all, if it is over a day old; else empty.
    `repeats` and `irregular` name their tail; `irregular_before` counts what is older than a month
    and on the list of flights. `failed` are fixes that did not hold: tail, the
    entry cleared, the one that is open again. `aloft` are flights not back, `accepted` what pilots
    took within a day and have not left with. `silent` are devices not heard of late, `ending`
    people whose authority ends soon or has ended, with when.
    """

    stand: Board
    lines: tuple[BoardLine, ...]
    busy: tuple[BoardLine, ...] = ()
    banks: tuple[Bank, ...] = ()
    repeats: tuple[tuple[str, Repeat], ...] = ()
    failed: tuple[tuple[str, str, str], ...] = ()
    rogues: tuple[Rogue, ...] = ()
    aloft: tuple[tuple[str, Flight], ...] = ()
    accepted: tuple[tuple[str, Acceptance], ...] = ()
    irregular: tuple[tuple[str, Irregularity], ...] = ()
    irregular_before: int = 0
    silent: tuple[tuple[str, Instant], ...] = ()
    ending: tuple[tuple[str, str], ...] = ()
    sheet: Sheet | None = None
    idle_since: str = ""

    @property
    def as_of(self) -> Instant:
        """The instant asked about."""
        return self.stand.as_of

    @property
    def record(self) -> RecordFacts:
        """The facts of the whole record."""
        return self.stand.record


def lead_board(reading: Reading, now: Instant) -> LeadBoard:
    """The board at `now`."""
    stand = board(reading, now)
    record = stand.record
    facts = {f.tail: f for f in stand.facts}
    came_back = {t: _repeats(f, now) for t, f in facts.items()}
    lines, busy = list[BoardLine](), list[BoardLine]()
    banks: list[Bank] = []
    for found in stand.verdicts:
        here = facts[found.tail]
        loads = _loads(here, found, record)
        again = {r.number for repeat in came_back[found.tail] for r in repeat.reports}
        lines += [
            entry_line(found, here, s, record.people, s.entry.number in again) for s in found.open
        ]
        mine, others = _away(here, found)
        busy += [line_line(here, x, loads.get(x.item), found.in_progress) for x in mine]
        lines += [line_line(here, line, loads.get(line.item)) for line in others]
        lines += [*_walks(reading, here, found, len(mine)), *_boxes(here), *_flights(here, now)]
        whole = bank(found.tail, [load for load in loads.values() if load is not None])
        banks += [whole] if whole is not None else []
    heard = reading.devices()
    odd = [(t, i) for t, f in facts.items() for i in flown_of(f).irregular]
    return LeadBoard(
        stand=stand,
        lines=ordered(lines),
        busy=ordered(busy),
        banks=tuple(banks),
        repeats=tuple((tail, r) for tail, found in came_back.items() for r in found),
        failed=tuple(x for f in facts.values() for x in _failed(f)),
        aloft=tuple((t, x) for t, f in facts.items() if (x := flown_of(f).aloft)),
        accepted=tuple((t, taken) for t, f in facts.items() if (taken := _accepted(f, now))),
        rogues=rogues((r for f in facts.values() for r in boxes_of(f).removals), now),
        irregular=tuple((t, i) for t, i in odd if not _is_old(i, now)),
        irregular_before=sum(_is_old(i, now) for _, i in odd),
        silent=_silent(heard, now),
        ending=tuple(_ending(record, now)),
        sheet=sheet_of(record),
        idle_since=_idle(heard, now),
    )


def _repeats(facts: AirframeFacts, now: Instant) -> tuple[Repeat, ...]:
    flown = flown_of(facts)
    return repeats(flown.reports, flown.begun, now)


def _failed(facts: AirframeFacts) -> Iterator[tuple[str, str, str]]:
    """Fixes that did not hold, while what came back is open."""
    still = {e.number for e in facts.open}
    for cleared, again in did_not_hold(flown_of(facts).reports):
        if again in still:
            yield facts.tail, cleared, again


def _away(facts: AirframeFacts, found: Verdict) -> tuple[tuple[Line, ...], tuple[Line, ...]]:
    """Open lines of the ledger: those of a walk in progress, and all others."""
    if not found.in_progress:
        return (), facts.lines
    return facts.due_home, facts.staying


def _loads(facts: AirframeFacts, found: Verdict, record: RecordFacts) -> Mapping[str, Drawn | None]:
    """What each open line draws, by item."""
    book: FitBook | None = book_in(record, found.fit)
    draws = (book.draws if book else None) or {}
    battery = (record.batteries or {}).get(facts.type)
    return {
        line.item: drawn(line, draws.get(line.item), battery, found.as_of) for line in facts.lines
    }


def _walks(
    reading: Reading, facts: AirframeFacts, found: Verdict, away: int
) -> Iterator[BoardLine]:
    for walk in facts.walks:
        going = walk.walk == found.in_progress
        state = "in progress" if going else "left for a while" if walk.broken else "not finished"
        moved = f", {away} not put back yet" if going and away else ""
        yield BoardLine(
            cls="HALF DONE", tail=facts.tail, key=f"{WALK}{walk.walk}",
            what=f"walk {walk.walk} {state}, device {walk.device}{moved}", rank=0,
            since=reading.last_of_walk(walk.walk) or walk.started, owner=walk.by, ref=walk.ref,
            next="" if going else "go on with it, or end it",
        )  # fmt: skip


def _boxes(facts: AirframeFacts) -> Iterator[BoardLine]:
    slots = {s.position: s for s in boxes_of(facts).slots}
    told = {e.unit for e in facts.open}
    for position, (what, ref) in (facts.empty or {}).items():
        if position not in told:
            yield BoardLine(
                cls="GROUNDS", tail=facts.tail, key=f"{facts.tail} {position}", symbol="X",
                what=f"{position} is empty: {what}", since=slots[position].at, ref=ref,
                next="fill it", owner=slots[position].by,
            )  # fmt: skip
    for position, (_, ref) in (facts.doubtful or {}).items():
        yield BoardLine(
            cls="UNKNOWN", tail=facts.tail, key=f"{facts.tail} {position}", symbol="-",
            what=f"{position} is in doubt", since=slots[position].at, ref=ref,
            next=f"hardstand unit read {facts.tail} {position} SERIAL",
        )  # fmt: skip


def _flights(facts: AirframeFacts, now: Instant) -> Iterator[BoardLine]:
    yield from _accepted_before(facts, now)
    yield from _owed(facts)


def _owed(facts: AirframeFacts) -> Iterator[BoardLine]:
    for flight in flown_of(facts).owed:
        yield BoardLine(
            cls="HALF DONE", tail=facts.tail, key=f"flight {flight.ref}",
            what=f"report owed for {flight.mission}", since=Instant(flight.on),
            next=f"ask {flight.pilot}", owner=flight.pilot, ref=flight.ref,
        )  # fmt: skip


def _is_old(odd: Irregularity, now: Instant) -> bool:
    return seconds_between(odd.off, now) > MONTH_S


def _accepted(facts: AirframeFacts, now: Instant) -> Acceptance | None:
    """What a pilot took within a day and has not left with, undone or not."""
    taken = flown_of(facts).accepted
    return taken if taken and seconds_between(taken.at, now) <= DUE_S else None


def _accepted_before(facts: AirframeFacts, now: Instant) -> Iterator[BoardLine]:
    """An acceptance of this day that came undone: the pilot may be walking out to the aircraft."""
    taken = _accepted(facts, now)
    if taken is None or not taken.undone:
        return
    yield BoardLine(
        cls="HALF DONE", tail=facts.tail, key=f"acceptance {taken.ref}", rank=0, ref=taken.ref,
        what=f"acceptance undone: {taken.pilot} took it for {taken.mission} before {taken.undone}",
        since=Instant(taken.undone_at), next=f"tell {taken.pilot} before off-block",
        owner=taken.pilot,
    )  # fmt: skip


def _silent(heard: Mapping[str, Instant], now: Instant) -> tuple[tuple[str, Instant], ...]:
    return tuple(
        (device, at) for device, at in sorted(heard.items()) if seconds_between(at, now) > SILENT_S
    )


def _idle(heard: Mapping[str, Instant], now: Instant) -> str:
    """When anything was last written, if that is over a day ago: what stands is a memory."""
    newest = max(heard.values(), default="")
    return newest if newest and seconds_between(Instant(newest), now) > DUE_S else ""


def _ending(record: RecordFacts, now: Instant) -> Iterator[tuple[str, str]]:
    """People whose authority has ended, or whose last role ends within a month."""
    for person in record.people:
        ends = [g.until for g in person.grants if g.until]
        when = person.ended or (min(ends) if len(ends) == len(person.grants) and ends else "")
        if when and seconds_between(now, Instant(when)) <= ENDING_S:
            yield person.initials, when
