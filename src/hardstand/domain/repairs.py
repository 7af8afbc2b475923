"""The least that must be done before a mission can be flown, and what alone keeps it from it.

Something in the way is an open entry, an empty position, a function nobody proved. A repair set
is enough when it is out of the way; a cause is enough to stop the mission by itself. Minimal
repair sets and minimal causes hit each other, which the tests hold them to.

Source: minimal path and cut sets as in NUREG-0492; Reiter 1987 and Berge on hitting sets, from
memory.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from hardstand.domain.capability import (
    GONE,
    InTheWay,
    Levels,
    Structure,
    Wanted,
    answer,
    caps_of,
    has,
)
from hardstand.domain.mission_words import ALWAYS, names

MOST = 4
"""Things taken out of the way together that are thought of; ours."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Repairs:
    """The smallest sets whose clearing gives the mission back, all of one size.

    `sets` holds the empty set where nothing need be done. It is empty where `possible` is False,
    because the set itself lacks what is wanted; or where more than `MOST` must be cleared.
    """

    possible: bool
    sets: tuple[tuple[str, ...], ...] = ()

    def sentence(self) -> str:
        """What may be said of it."""
        if not self.possible:
            return "no repair gives it back: the fit does not have it"
        if not self.sets:
            return f"more than {MOST} must be cleared"
        if self.sets == ((),):
            return "nothing need be cleared"
        return ", or ".join(" with ".join(names) for names in self.sets)


def unproved(names: Iterable[str]) -> tuple[InTheWay, ...]:
    """What nobody proved, as something in the way: taken as GONE until it is."""
    return tuple(InTheWay(name=name, caps={name: GONE}) for name in names)


def repairs(
    structure: Structure,
    wanted: Wanted,
    things: Sequence[InTheWay],
    *,
    kept: Mapping[str, int] | None = None,
    free_of_limits: bool = False,
    most: int = MOST,
) -> Repairs:
    """The smallest sets of things to clear, in the order the things are given.

    Args:
        structure: what is made of what.
        wanted: the mission.
        things: what stands in the way; what is not known goes in as `unproved`.
        kept: caps that stand whatever is cleared.
        free_of_limits: whether it must be CAN, not CAN WITH LIMITS.
        most: the largest set thought of.
    """
    stays = InTheWay(name="", caps=kept or {})

    def enough(cleared: tuple[InTheWay, ...]) -> bool:
        left = caps_of((*(t for t in things if t not in cleared), stays))
        if free_of_limits:
            return answer(structure, wanted, left).word == "CAN"
        return has(Levels(structure, left), wanted)

    if not enough(tuple(things)):
        return Repairs(possible=False)
    found = smallest(touching(structure, wanted, things), enough, most=most)
    return Repairs(possible=True, sets=tuple(tuple(t.name for t in s) for s in found))


def causes(
    structure: Structure, wanted: Wanted, things: Sequence[InTheWay], *, most: int = MOST
) -> tuple[tuple[str, ...], ...]:
    """Every minimal set of things that alone keeps the mission from being flown, smallest first."""

    def stops(present: tuple[InTheWay, ...]) -> bool:
        return not has(Levels(structure, caps_of(present)), wanted)

    found = minimal(touching(structure, wanted, things), stops, most=most)
    return tuple(tuple(t.name for t in s) for s in found)


def touching(
    structure: Structure, wanted: Wanted, things: Iterable[InTheWay]
) -> tuple[InTheWay, ...]:
    """The things that touch anything the mission is made of, at any depth, or is limited by."""
    todo = [*(name for name, _ in wanted.needs), *wanted.limited_by]
    seen: set[str] = set()
    while todo:
        name = todo.pop()
        if name not in seen:
            seen.add(name)
            todo += names(structure.get(name, ALWAYS))
    return tuple(t for t in things if not seen.isdisjoint(t.caps))


def minimal(
    things: Sequence[InTheWay],
    holds: Callable[[tuple[InTheWay, ...]], bool],
    *,
    most: int = MOST,
) -> tuple[tuple[InTheWay, ...], ...]:
    """Every set of up to `most` things for which it holds, and for none of its parts.

    It must hold of every set that holds more, once it holds.
    """
    found: list[tuple[InTheWay, ...]] = []
    for size in range(min(most, len(things)) + 1):
        found += [
            chosen
            for chosen in combinations(things, size)
            if not any(_within(known, chosen) for known in found) and holds(chosen)
        ]
        if () in found:
            break
    return tuple(found)


def smallest(
    things: Sequence[InTheWay],
    holds: Callable[[tuple[InTheWay, ...]], bool],
    *,
    most: int = MOST,
) -> tuple[tuple[InTheWay, ...], ...]:
    """The sets of the smallest size for which it holds, all of that size."""
    for size in range(min(most, len(things)) + 1):
        found = tuple(chosen for chosen in combinations(things, size) if holds(chosen))
        if found:
            return found
    return ()


def _within(part: tuple[InTheWay, ...], whole: tuple[InTheWay, ...]) -> bool:
    return all(thing in whole for thing in part)
