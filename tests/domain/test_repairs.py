"""Smallest repairs and minimal causes, against the printed table, brute force and each other."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given

from domain.readings.blocks import block
from domain.structures import FUNCTIONS, MISSIONS, Case, cases, defects, sets
from hardstand.domain.capability import InTheWay, Levels, answer, caps_of, has
from hardstand.domain.repairs import causes, repairs, unproved

_ROWS = block("required_capability")[1]


def _said(found: tuple[tuple[str, ...], ...]) -> set[frozenset[str]]:
    return {frozenset(names) for names in found}


@pytest.mark.parametrize("row", _ROWS, ids=lambda r: f"{r['airframe']} {r['mission']}")
def test_an_airframe_of_the_table_is_mended_as_printed(row: dict[str, str]) -> None:
    things, wanted = defects(row["defects"]), MISSIONS[row["mission"]]
    if row["answer"] == "CANNOT":
        assert _said(repairs(FUNCTIONS, wanted, things).sets) == sets(row["repairs"])
        assert _said(causes(FUNCTIONS, wanted, things)) == sets(row["causes"])
    else:
        assert repairs(FUNCTIONS, wanted, things).sets == ((),)
        assert causes(FUNCTIONS, wanted, things) == ()
    if row["answer"] == "CAN WITH LIMITS":
        free = repairs(FUNCTIONS, wanted, things, free_of_limits=True)
        assert _said(free.sets) == sets(row["free_of_limits"])


def test_what_must_be_proved_is_a_repair_of_what_is_not_known() -> None:
    """Source: computations 3.3, prove {loop, LF} or {loop, spare}."""
    things = unproved(("loop aerial", "LF receiver", "spare LF receiver"))
    for name in ("cross-country", "night", "instrument"):
        found = repairs(FUNCTIONS, MISSIONS[name], things)
        assert found.sentence() == (
            "loop aerial with LF receiver, or loop aerial with spare LF receiver"
        )
    assert repairs(FUNCTIONS, MISSIONS["local day"], things).sentence() == "nothing need be cleared"


def test_a_set_that_lacks_what_is_wanted_is_not_mended() -> None:
    lost = (InTheWay(name="D1", caps={"crystal 1": 0}),)
    without = {name: tree for name, tree in FUNCTIONS.items() if name != "LF nav"} | {
        "LF nav": (1, ())
    }
    found = repairs(without, MISSIONS["night"], lost)  # type: ignore[arg-type]  # as JSON has it
    assert found.sentence() == "no repair gives it back: the fit does not have it"


def test_more_than_four_repairs_are_not_searched_for() -> None:
    things = tuple(InTheWay(name=f"D{i}", caps={f"u{i}": 0}) for i in range(5))
    structure = {"f": (5, tuple(f"u{i}" for i in range(5)))}
    wanted = MISSIONS["local day"].__class__(needs=(("f", 1),))
    found = repairs(structure, wanted, things)  # type: ignore[arg-type]  # as JSON has it
    assert found.sentence() == "more than 4 must be cleared"


@given(cases())
def test_repairs_are_the_smallest_of_all_sets_that_are_enough(case: Case) -> None:
    """Reference: every subset of the things, tried."""
    enough = [
        frozenset(t.name for t in cleared)
        for size in range(len(case.things) + 1)
        for cleared in itertools.combinations(case.things, size)
        if has(_levels(case, [t for t in case.things if t not in cleared]), case.wanted)
    ]
    found = repairs(case.structure, case.wanted, case.things, most=5)
    assert found.possible == bool(enough)
    least = min((len(s) for s in enough), default=0)
    assert _said(found.sets) == {s for s in enough if len(s) == least}


@given(cases())
def test_causes_are_all_the_sets_that_stop_and_none_of_whose_parts_do(case: Case) -> None:
    """Reference: every subset of the things, tried."""
    stops = [
        frozenset(t.name for t in present)
        for size in range(len(case.things) + 1)
        for present in itertools.combinations(case.things, size)
        if not has(_levels(case, present), case.wanted)
    ]
    minimal = {s for s in stops if not any(other < s for other in stops)}
    assert _said(causes(case.structure, case.wanted, case.things, most=5)) == minimal


@given(cases())
def test_repairs_are_the_smallest_sets_that_touch_every_cause(case: Case) -> None:
    """Law: minimal repairs are the minimal hitting sets of the causes (Reiter 1987)."""
    found = repairs(case.structure, case.wanted, case.things, most=5)
    every = causes(case.structure, case.wanted, case.things, most=5)
    if not found.possible:
        assert every == ((),)
        return
    names = [t.name for t in case.things]
    hits = [
        frozenset(chosen)
        for size in range(len(names) + 1)
        for chosen in itertools.combinations(names, size)
        if all(set(cause) & set(chosen) for cause in every)
    ]
    least = min(len(s) for s in hits)
    assert _said(found.sets) == {s for s in hits if len(s) == least}


@given(cases())
def test_what_is_repaired_can_be_flown(case: Case) -> None:
    for cleared in repairs(case.structure, case.wanted, case.things).sets:
        left = caps_of(t for t in case.things if t.name not in cleared)
        assert answer(case.structure, case.wanted, left).word in {"CAN", "CAN WITH LIMITS"}


def _levels(case: Case, present: list[InTheWay] | tuple[InTheWay, ...]) -> Levels:
    return Levels(case.structure, caps_of(present))
