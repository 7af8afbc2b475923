"""decide: what one answer writes, and that nothing becomes OK without its key, state or number."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builders import IO, checklist, step, steps
from dry_walk import WELL, DryWalk, plan
from hardstand.domain import bodies as b
from hardstand.domain.answering import REASONS, Reply, decide, expected_count, judge, missing
from hardstand.domain.bodies import Answer
from hardstand.domain.checklist import Bounds
from hardstand.domain.defects import Refused
from hardstand.domain.walk import begin


def _refused(found: object) -> Refused:
    assert isinstance(found, Refused)
    return found


def _first(found: tuple[b.Body, ...] | Refused) -> b.StepAnswered:
    assert not isinstance(found, Refused), found.what
    assert isinstance(found[0], b.StepAnswered)
    return found[0]


# -- OK --------------------------------------------------------------------------------------------


def test_the_key_o_is_ok_where_a_thing_is_looked_at_and_writes_nothing_else() -> None:
    dry = DryWalk().walk(until="plugs")
    assert dry.decide("plugs") == (b.StepAnswered(step="plugs", answer="OK", by=IO),)


replies = st.builds(
    Reply,
    key=st.sampled_from(["", "O", "F", "S", "N", "U", "X", "o"]),
    state=st.sampled_from(["", "OFF", "ON", "SHUT", "OPEN", "HALF"]),
    value=st.sampled_from(["", "9", "8", "24.5", "22.5", "22.49", "29", "29.01", "41", "-1", "x"]),
    earlier=st.sampled_from([(), ("41",), ("24.5",)]),
    reason=st.sampled_from(["", " ", "fuelling"]),
    evidence=st.sampled_from(["", "  ", "seen"]),
)


@given(st.sampled_from([s.id for s in steps()]), replies)
def test_no_step_is_ok_without_its_key_or_a_matching_state_or_reading(
    name: str, reply: Reply
) -> None:
    dry = DryWalk(tail="QM-164").walk(until=name)
    asked = dry.state.plan.checklist.step(name)
    found = dry.decide(name, reply)
    if isinstance(found, Refused) or _first(found).answer != "OK":
        return
    if asked.kind == "state":
        assert reply.state == asked.expect
    elif asked.kind == "reading":
        assert reply.value in {"24.5", "22.5", "29"}
    elif asked.kind == "count":
        assert reply.value.isdigit() if name == "tools" else reply.value == "9"
    else:
        assert reply.key == "O"
        assert not asked.evidence or reply.evidence.strip()


@given(replies)
def test_whatever_is_given_is_one_of_the_five_answers_or_refused(reply: Reply) -> None:
    dry = DryWalk().walk(until="plugs")
    found = judge(dry.state, dry.state.plan.checklist.step("plugs"), reply)
    assert isinstance(found, Refused) or found in get_args(Answer)


def test_nothing_given_answers_nothing() -> None:
    dry = DryWalk().walk(until="plugs")
    assert _refused(dry.decide("plugs", Reply())).what == "nothing was answered at step plugs"


def test_the_key_o_does_not_answer_a_state_or_a_reading() -> None:
    dry = DryWalk().walk(until="volts")
    assert _refused(dry.decide("safe", Reply(key="O"))) == Refused(
        what="step safe is answered with the position seen", hint="Positions: OFF, ON."
    )
    assert _refused(dry.decide("volts", Reply(key="O"))) == Refused(
        what="'' is no number this step can take",
        hint="Digits with at most one point, in V, such as 12 or 12 V. Nothing is converted.",
    )


@pytest.mark.hf("WCN-07")
def test_a_gate_without_its_evidence_is_not_passed() -> None:
    dry = DryWalk().walk(until="gate")
    for evidence in ("", "   "):
        refused = _refused(dry.decide("gate", Reply(key="O", evidence=evidence)))
        assert refused.what == "Step 1.03 needs words: who is near"
    assert _first(dry.decide("gate")).evidence == "BT at the wing tip"


# -- states, readings, counts ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("value", "answer"),
    [("22.5", "OK"), ("22.50", "OK"), ("29", "OK"), ("22.4", "FAULT"), ("29.0001", "FAULT"),
     ("0", "FAULT"), ("40", "FAULT")],
)  # fmt: skip
def test_a_reading_is_held_to_its_limits_and_both_ends_belong_to_them(
    value: str, answer: str
) -> None:
    dry = DryWalk().walk(until="volts")
    given_ = _first(dry.decide("volts", Reply(value=value)))
    assert (given_.answer, given_.value, given_.unit) == (answer, value, "V")


def test_a_number_the_meter_cannot_show_is_asked_again_and_then_believed() -> None:
    dry = DryWalk().walk(until="volts")
    refused = _refused(dry.decide("volts", Reply(value="245")))
    assert refused == Refused(
        what="245 V is outside what this meter can show",
        hint="Look at the meter again and give what it shows now.",
    )
    again = _first(dry.decide("volts", Reply(value="245", earlier=("245",))))
    assert (again.answer, again.earlier) == ("FAULT", ("245",))


@pytest.mark.parametrize("value", ["2.45", "22.49", "42.5", "240"])
def test_a_number_that_may_be_a_slip_is_looked_at_again_and_both_are_kept(value: str) -> None:
    listed = [replace(s, possible=None) if s.id == "volts" else s for s in steps()]
    dry = DryWalk(listed=checklist(listed=listed)).walk(until="volts")
    refused = _refused(dry.decide("volts", Reply(value=value)))
    assert refused == Refused(
        what=f"{value} V is noted", hint="Look at the meter again and give what it shows now."
    )
    fresh = _first(dry.decide("volts", Reply(value="24.5", earlier=(value,))))
    assert (fresh.answer, fresh.value, fresh.earlier) == ("OK", "24.5", (value,))
    same = _first(dry.decide("volts", Reply(value=value, earlier=(value,))))
    assert (same.answer, same.value) == ("FAULT", value)


@pytest.mark.parametrize("value", ["24500", "0.0245"])
def test_a_number_in_a_unit_a_thousand_times_off_is_refused_and_never_converted(
    value: str,
) -> None:
    possible = Bounds(low=Decimal(10), high=Decimal(40))
    listed = [replace(s, possible=possible) if s.id == "volts" else s for s in steps()]
    dry = DryWalk(listed=checklist(listed=listed)).walk(until="volts")
    for earlier in ((), (value,)):
        refused = _refused(dry.decide("volts", Reply(value=value, earlier=earlier)))
        assert refused == Refused(
            what=f"{value} is refused: the unit of this step is V",
            hint="Example: 10. Nothing is converted.",
        )


@pytest.mark.parametrize("value", ["", "24,5", "+24", "24.", "x", "٢٤", "9" * 21])
def test_what_is_no_number_is_refused_in_full_up_to_20_characters(value: str) -> None:
    dry = DryWalk().walk(until="volts")
    refused = _refused(dry.decide("volts", Reply(value=value)))
    assert refused.what == f"{value[:20]!r} is no number this step can take"


def test_a_position_not_expected_is_a_fault_and_the_item_is_where_it_was_seen() -> None:
    dry = DryWalk()
    dry.give("tools")
    answer, moved, raised = dry.give("safe", Reply(state="ON"))
    assert isinstance(answer, b.StepAnswered)
    assert (answer.answer, answer.state) == ("FAULT", "ON")
    assert isinstance(moved, b.LineMoved)
    assert (moved.item, moved.from_, moved.to) == ("battery", "OFF", "ON")
    assert isinstance(raised, b.DefectRaised)
    assert (raised.number, raised.symbol, raised.text, raised.stub) == (
        "161-A01", "/", "fault at: Do safe; seen ON", True,
    )  # fmt: skip


def test_a_position_that_the_panel_does_not_have_is_refused() -> None:
    assert _refused(DryWalk().decide("safe", Reply(state="HALF"))).hint == "Positions: OFF, ON."


def test_a_first_count_takes_what_is_counted_and_the_last_must_equal_it() -> None:
    dry = DryWalk()
    _, moved = dry.give("tools", Reply(value="12"))
    assert isinstance(moved, b.LineMoved)
    assert (moved.item, moved.to) == ("tools", "12")
    dry.walk(until="count")
    count = dry.state.plan.checklist.step("count")
    assert expected_count(dry.state, count) == 12
    assert _first(dry.decide("count", Reply(value="11"))).answer == "FAULT"
    assert _first(dry.decide("count", Reply(value="12"))).answer == "OK"


@pytest.mark.parametrize("value", ["-1", "1.5"])
def test_no_part_of_a_piece_and_fewer_than_none_is_a_count(value: str) -> None:
    refused = _refused(DryWalk().decide("tools", Reply(value=value)))
    assert refused == Refused(what=f"{value!r} is no count", hint="A whole number, such as 12.")


def test_a_count_of_none_is_a_count() -> None:
    assert _first(DryWalk().decide("tools", Reply(value="0"))).answer == "OK"


def test_a_count_expected_in_words_of_the_airframe_type_is_held_to_it() -> None:
    listed = checklist(listed=(step("screws", "bay", "count", expect="{bay.panel}"),))
    state = begin(plan(listed=listed), walk="A1", airframe="QM-161", items={})
    assert expected_count(state, listed.step("screws")) == 7


# -- the other four --------------------------------------------------------------------------------


def test_fault_raises_its_entry_in_the_same_decision_with_what_the_list_says_it_takes() -> None:
    dry = DryWalk().walk(until="plugs")
    answer, raised = dry.give("plugs", Reply(key="F"))
    assert isinstance(answer, b.StepAnswered)
    assert answer.answer == "FAULT"
    assert raised == b.DefectRaised(
        number="161-A01", symbol="X", text="plug not home", takes=("rx", "tx"), step="plugs",
        zone="bay", place="at plugs", unit="TR", serial="T-5", stub=True, by=IO,
    )  # fmt: skip


def test_the_finders_words_are_the_text_of_the_entry() -> None:
    dry = DryWalk().walk(until="plugs")
    raised = dry.give("plugs", Reply(key="F", words="plug P2 turns by hand"))[1]
    assert isinstance(raised, b.DefectRaised)
    assert (raised.text, raised.stub) == ("plug P2 turns by hand", False)


def test_a_reading_out_of_limits_says_the_number() -> None:
    dry = DryWalk().walk(until="volts")
    raised = dry.give("volts", Reply(value="21"))[1]
    assert isinstance(raised, b.DefectRaised)
    assert (raised.text, raised.value) == ("bus volts; 21 V", "21 V")
    assert (raised.symbol, raised.weakens) == ("-", ("tx",))


@pytest.mark.parametrize("key", ["S", "N"])
@pytest.mark.parametrize("reason", ["", "  "])
def test_skipped_and_not_fitted_need_a_reason(key: str, reason: str) -> None:
    dry = DryWalk().walk(until="plugs")
    word = {"S": "SKIPPED", "N": "NOT FITTED"}[key]
    refused = _refused(dry.decide("plugs", Reply(key=key, reason=reason)))
    assert refused.what == f"{word} needs a reason"


@pytest.mark.parametrize("key", ["o", "Q", "C", "OF"])
def test_another_key_is_no_answer(key: str) -> None:
    dry = DryWalk().walk(until="plugs")
    refused = _refused(dry.decide("plugs", Reply(key=key)))
    assert refused == Refused(what=f"{key} is no answer", hint="Answers: O F S N U.")


def test_skipped_opens_one_dash_for_the_function_and_later_ones_extend_it() -> None:
    dry = DryWalk().walk(until="hear")
    raised = dry.give("hear", Reply(key="S", reason="no station on the air"))[1]
    assert raised == b.DefectRaised(
        number="161-A01", symbol="-", text="receive not tested: no station on the air",
        untested=("rx",), step="hear", zone="test", place="at hear", by=IO,
    )  # fmt: skip
    dash = dry.facts.open[0]
    extended = dry.give("tune", Reply(key="S", reason="no time"))[1]
    assert extended == b.DefectExtended(
        number="161-A01", text="receive not tested: no time", step="tune", by=IO, seen=dash.heads
    )
    assert [e.number for e in dry.facts.open] == ["161-A01"]


def test_a_step_that_proves_nothing_leaves_a_dash_for_itself() -> None:
    dry = DryWalk().walk(until="sign")
    raised = dry.give("sign", Reply(key="S", reason="no time"))[1]
    assert isinstance(raised, b.DefectRaised)
    assert (raised.text, raised.untested) == ("Do sign not tested: no time", ("step sign",))


def test_unsure_opens_a_dash_with_what_is_not_sure() -> None:
    dry = DryWalk().walk(until="hear")
    raised = dry.give("hear", Reply(key="U", words="signal comes and goes"))[1]
    assert isinstance(raised, b.DefectRaised)
    assert (raised.symbol, raised.text) == ("-", "receive: not sure: signal comes and goes")


def test_not_fitted_opens_a_dash_that_only_its_own_step_can_close() -> None:
    dry = DryWalk().walk(until="hear")
    raised = dry.give("hear", Reply(key="N", reason="removed, place is empty"))[1]
    assert isinstance(raised, b.DefectRaised)
    assert raised.text == "fit not as recorded, receive not fitted: removed, place is empty"
    assert raised.untested == ("rx", "step hear")
    dry.walk().finish()
    assert dry.state.outcome == "finished"
    assert [(e.number, e.untested) for e in dry.facts.open] == [("161-A01", ("step hear",))]
    later = DryWalk(before=tuple(dry.entries)).walk()
    later.finish()
    assert later.facts.open == ()


def test_not_fitted_on_a_step_that_proves_nothing_leaves_no_entry() -> None:
    dry = DryWalk().walk(until="sign")
    assert len(dry.give("sign", Reply(key="N", reason="not in this fit"))) == 1


def test_the_last_reason_for_skipping_asks_for_words() -> None:
    assert REASONS[-1] == "other"
    assert len(REASONS) == 8


# -- what must come first --------------------------------------------------------------------------


def test_a_step_is_not_ok_before_what_must_come_first_but_may_be_anything_else() -> None:
    dry = DryWalk()
    power = dry.state.plan.checklist.step("power")
    assert missing(dry.state, power) == "step 1.03 comes first"
    refused = _refused(dry.decide("power"))
    assert refused == Refused(
        what="Step 3.01 cannot be OK now: step 1.03 comes first",
        hint="Z takes the last answer back; S skips this step with a reason.",
    )
    assert _first(dry.decide("power", Reply(state="OFF"))).answer == "FAULT"
    assert _first(dry.decide("power", Reply(key="S", reason="no time"))).answer == "SKIPPED"


def test_a_gate_not_passed_keeps_its_steps_from_ok() -> None:
    dry = DryWalk()
    dry.give("tools")
    dry.give("safe")
    dry.give("gate", Reply(key="S", reason="fuelling"))
    power = dry.state.plan.checklist.step("power")
    assert missing(dry.state, power) == "the gate 1.03 was not passed"


def test_an_item_that_does_not_stand_as_it_must_keeps_a_step_from_ok() -> None:
    dry = DryWalk()
    plugs = dry.state.plan.checklist.step("plugs")
    assert missing(dry.state, plugs) == "panel 7 is recorded SHUT, it must be OPEN"


def test_a_step_that_does_not_apply_here_stands_in_nobodys_way() -> None:
    listed = checklist(
        listed=(step("wing", "bay", applies_if="high_wing"), step("tip", "bay", after=("wing",)))
    )
    low = begin(plan("QM-161", listed), walk="A1", airframe="QM-161", items={})
    high = begin(plan("QM-164", listed), walk="A1", airframe="QM-164", items={})
    assert missing(low, listed.step("tip")) == ""
    assert missing(high, listed.step("tip")) == "step 2.01 comes first"


# -- items -----------------------------------------------------------------------------------------


def _moves(found: tuple[b.Body, ...] | Refused) -> list[tuple[str, str]]:
    assert not isinstance(found, Refused)
    return [(x.item, x.to) for x in found if isinstance(x, b.LineMoved)]


def test_an_item_moves_as_the_list_says_only_on_ok() -> None:
    dry = DryWalk().walk(until="open")
    assert _moves(dry.decide("open")) == [("panel", "OPEN")]
    assert _moves(dry.decide("open", Reply(key="S", reason="no time"))) == []


@pytest.mark.parametrize("key", ["F", "U"])
def test_a_fault_or_doubt_is_taken_carefully_away_counts_as_done_and_home_does_not(
    key: str,
) -> None:
    dry = DryWalk().walk(until="open")
    assert _moves(dry.decide("open", Reply(key=key))) == [("panel", "OPEN")]
    dry.give("open")
    dry.walk(until="shut")
    assert _moves(dry.decide("shut", Reply(key=key))) == []
    assert _moves(dry.decide("shut")) == [("panel", "SHUT")]


def test_a_move_names_the_panel_of_this_airframe_and_what_its_author_had_seen() -> None:
    dry = DryWalk(tail="QM-164").walk(until="shut")
    (moved,) = (x for x in dry.give("shut") if isinstance(x, b.LineMoved))
    opened = next(e for e in dry.entries if e.kind == "ledger.moved" and b"panel" in e.body)
    assert moved.title == "panel 9"
    assert moved.seen == (opened.digest.hex(),)


def test_every_step_of_the_list_can_be_answered_well() -> None:
    dry = DryWalk(tail="QM-164").walk()
    assert {dry.state.answer(s.id) for s in steps()} == {"OK"}
    assert set(WELL) == {s.id for s in steps() if s.kind in {"state", "reading", "count"}} | {
        s.id for s in steps() if s.evidence
    }
    found = decide(dry.state, dry.facts, steps()[1], Reply(state="OFF"), device="A", by=IO)
    assert _first(found).answer == "OK"
