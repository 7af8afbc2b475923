"""How a walk leaves: by finishing with nothing open, by ending with all of it named, by undo."""

from __future__ import annotations

import pytest

from bench import Bench
from builders import IO
from hardstand.domain import bodies as b
from hardstand.domain.answering import Reply
from hardstand.domain.closing import OUTCOMES, jump, put_back, titles, undo
from hardstand.domain.defects import Refused

FAULT, SKIPPED = Reply(key="F"), Reply(key="S", reason="no time")


def _closed(bench: Bench) -> b.WalkClosed:
    found = bench.finish()
    assert not isinstance(found, Refused), found.what
    assert isinstance(found[-1], b.WalkClosed)
    return found[-1]


# -- finishing -------------------------------------------------------------------------------------


def test_a_walk_with_everything_answered_and_home_is_finished_and_says_what_it_proved() -> None:
    assert _closed(Bench().walk()) == b.WalkClosed(
        outcome="finished", purpose="preflight", checklist="T-PRE", revision="1",
        proved=("TR", "rx", "tx"), gaps=(), open_lines=(), by=IO,
    )  # fmt: skip


def test_a_walk_with_a_step_unanswered_is_not_finished() -> None:
    found = Bench().walk(until="sign").finish()
    assert found == Refused(what="step 5.01 is not answered yet")


def test_a_walk_with_something_away_is_not_finished_and_each_thing_is_named() -> None:
    bench = Bench().walk(shut=SKIPPED, power=SKIPPED, hear=SKIPPED)
    assert bench.finish() == Refused(
        what="not FINISHED: 1 not put back: panel 7 recorded OPEN",
        rule="a walk is finished when everything it moved is home",
        hint="Put it back and answer its line, or end the walk with the lines open.",
    )


def test_a_line_that_an_earlier_walk_left_open_keeps_this_one_from_finishing() -> None:
    left = Bench().walk(until="shut")
    left.end("taken_away")
    bench = Bench(before=tuple(left.entries))
    assert bench.state.away() == ("panel", "tools")
    bench.walk(shut=SKIPPED, power=SKIPPED, hear=SKIPPED)
    found = bench.finish()
    assert isinstance(found, Refused)
    assert found.what == "not FINISHED: 1 not put back: panel 7 recorded OPEN"


def test_faults_do_not_keep_a_walk_from_finishing_and_what_they_touch_is_not_proved() -> None:
    closed = _closed(Bench().walk(plugs=FAULT, tune=SKIPPED))
    assert closed.proved == ("tx",)
    assert closed.gaps == ("plugs", "tune")


def test_not_fitted_neither_proves_nor_disproves() -> None:
    closed = _closed(Bench().walk(hear=Reply(key="N", reason="other")))
    assert closed.proved == ("TR", "rx", "tx")
    assert closed.gaps == ()


def test_a_later_finished_walk_closes_the_dash_of_an_earlier_one() -> None:
    first = Bench().walk(call=SKIPPED, sign=SKIPPED)
    _closed(first)
    assert [e.number for e in first.facts.open] == ["161-A01", "161-A02"]
    second = Bench(before=tuple(first.entries)).walk()
    _closed(second)
    assert second.facts.open == ()
    proofs = [e for e in second.entries if e.kind == "defect.proved"]
    assert len(proofs) == 2


def test_a_dash_closes_only_for_the_functions_this_walk_proved() -> None:
    first = Bench().walk(until="hear")
    first.end("taken_away")
    assert [e.untested for e in first.facts.open] == [("rx", "tx")]
    second = Bench(before=tuple(first.entries)).walk(call=SKIPPED)
    _closed(second)
    assert [e.untested for e in second.facts.open] == [("tx",)]


# -- ending ----------------------------------------------------------------------------------------


def test_a_walk_taken_away_leaves_one_dash_for_every_function_still_unproved() -> None:
    bench = Bench().walk(until="hear")
    dash, closed = bench.end("taken_away")
    assert isinstance(dash, b.DefectRaised)
    assert (dash.text, dash.untested) == (
        "aircraft taken away: receive, transmit not tested", ("rx", "tx")
    )  # fmt: skip
    assert isinstance(closed, b.WalkClosed)
    assert (closed.outcome, closed.proved) == ("taken_away", ())
    assert closed.open_lines == ("tools", "battery")


def test_a_walk_stopped_by_a_red_x_adds_nothing_to_the_x() -> None:
    bench = Bench().walk(until="shut", plugs=FAULT)
    assert [type(x) for x in bench.end("stopped_by_x")] == [b.WalkClosed]


def test_a_walk_said_to_be_stopped_by_an_x_that_nobody_raised_leaves_its_dash() -> None:
    bench = Bench().walk(until="shut")
    assert [type(x) for x in bench.end("stopped_by_x")] == [b.DefectRaised, b.WalkClosed]
    assert [e.untested for e in bench.facts.open] == [("rx", "tx")]


def test_ending_extends_the_dash_a_function_has_already() -> None:
    bench = Bench().walk(until="tune", hear=SKIPPED)
    found = bench.end("left_unfinished")
    assert [type(x) for x in found] == [b.DefectExtended, b.DefectRaised, b.WalkClosed]
    assert [e.untested for e in bench.facts.open] == [("rx",), ("tx",)]


def test_there_are_three_ways_to_end() -> None:
    assert tuple(OUTCOMES) == ("taken_away", "stopped_by_x", "left_unfinished")


# -- what a fault passes over ----------------------------------------------------------------------


def _passed(bench: Bench, step: str) -> list[str]:
    return [s.id for s in jump(bench.state, bench.state.plan.checklist.step(step))]


def test_go_on_passes_over_nothing_a_named_step_everything_before_it() -> None:
    bench = Bench(tail="QM-164").walk(until="hear")
    assert _passed(bench, "plugs") == []
    assert _passed(bench, "hear") == ["tune"]


def test_end_passes_over_everything_but_the_last_two_zones() -> None:
    bench = Bench().walk(until="gate")
    assert _passed(bench, "gate") == [
        "open", "plugs", "shut", "power", "volts", "hear", "tune", "call",
    ]  # fmt: skip


def test_steps_answered_already_are_not_passed_over() -> None:
    bench = Bench().walk(until="call")
    bench.undo("hear")
    assert _passed(bench, "hear") == []


def test_a_fault_that_ends_the_walk_skips_the_rest_with_one_dash_for_its_functions() -> None:
    bench = Bench().walk(until="gate")
    bodies = bench.give("gate", FAULT)
    skipped = [x for x in bodies if isinstance(x, b.StepAnswered) and x.answer == "SKIPPED"]
    assert {x.reason for x in skipped} == {"passed over after FAULT at 1.03"}
    assert len(skipped) == 8
    numbers = [x.number for x in bodies if isinstance(x, b.DefectRaised)]
    assert numbers == ["161-A01", "161-A02"]
    assert [e.untested for e in bench.facts.open] == [(), ("TR", "rx", "tx")]
    nxt = bench.state.next_step()
    assert nxt is not None
    assert nxt.id == "off"


# -- undo ------------------------------------------------------------------------------------------


def test_undo_takes_an_answer_back_by_adding_a_line() -> None:
    bench = Bench().walk(until="plugs")
    before = list(bench.entries)
    given = bench.state.given["open"].digest
    assert bench.undo("open")[0] == b.StepUndone(step="open", of=given, by=IO)
    assert bench.entries[: len(before)] == before
    assert bench.state.answer("open") == ""


def test_undo_of_what_was_not_answered_is_refused() -> None:
    bench = Bench()
    assert undo(bench.state, bench.facts, "sign", IO) == Refused(
        what="step sign has no answer to take back"
    )


def test_what_an_answer_moved_away_stays_away_after_undo() -> None:
    bench = Bench().walk(until="plugs")
    bench.undo("open")
    assert bench.state.items["panel"] == "OPEN"
    assert [line.item for line in bench.facts.lines] == ["tools", "panel"]


def test_what_an_answer_put_home_is_away_again_after_undo_until_it_is_looked_at() -> None:
    bench = Bench().walk(until="power")
    assert [line.item for line in bench.facts.lines] == ["tools"]
    bench.undo("shut")
    assert bench.state.items["panel"] == "OPEN"
    assert [(x.item, x.value, x.words) for x in bench.facts.lines if x.item == "panel"] == [
        ("panel", "OPEN", "answer taken back")
    ]
    bench.walk()
    assert _closed(bench).open_lines == ()


def test_an_entry_raised_with_the_answer_is_entered_in_error_after_undo() -> None:
    bench = Bench().walk(until="call", volts=Reply(value="21"))
    void = bench.undo("volts")[1]
    assert isinstance(void, b.DefectVoided)
    assert (void.number, void.reason) == ("161-A01", "answer of step volts taken back")
    assert bench.facts.open == ()


def test_an_x_raised_with_the_answer_stays_after_undo_for_a_second_person() -> None:
    bench = Bench().walk(until="shut", plugs=FAULT)
    assert [type(x) for x in bench.undo("plugs")] == [b.StepUndone]
    assert [e.number for e in bench.facts.open] == ["161-A01"]


def test_a_defect_seen_elsewhere_stays_when_the_answer_before_it_is_taken_back() -> None:
    bench = Bench().walk(until="volts")
    bench.write([b.DefectRaised(number="161-A01", symbol="/", text="strut leaks", by=IO)])
    bench.undo("power")
    assert [e.number for e in bench.facts.open] == ["161-A01"]


def test_a_dash_that_another_skipped_step_still_needs_stays_after_undo() -> None:
    bench = Bench().walk(until="call", hear=SKIPPED, tune=SKIPPED)
    bench.undo("hear")
    assert [e.untested for e in bench.facts.open] == [("rx",)]
    bench.undo("tune")
    assert [e.untested for e in bench.facts.open] == [("rx",)]


@pytest.mark.parametrize("step", ["gate", "call", "hear"])
def test_taking_one_answer_back_after_a_fault_that_passed_over_many_keeps_their_dash(
    step: str,
) -> None:
    bench = Bench().walk(until="off", gate=FAULT)
    bench.undo(step)
    assert [e.untested for e in bench.facts.open if e.untested] == [("TR", "rx", "tx")]


def test_a_dash_goes_when_the_only_answer_behind_it_is_taken_back() -> None:
    bench = Bench().walk(until="tune", hear=SKIPPED)
    bench.undo("hear")
    assert bench.facts.open == ()


# -- putting back ----------------------------------------------------------------------------------


def test_a_line_is_answered_with_the_position_seen_and_the_same_position_writes_nothing() -> None:
    bench = Bench().walk(until="shut")
    assert put_back(bench.state, bench.facts, "panel", "OPEN", IO) == ()
    found = put_back(bench.state, bench.facts, "panel", "SHUT", IO)
    assert not isinstance(found, Refused)
    bench.write(found)
    assert bench.facts.line("panel") is None


def test_what_has_no_open_line_cannot_be_put_back() -> None:
    bench = Bench()
    assert put_back(bench.state, bench.facts, "panel", "SHUT", IO) == Refused(
        what="panel has no open line at QM-161"
    )


def test_functions_units_and_anything_else_are_told_by_their_titles() -> None:
    assert titles(Bench().state, ("rx", "TR", "step sign")) == (
        "receive, transmitter-receiver, step sign"
    )
