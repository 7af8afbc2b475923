"""Human-factors ANS: an answer is what somebody saw, given by a key of its own.

A marker names the requirement as docs/reference/human-factors.md numbers it.
"""

from __future__ import annotations

import ast
import itertools
import re
import signal
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path

import pytest

from builders import TAIL, lines, on_disk
from docs.generated import tree
from hardstand.domain.answering import KEYS
from hardstand.domain.asking import Ask
from hardstand.domain.bodies import By
from hardstand.domain.checklist import Step
from hardstand.flows import starting
from hardstand.flows.pen import Pen
from hardstand.views.themes import THEMES
from hardstand.views.walk_screen import lines as screen
from human_factors.at_terminal import resumed
from human_factors.watched import (
    BOTH,
    Exchange,
    Whole,
    after,
    asked,
    is_step,
    planned,
    steps,
    watched,
    written,
)
from memory import MemoryJournal
from scenarios.stage import Person, answers, entries, hardstand, pen_at, plan_at, sit, step_of
from scripted import Scripted

SOURCE = Path(starting.__file__).parents[1]
NOTHING = ("", " ", "\t", "   ", "\r")
"""What is not pressed on purpose, as it comes through a pipe."""
YB = By(doer="YB")
BARE_THINGS = (
    "the wire beside the forward insulator", "the forward insulator",
    "the mast, low, near its base",
)  # fmt: skip
"""What the shipped lists have touched that carries no label; common practice."""
Fresh = Callable[[], Pen]


class Idle(Person):
    """Somebody who gives every kind of nothing before each key."""

    pen: Pen
    counted = 0

    def ask(self, question: Ask) -> str:
        if question.typed == "text":
            return super().ask(question)
        before, said = written(self.pen), len(self.said)
        self._typed = [*NOTHING, *(self._typed or [self._begun(question), *self._typed])]
        reply = super().ask(question)
        refused = [s for s in self.said[said:] if s.startswith("Nothing was answered")]
        assert len(refused) == len(NOTHING), question.prompt
        assert written(self.pen) == before
        self.counted += 1
        return reply


@pytest.mark.hf("ANS-01")
@pytest.mark.parametrize("tail", BOTH)
def test_enter_space_and_tab_at_any_question_answer_nothing(fresh: Fresh, tail: str) -> None:
    pen = fresh()
    person = Idle(tail, plan_at(pen, tail), {}, until="", then=())
    person.pen = pen
    assert starting.walk(pen, person, by=YB).outcome == "finished"
    assert person.counted > 50


@pytest.mark.hf("ANS-01")
def test_the_end_of_input_at_any_question_adds_no_ok(tmp_path: Path) -> None:
    typed = lines()
    given = [0]
    for cut in range(len(typed)):
        (tmp_path / str(cut)).mkdir()
        pen = on_disk(tmp_path / str(cut))
        Scripted.until_left(pen, typed[:cut])
        given.append(len([a for _, a, _ in answers(pen.journal, TAIL) if a == "OK"]))
        assert given[-1] - given[-2] <= 1, f"{typed[cut - 1]!r} gave more than one OK"
    assert given == sorted(given)


@pytest.mark.hf("ANS-01")
def test_signals_and_a_new_window_size_answer_nothing(tmp_path: Path) -> None:
    with resumed(tmp_path, at="plugs") as walk:
        before = answers(walk.pen.journal, TAIL)
        walk.resized(100, 30).shows("Do plugs. Place")
        walk.signal(signal.SIGCONT).shows("Back at walk A1")
        walk.press("\r").shows("Nothing was answered").press("c").shows("Do plugs. Place")
        walk.signal(signal.SIGTERM)
        assert answers(walk.pen.journal, TAIL) == before


@pytest.mark.hf("ANS-01")
def test_another_window_size_draws_the_question_anew_and_answers_nothing(tmp_path: Path) -> None:
    with resumed(tmp_path, at="plugs") as walk:
        before = entries(walk.pen.journal)
        walk.resized(40, 20).shows("U UNSURE, H help; also D A B R")
        assert "walk A1" not in walk.words, "the short strip of a narrow screen"
        walk.resized(80, 24).shows("walk A1").shows("B break, R rescue, Z undo; also M V W T.")
        assert entries(walk.pen.journal) == before
        walk.press("o").shows("recorded OK")


@pytest.mark.hf("ANS-01")
def test_another_window_size_loses_nothing_of_a_number_half_typed(tmp_path: Path) -> None:
    with resumed(tmp_path, at="count") as walk:
        walk.press("1").shows("How many, things: 1")
        walk.resized(100, 30)
        walk.press("2").press("\r").shows("12 things FAULT")


@pytest.mark.hf("ANS-01")
@pytest.mark.parametrize("key", ["\r", " ", "\t", "\x1b[B"], ids=["Enter", "space", "tab", "arrow"])
def test_no_such_key_answers_at_a_terminal(tmp_path: Path, key: str) -> None:
    with resumed(tmp_path, at="plugs") as walk:
        before = entries(walk.pen.journal)
        walk.press(key).shows("Nothing was answered: that key means nothing here.")
        assert entries(walk.pen.journal) == before


@pytest.mark.hf("ANS-01")
def test_going_on_with_a_walk_answers_nothing(tmp_path: Path) -> None:
    pen = on_disk(tmp_path)
    sit(pen, TAIL, until="volts")
    before = answers(pen.journal, TAIL)
    Scripted.until_left(pen, [TAIL, "c", "2"])
    assert answers(pen.journal, TAIL) == before


@pytest.mark.hf("ANS-02")
def test_a_switch_is_answered_with_a_position_and_none_is_chosen_beforehand(whole: Whole) -> None:
    plan = whole.plan
    panels = {c.positions for c in plan.fit.controls.values() if c.positions}
    for step in (s for s in plan.steps if s.kind == "state"):
        question = asked(whole.seen, plan.checklist.number(step.id))
        assert question.choices == step.states
        assert len(step.states) >= 2
        assert "O" not in question.keys
        assert step.expect not in question.prompt
        for theme in THEMES.values():
            drawn = screen(question, 80, drawn=True, theme=theme)
            told = [x for n, s in enumerate(step.states, 1) for x in drawn if x == f"  {n}  {s}"]
            assert len(told) == len(step.states), "a choice stands out from the others"
        same = [p for p in panels if set(p) == set(step.states)]
        assert not same or step.states in same, "positions are in panel order"


@pytest.mark.hf("ANS-10")
@pytest.mark.parametrize("tail", BOTH)
def test_every_step_offers_the_five_answers(fresh: Fresh, tail: str) -> None:
    pen = fresh()
    put = {step_of(x.question): x.question for x in watched(pen, tail).exchanges if is_step(x)}
    assert len(put) == len(steps(pen, tail))
    for question in put.values():
        good = question.typed == "number" or question.choices or "O" in question.keys
        assert good, question.prompt
        assert set(KEYS) - {"O"} <= set(question.keys)


@pytest.mark.hf("ANS-10")
@pytest.mark.parametrize("typed", [["f", ""], ["s", "2"], ["u", ""]], ids=["F", "S", "U"])
def test_only_ok_is_good(fresh: Fresh, typed: Sequence[str]) -> None:
    pen = fresh()
    sit(pen, "QM-161", {"op-call-1": typed})
    facts = pen.journal.facts("QM-161")
    assert "ch1" not in (facts.proved or {})
    assert [e for e in facts.open if "ch1" in {*e.takes, *e.weakens, *e.untested}]


@pytest.mark.hf("ANS-10")
def test_unsure_is_an_open_item_on_the_board(quennock: Path) -> None:
    pen = pen_at(quennock, "2027-03-08T04:50-03:00", author="YB")
    sit(pen, "QM-161", {"comp-latches": ["u", "is the wire stretched?"]}, by=YB)
    board = hardstand(quennock, "board", "--at", "2027-03-08T06:30-03:00").out
    told = next(line for line in board.splitlines() if "is the wire stretched?" in line)
    assert told.startswith("UNKNOWN")
    assert "161-S01" in told


@pytest.mark.hf("ANS-11")
@pytest.mark.parametrize("tail", BOTH)
def test_the_key_fault_alone_leaves_its_entry(fresh: Fresh, tail: str) -> None:
    for step in steps(fresh(), tail)[::4]:
        pen = fresh()
        watched(pen, tail, until=step.id, then=["f", *(["c"] if step.critical else [])])
        entry = pen.journal.facts(tail).open[-1]
        assert (entry.step, entry.zone, entry.found_by) == (step.id, step.zone, "IO")
        assert entry.found_at[:10] == "2027-03-08"
        assert entry.walk == "A1"


@pytest.mark.hf("ANS-11")
@pytest.mark.parametrize("tail", BOTH)
def test_fault_costs_at_most_two_keys_more_than_ok(fresh: Fresh, tail: str) -> None:
    pen = fresh()
    plan = planned(pen, tail)
    good = watched(pen, tail).exchanges
    record = list(pen.journal.chains())
    dear = {}
    for step in plan.steps:
        number = plan.checklist.number(step.id)
        come = next(x.lines for x in good if step_of(x.question) == number)
        for how in _faults(step):
            here = replace(pen, journal=MemoryJournal(lines=record[:come]))
            found = watched(here, tail, {step.id: [how]}, until=after(plan, step))
            more = _keys(found.exchanges, number) - _keys(good, number)
            if more > 2:
                dear[step.id, how] = more
    assert dear == {}


def _faults(step: Step) -> Iterator[str]:
    yield "f"
    if step.kind == "state":
        yield next(str(n) for n, s in enumerate(step.states, 1) if s != step.expect)


ANOTHER_MATTER = ("Type the tail", "be done now", " needs it ", "Stopped: the gate")


def _keys(exchanges: Sequence[Exchange], number: str) -> int:
    """Keys that answer a step; words are not counted, the Enter after them is.

    What is asked on leaving the zone, to make safe, or because something stays away, is no part.
    """
    counted, inside = 0, False
    for found in exchanges:
        if is_step(found):
            inside = step_of(found.question) == number
        if any(words in found.text for words in ANOTHER_MATTER):
            inside = False
        if inside:
            typed = found.question.typed == "number" and found.reply not in KEYS
            counted += len(found.reply) + 1 if typed else 1
    return counted


@pytest.mark.hf("ANS-12")
def test_no_reply_gives_more_than_one_ok(whole: Whole) -> None:
    lines_ = list(whole.pen.journal.chains())
    for one, other in itertools.pairwise(whole.seen.exchanges):
        fresh_ = [e for e in lines_[one.lines : other.lines] if e.kind == "step.answered"]
        assert len(fresh_) <= 1


@pytest.mark.hf("ANS-12")
def test_no_command_but_a_walk_line_by_line_answers_steps(quennock: Path, tmp_path: Path) -> None:
    made = re.compile(r"(?<!case b)\.StepAnswered\(\s*step=")
    makers = {f.stem for f in SOURCE.rglob("*.py") if made.search(f.read_text("utf-8"))}
    assert makers == {"answering", "closing"}, "one answer a reply, or SKIPPED for many"
    (walking,) = (command for words, command in tree() if words == "hardstand walk")
    options = {o for p in walking.params for o in p.opts}
    much = re.compile(r"-(all|rest|good|pass|repeat)\b")
    assert not {o for o in options if much.search(o)}
    short = tmp_path / "short.txt"
    short.write_text("tail QM-161\nlog-entries: OK\n")
    told = hardstand(quennock, "walk", "--answers", str(short), "--by", "YB")
    assert told.status != 0
    pen = pen_at(quennock, "2027-03-08T04:50-03:00")
    assert answers(pen.journal, "QM-161") == [("log-entries", "OK", "YB")]


def test_ans_17_no_question_of_a_walk_is_a_negative_one(whole: Whole) -> None:
    negative = re.compile(r"(?i)\b(no|not|nothing|nobody|never)\b[^.?!:;]*\?(?! Answer S)")
    found = {m[0] for x in whole.seen.exchanges for m in negative.finditer(x.text)}
    assert found == set()
    close = whole.seen.at("looked round, FINISHED").text
    assert "What is still left there, and who is still to be told? See to that first." in close


@pytest.mark.hf("ANS-13")
def test_no_text_of_the_program_says_that_something_is_so() -> None:
    states = "ON|OFF|OPEN|SHUT|CLOSED|HUNG|PLACED|AWAY"
    said = [
        f"{file.name}:{line}: {text}"
        for file in sorted(SOURCE.rglob("*.py"))
        for line, text in _texts(ast.parse(file.read_text("utf-8")))
        if re.search(rf"\b(is|are|stands) ({states}|⟨value⟩|⟨to⟩|⟨state⟩)", text)
    ]
    assert said == []


def _texts(tree_: ast.Module) -> Iterator[tuple[int, str]]:
    """Each text with, for what is filled in, the name of the attribute."""
    for node in ast.walk(tree_):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.lineno, node.value
        if isinstance(node, ast.JoinedStr):
            yield node.lineno, "".join(map(_part, node.values))


def _part(node: ast.expr) -> str:
    if isinstance(node, ast.Constant):
        return str(node.value)
    assert isinstance(node, ast.FormattedValue)
    return f"⟨{node.value.attr}⟩" if isinstance(node.value, ast.Attribute) else "⟨⟩"


@pytest.mark.hf("ANS-13")
def test_what_is_told_of_an_open_line_says_that_it_was_recorded(fresh: Fresh) -> None:
    pen = fresh()
    left = watched(pen, "QM-107", until="op-gate", then=["b", "b"])
    back = watched(pen, "QM-107", until="op-call-1")
    told = re.findall(r"BATTERY switch\W+(\w+) ON\b", f"{left.words} {back.words}")
    assert "recorded" in told
    assert set(told) <= {"recorded", "to"}, "recorded ON, or a move to ON that is to be made"


@pytest.mark.hf("ANS-14")
def test_a_critical_step_has_the_thing_touched_and_its_label_read_if_it_has_one(
    whole: Whole,
) -> None:
    plan = whole.plan
    critical = [s for s in plan.steps if s.critical]
    assert len(critical) >= 5
    for step in critical:
        told = " ".join(b.text for b in asked(whole.seen, plan.checklist.number(step.id)).blocks)
        said = "Say its name" if step.touch in BARE_THINGS else "Read its label"
        assert f"Touch: {plan.fill(step.touch)}. {said} aloud." in told
