"""When each walk must begin so that its aircraft leaves on time, and the order that makes few late.

Never offers a shorter walk.

Source: computations 4b; whole-job C-14; Moore 1968 (fewest late on one machine), from memory.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import permutations

MARGIN_MIN = 20
"""Minutes from the end of the walk to off-block: acceptance, closing, the way there; ours."""

ENOUGH = 5
"""Finished walks under which their lengths say too little; ours."""

ALL_TRIED = 8
"""Jobs of which every order is tried; ours."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """An aircraft to be walked: how long it takes, and when it must be finished, in minutes."""

    tail: str
    length: int
    due: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """Jobs in the order of work, and the minutes each late one is late by."""

    jobs: tuple[Job, ...]
    late: tuple[tuple[str, int], ...]

    @property
    def worst(self) -> int:
        """Minutes the latest is late; 0 if none is."""
        return max((minutes for _, minutes in self.late), default=0)

    @property
    def total(self) -> int:
        """Minutes late taken together."""
        return sum(minutes for _, minutes in self.late)


@dataclass(frozen=True, slots=True, kw_only=True)
class Length:
    """Minutes to count on for a walk; `least` to `most` is the range of `walks` looked back at."""

    minutes: int
    walks: int = 0
    least: int = 0
    most: int = 0

    def sentence(self) -> str:
        """Where the figure comes from; the range holds the next walk n − 1 times in n + 1."""
        if not self.walks:
            return f"{self.minutes} min as the list says"
        times = round(100 * (self.walks - 1) / (self.walks + 1))
        spread = f"{self.least} to {self.most} min in {self.walks} walks"
        return f"{self.minutes} min ({spread}; {times} % of walks fall in such a range)"


def length_of(past_min: Sequence[int], written_min: int) -> Length:
    """How long a walk takes: four in five past walks were no longer; else what its author wrote.

    Args:
        past_min: minutes of finished walks of that fit, under five are too few.
        written_min: the sum of the minutes of its steps.
    """
    if len(past_min) < ENOUGH:
        return Length(minutes=written_min)
    ordered = sorted(past_min)
    nearest_rank = -(-4 * len(ordered) // 5)
    return Length(
        minutes=ordered[nearest_rank - 1], walks=len(ordered), least=ordered[0], most=ordered[-1]
    )


def due(take_off_min: int, margin_min: int = MARGIN_MIN) -> int:
    """When a walk must be finished, in the minutes the take-off is given in."""
    return take_off_min - margin_min


def start_by(job: Job) -> int:
    """The last minute a walk can begin and still be finished when due."""
    return job.due - job.length


def earliest_first(jobs: Iterable[Job], people: int = 1) -> Order:
    """The order by when each is due, then by tail; whoever is free takes the next."""
    return lined_up(sorted(jobs, key=lambda j: (j.due, j.tail)), people)


def fewest_late(jobs: Iterable[Job], people: int = 1) -> Order:
    """The order with fewest late, then the least worst lateness, least total, then tail order.

    Every order is tried up to `ALL_TRIED` jobs; beyond that the order by due time is bettered by
    changing two at a time, and may not be the best there is.
    """
    by_tail = sorted(jobs, key=lambda j: j.tail)
    if len(by_tail) <= ALL_TRIED:
        return min((lined_up(some, people) for some in permutations(by_tail)), key=_badness)
    best = earliest_first(by_tail, people)
    better = True
    while better:
        changed = min((lined_up(s, people) for s in _swaps(best.jobs)), key=_badness)
        better = _badness(changed)[:3] < _badness(best)[:3]
        best = changed if better else best
    return best


def lined_up(jobs: Sequence[Job], people: int = 1) -> Order:
    """These jobs in this order, each begun by whoever is free first."""
    free = [0] * people
    late = []
    for job in jobs:
        first = free.index(min(free))
        free[first] += job.length
        if free[first] > job.due:
            late.append((job.tail, free[first] - job.due))
    return Order(jobs=tuple(jobs), late=tuple(late))


def trade(best: Order, plain: Order) -> str:
    """The choice to be made between two orders, in one sentence; the lead chooses."""
    if len(best.late) == len(plain.late):
        return f"{_told(best)} in either order." if best.late else "None late."
    return f"{_told(best)}, or {_told(plain)} by take-off time."


def _told(order: Order) -> str:
    if not order.late:
        return "None late"
    each = " and ".join(f"{tail} by {minutes} min" for tail, minutes in order.late)
    return f"{len(order.late)} late ({each})"


def _badness(order: Order) -> tuple[int, int, int, tuple[str, ...]]:
    return len(order.late), order.worst, order.total, tuple(j.tail for j in order.jobs)


def _swaps(jobs: tuple[Job, ...]) -> Iterable[list[Job]]:
    for i in range(len(jobs)):
        for j in range(i + 1, len(jobs)):
            changed = list(jobs)
            changed[i], changed[j] = changed[j], changed[i]
            yield changed
