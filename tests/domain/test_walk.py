"""Where a walk stands: the fold of its lines, whatever order time or people bring."""

from __future__ import annotations

from builders import IO, TAIL, checklist, step, steps
from dry_walk import DryWalk, plan
from hardstand.domain import bodies as b
from hardstand.domain.answering import Reply
from hardstand.domain.walk import begin, replay


def test_a_walk_begins_with_everything_home_and_its_first_step() -> None:
    state = begin(plan(), walk="A1", airframe=TAIL, items={})
    first = state.next_step()
    assert first is not None
    assert first.id == "tools"
    assert state.items == {"battery": "OFF", "panel": "SHUT", "tools": "0"}
    assert state.away() == ()
    assert state.last_three == ()


def test_a_walk_begins_with_what_the_aircraft_already_has_away() -> None:
    state = begin(plan(), walk="A1", airframe=TAIL, items={"panel": "OPEN", "line-A1-3": "MOVED"})
    assert state.items["panel"] == "OPEN"
    assert state.away() == ("panel",)
    assert "line-A1-3" not in state.items


def test_steps_are_asked_in_the_order_of_the_list_and_those_that_do_not_apply_never() -> None:
    low, high = DryWalk(), DryWalk(tail="QM-164")
    every = [s.id for s in steps()]
    assert [s.id for s in high.state.plan.steps] == every
    assert [s.id for s in low.state.plan.steps] == [name for name in every if name != "wing"]
    low.walk()
    assert list(low.state.given) == [name for name in every if name != "wing"]


def test_not_before_a_fact_turns_the_condition_round() -> None:
    listed = checklist(
        listed=(step("low", "log", applies_if="not high_wing"),
                step("high", "log", applies_if="high_wing"))
    )  # fmt: skip
    assert [s.id for s in plan("QM-161", listed).steps] == ["low"]
    assert [s.id for s in plan("QM-164", listed).steps] == ["high"]


def test_marks_are_filled_from_the_airframe_type() -> None:
    low, high = plan("QM-161"), plan("QM-164")
    assert low.fill("panel {bay.panel}") == "panel 7"
    assert high.fill("panel {bay.panel}") == "panel 9"
    assert low.fill("panel {bay.door}, {nose}") == "panel {bay.door}, {nose}"


def test_replaying_the_lines_of_a_walk_gives_the_state_it_had() -> None:
    dry = DryWalk().walk(until="call", plugs=Reply(key="F"), hear=Reply(key="U"))
    again = replay(begin(plan(), walk="A1", airframe=TAIL, items={}), dry.entries)
    assert again == dry.state


def test_an_answer_given_again_counts_once_and_is_the_newest() -> None:
    dry = DryWalk().walk(until="plugs")
    dry.undo("safe")
    dry.give("safe")
    assert [g.body.step for g in dry.state.last_three] == ["gate", "open", "safe"]
    nxt = dry.state.next_step()
    assert nxt is not None
    assert nxt.id == "plugs"


def test_a_step_taken_back_is_asked_again_before_later_ones() -> None:
    dry = DryWalk().walk(until="call")
    dry.undo("safe")
    nxt = dry.state.next_step()
    assert nxt is not None
    assert nxt.id == "safe"


def test_skipped_steps_are_gaps_and_answers_at_once() -> None:
    dry = DryWalk().walk(until="call", hear=Reply(key="S", reason="fuelling"))
    assert [s.id for s in dry.state.gaps()] == ["hear"]
    assert [s.id for s in dry.state.gaps("test")] == ["hear"]
    assert dry.state.gaps("bay") == ()


def test_a_break_ends_with_a_resume_or_with_an_answer() -> None:
    dry = DryWalk().walk(until="plugs")
    left, back = b.WalkBroken(step="plugs", by=IO), b.WalkResumed(step="", looked_at=(), by=IO)
    seen = []
    for bodies in ([left], [back], [left], dry.decide("plugs")):
        assert isinstance(bodies, list | tuple)
        dry.write(bodies)
        seen.append(dry.state.broken)
    assert seen == [True, False, True, False]


def test_only_entries_written_with_an_answer_are_tied_to_it() -> None:
    dry = DryWalk().walk(until="shut", plugs=Reply(key="F"))
    elsewhere = b.DefectRaised(number="161-A02", symbol="X", text="strut leaks", by=IO)
    dry.write([elsewhere])
    digest = dry.state.given["plugs"].digest
    assert dry.state.raised == {digest: ("161-A01",)}


def test_steps_have_sayable_numbers_by_zone_and_place() -> None:
    listed = checklist()
    numbers = [listed.number(s.id) for s in listed.steps]
    assert numbers[:4] == ["1.01", "1.02", "1.03", "2.01"]
    assert numbers[-3:] == ["4.01", "4.02", "5.01"]
