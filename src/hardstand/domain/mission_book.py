"""The missions of a fit ready to be judged: trees in place of words, bindings handed on.

Light to import: a hot read finds the book in the record's kept facts and reads no words.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import TYPE_CHECKING, Any, NamedTuple

from hardstand.domain.plain import from_plain

if TYPE_CHECKING:
    from hardstand.domain.capability import Structure
    from hardstand.domain.checklist import Fit, Mission
    from hardstand.domain.facts import RecordFacts

DAYLIGHT = "@daylight"
"""Stands in a tree for the sun being up; no function can have this name."""


class Task(NamedTuple):
    """One mission: its tree (see mission_words.Needs, or the lists JSON makes of it) and bounds.

    `asks` counts the functions it is made of; `limits` always stand; `never` is why the fit
    cannot, empty where it can.
    """

    needs: Any
    asks: int
    limited_by: tuple[str, ...] = ()
    limits: tuple[str, ...] = ()
    never: str = ""


class FitBook(NamedTuple):
    """What is needed of a fit to say what it can do: its missions, those that ask least first.

    `draws` are amperes by item while it is away from home.
    """

    fed_by: Mapping[str, tuple[str, ...]]
    tasks: Mapping[str, Task]
    units: tuple[str, ...] = ()
    draws: Mapping[str, Decimal] | None = None

    def structure(self) -> Structure:
        """What is made of what: functions of all their units, missions of their trees."""
        functions: dict[str, Any] = {n: (len(u), u) for n, u in self.fed_by.items()}
        return functions | {name: task.needs for name, task in self.tasks.items()}

    def functions_of(self, mission: str) -> tuple[str, ...]:
        """The functions a mission is made of, however deep, in the order of the fit."""
        seen: set[str] = set()
        todo = [mission]
        while todo:
            name = todo.pop()
            if name not in seen:
                seen.add(name)
                if name in self.tasks:
                    todo += _named(self.tasks[name].needs)
        return tuple(name for name in self.fed_by if name in seen)


def book_in(record: RecordFacts, fit: str) -> FitBook | None:
    """The missions of a fit as the record keeps them; None where it holds no such fit."""
    tree = (record.books or {}).get(fit)
    return from_plain(FitBook, tree) if tree else None


def book_of(fit: Fit) -> FitBook:
    """The missions of a fit that was found good.

    A mission that needs another takes over its limits, what limits it, and that it is by day; it
    is never flown where no way through its needs is left.
    """
    missions = fit.missions or {}
    trees = {name: _tree(mission) for name, mission in missions.items()}
    bare = FitBook(
        fed_by={name: function.fed_by for name, function in fit.functions.items()},
        tasks={name: Task(needs=tree, asks=0) for name, tree in trees.items()},
    )
    tasks = {name: _task(name, bare, missions) for name in missions}
    by_asking = sorted(tasks, key=lambda name: (tasks[name].asks, name))
    return bare._replace(
        tasks={name: tasks[name] for name in by_asking},
        units=tuple(fit.units),
        draws={name: item.draws for name, item in fit.items.items() if item.draws},
    )


def _tree(mission: Mission) -> Any:
    from hardstand.domain import mission_words as words  # noqa: PLC0415  hot reads have their trees

    if mission.never:
        return words.NEVER
    tree = words.needs(mission.needs) if mission.needs else words.ALWAYS
    if isinstance(tree, words.Unreadable):
        raise ValueError(f"the needs {mission.needs!r} were not checked: {tree.why}")
    return words.all_of((tree, DAYLIGHT)) if mission.by_day else tree


def _task(name: str, bare: FitBook, missions: Mapping[str, Mission]) -> Task:
    from hardstand.domain.capability import GONE, Levels  # noqa: PLC0415  only adopting sums up

    with_it = _missions_within(name, bare)
    never = ""
    if Levels(bare.structure(), {}).of(name) == GONE:
        reasons = ((m, missions[m].never) for m in with_it if missions[m].never)
        never = "; ".join(why if m == name else f"{m}: {why}" for m, why in reasons)
    return Task(
        needs=_pairs(bare.tasks[name].needs),
        asks=len(bare.functions_of(name)),
        limited_by=_union(missions[m].limited_by for m in with_it),
        limits=_union(missions[m].with_limits for m in with_it),
        never=never,
    )


def _missions_within(name: str, bare: FitBook) -> tuple[str, ...]:
    """The mission itself and every one it needs, however deep."""
    found: dict[str, None] = {}
    todo = [name]
    while todo:
        one = todo.pop(0)
        if one in bare.tasks and one not in found:
            found[one] = None
            todo += _named(bare.tasks[one].needs)
    return tuple(found)


def _named(tree: Any) -> list[str]:
    if isinstance(tree, str):
        return [tree]
    _, parts = tree
    return [name for part in parts for name in _named(part)]


def _pairs(tree: Any) -> Any:
    """A tree as the lists that JSON makes of it."""
    if isinstance(tree, str):
        return tree
    k, parts = tree
    return [k, [_pairs(part) for part in parts]]


def _union(several: Any) -> tuple[str, ...]:
    return tuple(dict.fromkeys(one for some in several for one in some))
