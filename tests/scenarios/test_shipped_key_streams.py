"""Two thousand streams of random keys against both shipped lists: nothing breaks, nothing is lost.

The streams of one aircraft follow each other, so that every part of a list is come to. The keys
are drawn by seed; no two runs differ.
"""

from __future__ import annotations

import contextlib
import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import pytest

from builders import MORNING, Watch
from hardstand.domain.asking import Ask
from hardstand.domain.bodies import By, StepAnswered
from hardstand.domain.chain import verify
from hardstand.domain.codec import decode
from hardstand.domain.entry import Entry
from hardstand.domain.quantity import later
from hardstand.domain.walk import Plan
from hardstand.errors import Interrupted, NotThere, Refusal
from hardstand.flows.pen import Pen
from hardstand.flows.starting import walk
from human_factors.watched import papers_adopted
from laws import answered, first_unanswered, never_finished_with_something_away
from memory import MemoryJournal
from monkey import NONSENSE
from scenarios.stage import Person, plan_at, step_of

STREAMS = 2000
TAILS = ("QM-107", "QM-161")
"""One with the hand-tuned list, one with the VHF list."""
PARTS = 20
SENSE = 0.6
"""How often the sensible key is pressed; without it no stream comes past the first zones."""
WORDS = ("", "hum", "as said", "loud and clear; weak", "330.5", "1")


@pytest.fixture(scope="module")
def base() -> list[Entry]:
    """The lines of a demo record with the shipped files in it."""
    return list(papers_adopted())


class Cold(Person):
    """Somebody with cold hands: sensible keys, others' keys, and things that are no keys."""

    def __init__(
        self, dice: random.Random, tail: str, plan: tuple[Plan, Mapping[str, str]]
    ) -> None:
        super().__init__(tail, plan, {}, until="", then=())
        self._dice = dice
        self._left = dice.randrange(5, 20)
        self.pressed: dict[str, list[str]] = {}
        self.first_asked = ""
        self._step = ""

    def ask(self, question: Ask) -> str:
        """Whatever is pressed until it is taken."""
        self._step = step_of(question) or self._step
        self.first_asked = self.first_asked or step_of(question)
        reply = super().ask(question)
        self.pressed.setdefault(self._step, []).append(reply)
        return reply

    def _begun(self, question: Ask) -> str:
        if self._left == 0:
            raise Interrupted("gone")
        self._left -= 1
        if self._dice.random() < SENSE:
            return super()._begun(question)
        if question.typed and self._dice.random() < 0.5:
            return self._dice.choice(WORDS)
        keys = [*question.keys, *(str(n + 1) for n in range(len(question.choices)))]
        pressed: str = self._dice.choice([*(keys * 3), self._dice.choice(NONSENSE)])
        return pressed


@dataclass(slots=True)
class Aircraft:
    """One aircraft of a record, sat at again and again; what was written is never lost."""

    base: Sequence[Entry]
    tail: str
    journal: MemoryJournal = field(init=False)
    plan: tuple[Plan, Mapping[str, str]] = field(init=False)

    def __post_init__(self) -> None:
        self.journal = MemoryJournal(lines=self.base)
        found = plan_at(self.pen(0), self.tail)
        assert found is not None
        self.plan = found

    def pen(self, minute: int) -> Pen:
        """A pen some minutes into the morning."""
        clock = Watch(at=later(MORNING, seconds=60 * minute))
        return Pen(journal=self.journal, clock=clock, author="IO")

    def sat_at(self, dice: random.Random, minute: int) -> None:
        """One stream of keys, and every law after it."""
        before = list(self.journal.chains())
        standing = self.journal.facts(self.tail).walks
        person = Cold(dice, self.tail, self.plan)
        with contextlib.suppress(Interrupted, Refusal, NotThere):
            walk(self.pen(minute), person, by=By(doer="IO"))
        lines = list(self.journal.chains())
        assert lines[: len(before)] == before, "an answer was lost"
        never_finished_with_something_away(lines)
        _each_ok_was_pressed(lines[len(before) :], person, self.plan[0])
        if standing and person.first_asked:
            self._never_later(before, standing[0].walk, person.first_asked)

    def _never_later(self, before: Sequence[Entry], name: str, asked: str) -> None:
        plan = self.plan[0]
        first = first_unanswered(plan.checklist, answered(before, name), plan.facts)
        places = [plan.checklist.number(s.id) for s in plan.checklist.steps]
        assert places.index(asked) <= first, "a walk goes on at the same step or an earlier one"


def _each_ok_was_pressed(lines: Sequence[Entry], person: Cold, plan: Plan) -> None:
    for line in lines:
        given = decode(line)
        if not isinstance(given, StepAnswered) or given.answer != "OK":
            continue
        step = plan.checklist.step(given.step)
        if step.kind == "state":
            assert given.state == step.expect
        if given.judged:  # what was heard or read is judged; the last hearing can be the first anew
            continue
        pressed = person.pressed[plan.checklist.number(step.id)]
        assert step.kind in {"state", "count"} or "O" in pressed, (step.id, pressed)
        assert not step.critical or "C" in pressed, (step.id, pressed)


@pytest.mark.parametrize("part", range(PARTS))
@pytest.mark.parametrize("tail", TAILS)
def test_random_keys_break_nothing_and_lose_nothing(
    base: list[Entry], tail: str, part: int
) -> None:
    dice = random.Random(f"{tail} {part}")  # noqa: S311  the same lots each time, no secret
    aircraft = Aircraft(base, tail)
    for n in range(STREAMS // len(TAILS) // PARTS):
        aircraft.sat_at(dice, minute=n * 5)
    assert list(verify(aircraft.journal.chains(), aircraft.journal.heads())) == []
