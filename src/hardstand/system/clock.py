"""Clocks: the machine's own, and the demo's, which starts at the demo record's last entry."""

from __future__ import annotations

import time
from collections.abc import Callable
from datetime import UTC, datetime, timedelta

from hardstand.domain.quantity import Instant, instant, seconds_between

SLIP_S = 60
"""A clock that moves by more against a steady one is not trusted; whole-job C-17."""

_STEADY = getattr(time, "CLOCK_BOOTTIME", time.CLOCK_MONOTONIC)
"""The clock of the machine that nobody sets, and that goes on while it sleeps."""


def _wall() -> datetime:
    return datetime.now(UTC)  # noqa: TID251  this is the one place that may


def _steady() -> float:
    return time.clock_gettime(_STEADY)


class MachineClock:
    """The time of this machine, watched against its steady clock; see ports.SteadyClock."""

    def __init__(
        self, wall: Callable[[], datetime] = _wall, steady: Callable[[], float] = _steady
    ) -> None:
        """The two clocks are those of the machine, but in tests."""
        self.wall, self._steady = wall, steady
        self._apart, self._slipped = self._difference(), False

    def _difference(self) -> float:
        return self.wall().timestamp() - self._steady()

    def now(self) -> Instant:
        """The present instant."""
        return instant(self.wall())

    def slipped(self) -> int:
        """Seconds it moved against the steady clock since last asked; 0 within a minute."""
        apart = self._difference()
        moved = round(apart - self._apart)
        if abs(moved) <= SLIP_S:
            return 0
        self._apart, self._slipped = apart, True
        return moved

    def has_slipped(self) -> bool:
        """Whether it ever moved so since it was first read."""
        return self._slipped


class CorrectedClock:
    """A clock read by what is known of its error."""

    def __init__(self, clock: MachineClock, wrong_s: int) -> None:
        """`wrong_s` is what it shows too much."""
        self._clock, self._wrong = clock, timedelta(seconds=wrong_s)

    def now(self) -> Instant:
        """The present instant."""
        return instant(self._clock.wall() - self._wrong)


def demo_clock(start: Instant) -> CorrectedClock:
    """A clock that shows `start`, where a demo record ends, and runs on from there."""
    clock = MachineClock()
    return CorrectedClock(clock, seconds_between(start, clock.now()))


class ScriptClock:
    """A clock that stands where a script puts it."""

    def __init__(self, at: Instant) -> None:
        self.at = at

    def now(self) -> Instant:
        """The instant it was last put to."""
        return self.at
