"""Where a scenario is played: the command line in this process, walks typed line by line."""

from __future__ import annotations

import contextlib
import io
import json
import re
import signal
import sys
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from builders import GOOD, IO, Watch, opened
from hardstand.cli.front import run
from hardstand.domain import bodies as b
from hardstand.domain.asking import Ask
from hardstand.domain.bodies import By
from hardstand.domain.checklist import Step
from hardstand.domain.codec import decode
from hardstand.domain.entry import Entry
from hardstand.domain.ids import find_tail
from hardstand.domain.quantity import Instant, later
from hardstand.domain.walk import Plan
from hardstand.errors import HardstandError, Interrupted
from hardstand.flows.adopting import lists
from hardstand.flows.demo_answers import well
from hardstand.flows.giving import is_call, picks
from hardstand.flows.pen import Pen
from hardstand.flows.pinned import plan_of
from hardstand.flows.starting import walk
from hardstand.ports import Journal
from hardstand.views.replies import not_taken, understood
from hardstand.views.walk_screen import lines as screen

TOO_LONG = 5000
"""Lines shown in one sitting; the longest walk shows a quarter of that."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What a command gave back."""

    status: int
    out: str
    err: str

    @property
    def tree(self) -> Any:
        """The JSON it printed."""
        return json.loads(self.out)


def hardstand(record: Path | None, *words: str, typed: Sequence[str] = ()) -> Told:
    """Run one command line in this process, as its entrance does.

    Args:
        record: goes before the verb as `--record`.
        words: the verb and what stands after it.
        typed: lines on standard input.
    """
    before = [] if record is None else ["--record", str(record)]
    out, err = io.StringIO(), io.StringIO()
    kept = signal.getsignal(signal.SIGINT)
    stdin, sys.stdin = sys.stdin, io.StringIO("".join(f"{line}\n" for line in typed))
    try:
        with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
            status = run([*before, *words])
    finally:
        sys.stdin = stdin
        signal.signal(signal.SIGINT, kept)
    return Told(status=status, out=out.getvalue(), err=err.getvalue())


@dataclass(frozen=True, slots=True, kw_only=True)
class Sat:
    """A sitting at an aircraft: what was shown, and what stopped it if anything did."""

    said: str
    stopped: HardstandError | None

    @property
    def words(self) -> str:
        """What was shown, as one line: where it wraps is not what a scenario is about."""
        return " ".join(self.said.split())


def sit(
    pen: Pen,
    tail: str,
    odd: Mapping[str, Sequence[str]] | None = None,
    *,
    until: str = "",
    then: Sequence[str] = (),
    planned: str = "",
    by: By = IO,
) -> Sat:
    """Sit down at an aircraft and answer all steps well, but for the odd ones.

    Args:
        pen: the record, and when it is.
        tail: as read from the aircraft.
        odd: what is typed from a step on, instead.
        until: the step at which the person is gone; the whole walk if empty.
        then: what is typed at that step before the person is gone.
        planned: the tail planned.
        by: whose hands.
    """
    person = Person(tail, plan_at(pen, tail), dict(odd or {}), until=until, then=then)
    stopped: HardstandError | None = None
    try:
        walk(pen, person, planned=planned, by=by)
    except Interrupted:
        pass
    except HardstandError as error:
        stopped = error
    return Sat(said="\n".join(person.said), stopped=stopped)


class Person:
    """Somebody at an aircraft who answers well, and otherwise where told to."""

    def __init__(
        self,
        tail: str,
        plan: tuple[Plan, Mapping[str, str]] | None,
        odd: dict[str, Sequence[str]],
        *,
        until: str,
        then: Sequence[str],
    ) -> None:
        self.said: list[str] = []
        self._tail = tail
        self._plan = plan
        self._odd = odd
        self._until = until
        self._then = list(then)
        self._typed: list[str] = []

    def show(self, text: str) -> None:
        """Take note of words that ask nothing."""
        self.said.append(text)

    def ask(self, question: Ask) -> str:
        """Read the question, type until something is taken.

        Raises:
            Interrupted: this is where the person is gone.
        """
        assert len(self.said) < TOO_LONG, f"asked in circles: {question.prompt}"
        self.said += [*screen(question, 80, drawn=False), question.prompt]
        while True:
            text = self._typed.pop(0) if self._typed else self._begun(question)
            reply = understood(question, text)
            if reply is not None:
                return reply
            self.said.append(not_taken(question, text))

    def _begun(self, question: Ask) -> str:
        number = step_of(question)
        if not number or self._plan is None:
            return _courtesy(question, self._tail)
        plan, serials = self._plan
        step = next(s for s in plan.steps if plan.checklist.number(s.id) == number)
        if step.id == self._until and not self._then:
            raise Interrupted("gone")
        if step.id == self._until:
            self._typed, self._then = self._then, []
        else:
            given = self._odd.pop(step.id, ()) or _well(plan, step, serials)
            self._typed = list(given)
        return self._typed.pop(0)


def step_of(question: Ask) -> str:
    """The number of the step a question puts; empty if it puts none."""
    if "F" not in question.keys:
        return ""
    found = (re.match(r"(\d+\.\d+)  ", x.text) for x in question.blocks if x.kind == "do")
    return next((match[1] for match in found if match), "")


def _courtesy(question: Ask, tail: str) -> str:
    """What is typed where no step is put: yes to what is read, nothing moved since."""
    if question.typed == "text":
        return tail if "tail" in question.prompt else ""
    if "C" in question.keys:
        return "c"
    text = " ".join(x.text for x in question.blocks)
    values = [choice.partition(":")[0] for choice in question.choices]
    as_recorded = [n for n, v in enumerate(values, 1) if f"recorded {v} " in text]
    return str(as_recorded[0]) if as_recorded else "1"


def pen_at(path: Path, at: str, *, device: str = "", author: str = "IO", step: int = 1) -> Pen:
    """A pen on a record whose clock stands at a local time of the demo week and runs on.

    Args:
        path: the record.
        at: `2027-03-08T04:35-03:00`.
        device: whose chain; the record's own if empty.
        author: initials.
        step: seconds the clock moves on each time it is read.
    """
    from hardstand.cli.session import instant

    found = instant(at)
    assert found is not None
    return Pen(journal=opened(path, device), clock=Watch(at=found, step=step), author=author)


def moved_on(pen: Pen, *, minutes: int) -> None:
    """Let time pass at a pen's clock."""
    assert isinstance(pen.clock, Watch)
    pen.clock.at = later(pen.clock.at, seconds=60 * minutes)


def entries(journal: Journal, kind: str = "", *, airframe: str = "") -> list[Entry]:
    """The lines of a kind, in order."""
    return list(journal.entries(kind=kind, airframe=airframe))


def bodies(journal: Journal, kind: str, *, airframe: str = "") -> list[Any]:
    """What the lines of a kind say, in order."""
    return [decode(entry) for entry in journal.entries(kind=kind, airframe=airframe)]


def answers(journal: Journal, tail: str) -> list[tuple[str, str, str]]:
    """Each answer ever given at an airframe: step, answer, whose hands."""
    found = bodies(journal, "step.answered", airframe=tail)
    return [(a.step, a.answer, a.by.doer) for a in found if isinstance(a, b.StepAnswered)]


def answer_of(journal: Journal, tail: str, step: str) -> b.StepAnswered:
    """The last answer given to a step at an airframe."""
    found = bodies(journal, "step.answered", airframe=tail)
    return [a for a in found if isinstance(a, b.StepAnswered) and a.step == step][-1]


def newest(journal: Journal) -> Instant:
    """The time of the newest line."""
    return max(entry.at for entry in journal.chains())


def lines_of(text: str, *having: str) -> Iterator[str]:
    """The lines of a text that hold all these words."""
    return (line for line in text.splitlines() if all(word in line for word in having))


def plan_at(pen: Pen, typed: str) -> tuple[Plan, Mapping[str, str]] | None:
    """The list in force for an airframe, and the serials in it; None if there is neither."""
    known = lists(pen.journal)
    tail = find_tail(typed, pen.journal.record().tails)
    if tail is None:
        return None
    facts = pen.journal.facts(tail)
    fit = facts.fit_on(pen.clock.now()[:10])
    digest = next((d for d, c in known.current.items() if c.fit == fit), "")
    return (plan_of(pen, facts, known, digest), facts.serials or {}) if digest else None


def _well(plan: Plan, step: Step, serials: Mapping[str, str]) -> Sequence[str]:
    if plan.fit.id == "T" and step.id in GOOD:
        return GOOD[step.id]
    value, words = well(plan.fill, step, serials)
    if is_call(step):
        station, _, heard = words.partition(": ")
        if value == "OK":  # the station gave no digit; its words were good
            return ["1", "6", station, heard, "o"]
        return ["1", value, station, heard]
    if picks(step):
        return [str(picks(step).index(value) + 1)]
    if value != "OK":
        return value.split() if step.kind == "reading" else [value]
    return ["o", words] if step.evidence else ["o"]
