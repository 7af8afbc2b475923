"""What a revision asks more, what it changed, and what must be walked again for it."""

from __future__ import annotations

from dataclasses import fields, replace
from decimal import Decimal
from typing import Any

import pytest

from domain.proofs.random_lists import Dice, random_fit, random_list
from domain.proofs.sound_list import FIT, SOUND, with_step, without
from domain.proofs.tables import step, table
from hardstand.domain.checklist import Bounds, Checklist, Step
from hardstand.domain.ledger_proof import offences
from hardstand.domain.retest import part
from hardstand.domain.revision import (
    ASKED,
    Burden,
    Changes,
    burden,
    changed_steps,
    changes,
    mark_of,
    measures,
    unexplained,
    walk_again,
)


def test_the_burden_counts_steps_minutes_warnings_words_and_gates() -> None:
    """The sound list by hand: 17 steps of a minute, 10 + 3 warnings, one gate that asks words."""
    assert burden(SOUND) == Burden(steps=17, minutes=Decimal(17), warnings=13, free_text=1, gates=1)


def _with_steps(count: int, reason: str = "") -> Checklist:
    more = tuple(step(f"more-{n}", "bay") for n in range(count))
    return replace(SOUND, steps=(*SOUND.steps, *more), revision="2", revision_reason=reason)


@pytest.mark.parametrize(
    ("more", "named"), [(0, []), (1, []), (2, ["steps", "minutes"]), (9, ["steps", "minutes"])]
)
def test_growth_of_over_a_tenth_is_named_unless_its_reason_is_given(
    more: int, named: list[str]
) -> None:
    """17 steps: one more is 5.9 percent, two are 11.8."""
    assert [m.name for m in unexplained(SOUND, _with_steps(more))] == named
    assert unexplained(SOUND, _with_steps(more, "the finding of 3 March")) == ()
    assert [m.name for m in unexplained(SOUND, _with_steps(more, "  "))] == named


def test_exactly_a_tenth_needs_no_reason_and_from_nothing_everything_does() -> None:
    ten = replace(SOUND, steps=SOUND.steps[:10])
    eleven = replace(ten, steps=(*ten.steps, step("eleven", "bay")))
    assert [m.name for m in measures(ten, eleven) if m.too_much] == []
    bare = replace(SOUND, steps=tuple(s for s in SOUND.steps if s.kind != "gate"))
    assert [m.name for m in measures(bare, SOUND) if m.too_much] == ["free text", "gates"]


def test_a_list_that_shrank_needs_no_reason() -> None:
    assert unexplained(_with_steps(9), SOUND) == ()


_SAID: dict[str, Any] = {
    "minutes": Decimal(3), "why": "Another reason.", "ref": "2-2", "note": ("Say so.",),
    "repeat_at_end": True, "wait_s": 9,
}  # fmt: skip


@pytest.mark.parametrize("name", _SAID)
def test_teaching_references_and_minutes_leave_an_answer_good(name: str) -> None:
    assert changed_steps(SOUND, with_step("mast", **{name: _SAID[name]})) == ()


_ASKED: dict[str, Any] = {
    "do": "Push the mast hard.", "place": "the tail", "good": "Nothing moves at all.",
    "bad": "It creaks.", "must_be": {"stand": "PLACED"}, "sets": {"panel": "CLOSED"},
    "proves": ("talk",), "applies_if": "high_wing", "kind": "record", "touch": "the mast",
    "evidence": "who saw it", "unit": "mm", "accept": Bounds(low=Decimal(1), high=Decimal(2)),
    "judge": {"name": "ident_match"}, "expect": "12", "verify": "witness", "hold": True,
}  # fmt: skip


@pytest.mark.parametrize("name", _ASKED)
def test_what_a_step_asks_makes_its_answer_old(name: str) -> None:
    assert changed_steps(SOUND, with_step("mast", **{name: _ASKED[name]})) == ("mast",)


def test_every_field_of_a_step_is_either_asked_or_known_to_leave_an_answer_good() -> None:
    """A field that comes later must be sorted into one of the two, here."""
    leaves = {
        "zone", "why", "ref", "critical", "minutes", "wait_s", "causes", "warning", "caution",
        "note", "stale_after_min", "no_break", "after", "if_fault", "beside", "repeat_at_end",
        "read_first", "on_fault", "shows", "answered",
    }  # fmt: skip
    assert {f.name for f in fields(Step)} == leaves | set(ASKED)
    assert leaves & set(ASKED) == set()


def test_an_added_step_is_changed_and_a_removed_one_is_not_there() -> None:
    assert changed_steps(without("mast"), SOUND) == ("mast",)
    assert changed_steps(SOUND, without("mast")) == ()


def test_a_changed_test_is_walked_with_its_gate_its_power_and_its_way_home() -> None:
    new = with_step("volts", accept=Bounds(low=Decimal(24), high=Decimal(28)))
    assert walk_again(SOUND, new, FIT) == ("dead", "gate", "on", "volts", "off")


def test_delta_of_vector_w1_is_its_retest_list() -> None:
    """Computations 10b: a6 changed means a2 a5 a6 a11 a12."""
    listed, kit = table("proof_w1.txt")
    steps = tuple(replace(s, good="Cleaner.") if s.id == "a6" else s for s in listed.steps)
    assert walk_again(listed, replace(listed, steps=steps), kit) == ("a2", "a5", "a6", "a11", "a12")


@pytest.mark.parametrize("seed", range(120))
def test_the_part_to_walk_again_puts_back_what_the_whole_does(seed: int) -> None:
    """Projection lemma of computations 10b, over revisions: no ledger finding without skips."""
    dice = Dice(seed)
    kit = random_fit(dice)
    old = random_list(dice, kit)
    if any(o.code in {"HS301", "HS304"} for o in offences(old, kit).offences):
        return
    picked = dice.pick(old.steps).id
    steps = tuple(replace(s, good="Cleaner.") if s.id == picked else s for s in old.steps)
    new = replace(old, steps=steps)
    again = walk_again(old, new, kit)
    assert picked in again
    found = offences(part(new, again), kit).offences
    assert {o.code for o in found} & {"HS301", "HS304"} == set()


def test_what_an_author_did_is_told_step_by_step() -> None:
    new = without("bond")
    order = [s.id for s in new.steps]
    order.insert(order.index("climb"), order.pop(order.index("down")))
    steps = {s.id: s for s in new.steps} | {
        "mast": replace(SOUND.step("mast"), why="Air load.", good="Firm."),
    }
    new = replace(new, steps=(*(steps[i] for i in order), step("late", "close")))
    assert changes(SOUND, new) == Changes(
        added=("late",), removed=("bond",), moved=("down",), edited=(("mast", ("why", "good")),)
    )


def test_what_an_author_did_outside_the_steps_is_told_too() -> None:
    zones = (replace(SOUND.zones[0], warning=()), *SOUND.zones[2:])
    manual = replace(SOUND.manual, revision="99")
    new = replace(SOUND, zones=zones, manual=manual, tools=("torch",))
    found = changes(SOUND, new)
    assert found.zones == ((SOUND.zones[0].id, ("warning",)),)
    assert found.listed == ("manual", "tools", "zones")
    assert not found.nothing
    assert changes(SOUND, SOUND).nothing


def test_two_steps_that_ask_the_same_have_one_mark() -> None:
    mast = SOUND.step("mast")
    assert mark_of(mast) == mark_of(replace(mast, why="Otherwise."))
    assert mark_of(mast) != mark_of(replace(mast, do="Push."))
