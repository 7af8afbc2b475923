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

NEXT = 2**53
"""A place in a chain after every line there is: what is written there is written now."""


class Observation(NamedTuple):
    """A device's clock held against a better one at its line `seq`; see bodies ClockObserved.

    `jumps` are the lines of that device that say its clock moved by itself, each with by how many
    seconds, whenever they were written.
    """

    seq: int
    stamped: Instant
    offset_s: int
    jumped_after: int = -1
    put_right: bool = False
    jumps: tuple[tuple[int, int], ...] = ()

    @property
    def after(self) -> int:
        """The error of lines after this one, until the next observation or jump, seconds."""
        return 0 if self.put_right else self.offset_s

    @property
    def true(self) -> Instant:
        """When the clocks were compared."""
        return later(self.stamped, seconds=-self.offset_s)


Clocks = Mapping[str, tuple[Observation, ...]]
"""Per device, its observations by seq."""


def offset(clocks: Clocks, device: str, seq: int, at: Instant) -> int:
    """Device time minus true time at one of the device's lines, in whole seconds.

    Before the first observation its error is taken; after the last, its error or none if the
    clock was put right. Between two, the line between them, or a step where the clock jumped.
    A jump that the device noted itself is a step of its own size.
    """
    known = clocks.get(device, ())
    last = next((o for o in reversed(known) if o.seq < seq), None)
    after = next((o for o in known if o.seq >= seq), None)
    if after is None:
        return last.after + _moved(last, last.seq, seq) if last else 0
    if after.jumped_after >= 0:
        return (last.after if last else 0) if seq <= after.jumped_after else after.offset_s
    if last is None:
        return after.offset_s - _moved(after, seq, after.seq)
    moved = _moved(after, last.seq, seq)
    return moved + _between(last, after, later(at, seconds=-moved))


def _moved(seen: Observation, above: int, until: int) -> int:
    """By how much the clock moved itself at lines after one and up to another, in seconds."""
    return sum(seconds for seq, seconds in seen.jumps if above < seq <= until)


def _between(last: Observation, after: Observation, at: Instant) -> int:
    """The error on the line between two observations, without what the clock jumped."""
    jumped = _moved(after, last.seq, after.seq)
    ends = after.offset_s - jumped
    whole = seconds_between(last.stamped, after.stamped) - jumped
    if whole <= 0:
        return ends
    part = min(max(seconds_between(last.stamped, at), 0), whole)
    return round(last.after + (ends - last.after) * part / whole)


def corrected_at(clocks: Clocks, device: str, seq: int, at: Instant) -> Instant:
    """When a line was made, by everything known of its device's clock."""
    wrong = offset(clocks, device, seq, at) if clocks else 0
    return later(at, seconds=-wrong) if wrong else at


def newest_of(clocks: Clocks, device: str, most: Instant, last: tuple[int, Instant]) -> Instant:
    """The newest time a device has made a line at.

    Lines up to its last observation were made before it. Where the newest stamp is of one of
    them, the last line of the chain stands for those after it.

    Args:
        clocks: what is known of clocks.
        device: whose lines.
        most: the newest stamp of all its lines.
        last: place and stamp of its last line.
    """
    known = clocks.get(device)
    if not known:
        return most
    seen, (seq, at) = known[-1], last
    stamp = at if seq > seen.seq and most <= seen.stamped else most
    return max(seen.true, corrected_at(clocks, device, seq, stamp))


def is_trusted(now: Instant, newest: Instant | None, grace_s: int) -> bool:
    """Whether a clock may date a judgement: not before what the device holds, nor before us."""
    if now[:4] < str(BUILD_YEAR):
        return False
    return newest is None or now >= newest or seconds_between(now, newest) <= grace_s
