"""What the checks of a list can show, against computations 10a and in the words of the lint."""

from __future__ import annotations

from dataclasses import replace

import pytest

from domain.proofs.models import checks, leaves, model
from domain.proofs.tables import checklist, fit, functions, item, names, sections, step, units
from hardstand.domain.checklist import Checklist, Control, Fit
from hardstand.domain.coverage import (
    alike,
    checks_of,
    cover,
    hidden,
    only_where,
    units_behind,
    unproved,
)

ROWS = sections("proof_model.txt")
NAMED = names(ROWS["checks"][0][0])


def test_hidden_units_of_computations_10a() -> None:
    assert set(hidden(checks(*NAMED))) == set(names(ROWS["hidden"][0][0]))


def test_one_direct_check_of_each_hides_none() -> None:
    """Computations 10a: adding one direct check of each hidden unit leaves none hidden."""
    direct = checks(*NAMED)
    lost = names(ROWS["hidden"][0][0])
    more = replace(
        direct,
        names=(*direct.names, *lost),
        good=lambda gone: (*direct.good(gone), *(u not in gone for u in lost)),
    )
    assert hidden(more) == ()


def test_units_alike_of_computations_10a() -> None:
    assert alike(checks(*NAMED)) == (tuple(names(ROWS["alike"][0][0])),)


def test_the_model_has_the_sixteen_units_of_computations_12a() -> None:
    assert len(checks(*NAMED).units) == 16
    assert len({u for e in model().values() for u in leaves(e)} - set(model())) == 16


KIT = fit(
    {"plug": item(["plug", "disconnected", "in", "", "in > out; out > in"])},
    units=units("RX", "TX", "AMP", "SPARE"),
    functions=functions(hear="RX, AMP", call="TX, AMP", both="hear, call"),
    controls={"talk": Control(plate="PRESS-TO-TALK", unit="TX"), "lamp": Control(plate="LAMP")},
)


def _found(steps: Checklist, kit: Fit = KIT) -> list[tuple[str, str, str, str, str]]:
    return [(f.code, f.level, f.step, f.field, f.message) for f in cover(steps, kit)]


def test_units_behind_follow_functions_and_controls() -> None:
    assert units_behind("both", KIT) == {"RX", "TX", "AMP"}
    assert units_behind("talk", KIT) == {"TX"}
    assert units_behind("lamp", KIT) == frozenset()


def test_nothing_proves_is_asked_of_functions_units_and_controls() -> None:
    steps = checklist([step("a", proves=("hear", "RX")), step("b", proves=("talk",))])
    assert unproved(steps, KIT) == ("call", "both", "TX", "AMP", "SPARE", "lamp")


def test_each_gap_is_told_with_its_way_out() -> None:
    steps = checklist([step("a", proves=("hear",)), step("b", proves=("lamp",))])
    assert _found(steps) == [
        (
            "HS322",
            "error",
            "",
            "fit.units.TX",
            "Nobody would notice if TX alone failed: every check would still be good.",
        ),
        ("HS321", "error", "", "fit.units.SPARE", "Nothing in the list proves SPARE."),
        (
            "HS323",
            "advice",
            "",
            "fit.units.RX",
            "If one of RX, AMP failed, the checks could not tell which.",
        ),
        (
            "HS321",
            "advice",
            "",
            "fit.controls.talk",
            "Nothing in the list proves the control PRESS-TO-TALK.",
        ),
    ]
    assert cover(steps, KIT)[0].hint == (
        "Add TX to proves of a step that would fail without it, or add such a step."
    )


FULL = (
    step("a", proves=("hear", "lamp")),
    step("b", proves=("call", "talk")),
    step("c", proves=("RX",)),
    step("d", proves=("SPARE",)),
)


def test_a_list_that_shows_everything_has_no_gap() -> None:
    assert _found(checklist(FULL)) == []
    assert checks_of(checklist(FULL), KIT).good(frozenset({"AMP"})) == (False, False, True, True)


def test_a_function_proved_under_a_fact_alone_is_an_error_and_under_both_ways_is_not() -> None:
    under = replace(FULL[0], applies_if="high_wing")
    steps = checklist([under, *FULL[1:]])
    assert _found(steps) == [
        ("HS324", "error", "a", "proves", "hear is proved only where high_wing.")
    ]
    other = step("e", proves=("hear",), applies_if="not high_wing")
    assert only_where(checklist([under, *FULL[1:], other]), KIT) == ()
    assert only_where(checklist([under, *FULL, other]), KIT) == ()


@pytest.mark.hf("LED-13")
def test_what_is_taken_apart_is_tested_after_it_is_back() -> None:
    pull, push = step("out", sets={"plug": "out"}), step("in", sets={"plug": "in"})
    assert _found(checklist([pull, push, *FULL])) == []
    assert _found(checklist([*FULL, pull, push])) == [
        (
            "HS325",
            "error",
            "out",
            "sets",
            "1.05 takes plug apart, and no later step proves anything once it is back.",
        )
    ]


def test_an_item_of_kind_proof_answers_for_the_test() -> None:
    proof = item(["test", "proof", "proved", "", "proved > unproved"])
    kit = replace(KIT, items={**KIT.items, "test": proof})
    pull = step("out", sets={"plug": "out", "test": "unproved"})
    push = step("in", sets={"plug": "in", "test": "proved"})
    assert _found(checklist([*FULL, pull, push]), kit) == []
