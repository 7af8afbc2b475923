"""A walk sat through by somebody who answers well, with every screen and key of it kept."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from builders import IO, Watch
from hardstand.domain.asking import Ask
from hardstand.domain.bodies import By
from hardstand.domain.checklist import Step
from hardstand.domain.entry import Entry
from hardstand.domain.quantity import Instant
from hardstand.domain.walk import Plan, WalkState
from hardstand.errors import HardstandError, Interrupted
from hardstand.flows.adopting import adopt, begin_record
from hardstand.flows.papers import papers
from hardstand.flows.pen import Pen
from hardstand.flows.starting import walk
from hardstand.system.demo_files import demo_texts
from hardstand.views.walk_screen import lines
from memory import MemoryJournal
from scenarios.stage import Person, plan_at, step_of

DAWN = Instant("2027-03-08T07:50:00Z")
BOTH = ("QM-107", "QM-161")
"""One aircraft with the hand-tuned list, one with the VHF list."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Exchange:
    """A question, the reply that was taken, and how many lines the record had before it."""

    question: Ask
    reply: str
    lines: int

    @property
    def text(self) -> str:
        """The question as a screen reader has it, as one line."""
        said = " ".join([*lines(self.question, 80, drawn=False), self.question.prompt])
        return " ".join(said.split())


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """What came of a sitting."""

    exchanges: tuple[Exchange, ...]
    said: str
    state: WalkState | None
    stopped: HardstandError | None

    @property
    def words(self) -> str:
        """Everything shown, as one line."""
        return " ".join(self.said.split())

    def at(self, text: str) -> Exchange:
        """The first exchange whose question holds a text."""
        return next(x for x in self.exchanges if text in x.text)


@dataclass(frozen=True, slots=True, kw_only=True)
class Whole:
    """A whole walk answered well: whose pen wrote it, its list, what was asked."""

    pen: Pen
    plan: Plan
    seen: Seen


class Watched(Person):
    """A person of the scenarios whose every question and reply is kept."""

    def watch(self, pen: Pen, *, gone: bool) -> None:
        """Begin to keep; `gone` once the last key typed at the last step was taken."""
        self.pen = pen
        self.exchanges: list[Exchange] = []
        self._gone = gone

    def ask(self, question: Ask) -> str:
        """The reply, kept with its question."""
        before = written(self.pen)
        reply = super().ask(question)
        self.exchanges.append(Exchange(question=question, reply=reply, lines=before))
        return reply

    def _begun(self, question: Ask) -> str:
        if self._gone and not self._then:
            raise Interrupted("gone")
        return super()._begun(question)


def watched(
    pen: Pen,
    tail: str,
    odd: Mapping[str, Sequence[str]] | None = None,
    *,
    until: str = "",
    then: Sequence[str] = (),
    by: By = IO,
) -> Seen:
    """Sit down at an aircraft and answer well, but for the odd steps; see `scenarios.stage.sit`.

    Who has typed what is to be typed `then` is gone at once.
    """
    person = Watched(tail, plan_at(pen, tail), dict(odd or {}), until=until, then=then)
    person.watch(pen, gone=bool(then))
    state: WalkState | None = None
    stopped: HardstandError | None = None
    try:
        state = walk(pen, person, by=by)
    except Interrupted:
        pass
    except HardstandError as error:
        stopped = error
    return Seen(
        exchanges=tuple(person.exchanges), said="\n".join(person.said), state=state,
        stopped=stopped,
    )  # fmt: skip


@cache
def papers_adopted() -> tuple[Entry, ...]:
    """The lines of a demo record with the shipped files in it, nobody enrolled."""
    journal = MemoryJournal()
    pen = Pen(journal=journal, clock=Watch(), author="ÅL")
    begin_record(pen, demo=True, program="test")
    adopt(pen, papers(journal, demo_texts()))
    return tuple(journal.chains())


def written(pen: Pen) -> int:
    """How many lines the record has."""
    return sum(head.seq for head in pen.journal.heads().values())


def planned(pen: Pen, tail: str) -> Plan:
    """The list in force for an aircraft."""
    found = plan_at(pen, tail)
    assert found is not None
    return found[0]


def steps(pen: Pen, tail: str) -> tuple[Step, ...]:
    """The steps of the list in force for an aircraft."""
    return planned(pen, tail).steps


def after(plan: Plan, step: Step) -> str:
    """The step after one; empty after the last."""
    place = plan.steps.index(step) + 1
    return plan.steps[place].id if place < len(plan.steps) else ""


def is_step(found: Exchange) -> bool:
    """Whether the question puts a step."""
    return bool(step_of(found.question))


def asked(seen: Seen, number: str) -> Ask:
    """The question that puts the step of that number."""
    return next(x.question for x in seen.exchanges if step_of(x.question) == number)
