"""What is looked ahead to while a step is read is what is asked and written without it.

A walk with foresight is held to the same walk without: the same keys at the same seconds.
"""

from __future__ import annotations

import contextlib
import random
import shutil
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import TypeVar

import pytest

from builders import IO, MORNING, TAIL, begun, checklist, step
from hardstand.domain import bodies as b
from hardstand.domain.asking import Ask
from hardstand.domain.checklist import Bounds, Step
from hardstand.domain.defects import Report, raised
from hardstand.domain.entry import Entry
from hardstand.domain.quantity import later
from hardstand.errors import Damaged, Interrupted, NotThere, Refusal
from hardstand.flows.foresight import WORDS, Unwritten
from hardstand.flows.pen import Pen
from hardstand.flows.recording import record
from hardstand.flows.starting import practise, walk
from hardstand.ports import Journal
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
        self.shown: list[tuple[int, Ask]] = []
        self._likely: Callable[[], Ask | None] | None = None

    def ahead(self, likely: Callable[[], Ask | None]) -> None:
        """Take what makes the next question."""
        self._likely = likely

    def at_once(self) -> None:
        """Take note of what is shown before it is put."""
        self.shown.append((len(self.asked), self.foreseen[-1][1]))

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
def test_a_walk_with_foresight_is_the_walk_without(
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
    for reader in ready:
        wrong = [n for n, shown in reader.shown if reader.asked[n:] and reader.asked[n] != shown]
        assert wrong == [], "another question was shown than was put"
    assert sum(len(r.shown) for r in ready), "nothing was foreseen, so nothing was held to it"


# -- what is foreseen, and what is not -------------------------------------------------------------


class Looking(Scripted):
    """Answers from a list; knows at which steps what follows was found, and was shown early.

    `steps` are those that were put. `lines` are how many lines the record had as each was looked
    for, and after.
    """

    def __init__(self, typed: Sequence[str], journal: Journal | None = None) -> None:
        super().__init__(typed)
        self.found: list[str] = []
        self.shown: list[str] = []
        self.lines: list[tuple[int, int]] = []
        self._journal = journal
        self.steps: list[str] = []

    def ahead(self, likely: Callable[[], Ask | None]) -> None:
        """Look for it when the next question is put."""
        super().ahead(lambda: self._noted(likely))

    def _noted(self, likely: Callable[[], Ask | None]) -> Ask | None:
        before = self._written()
        made = likely()
        self.lines.append((before, self._written()))
        if made is not None and self.steps:
            self.found.append(self.steps[-1])
        return made

    def _written(self) -> int:
        return len(list(self._journal.chains())) if self._journal is not None else 0

    def at_once(self) -> None:
        """What was looked for came."""
        if self.steps:
            self.shown.append(self.steps[-1])
        super().at_once()

    def ask(self, question: Ask) -> str:
        """The next typed line."""
        number = step_of(question)
        if number and number not in self.steps:
            self.steps.append(number)
        return super().ask(question)


A, B, C = step("a", "bay"), step("b", "bay"), step("c", "bay")


def looked(*listed: Step, typed: Sequence[str] = "oo") -> Looking:
    """Somebody who walked those steps as far as the typed lines go."""
    pen = begun(MemoryJournal(), listed=checklist(listed=listed))
    prompter = Looking([TAIL, "c", "c", *typed], pen.journal)
    with contextlib.suppress(Interrupted):
        walk(pen, prompter, by=IO)
    return prompter


@pytest.mark.parametrize(
    ("own", "typed"),
    [
        (A, ["o"]),
        (replace(A, zone="cockpit"), ["o"]),
        (replace(A, critical=True), ["o", "c"]),
        (replace(A, evidence="who is near"), ["o", "BT"]),
        (replace(A, sets={"panel": "OPEN"}), ["o"]),
        (step("a", "bay", "state", states=("OFF", "ON"), expect="ON"), ["2"]),
        (step("a", "bay", "count", expect="14", unit="fasteners"), ["14"]),
    ],
    ids=["OK", "of the last zone", "confirmed", "in words", "moved", "a position", "counted"],
)
def test_what_follows_an_answer_of_an_aircraft_in_order_is_shown_when_it_is_written(
    own: Step, typed: list[str]
) -> None:
    found = looked(own, B, typed=typed)
    assert found.shown[-1:] == [found.steps[0]]
    assert len(found.steps) == 2, "the second step was put"


@pytest.mark.parametrize("said", ["f", "s", "u", "1"])
def test_nothing_is_shown_early_after_any_other_answer(said: str) -> None:
    own = step("a", "bay", "state", states=("OFF", "ON"), expect="ON")
    found = looked(own, B, typed=[said, "", "1", ""])
    assert (found.found[:1], found.shown) == (["2.01"], [])


@pytest.mark.parametrize(
    ("own", "following"),
    [
        (A, step("b", "bay", wait_s=30)),
        (replace(A, sets={"battery": "ON"}), B),
        (
            step("a", "bay", "reading", unit="V", accept=Bounds(low=Decimal(24), high=Decimal(28))),
            B,
        ),
    ],
    ids=["a wait runs from when it is put", "what draws is moved", "a verdict is told"],
)
def test_what_is_told_to_the_second_or_beside_the_question_is_not_shown_early(
    own: Step, following: Step
) -> None:
    found = looked(own, following, typed=["o" if own.kind == "look" else "26", "o"])
    assert "2.01" not in found.shown


def test_a_question_that_tells_the_words_is_not_foreseen_without_them() -> None:
    found = looked(A, B, typed=["d", "hum in RX-LF", "3", "", "o"])
    assert "hum in RX-LF" in found.said
    assert WORDS not in found.said


def test_looking_ahead_writes_nothing() -> None:
    found = looked(replace(A, sets={"panel": "OPEN"}), B, typed=["m", "h", "c", "o", "o"])
    assert found.lines
    assert [after for _, after in found.lines] == [before for before, _ in found.lines]


def _looked_into(error: Exception) -> Looking:
    """Somebody who walks two steps of two zones; looking ahead into the second raises an error."""

    class Torn(MemoryJournal):
        torn = False

        def newest_own(self, author: str, kind: str, most: int) -> Iterator[Entry]:
            if self.torn:
                raise error
            return super().newest_own(author, kind, most)

    class Into(Looking):
        def _noted(self, likely: Callable[[], Ask | None]) -> Ask | None:
            journal.torn = bool(self.steps)
            try:
                return super()._noted(likely)
            finally:
                journal.torn = False

    journal = Torn()
    pen = begun(journal, listed=checklist(listed=(A, replace(B, zone="test"))))
    prompter = Into([TAIL, "c", "c", "o"], journal)
    with contextlib.suppress(Interrupted):
        walk(pen, prompter, by=IO)
    return prompter


def test_what_cannot_be_looked_at_ahead_is_not_and_the_walk_goes_on() -> None:
    found = _looked_into(Damaged("Line A-1 of the record does not read."))
    assert "2.01" not in found.found
    assert "Do b" in found.said


def test_who_leaves_while_it_is_looked_ahead_has_left() -> None:
    """Ctrl-C comes as Interrupted, wherever the program is."""
    found = _looked_into(Interrupted("Interrupted."))
    assert "Do a" in found.said
    assert found.steps == ["2.01"]


def test_nothing_is_shown_before_the_answer_is_durable() -> None:
    class Full(MemoryJournal):
        full = False

        @contextlib.contextmanager
        def write(self) -> Iterator[MemoryJournal]:
            with super().write() as writing:
                yield writing
                if self.full:
                    raise Refusal("The disk is full.")

    journal = Full()
    pen = begun(journal, listed=checklist(listed=(A, B)))
    prompter = Looking([TAIL, "c", "c", "o"], journal)
    asked = prompter.ask

    def ask(question: Ask) -> str:
        journal.full = bool(step_of(question))
        return asked(question)

    prompter.ask = ask  # type: ignore[method-assign]  # full from the first step on
    with pytest.raises(Refusal):
        walk(pen, prompter, by=IO)
    assert (prompter.found, prompter.shown) == (["2.01"], [])


def test_a_practice_is_not_looked_ahead_at() -> None:
    pen = begun(MemoryJournal(), listed=checklist(listed=(A, B)))
    prompter = Looking([TAIL, "c", "c", "", "o"])
    with contextlib.suppress(Interrupted):
        practise(pen, prompter, by=IO)
    assert prompter.found == []


def test_lines_that_are_written_nowhere_are_read_back_with_those_of_their_walk() -> None:
    pen = begun(MemoryJournal(), listed=checklist(listed=(A, B)))
    with contextlib.suppress(Interrupted):
        walk(pen, Scripted([TAIL, "c", "c", "o"]), by=IO)
    lines = list(pen.journal.entries(walk="A1"))
    unwritten = Unwritten(pen.journal, pen.journal.facts(TAIL), lines[-1])
    body = b.StepAnswered(step="b", answer="OK", by=IO)
    made = unwritten.recorded(unwritten.pen(pen, MORNING), TAIL, lambda _: (body,), "A1").entries
    assert list(unwritten.entries(walk="A1")) == [*lines, *made]
    assert list(unwritten.entries(walk="A1", kind="walk.closed")) == []
    assert list(pen.journal.entries(walk="A1")) == lines
