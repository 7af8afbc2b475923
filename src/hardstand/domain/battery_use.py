"""How long the battery of an aircraft has carried its set, and how much that drew. Pure.

Counted from the moves of the put-back ledger, so across walks and people. External power stops the
drain and not the on-time. What was in the battery is not known: what is left holds if it was full.

Source: whole-job M-12, C-12; computations 7.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_FLOOR, Decimal
from typing import NamedTuple

from hardstand.domain.quantity import Instant, seconds_between

BATTERY = "battery"
EXTERNAL = "external_power"
"""Ids of the items of a fit that stand for the two sources."""

KEYED_S = 10
"""How long a call keys the set at most; a longer one is none of a test. whole-job C-6."""
DUTY_S, DUTY_IN_S = 60, 300
"""Keyed at most so long in so long, where the manual says nothing nearer; computations 7, ours."""


class Move(NamedTuple):
    """An item was moved: when, and whether it then stood away from home."""

    at: Instant
    item: str
    away: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Used:
    """On-time and ampere-hours from a moment on; `amperes` are drawn now.

    `on` says whether the battery was on at all, be it for less than a second; `overnight` that it
    has been since before the local day began.
    """

    on: bool = False
    seconds: int = 0
    ah: Decimal = Decimal(0)
    amperes: Decimal = Decimal(0)
    overnight: bool = False

    @property
    def minutes(self) -> int:
        """Whole minutes the battery was on."""
        return self.seconds // 60

    def minutes_left(self, usable: Decimal) -> int | None:
        """Whole minutes at the present load, rounded down; None while nothing is drawn."""
        if not self.amperes:
            return None
        left = max(usable - self.ah, Decimal(0)) * 60 / self.amperes
        return int(left.to_integral_value(rounding=ROUND_FLOOR))


def used(
    moves: Iterable[Move], draws: Mapping[str, Decimal], *, since: Instant, now: Instant
) -> Used:
    """What the battery gave from `since` to `now`.

    Args:
        moves: every move of the items, oldest first; those before `since` say what stood then.
        draws: load in amperes of each item while it is away from home.
        since: from when on.
        now: until when.
    """
    away = set[str]()
    on, seconds, ah, at = False, 0, Decimal(0), since
    for move in (*moves, Move(now, "", False)):
        until = max(min(move.at, now), at)
        span = seconds_between(at, until)
        if BATTERY in away:
            on = on or move.at > since
            seconds += span
            ah += _load(away, draws) * span / 3600
        at = until
        (away.add if move.away else away.discard)(move.item)
    load = _load(away, draws) if BATTERY in away else Decimal(0)
    return Used(on=on, seconds=seconds, ah=ah, amperes=load)


def _load(away: Iterable[str], draws: Mapping[str, Decimal]) -> Decimal:
    names = set(away)
    if EXTERNAL in names:
        return Decimal(0)
    return sum((draws[n] for n in sorted(names) if n in draws), Decimal(0))


def keyed(spans: Sequence[tuple[int, int]], window: int) -> int:
    """The most seconds keyed in any window of so many seconds.

    The largest is reached in a window that begins where a span begins or ends where one ends.

    Args:
        spans: beginning and end of each keying, in seconds, apart from each other.
        window: its length.
    """
    starts = [a for a, _ in spans] + [b - window for _, b in spans]
    return max(
        (sum(max(0, min(b, s + window) - max(a, s)) for a, b in spans) for s in starts), default=0
    )


def rest_s(calls: Sequence[Instant], now: Instant) -> int:
    """Seconds to wait before the next call keeps the duty; 0 if it keeps it now.

    Args:
        calls: when each call was answered, so keyed at most KEYED_S before.
        now: when it would begin.
    """
    ago = [-seconds_between(at, now) for at in calls if seconds_between(at, now) < DUTY_IN_S]
    spans = [(end - KEYED_S, end) for end in ago]
    for wait in range(DUTY_IN_S):
        within = [s for s in spans if s[1] > wait + KEYED_S - DUTY_IN_S]
        if keyed([*within, (wait, wait + KEYED_S)], DUTY_IN_S) <= DUTY_S:
            return wait
    return DUTY_IN_S
