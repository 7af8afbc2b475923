"""PLC-09: looking ahead and back never moves the working place; one key returns."""

from __future__ import annotations

import pytest

from builders import TAIL, begun, lines
from hardstand.domain import bodies as b
from hardstand.domain.codec import decode
from hardstand.flows.pen import Pen
from memory import MemoryJournal
from scripted import Scripted


def _answered(pen: Pen) -> list[str]:
    found = (decode(e) for e in pen.journal.entries(kind="step.answered"))
    return [x.step for x in found if isinstance(x, b.StepAnswered)]


def test_plc_09_an_answer_after_browsing_lands_on_the_working_step_only() -> None:
    pen = begun(MemoryJournal())
    prompter = Scripted.until_left(pen, [*lines(until="plugs"), "v", "2", "2", "1", "v", "o"])
    assert _answered(pen) == ["tools", "safe", "gate", "open", "plugs"]
    shown = [q for q, _ in prompter.asked if q.blocks and "Only looking" in q.blocks[0].text]
    assert [x.blocks[1].text.split(" ")[0] for x in shown] == ["2.02", "2.03", "3.01", "2.03"]
    assert {x.blocks[0].text for x in shown} == {"Only looking. You are at 2.02."}


def test_the_strip_stays_at_the_working_place() -> None:
    pen = begun(MemoryJournal())
    prompter = Scripted.until_left(pen, [*lines(until="plugs"), "v", "2", "2"])
    strips = [q.strip for q, _ in prompter.asked[-3:]]
    assert [s.at if s else "" for s in strips] == ["2 of 3"] * 3


def test_what_was_answered_is_told_as_a_report_and_what_was_not_is_said() -> None:
    pen = begun(MemoryJournal())
    said = Scripted.until_left(pen, [*lines(until="plugs"), "v", "1", "1"]).said
    told = " ".join(said.split())
    assert "2.01 Do open — recorded OK 05:00 IO" in told
    assert "2.02: not answered yet." in told
    assert "2 the step after" in told


@pytest.mark.parametrize(("until", "ways"), [("tools", ("the step after",)),
                                             ("sign", ("the step before",))])  # fmt: skip
def test_the_list_ends_at_both_ends(until: str, ways: tuple[str, ...]) -> None:
    prompter = Scripted.until_left(begun(MemoryJournal()), [*lines(until=until), "v", "v"])
    assert prompter.asked[-1][0].choices == ways


def test_b_leaves_while_looking_and_the_place_stands() -> None:
    pen = begun(MemoryJournal())
    Scripted.until_left(pen, [*lines(until="plugs"), "v", "2", "b"])
    (left,) = (decode(e) for e in pen.journal.entries(kind="walk.broken"))
    assert isinstance(left, b.WalkBroken)
    assert (left.step, left.half) == ("plugs", False)
    assert pen.journal.facts(TAIL).walks[0].broken
