"""What a walk is careful about: a gate that went stale, a stretch that is not to be broken."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from builders import GOOD, TAIL, Watch, begun, checklist, fit, lines, papers, steps
from dry_walk import DryWalk
from hardstand.domain import bodies as b
from hardstand.domain.answering import stale_gate
from hardstand.domain.checklist import Checklist
from hardstand.domain.quantity import later
from hardstand.flows.adopting import adopt, begin_record
from hardstand.flows.pen import Pen
from memory import MemoryJournal
from scenarios.stage import bodies
from scripted import Scripted


def _listed(name: str, **changes: Any) -> Checklist:
    """The tiny list with one of its steps changed."""
    return checklist(listed=[replace(s, **changes) if s.id == name else s for s in steps()])


def _with_a_hazard(listed: Checklist) -> Pen:
    """A record with that list, where the battery switch is a hazard."""
    battery = replace(fit().items["battery"], hazard=True)
    fitted = replace(fit(), items={**fit().items, "battery": battery})
    pen = Pen(journal=MemoryJournal(), clock=Watch(), author="IO")
    begin_record(pen, demo=False, program="test")
    adopt(pen, papers(listed=listed, fitted=fitted))
    return pen


# -- a critical answer -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "asked"),
    [
        ("safe", "Is that what you see?"),
        ("hear", "Is that what you hear?"),
        ("tools", "Is that what you counted?"),
        ("volts", "Is that what you read?"),
        ("plugs", "Is that what you found?"),
    ],
)
def test_key_02_a_critical_answer_is_asked_again_by_the_sense_it_was_given_by(
    name: str, asked: str
) -> None:
    pen = begun(MemoryJournal(), listed=_listed(name, critical=True))
    twice = GOOD[name] * 2 if name == "volts" else GOOD[name]
    prompter = Scripted.until_left(pen, [*lines(until=name), *twice, "c"])
    question, reply = next(x for x in reversed(prompter.asked) if x[0].prompt.endswith("?"))
    assert (question.prompt, reply) == (asked, "C")


# -- what no longer stands as a step needs it ------------------------------------------------------


def test_what_stayed_away_at_a_fault_is_looked_at_again_where_a_step_needs_it_home() -> None:
    pen = begun(MemoryJournal())
    stuck = lines(until="power", shut=("2", "panel sticks", "2"))
    prompter = Scripted.until_left(pen, [*stuck, "c", "1", "1", "2"])
    asked = next(q for q, _ in prompter.asked if q.choices[:1] == ("look at it now",))
    assert asked.blocks[0].text == "panel 7 is recorded OPEN; 3.01 needs it SHUT."
    assert asked.choices[1] == "no, leave it OPEN"
    assert pen.journal.facts(TAIL).line("panel") is None
    given = {x.step: x.answer for x in bodies(pen.journal, "step.answered")
             if isinstance(x, b.StepAnswered)}  # fmt: skip
    assert (given["shut"], given["power"]) == ("FAULT", "OK")


def test_what_stays_away_there_too_is_asked_once_a_step() -> None:
    pen = begun(MemoryJournal())
    stuck = lines(until="power", shut=("2", "panel sticks", "2"))
    prompter = Scripted.until_left(pen, [*stuck, "c", "2"])
    said = " ".join(prompter.said.split())
    assert said.count("3.01 needs it SHUT.") == 1
    assert said.endswith("What do you see?")
    assert "Not yet: panel 7 is recorded OPEN, it must be SHUT." in said


def test_z_takes_back_that_it_was_left_so_once_then_the_last_answer() -> None:
    """Found on a walk: a slip at "no, leave it" left no way to the step but leaving the walk."""
    pen = begun(MemoryJournal())
    stuck = lines(until="power", shut=("2", "panel sticks", "2"))
    first = Scripted.until_left(pen, [*stuck, "c", "2", "z", "1", "1", "2"])
    assert "Left so. Z at the step asks this once more." in first.said
    assert pen.journal.facts(TAIL).line("panel") is None
    found = [x for x in bodies(pen.journal, "step.answered") if isinstance(x, b.StepAnswered)]
    assert [x.answer for x in found if x.step in {"shut", "power"}] == ["FAULT", "OK"]
    assert bodies(pen.journal, "step.undone") == []
    other = begun(MemoryJournal())
    Scripted.until_left(other, [*stuck, "c", "2", "z", "2", "z"])
    undone = [x for x in bodies(other.journal, "step.undone") if isinstance(x, b.StepUndone)]
    assert [x.step for x in undone] == ["shut"]


# -- gates -----------------------------------------------------------------------------------------


def test_wcn_08_a_gate_passed_before_a_break_is_asked_again() -> None:
    pen = begun(MemoryJournal())
    Scripted.until_left(pen, [*lines(until="call"), "b"])
    said = Scripted.until_left(pen, [TAIL, "c", "2", "o", "BT outside", "o"]).said
    assert "Passed before the break; ask once more." in said
    gates = [x.evidence for x in bodies(pen.journal, "step.answered")
             if isinstance(x, b.StepAnswered) and x.step == "gate"]  # fmt: skip
    assert gates == ["BT at the wing tip", "BT outside"]


@pytest.mark.parametrize(("own", "minutes", "stale"), [(0, 9, False), (0, 11, True),
                                                       (5, 6, True), (20, 11, False)])  # fmt: skip
def test_wcn_08_a_gate_holds_ten_minutes_where_its_list_does_not_say(
    own: int, minutes: int, stale: bool
) -> None:
    bench = DryWalk(listed=_listed("gate", stale_after_min=own)).walk(until="call")
    passed = bench.state.given["gate"].at
    call = bench.state.plan.checklist.step("call")
    found = stale_gate(bench.state, call, later(passed, seconds=60 * minutes))
    assert (found is not None) == stale


# -- stretches that are not to be broken -----------------------------------------------------------


def test_plc_08_a_break_in_a_stretch_first_makes_safe_then_leaves() -> None:
    pen = _with_a_hazard(_listed("call", no_break=True))
    said = Scripted.until_left(pen, [*lines(until="call"), "b", "1", "b"]).said
    assert "Not like this. Make safe first, then leave; B again leaves at once." in said
    told = " ".join(said.split())
    assert told.index("home is OFF. Go there and look.") < told.index("is left at 3.05")
    assert [line.item for line in pen.journal.facts(TAIL).lines] == ["tools"]
    again = Scripted.until_left(pen, [TAIL, "c", "1", "o", "BT", "2", "o", "T"]).said
    assert "BATTERY switch is recorded OFF; 3.05 needs it ON." not in again


def test_plc_08_b_again_leaves_at_once_with_the_lines_open() -> None:
    pen = _with_a_hazard(_listed("call", no_break=True))
    said = Scripted.until_left(pen, [*lines(until="call"), "b", "b", "b"]).said
    assert "Left as it is; the lines stay open." in said
    assert pen.journal.facts(TAIL).line("battery") is not None
    assert pen.journal.facts(TAIL).walks[0].broken


def test_wcn_14_a_fault_at_a_gate_stops_and_what_is_on_is_made_safe_before_the_way_on() -> None:
    own = {s.id: s for s in steps()}
    gate = replace(own["gate"], id="again", zone="test", do="Look round again.", if_fault="off")
    made = [x for s in steps() for x in ((gate, s) if s.id == "call" else (s,))]
    pen = _with_a_hazard(checklist(listed=made))
    prompter = Scripted.until_left(pen, [*lines(until="call"), "f", "truck alongside", "c", "1"])
    order = next(q for q, _ in prompter.asked if q.blocks and "Stopped" in q.blocks[0].text)
    assert order.blocks[1].text.startswith("Make safe now, in this order: BATTERY switch")
    assert order.keys.startswith("C")
    assert pen.journal.facts(TAIL).line("battery") is None
    after = prompter.asked[-1][0]
    assert after.strip is not None
    assert after.strip.last.startswith("3.05 Look round again — recorded FAULT")
    (call,) = [x for x in bodies(pen.journal, "step.answered")
               if isinstance(x, b.StepAnswered) and x.step == "call"]  # fmt: skip
    assert call.answer == "SKIPPED"
