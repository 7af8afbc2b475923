"""What is made ready while a step is read is what would be asked and written without it.

A walk made ready is held to the same walk asked step by step: the same keys at the same seconds.
"""

from __future__ import annotations

import contextlib
import random
import shutil
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TypeVar

import pytest

from builders import IO, MORNING, TAIL, begun, checklist, step
from hardstand.domain import bodies as b
from hardstand.domain.asking import Ask
from hardstand.domain.checklist import Step, Zone
from hardstand.domain.defects import Report, raised
from hardstand.domain.holding import ANTENNA
from hardstand.domain.quantity import later
from hardstand.domain.walk import begin
from hardstand.errors import Interrupted, NotThere, Refusal
from hardstand.flows.pen import Pen
from hardstand.flows.recording import record
from hardstand.flows.seat import Ahead
from hardstand.flows.starting import walk
from hardstand.store.journal import SqlJournal, create
from hardstand.system.clock import ScriptClock
from human_factors.watched import papers_adopted
from memory import MemoryJournal
from scenarios.stage import Person, plan_at, step_of
from scripted import Scripted

TAILS = ("QM-107", "QM-161")
"""One with the hand-tuned list, one with the VHF list."""
PAUSES = (2, 2, 2, 3, 5, 9, 20, 45, 61, 130, 700)
"""Seconds before a key: within the minute, over it, over the idle time, over a gate's ten."""


class Reader(Person):
    """Somebody who mostly presses the sensible key, by lot another one, each after a while."""

    def __init__(self, dice: random.Random, tail: str, pen: Pen, path: Path) -> None:
        super().__init__(tail, plan_at(pen, tail), {}, until="", then=())
        self._dice, self._pen, self._path = dice, pen, path
        self.asked: list[Ask] = []
        self.left = 90

    def ask(self, question: Ask) -> str:
        """A key after some seconds; gone after so many questions."""
        self.asked.append(question)
        self.left -= 1
        if not self.left:
            raise Interrupted("gone")
        clock = self._pen.clock
        assert isinstance(clock, ScriptClock)
        clock.at = later(clock.at, seconds=self._dice.choice(PAUSES))
        if self._dice.random() < 0.05:
            self._another_raises()
        return super().ask(question)

    def _another_raises(self) -> None:
        """Somebody on another device finds something on the aircraft, before the key is pressed."""
        journal = SqlJournal(self._path, "B")
        found = Report(symbol="-", text="lens scratched", noticed="look")
        other = Pen(journal=journal, clock=self._pen.clock, author="BT")
        by = b.By(doer="BT")
        record(other, self._tail, lambda facts: (raised(facts, found, device="B", by=by),))
        journal.close()

    def _begun(self, question: Ask) -> str:
        if self._dice.random() < 0.9:
            return super()._begun(question)
        pressed: str = self._dice.choice([*question.keys, "o", "s", "z", "f", "m", "e", "1", "2"])
        return pressed


class Forehanded(Reader):
    """The same, who lets the next question be made ready before the key is pressed."""

    def __init__(self, dice: random.Random, tail: str, pen: Pen, path: Path) -> None:
        super().__init__(dice, tail, pen, path)
        self.foreseen: list[tuple[int, Ask]] = []
        self._likely: Callable[[], Ask | None] | None = None

    def ahead(self, likely: Callable[[], Ask | None]) -> None:
        """Take what makes the next question."""
        self._likely = likely

    def ask(self, question: Ask) -> str:
        """Make it, then answer."""
        likely, self._likely = self._likely, None
        ready = likely() if likely is not None else None
        if ready is not None:
            self.foreseen.append((len(self.asked) + 1, ready))
        return super().ask(question)

    @property
    def came_true(self) -> int:
        """How many questions came as they had been made ready."""
        return sum(n < len(self.asked) and self.asked[n] == q for n, q in self.foreseen)


R = TypeVar("R", bound=Reader)


@pytest.fixture(scope="module")
def base(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A demo record with the shipped files in it."""
    path = tmp_path_factory.mktemp("base") / "record.db"
    create(path, "A")
    journal = SqlJournal(path)
    with journal.write() as writing:
        writing.append(papers_adopted())
    journal.close()
    return path


def sat(kind: type[R], path: Path, tail: str, seed: str) -> tuple[list[R], list[object]]:
    """Three sittings at an aircraft by lot, and every line of the record."""
    dice = random.Random(seed)  # noqa: S311  lots, no secret
    journal = SqlJournal(path)
    own = Pen(journal=journal, clock=ScriptClock(MORNING), author="IO")
    sittings = [kind(dice, tail, own, path) for _ in range(3)]
    for reader in sittings:
        with contextlib.suppress(Interrupted, Refusal, NotThere):
            walk(own, reader, by=IO)
    found: list[object] = list(journal.chains())
    journal.close()
    return sittings, found


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("tail", TAILS)
def test_a_walk_made_ready_is_the_walk_asked_step_by_step(
    base: Path, tmp_path: Path, tail: str, seed: int
) -> None:
    one, other = tmp_path / "one.db", tmp_path / "other.db"
    shutil.copyfile(base, one)
    shutil.copyfile(base, other)
    plain, lines = sat(Reader, one, tail, f"{tail} {seed}")
    ready, same = sat(Forehanded, other, tail, f"{tail} {seed}")
    assert [r.asked for r in ready] == [r.asked for r in plain]
    assert [r.said for r in ready] == [r.said for r in plain]
    assert same == lines
    assert sum(r.came_true for r in ready), "nothing was made ready, so nothing was held to it"


# -- when it is made, and when not -----------------------------------------------------------------


class Looking(Scripted):
    """Answers from a list; `ready` are the steps at which the next question was made."""

    def __init__(self, typed: Sequence[str]) -> None:
        super().__init__(typed)
        self.ready: list[str] = []
        self._step = ""

    def ahead(self, likely: Callable[[], Ask | None]) -> None:
        """Make it when the next question is put."""
        super().ahead(lambda: self._noted(likely()))

    def _noted(self, made: Ask | None) -> Ask | None:
        if made is not None:
            self.ready.append(self._step)
        return made

    def ask(self, question: Ask) -> str:
        """The next typed line."""
        self._step = step_of(question)
        return super().ask(question)


A, B, C = step("a", "bay"), step("b", "bay"), step("c", "bay")


def ready(*listed: Step, typed: Sequence[str] = "oo", zones: Sequence[str] = ()) -> list[str]:
    """The steps at which the next one was made ready, in a walk of those steps."""
    names = zones or ("bay", "test")
    own = checklist(listed=listed, zones=tuple(Zone(id=n, title=f"zone {n}") for n in names))
    prompter = Looking([TAIL, "c", "c", *typed])
    with contextlib.suppress(Interrupted):
        walk(begun(MemoryJournal(), listed=own), prompter, by=IO)
    return prompter.ready


def test_the_next_step_of_a_zone_is_made_ready() -> None:
    assert ready(A, B, C, step("d", "test")) == ["1.01", "1.02"]


@pytest.mark.parametrize(
    "following",
    [
        step("b", "test"),
        step("b", "bay", wait_s=30),
        step("b", "bay", "transmit", evidence="who answered"),
        step("b", "bay", must_be={"panel": "OPEN"}),
    ],
    ids=["another zone", "a wait runs", "keying runs", "something is not as it must be"],
)
def test_nothing_is_made_ready_where_more_is_asked_or_told_before(following: Step) -> None:
    assert ready(A, following, C)[:1] != ["1.01"]


@pytest.mark.parametrize(
    "own",
    [
        replace(A, critical=True),
        replace(A, wait_s=30),
        replace(A, evidence="who is near"),
        replace(A, sets={"panel": "OPEN"}),
        step("a", "bay", "state", states=("OFF", "ON"), expect="OFF"),
    ],
    ids=["confirmed", "waited for", "told in words", "moves something", "a position is given"],
)
def test_nothing_is_made_ready_where_ok_is_more_than_its_key(own: Step) -> None:
    assert ready(own, B, C)[:1] != ["1.01"]


def test_a_step_that_puts_home_is_asked_after_the_last_chance_only() -> None:
    opened, shut = replace(A, sets={"panel": "OPEN"}), replace(C, sets={"panel": "SHUT"})
    looked = step("d", "bay", must_be={"panel": "OPEN"})
    assert ready(opened, looked, B, shut, typed="ooo") == ["1.02", "1.03"]
    assert ready(opened, looked, B, shut, typed="os1o") == ["1.02"]


def test_nothing_is_made_ready_beside_what_is_held() -> None:
    held = step("h", "bay", "listen", beside=("bay",))
    assert ready(held, A, B, C, typed="eo") == ["1.01"]


def test_at_the_antenna_another_walk_of_the_aircraft_is_looked_at_first() -> None:
    own = checklist(
        listed=(step("a", ANTENNA), step("b", ANTENNA)), zones=(Zone(id=ANTENNA, title="antenna"),)
    )
    journal = MemoryJournal()
    here = begun(journal, listed=own)
    alone, beside = Looking([TAIL, "c", "c", "o"]), Looking([TAIL, "c", "c", "c", "o"])
    with contextlib.suppress(Interrupted):
        walk(here, alone, by=IO)
    journal.device = "B"
    with contextlib.suppress(Interrupted):
        walk(here, beside, by=b.By(doer="BT"))
    assert "IO walks this aircraft too" in beside.said
    assert "1.02" in beside.said.rsplit("NEXT", 1)[-1], "the second step is put in both"
    assert (alone.ready, beside.ready) == (["1.01"], [])


def test_it_is_good_for_the_state_and_facts_it_was_made_of() -> None:
    pen = begun(MemoryJournal(), listed=checklist(listed=(A, B)))
    facts = pen.journal.facts(TAIL)
    plan, _ = plan_at(pen, TAIL) or pytest.fail("no list")
    state = begin(plan, walk="A1", airframe=TAIL, items={})
    made = Ahead(
        state=state, facts=facts, at=MORNING, step=B, question=Ask(blocks=()),
        answered=b.StepAnswered(step="a", answer="OK", by=IO),
    )  # fmt: skip
    assert made.is_of(state, facts, A)
    assert not made.is_of(state, facts, B)
    assert not made.is_of(replace(state), facts, A)
    assert not made.is_of(state, facts._replace(), A)
