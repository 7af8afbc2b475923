"""Where a scenario is played: the command line in this process, walks typed line by line."""

from __future__ import annotations

import contextlib
import io
import json
import signal
import sys
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from builders import IO, Watch, opened
from hardstand.cli.front import run
from hardstand.domain import bodies as b
from hardstand.domain.bodies import By
from hardstand.domain.checklist import Step
from hardstand.domain.codec import decode
from hardstand.domain.entry import Entry
from hardstand.domain.quantity import Instant, later
from hardstand.domain.walk import Plan
from hardstand.errors import HardstandError, Interrupted
from hardstand.flows.adopting import lists
from hardstand.flows.demo_week import well
from hardstand.flows.recording import Pen
from hardstand.flows.starting import plan_of, walk
from hardstand.ports import Journal
from scripted import Scripted


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
class Walked:
    """A sitting at an aircraft: what was printed, and what stopped it if anything did."""

    said: str
    asked: tuple[str, ...]
    stopped: HardstandError | None

    @property
    def words(self) -> str:
        """What was printed, as one line: where it wraps is not what a scenario is about."""
        return " ".join(self.said.split())


def walked(
    pen: Pen, typed: Sequence[str], *, planned: str = "", by: By = IO, list_id: str = ""
) -> Walked:
    """Sit down at an aircraft and type these lines; when they are used up, the person is gone."""
    prompter = Scripted(typed)
    stopped: HardstandError | None = None
    try:
        walk(pen, prompter, planned=planned, by=by, list_id=list_id)
    except Interrupted:
        pass
    except HardstandError as error:
        stopped = error
    prompts = tuple(question.prompt for question, _ in prompter.asked)
    return Walked(said=prompter.said, asked=prompts, stopped=stopped)


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


def typed(
    pen: Pen, tail: str, odd: Mapping[str, Sequence[str]] | None = None, *, until: str = ""
) -> list[str]:
    """What a person types to walk an aircraft on its shipped list, well but for the odd steps.

    Args:
        pen: the record, and when it is.
        tail: as painted.
        odd: lines for steps answered otherwise; one that begins with `s` leaves a gap, which is
            offered at the end of its zone and of the walk, and left a gap.
        until: the step to stop before; the whole walk if empty.
    """
    facts, known, other = pen.journal.facts(tail), lists(pen.journal), odd or {}
    fit = facts.fit_on(pen.clock.now()[:10])
    digest = next(d for d, c in known.current.items() if c.fit == fit)
    plan = plan_of(pen, facts, known, digest)
    found = [tail, "c", "c", *("c" for e in facts.open if e.symbol != "/")]
    zone, gap, gaps = "", False, False
    for step in plan.steps:
        if step.zone != zone:
            found += ["c"] * gap
            zone, gap = step.zone, False
        if step.id == until:
            return found
        given = other.get(step.id) or _well(plan, step, facts.serials or {})
        gap |= given[0] == "s"
        gaps |= gap
        found += given
    return [*found, *(["c"] if gaps else []), "c"]


def _well(plan: Plan, step: Step, serials: Mapping[str, str]) -> list[str]:
    value, words = well(plan.fill, step, serials)
    if step.kind == "state":
        return [str(step.states.index(value) + 1)]
    if value != "OK":
        return [value]
    return ["o", words] if step.evidence else ["o"]
