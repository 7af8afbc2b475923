"""Ten thousand keys at one aircraft: sense and nonsense by lot, gone and come back, laws held."""

from __future__ import annotations

import contextlib
import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from builders import Watch
from hardstand.domain.asking import Ask
from hardstand.domain.bodies import By, StepAnswered
from hardstand.domain.chain import verify
from hardstand.domain.codec import decode
from hardstand.domain.entry import Entry
from hardstand.domain.walk import Plan
from hardstand.errors import Interrupted, NotThere, Refusal
from hardstand.flows.pen import Pen
from hardstand.flows.starting import walk
from human_factors.watched import DAWN, written
from laws import answered, first_unanswered, never_finished_with_something_away
from memory import MemoryJournal
from monkey import NONSENSE
from scenarios.stage import Person, plan_at, step_of

KEYS = 10_000
LONGEST = 200
"""Keys of one sitting at most; then the person is gone, and comes back."""
PASTED = 60
"""So long a text counts as one key."""
WORDS = ("", "", "hum", "as said", "loud and clear; weak", "330.5", "1", "BT at the wing tip")


@dataclass(slots=True)
class Stream:
    """One aircraft of a record of its own; what came of the keys so far."""

    base: Sequence[Entry]
    tail: str
    seed: int
    keys: int = 0
    sittings: int = 0
    journal: MemoryJournal = field(init=False)

    def __post_init__(self) -> None:
        self.journal = MemoryJournal(lines=self.base)

    def count(self, kind: str, words: bytes = b"") -> int:
        """Lines of a kind that hold those words."""
        return sum(words in entry.body for entry in self.journal.entries(kind=kind))

    def row(self) -> str:
        """What came of it, in one line."""
        ok, closed = self.count("step.answered", b'"OK"'), self.count("walk.closed", b'"finished"')
        return (
            f"{self.tail}, seed {self.seed}: {self.keys} keys, {self.sittings} sittings, "
            f"{self.count('step.answered')} answers, {ok} of them OK, {closed} walks finished"
        )


class Pressing(Person):
    """Somebody who presses by lot: the good key, another that is offered, or what is no key."""

    def __init__(
        self,
        stream: Stream,
        dice: random.Random,
        found: tuple[Plan, Mapping[str, str]],
        sense: float,
    ) -> None:
        super().__init__(stream.tail, found, {}, until="", then=())
        self._stream, self._dice, self._sense = stream, dice, sense
        self._left = dice.randrange(1, LONGEST)
        self.first = ""
        self.asked: list[tuple[int, str, str, Ask]] = []
        """Lines before it, the step put or gone on with, the reply, the question."""

    def ask(self, question: Ask) -> str:
        """Whatever is pressed until it is taken."""
        self.said.clear()
        put = step_of(question)
        self.first = self.first or put
        before = written_in(self._stream)
        reply = super().ask(question)
        last = self.asked[-1][1] if self.asked else ""
        self.asked.append((before, put or last, reply, question))
        return reply

    def _begun(self, question: Ask) -> str:
        if self._left <= 0:
            raise Interrupted("gone")
        pressed = self._pressed(question)
        self._left -= 1
        self._stream.keys += max(1, len(pressed)) if len(pressed) < PASTED else 1
        return pressed

    def _pressed(self, question: Ask) -> str:
        dice = self._dice
        if dice.random() < self._sense:
            if not step_of(question) and question.choices and dice.random() < 0.5:
                return str(dice.randrange(len(question.choices)) + 1)
            return super()._begun(question)
        if question.typed and dice.random() < 0.5:
            return dice.choice(WORDS)
        keys = [*question.keys, *(str(n + 1) for n in range(len(question.choices)))]
        return str(dice.choice([*(keys * 3), dice.choice(NONSENSE)]))


def written_in(stream: Stream) -> int:
    """How many lines a stream's record has."""
    return written(Pen(journal=stream.journal, clock=Watch(), author="IO"))


def pressed(base: Sequence[Entry], tail: str, seed: int, keys: int = KEYS) -> Stream:
    """A stream of so many keys, every law checked after each sitting."""
    dice = random.Random(f"{tail} {seed}")  # noqa: S311  the same lots each time, no secret
    stream = Stream(base=base, tail=tail, seed=seed)
    clock = Watch(at=DAWN, step=2)
    while stream.keys < keys:
        stream.sittings += 1
        _sit(stream, dice, clock)
    lines = list(stream.journal.chains())
    never_finished_with_something_away(lines)
    assert list(verify(lines, stream.journal.heads())) == []
    return stream


def _sit(stream: Stream, dice: random.Random, clock: Watch) -> None:
    pen = Pen(journal=stream.journal, clock=clock, author="IO")
    found = plan_at(pen, stream.tail)
    assert found is not None
    before = list(stream.journal.chains())
    standing = stream.journal.facts(stream.tail).walks
    person = Pressing(stream, dice, found, sense=dice.choice((0.3, 0.7, 0.9, 0.97)))
    with contextlib.suppress(Interrupted, Refusal, NotThere):
        walk(pen, person, by=By(doer="IO"))
    lines = list(stream.journal.chains())
    assert lines[: len(before)] == before, "an answer was lost"
    _each_ok_has_its_key(lines, len(before), person, found[0])
    _each_finish_has_its_key(lines, len(before), person)
    if standing and person.first:
        _never_later(found[0], before, standing[0].walk, person.first)


def _each_ok_has_its_key(lines: Sequence[Entry], start: int, person: Pressing, plan: Plan) -> None:
    for place, line in enumerate(lines[start:], start):
        given = decode(line)
        if not isinstance(given, StepAnswered) or given.answer != "OK":
            continue
        step = plan.checklist.step(given.step)
        number = plan.checklist.number(step.id)
        anew = step.judge and step.kind == "listen"  # the last hearing can be the first anew
        asked = [a for a in person.asked if a[0] <= place]
        replies = [r for _, put, r, _ in asked if put == number or anew]
        if step.kind == "state":
            assert str(step.states.index(given.state) + 1) in replies, (step.id, replies)
            assert given.state == step.expect
        elif not given.judged and step.kind != "count":
            assert "O" in replies, (step.id, replies)
        else:
            assert [r for r in replies if r[:1].isdigit() or r == "O"], (step.id, replies)
        assert not step.critical or "C" in replies, (step.id, replies)
        assert not (step.evidence and not given.judged) or given.evidence.strip()


def _each_finish_has_its_key(lines: Sequence[Entry], start: int, person: Pressing) -> None:
    for place, line in enumerate(lines[start:], start):
        if line.kind == "walk.closed" and b'"finished"' in line.body:
            *_, (_, _, reply, question) = (a for a in person.asked if a[0] <= place)
            assert "FINISHED" in dict(question.words)["C"]
            assert reply == "C"


def _never_later(plan: Plan, before: Sequence[Entry], name: str, first: str) -> None:
    reached = first_unanswered(plan.checklist, answered(before, name), plan.facts)
    places = [plan.checklist.number(s.id) for s in plan.checklist.steps]
    assert places.index(first) <= reached, "a walk goes on at the same step or an earlier one"
