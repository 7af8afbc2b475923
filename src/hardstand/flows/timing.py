"""What runs while a walk goes on: the battery, waits counted from their event, the keying."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import datetime, time, tzinfo
from decimal import Decimal

from hardstand.domain import bodies as b
from hardstand.domain.asking import Ask, Block
from hardstand.domain.battery_use import (
    BATTERY,
    DUTY_IN_S,
    DUTY_S,
    EXTERNAL,
    Move,
    Used,
    rest_s,
    used,
)
from hardstand.domain.board import HEALTH
from hardstand.domain.checklist import Fit, Step
from hardstand.domain.codec import decode
from hardstand.domain.entry import Entry
from hardstand.domain.facts import AirframeFacts, RecordFacts
from hardstand.domain.quantity import Instant, instant, later, local_day, moment, seconds_between
from hardstand.domain.readings.battery import warning
from hardstand.domain.walk import WalkState


def moves_of(entries: Iterable[Entry]) -> tuple[Move, ...]:
    """The moves among lines of the record, in their order; not those typed in late."""
    found = ((e.at, decode(e)) for e in entries if e.kind == "ledger.moved")
    return tuple(
        Move(at, x.item, x.to != x.home)
        for at, x in found
        if isinstance(x, b.LineMoved) and x.by.late is None
    )


def drawing(moves: Sequence[Move], fit: Fit) -> tuple[Move, ...]:
    """Those of them that change what the battery gives."""
    items = fit.items
    return tuple(
        m for m in moves
        if m.item in {BATTERY, EXTERNAL} or (m.item in items and items[m.item].draws is not None)
    )  # fmt: skip


def since_then(moves: Iterable[Move], since: Instant) -> tuple[Move, ...]:
    """The moves from a moment on, after what stood away from home before it."""
    before, after = dict[str, Move](), list[Move]()
    for move in moves:
        if move.at < since:
            before[move.item] = move
        else:
            after.append(move)
    return (*(m for m in before.values() if m.away), *after)


def midnight(now: Instant, where: tzinfo) -> Instant:
    """When the local day of an instant began."""
    return instant(datetime.combine(local_day(now, where), time(), where))


def usable_ah(facts: AirframeFacts, record: RecordFacts) -> Decimal | None:
    """What a full battery of the airframe's type can give before its reserve; None if not known."""
    battery = (record.batteries or {}).get(facts.type)
    return battery[0] * HEALTH - battery[1] if battery else None


def counted_since(moves: Iterable[Move], day: Instant) -> Instant:
    """From when a day's battery is counted: its beginning, or when what stood on then came on."""
    before = [move for move in moves if move.item == BATTERY and move.at < day]
    return before[-1].at if before and before[-1].away else day


def battery_today(state: WalkState, moves: tuple[Move, ...], now: Instant, where: tzinfo) -> Used:
    """On-time and ampere-hours of the local day, whoever walked; see `counted_since`."""
    draws = {n: i.draws for n, i in state.plan.fit.items.items() if i.draws is not None}
    day = midnight(now, where)
    since = counted_since(moves, day)
    return replace(used(moves, draws, since=since, now=now), overnight=since < day)


def battery_words(found: Used, usable: Decimal | None) -> str:
    """The battery as the place strip tells it; empty while it was not on today."""
    if not found.on:
        return ""
    of = f" of {usable:.1f}" if usable is not None else ""
    day = ", over midnight" if found.overnight else " today"
    words = f"BATTERY on {found.minutes} min{day}, about {found.ah:.1f}{of} Ah"
    left = found.minutes_left(usable) if usable is not None else None
    if left is None:
        return words
    return f"{words}; {left} min left if full" if left else f"{words}: off, or external power"


def battery_warning(found: Used, usable: Decimal | None) -> str:
    """What is said once at half, at four fifths and at all of what can be used."""
    return warning(found.ah, usable) if usable is not None and found.seconds else ""


# -- waits -----------------------------------------------------------------------------------------


def wait_over(step: Step, facts: AirframeFacts, put: Instant) -> Instant | None:
    """When the wait of a step is over; None where it has none.

    Counted from when the last item it needs was moved; a step that moves one itself, or needs
    none, from when it was put.
    """
    if not step.wait_s:
        return None
    needed = (facts.line(item) for item in ({} if step.sets else step.must_be or {}))
    since = max((line.since for line in needed if line), default=put)
    return later(since, seconds=step.wait_s)


def with_wait(question: Ask, over: Instant | None, now: Instant, where: tzinfo) -> Ask:
    """The question of a step that waits, with when its wait is over."""
    if over is None:
        return question
    left = seconds_between(now, over)
    clock = moment(over).astimezone(where).strftime("%H:%M:%S")
    said = f"{left} s left, until {clock}." if left > 0 else f"The wait was over at {clock}."
    return _with(question, Block(kind="say", text=said))


def with_duty(question: Ask, state: WalkState, step: Step, now: Instant) -> Ask:
    """The question of a call, with how long to rest the transmitter before it."""
    rest = resting_s(state, step, now)
    if not rest:
        return question
    said = f"Rest the transmitter {rest} s more: keyed at most {DUTY_S} s in any {DUTY_IN_S}."
    return _with(question, Block(kind="say", text=said))


def resting_s(state: WalkState, step: Step, now: Instant) -> int:
    """Seconds to rest the transmitter before a step that keys it; 0 if none, now or later."""
    if step.kind != "transmit":
        return 0
    calls = [g.at for s in state.plan.steps if s.kind == "transmit"
             if (g := state.given.get(s.id)) and g.body.answer in {"OK", "FAULT"}]  # fmt: skip
    return rest_s(calls, now)


def _with(question: Ask, block: Block) -> Ask:
    return replace(question, blocks=(*question.blocks, block))
