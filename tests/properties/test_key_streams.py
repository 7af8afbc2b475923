"""Two thousand sittings of random keys: no traceback, and the laws of a walk hold after each.

Every walk is sat at twice, so that the second sitting begins where the first was cut off.
"""

from __future__ import annotations

import contextlib
import random

import pytest

from builders import IO, MORNING, TAIL, Watch, begun, checklist
from hardstand.domain.chain import verify
from hardstand.domain.entry import Entry
from hardstand.domain.quantity import later
from hardstand.errors import Interrupted, NotThere, Refusal
from hardstand.flows.pen import Pen
from hardstand.flows.starting import walk
from laws import (
    answered,
    body,
    every_finish_has_its_key,
    every_ok_has_its_key,
    first_unanswered,
    never_finished_with_something_away,
)
from memory import MemoryJournal
from monkey import Monkey

SITTINGS = 2000
PARTS = 20
LIST = checklist()
ORDER = [s.id for s in LIST.steps]


@pytest.fixture(scope="module")
def base() -> list[Entry]:
    """The lines of a record with the tiny papers in it."""
    journal = MemoryJournal()
    begun(journal)
    return list(journal.chains())


def _sit(journal: MemoryJournal, dice: random.Random, hour: int, sense: float) -> Monkey:
    """One sitting; what it knew of the record never changes under it."""
    seen = list(journal.chains())

    def look() -> int:
        now = list(journal.chains())
        assert now[: len(seen)] == seen
        seen[:] = now
        return len(now)

    pen = Pen(journal=journal, clock=Watch(later(MORNING, hours=hour)), author="IO")
    lines = dice.randrange(1, 60)
    monkey = Monkey(dice, lines, sense=sense, checklist=LIST, look=look)
    with contextlib.suppress(Refusal, NotThere, Interrupted):
        walk(pen, monkey, by=IO)
    look()
    return monkey


def _check(journal: MemoryJournal, monkey: Monkey, start: int) -> None:
    lines = list(journal.chains())
    every_ok_has_its_key(monkey.sitting, lines, start)
    every_finish_has_its_key(monkey.sitting, lines, start)
    never_finished_with_something_away(lines)
    assert list(verify(lines, journal.heads())) == []


def _twice(base: list[Entry], seed: int) -> tuple[int, int]:
    """Two sittings by one lot; how many walks they began and how many they finished."""
    dice = random.Random(seed)  # noqa: S311  the same lots each time, no secret
    journal = MemoryJournal(lines=base)
    for hour in (1, 2):
        before = list(journal.chains())
        standing = journal.facts(TAIL).walks
        monkey = _sit(journal, dice, hour, sense=seed % 3 * 0.45)
        _check(journal, monkey, len(before))
        asked = monkey.sitting.steps_asked()
        if standing and asked:
            place = first_unanswered(LIST, answered(before, standing[0].walk), frozenset())
            assert ORDER.index(asked[0]) <= place
    kinds = [e.kind for e in journal.chains()]
    return kinds.count("walk.started"), kinds.count("walk.closed")


@pytest.mark.parametrize("part", range(PARTS))
def test_random_keys_never_end_in_a_traceback_and_never_break_a_law(
    base: list[Entry], part: int
) -> None:
    pairs = SITTINGS // 2 // PARTS
    for seed in range(part * pairs, (part + 1) * pairs):
        _twice(base, seed)


def test_keys_with_some_sense_come_through_whole_walks(base: list[Entry]) -> None:
    dice = random.Random(161)  # noqa: S311  the same lots each time, no secret
    finished = 0
    for _ in range(5):
        journal = MemoryJournal(lines=base)
        for hour in range(1, 8):
            start = len(list(journal.chains()))
            _check(journal, _sit(journal, dice, hour, sense=0.95), start)
        outcomes = [body(e)["outcome"] for e in journal.entries(kind="walk.closed")]
        finished += outcomes.count("finished")
    assert finished >= 5
