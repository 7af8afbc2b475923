"""What is known of the errors of devices' clocks, and when a line was really made. Light, pure.

Order never comes from a clock: causes have lower ticks. Clocks only date what was done.

Source: whole-job C-17.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from hardstand.domain.quantity import Instant, later, seconds_between

BUILD_YEAR = 2026
"""No clock that is right shows an earlier year than the one this program was made in."""


class Observation(NamedTuple):
    """A device's clock held against a better one at its line `seq`; see bodies ClockObserved."""

    seq: int
    stamped: Instant
    offset_s: int
    jumped_after: int = -1
    put_right: bool = False

    @property
    def after(self) -> int:
        """The error of lines after this one, until the next observation, seconds."""
        return 0 if self.put_right else self.offset_s


Clocks = Mapping[str, tuple[Observation, ...]]
"""Per device, its observations by seq."""


def offset(clocks: Clocks, device: str, seq: int, at: Instant) -> int:
    """Device time minus true time at one of the device's lines, in whole seconds.

    Before the first observation its error is taken; after the last, its error or none if the
    clock was put right. Between two, the line between them, or a step where the clock jumped.
    """
    known = clocks.get(device, ())
    before = [o for o in known if o.seq < seq]
    after = next((o for o in known if o.seq >= seq), None)
    last = before[-1] if before else None
    if after is None:
        return last.after if last else 0
    if after.jumped_after >= 0:
        return (last.after if last else 0) if seq <= after.jumped_after else after.offset_s
    if last is None:
        return after.offset_s
    return _between(last, after, at)


def _between(last: Observation, after: Observation, at: Instant) -> int:
    whole = seconds_between(last.stamped, after.stamped)
    if whole <= 0:
        return after.offset_s
    part = min(max(seconds_between(last.stamped, at), 0), whole)
    return round(last.after + (after.offset_s - last.after) * part / whole)


def corrected_at(clocks: Clocks, device: str, seq: int, at: Instant) -> Instant:
    """When a line was made, by everything known of its device's clock."""
    wrong = offset(clocks, device, seq, at) if clocks else 0
    return later(at, seconds=-wrong) if wrong else at


def is_trusted(now: Instant, newest: Instant | None, grace_s: int) -> bool:
    """Whether a clock may date a judgement: not before what the device holds, nor before us."""
    if now[:4] < str(BUILD_YEAR):
        return False
    return newest is None or now >= newest or seconds_between(now, newest) <= grace_s
