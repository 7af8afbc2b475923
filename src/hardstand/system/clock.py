"""Clocks: the machine's own, and the demo's, which starts at the demo record's last entry."""

from __future__ import annotations

from datetime import UTC, datetime

from hardstand.domain.quantity import Instant, instant


class MachineClock:
    """The time of this machine."""

    def now(self) -> Instant:
        """The present instant."""
        return instant(datetime.now(UTC))  # noqa: TID251  this is the one place that may


class DemoClock:
    """A clock that starts where a demo record ends and runs on from there."""

    def __init__(self, start: Instant) -> None:
        self._start = start
        self._opened = MachineClock().now()

    def now(self) -> Instant:
        """The demo's instant: its start, and as long as the program has been running."""
        from hardstand.domain.quantity import later, seconds_between  # noqa: PLC0415

        return later(self._start, seconds=seconds_between(self._opened, MachineClock().now()))


class ScriptClock:
    """A clock that stands where a script puts it."""

    def __init__(self, at: Instant) -> None:
        self.at = at

    def now(self) -> Instant:
        """The instant it was last put to."""
        return self.at
