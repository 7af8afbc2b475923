"""How a walk leaves: by finishing with nothing open, by ending with all of it named, by undo."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import IO
from dry_walk import DryWalk
from hardstand.domain import bodies as b
from hardstand.domain.answering import Reply
from hardstand.domain.bodies import By
from hardstand.domain.chain import seal
from hardstand.domain.closing import OUTCOMES, jump, put_back, titles, undo
from hardstand.domain.defects import Refused, take_back

FAULT, SKIPPED = Reply(key="F"), Reply(key="S", reason="no time")


def _closed(dry: DryWalk) -> b.WalkClosed:
    found = dry.finish()
    assert not isinstance(found, Refused), found.what
    assert isinstance(found[-1], b.WalkClosed)
    return found[-1]


# -- finishing -------------------------------------------------------------------------------------


def test_a_walk_with_everything_answered_and_home_is_finished_and_says_what_it_proved() -> None:
    assert _closed(DryWalk().walk()) == b.WalkClosed(
        outcome="finished", purpose="preflight", checklist="T-PRE", revision="1",
        proved=("TR", "rx", "tx"), gaps=(), open_lines=(), by=IO,
    )  # fmt: skip


def test_a_walk_with_a_step_unanswered_is_not_finished() -> None:
    found = DryWalk().walk(until="sign").finish()
    assert found == Refused(what="step 5.01 is not answered yet")


@pytest.mark.hf("LED-03")
def test_a_walk_with_something_away_is_not_finished_and_each_thing_is_named() -> None:
    dry = DryWalk().walk(shut=SKIPPED, power=SKIPPED, hear=SKIPPED)
    assert dry.finish() == Refused(
        what="Not FINISHED: 1 not put back: panel 7 recorded OPEN",
        rule="a walk is finished when everything it moved is home",
        hint="Put it back and answer its line, or end the walk with the lines open.",
    )


def test_a_line_that_an_earlier_walk_left_open_keeps_this_one_from_finishing() -> None:
    left = DryWalk().walk(until="shut")
    left.end("taken_away")
    dry = DryWalk(before=tuple(left.entries))
    assert dry.state.away() == ("panel", "tools")
    dry.walk(shut=SKIPPED, power=SKIPPED, hear=SKIPPED)
    found = dry.finish()
    assert isinstance(found, Refused)
    assert found.what == "Not FINISHED: 1 not put back: panel 7 recorded OPEN"


def test_faults_do_not_keep_a_walk_from_finishing_and_what_they_touch_is_not_proved() -> None:
    closed = _closed(DryWalk().walk(plugs=FAULT, tune=SKIPPED))
    assert closed.proved == ("tx",)
    assert closed.gaps == ("plugs", "tune")


def test_what_is_not_fitted_is_not_named_among_what_tested_a_function_good() -> None:
    dry = DryWalk().walk(hear=Reply(key="N", reason="removed, place is empty"))
    found = dry.finish()
    assert not isinstance(found, Refused)
    acts = [x for x in found if isinstance(x, b.DefectProved)]
    assert [(x.functions, x.steps) for x in acts] == [(("rx",), ("tune",))]


def test_not_fitted_neither_proves_nor_disproves() -> None:
    closed = _closed(DryWalk().walk(hear=Reply(key="N", reason="other")))
    assert closed.proved == ("TR", "rx", "tx")
    assert closed.gaps == ()


def test_a_later_finished_walk_closes_the_dash_of_an_earlier_one() -> None:
    first = DryWalk().walk(call=SKIPPED, sign=SKIPPED)
    _closed(first)
    assert [e.number for e in first.facts.open] == ["161-A01", "161-A02"]
    second = DryWalk(before=tuple(first.entries)).walk()
    _closed(second)
    assert second.facts.open == ()
    proofs = [e for e in second.entries if e.kind == "defect.proved"]
    assert len(proofs) == 2


def test_a_dash_closes_only_for_the_functions_this_walk_proved() -> None:
    first = DryWalk().walk(until="hear")
    first.end("taken_away")
    assert [e.untested for e in first.facts.open] == [("rx", "tx")]
    second = DryWalk(before=tuple(first.entries)).walk(call=SKIPPED)
    _closed(second)
    assert [e.untested for e in second.facts.open] == [("tx",)]


# -- ending ----------------------------------------------------------------------------------------


def test_a_walk_taken_away_leaves_one_dash_for_every_function_still_unproved() -> None:
    dry = DryWalk().walk(until="hear")
    dash, closed = dry.end("taken_away")
    assert isinstance(dash, b.DefectRaised)
    assert (dash.text, dash.untested) == (
        "aircraft taken away: receive, transmit not tested", ("rx", "tx")
    )  # fmt: skip
    assert isinstance(closed, b.WalkClosed)
    assert (closed.outcome, closed.proved) == ("taken_away", ())
    assert closed.open_lines == ("tools", "battery")


def test_a_walk_stopped_by_a_red_x_adds_nothing_to_the_x() -> None:
    dry = DryWalk().walk(until="shut", plugs=FAULT)
    assert [type(x) for x in dry.end("stopped_by_x")] == [b.WalkClosed]


def test_a_walk_said_to_be_stopped_by_an_x_that_nobody_raised_leaves_its_dash() -> None:
    dry = DryWalk().walk(until="shut")
    assert [type(x) for x in dry.end("stopped_by_x")] == [b.DefectRaised, b.WalkClosed]
    assert [e.untested for e in dry.facts.open] == [("rx", "tx")]


def test_ending_extends_the_dash_a_function_has_already() -> None:
    dry = DryWalk().walk(until="tune", hear=SKIPPED)
    found = dry.end("left_unfinished")
    assert [type(x) for x in found] == [b.DefectExtended, b.DefectRaised, b.WalkClosed]
    assert [e.untested for e in dry.facts.open] == [("rx",), ("tx",)]


def test_there_are_three_ways_to_end() -> None:
    assert tuple(OUTCOMES) == ("taken_away", "stopped_by_x", "left_unfinished")


# -- what a fault passes over ----------------------------------------------------------------------


def _passed(dry: DryWalk, step: str) -> list[str]:
    return [s.id for s in jump(dry.state, dry.state.plan.checklist.step(step))]


def test_go_on_passes_over_nothing_a_named_step_everything_before_it() -> None:
    dry = DryWalk(tail="QM-164").walk(until="hear")
    assert _passed(dry, "plugs") == []
    assert _passed(dry, "hear") == ["tune"]


def test_end_passes_over_everything_but_the_last_two_zones() -> None:
    dry = DryWalk().walk(until="gate")
    assert _passed(dry, "gate") == [
        "open", "plugs", "shut", "power", "volts", "hear", "tune", "call",
    ]  # fmt: skip


def test_steps_answered_already_are_not_passed_over() -> None:
    dry = DryWalk().walk(until="call")
    dry.undo("hear")
    assert _passed(dry, "hear") == []


def test_a_fault_that_ends_the_walk_skips_the_rest_with_one_dash_for_its_functions() -> None:
    dry = DryWalk().walk(until="gate")
    bodies = dry.give("gate", FAULT)
    skipped = [x for x in bodies if isinstance(x, b.StepAnswered) and x.answer == "SKIPPED"]
    assert {x.reason for x in skipped} == {"passed over after FAULT at 1.03"}
    assert len(skipped) == 8
    numbers = [x.number for x in bodies if isinstance(x, b.DefectRaised)]
    assert numbers == ["161-A01", "161-A02"]
    assert [e.untested for e in dry.facts.open] == [(), ("TR", "rx", "tx")]
    nxt = dry.state.next_step()
    assert nxt is not None
    assert nxt.id == "off"


# -- undo ------------------------------------------------------------------------------------------


def test_undo_takes_an_answer_back_by_adding_a_line() -> None:
    dry = DryWalk().walk(until="plugs")
    before = list(dry.entries)
    given = dry.state.given["open"].digest
    assert dry.undo("open")[0] == b.StepUndone(step="open", of=given, by=IO)
    assert dry.entries[: len(before)] == before
    assert dry.state.answer("open") == ""


def test_undo_of_what_was_not_answered_is_refused() -> None:
    dry = DryWalk()
    assert undo(dry.state, dry.facts, "sign", IO) == Refused(
        what="step sign has no answer to take back"
    )


def test_what_an_answer_moved_away_stays_away_after_undo() -> None:
    dry = DryWalk().walk(until="plugs")
    dry.undo("open")
    assert dry.state.items["panel"] == "OPEN"
    assert [line.item for line in dry.facts.lines] == ["tools", "panel"]


def test_what_an_answer_put_home_is_away_again_after_undo_until_it_is_looked_at() -> None:
    dry = DryWalk().walk(until="power")
    assert [line.item for line in dry.facts.lines] == ["tools"]
    dry.undo("shut")
    assert dry.state.items["panel"] == "OPEN"
    assert [(x.title, x.value, x.words) for x in dry.facts.lines if x.item == "panel"] == [
        ("panel 7", "OPEN", "answer taken back")
    ]
    dry.walk()
    assert _closed(dry).open_lines == ()


def test_what_another_answer_put_home_since_stays_home_after_undo() -> None:
    dry = DryWalk().walk(until="sign", tune=SKIPPED)
    dry.undo("tune")
    assert dry.facts.lines == ()
    assert dry.state.away() == ()


def test_what_was_put_home_by_hand_after_the_answer_stays_home_after_undo() -> None:
    dry = DryWalk().walk(until="power", shut=Reply(state="OPEN"))
    found = put_back(dry.state, dry.facts, "panel", "SHUT", IO)
    assert not isinstance(found, Refused)
    dry.write(found)
    dry.undo("shut")
    assert dry.facts.line("panel") is None


def test_an_entry_raised_with_the_answer_is_entered_in_error_after_undo() -> None:
    dry = DryWalk().walk(until="call", volts=Reply(value="21"))
    void = dry.undo("volts")[1]
    assert isinstance(void, b.DefectVoided)
    assert (void.number, void.reason) == ("161-A01", "answer of step volts taken back")
    assert dry.facts.open == ()


def test_what_a_fault_passed_over_is_open_again_after_undo_with_its_dash() -> None:
    dry = DryWalk().walk(until="gate")
    dry.give("gate", FAULT)
    bodies = dry.undo("gate")
    undone = [x.step for x in bodies if isinstance(x, b.StepUndone)]
    assert undone == ["gate", "open", "plugs", "shut", "power", "volts", "hear", "tune", "call"]
    assert [x.number for x in bodies if isinstance(x, b.DefectVoided)] == ["161-A01", "161-A02"]
    assert dry.facts.open == ()
    nxt = dry.state.next_step()
    assert nxt is not None
    assert nxt.id == "gate"
    assert _closed(dry.walk()).outcome == "finished"


def test_what_was_done_since_a_fault_passed_it_over_stays_after_undo() -> None:
    dry = DryWalk().walk(until="gate")
    dry.give("gate", FAULT)
    dry.undo("shut")
    dry.give("shut")
    undone = [x.step for x in dry.undo("gate") if isinstance(x, b.StepUndone)]
    assert "shut" not in undone
    assert dry.state.answer("shut") == "OK"


def test_an_x_raised_with_the_answer_stays_after_undo_for_a_second_person() -> None:
    dry = DryWalk().walk(until="shut", plugs=FAULT)
    assert [type(x) for x in dry.undo("plugs")] == [b.StepUndone]
    assert [e.number for e in dry.facts.open] == ["161-A01"]


def test_a_second_person_takes_back_the_answer_and_not_what_the_first_had_found() -> None:
    dry = DryWalk().walk(until="call", volts=Reply(value="21"))
    bodies = undo(dry.state, dry.facts, "volts", By(doer="BT"))
    assert not isinstance(bodies, Refused)
    assert [type(x) for x in bodies] == [b.StepUndone]
    (entry,) = dry.facts.open
    assert take_back(dry.facts, entry.number, "x", By(doer="BT")) == Refused(
        what="161-A01 stays",
        rule="only the finder takes back alone, no X, and nothing that others have acted on",
        who_could="two people, by `hardstand defect void`",
    )


def test_what_others_have_acted_on_stays_when_its_finder_takes_the_answer_back() -> None:
    dry = DryWalk().walk(until="call", volts=Reply(value="21"))
    (entry,) = dry.facts.open
    graver = b.SymbolRaised(number=entry.number, symbol="-", reason="x", by=By(doer="MS"),
                            seen=entry.seen)  # fmt: skip
    dry.write([graver])
    dry.entries[-1] = seal(dry.entries[-1]._replace(author="MS", digest=b""))
    dry.undo("volts")
    assert [e.symbol for e in dry.facts.open] == ["-"]


def test_a_defect_seen_elsewhere_stays_when_the_answer_before_it_is_taken_back() -> None:
    dry = DryWalk().walk(until="volts")
    dry.write([b.DefectRaised(number="161-A01", symbol="/", text="strut leaks", by=IO)])
    dry.undo("power")
    assert [e.number for e in dry.facts.open] == ["161-A01"]


def test_a_dash_that_another_skipped_step_still_needs_stays_after_undo() -> None:
    dry = DryWalk().walk(until="call", hear=SKIPPED, tune=SKIPPED)
    dry.undo("hear")
    assert [e.untested for e in dry.facts.open] == [("rx",)]
    dry.undo("tune")
    assert [e.untested for e in dry.facts.open] == [("rx",)]


@pytest.mark.parametrize("step", ["call", "hear"])
def test_taking_one_answer_back_after_a_fault_that_passed_over_many_keeps_their_dash(
    step: str,
) -> None:
    dry = DryWalk().walk(until="off", gate=FAULT)
    dry.undo(step)
    assert [e.untested for e in dry.facts.open if e.untested] == [("TR", "rx", "tx")]


def test_a_dash_goes_when_the_only_answer_behind_it_is_taken_back() -> None:
    dry = DryWalk().walk(until="tune", hear=SKIPPED)
    dry.undo("hear")
    assert dry.facts.open == ()


# -- putting back ----------------------------------------------------------------------------------


def test_a_line_is_answered_with_the_position_seen_and_the_same_position_writes_nothing() -> None:
    dry = DryWalk().walk(until="shut")
    assert put_back(dry.state, dry.facts, "panel", "OPEN", IO) == ()
    found = put_back(dry.state, dry.facts, "panel", "SHUT", IO)
    assert not isinstance(found, Refused)
    dry.write(found)
    assert dry.facts.line("panel") is None


def test_what_has_no_open_line_cannot_be_put_back() -> None:
    dry = DryWalk()
    assert put_back(dry.state, dry.facts, "panel", "SHUT", IO) == Refused(
        what="panel has no open line at QM-161"
    )


def test_functions_units_and_anything_else_are_told_by_their_titles() -> None:
    assert titles(DryWalk().state, ("rx", "TR", "step sign")) == (
        "receive, transmitter-receiver, step sign"
    )


def test_a_walk_made_on_paper_counts_from_when_it_was_made_whoever_closes_it() -> None:
    late = b.Late(made_at="2027-03-08T08:00:00Z", typist="MS")
    dry = DryWalk().walk()
    dry.state = replace(dry.state, late=late)
    assert _closed(dry).by == replace(IO, late=late)
