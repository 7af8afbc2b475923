"""What to clear before an airframe can fly a mission; and what one failure more costs.

Pure. What a lead asks beyond the third answer.
"""

from __future__ import annotations

from collections.abc import Iterable

from hardstand.domain.capability import GONE, WEAK, InTheWay, Wanted, answer, caps_of
from hardstand.domain.mission_book import Task
from hardstand.domain.mission_fit import NIGHT, Known
from hardstand.domain.repairs import Repairs, repairs


def to_clear(about: Known, mission: str) -> Repairs:
    """The fewest entries to clear, or holes to fill, before the mission is not CANNOT or BARRED.

    An entry that bars every mission by itself is in every set.
    """
    task = about.book.tasks[mission]
    if task.never:
        return Repairs(possible=False)
    bars = tuple(InTheWay(name=n, caps={_BARRED: GONE}) for n in about.grounded)
    things = _merged((*bars, *(t for t in about.things if t is not NIGHT)))
    wanted = Wanted(needs=((mission, WEAK), (_BARRED, WEAK)))
    return repairs(about.structure, wanted, things)


_BARRED = "@barred"


def one_failure_more(about: Known) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """For each unit that feeds a function, the missions not lost now that its loss would lose.

    The dearest loss first, then in the order of the fit; units that cost nothing are left out.

    Source: MEL practice asks for the consequences of a further failure (whole-job D-02).
    """
    before = {m for m, t in about.book.tasks.items() if not _lost(about, m, t, ())}
    costs = []
    for unit in about.book.units:
        gone = InTheWay(name=unit, caps={unit: GONE})
        lost = tuple(
            m for m, t in about.book.tasks.items() if m in before and _lost(about, m, t, (gone,))
        )
        if lost:
            costs.append((unit, lost))
    return tuple(sorted(costs, key=lambda cost: -len(cost[1])))


def _lost(about: Known, mission: str, task: Task, more: tuple[InTheWay, ...]) -> bool:
    wanted = Wanted(needs=((mission, WEAK),))
    caps = caps_of((*about.things, *more))
    return bool(task.never) or answer(about.structure, wanted, caps).word == "CANNOT"


def _merged(things: Iterable[InTheWay]) -> tuple[InTheWay, ...]:
    """Things of one name as one."""
    caps: dict[str, dict[str, int]] = {}
    for thing in things:
        caps.setdefault(thing.name, {}).update(thing.caps)
    return tuple(InTheWay(name=name, caps=held) for name, held in caps.items())
