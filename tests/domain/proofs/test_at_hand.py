"""What can be done here, before leaving and while waiting."""

from __future__ import annotations

import pytest

from domain.proofs.tables import checklist, fit, item, step
from hardstand.domain.at_hand import Leaving, Now, before_leaving, can_be_done, while_waiting

KIT = fit(
    {
        "panel": item(
            ["panel", "access", "closed", "", "closed > open; open > closed with power off at bay"]
        ),
        "stand": item(["stand", "placed", "away", "", "away > placed; placed > away at antenna"]),
        "power": item(["power", "energy", "off", "hazard", "off > on; on > off at cockpit"]),
    },
    [{"stand": "placed", "power": "on"}],
)
STEPS = checklist(
    [
        step("gate", "bay", kind="gate"),
        step("open", "bay", sets={"panel": "open"}),
        step("look", "bay", must_be={"panel": "open"}),
        step("wide", "bay", applies_if="high_wing"),
        step("mast", "antenna"),
        step("put", "antenna", sets={"stand": "placed"}, kind="set"),
        step("hear", "cockpit", kind="listen", beside=("antenna",), sets={"power": "on"}),
        step("key", "cockpit", kind="transmit", after=("gate",)),
        step("lamp", "cockpit", must_be={"power": "on"}),
        step("clean", "cockpit"),
    ]
)


def test_before_leaving_the_gaps_the_rest_and_what_is_away_here_are_named() -> None:
    now = Now(answers={"open": "OK", "look": "SKIPPED"}, items={"panel": "open"})
    assert before_leaving(STEPS, KIT, "bay", now) == Leaving(
        gaps=("look",), unanswered=("gate",), away=("panel",)
    )


def test_a_gap_that_cannot_be_done_now_is_not_offered() -> None:
    now = Now(answers={"gate": "OK", "open": "SKIPPED", "look": "SKIPPED"}, items={})
    assert before_leaving(STEPS, KIT, "bay", now).gaps == ("open",)


def test_an_item_whose_way_home_is_barred_is_not_offered() -> None:
    now = Now(answers={}, items={"panel": "open", "power": "on"})
    assert before_leaving(STEPS, KIT, "bay", now).away == ()


def test_a_step_of_another_airframe_type_is_offered_only_there() -> None:
    wide = STEPS.step("wide")
    assert not can_be_done(wide, STEPS, KIT, Now(answers={}, items={}))
    assert can_be_done(wide, STEPS, KIT, Now(answers={}, items={}, facts=("high_wing",)))


def test_a_step_that_would_bring_about_what_the_fit_forbids_is_not_offered() -> None:
    now = Now(answers={}, items={"power": "on"})
    assert not can_be_done(STEPS.step("put"), STEPS, KIT, now)


@pytest.mark.parametrize(
    ("answer", "passed"),
    [("OK", True), ("NOT FITTED", True), ("FAULT", False), ("UNSURE", False), ("SKIPPED", False)],
)
def test_what_comes_after_a_gate_needs_the_gate_passed(answer: str, passed: bool) -> None:
    now = Now(answers={"gate": answer}, items={})
    assert can_be_done(STEPS.step("key"), STEPS, KIT, now) is passed


def test_while_listening_visual_steps_beside_and_steps_here_are_offered() -> None:
    now = Now(answers={"gate": "OK"}, items={})
    assert while_waiting(STEPS, KIT, STEPS.step("hear"), now) == ("mast", "clean")


def test_while_waiting_nothing_that_asks_about_the_waiting_item_is_offered() -> None:
    now = Now(answers={"gate": "OK"}, items={"power": "on"})
    assert "lamp" not in while_waiting(STEPS, KIT, STEPS.step("hear"), now)
