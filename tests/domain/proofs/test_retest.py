"""The re-test list against computations 10b: its table, its lemma, and its edge cases."""

from __future__ import annotations

from dataclasses import replace

import pytest

from domain.proofs.all_paths import Subject
from domain.proofs.models import leaves, model
from domain.proofs.random_lists import Dice, random_fit, random_list
from domain.proofs.tables import (
    checklist,
    fit,
    functions,
    item,
    names,
    sections,
    step,
    table,
    units,
)
from hardstand.domain.checklist import Checklist, Control, Fit, Function, OnFault
from hardstand.domain.ledger_proof import offences
from hardstand.domain.retest import Retest, affected, part, retest, sublist

W1, W1_FIT = table("proof_w1.txt")


@pytest.mark.parametrize("row", sections("proof_w1.txt")["re-test"], ids=lambda row: row[0])
def test_sub_lists_of_computations_10b(row: list[str]) -> None:
    assert sublist(W1, W1_FIT, [row[0]]) == tuple(row[1].split())


@pytest.mark.parametrize("row", sections("proof_model.txt")["affected"], ids=lambda row: row[0])
def test_functions_affected_of_computations_10b(row: list[str]) -> None:
    mentions = {n: Function(title=n, fed_by=tuple(leaves(e))) for n, e in model().items()}
    assert set(affected(fit(functions=mentions), row[0])) == set(names(row[1]))


def test_a_part_of_a_restorable_list_is_restorable() -> None:
    """The projection lemma of computations 10b, on lists without a finding on ways unskipped."""
    tried = 0
    for seed in range(1100):
        dice = Dice(seed)
        kit = random_fit(dice)
        steps = random_list(dice, kit)
        if _offences(steps, kit):
            continue
        chosen = {dice.pick([s.id for s in steps.steps]) for _ in range(1 + dice.below(2))}
        again = part(steps, sublist(steps, kit, chosen))
        assert _offences(again, kit) == [], seed
        tried += 1
    assert tried >= 300


def _offences(steps: Checklist, kit: Fit) -> list[Subject]:
    return [
        o.subject
        for o in offences(steps, kit).offences
        if o.code not in {"HS303", "HS307"} and all(how != "skipped" for _, how in o.path)
    ]


KIT = fit(
    {
        "power": item(["power", "energy", "off", "hazard", "off > on; on > off"]),
        "tested": item(["tested", "proof", "proved", "", "proved > unproved"]),
    },
    units=units("RX", "TX", "BOX"),
    functions=functions(hear="RX", call="TX"),
    controls={"talk": Control(plate="TALK", unit="TX")},
)
STEPS = checklist(
    [
        step("on", sets={"power": "on"}, if_fault="paper"),
        step("hear", must_be={"power": "on"}, proves=("hear",), if_fault="talk"),
        step("call", must_be={"power": "on"}, proves=("call",), applies_if="wire"),
        step("talk", proves=("talk",)),
        step("prove", sets={"tested": "proved"}),
        step("off", sets={"power": "off"}),
        step("paper"),
    ]
)


def test_a_repair_is_followed_by_every_check_it_bears_on() -> None:
    assert retest(STEPS, KIT, repaired=["RX"]) == Retest(steps=("on", "hear", "off"))
    assert retest(STEPS, KIT, repaired=["TX"]).steps == ("on", "call", "talk", "off")


def test_a_check_that_does_not_apply_here_is_left_out_and_named() -> None:
    found = retest(STEPS, KIT, repaired=["TX"], facts={"wire": False})
    assert found == Retest(steps=("talk",), left_out=("call",))


def test_when_the_only_proof_does_not_apply_the_repair_stays_unproved() -> None:
    found = retest(STEPS, KIT, repaired=["call"], facts={"wire": False})
    assert found == Retest(steps=(), unproved=("call",), left_out=("call",))


def test_a_unit_nothing_proves_is_named() -> None:
    assert retest(STEPS, KIT, repaired=["BOX"]) == Retest(steps=(), unproved=("BOX",))


def test_what_was_disturbed_is_proved_again() -> None:
    assert retest(STEPS, KIT, repaired=[], disturbed=["tested"]) == Retest(steps=("prove",))


def test_a_fault_that_led_to_a_step_left_out_leads_to_the_next_kept() -> None:
    again = part(STEPS, ("on", "hear", "off"))
    assert [(s.id, s.if_fault) for s in again.steps] == [
        ("on", "end"),
        ("hear", "off"),
        ("off", "go_on"),
    ]
    assert again.zones == STEPS.zones


def test_an_item_that_may_not_be_at_home_meanwhile_is_moved_in_the_part_too() -> None:
    kit = fit(
        {
            "drain": item(["drain", "access", "shut", "", "shut > open; open > shut"]),
            "pump": item(["pump", "energy", "off", "", "off > on; on > off"]),
        },
        [{"pump": "on", "drain": "shut"}],
    )
    steps = checklist(
        [
            step("open", sets={"drain": "open"}),
            step("run", sets={"pump": "on"}),
            step("look", must_be={"pump": "on"}),
            step("stop", sets={"pump": "off"}),
            step("shut", sets={"drain": "shut"}),
        ]
    )
    assert sublist(steps, kit, ["look"]) == ("open", "run", "look", "stop", "shut")


def test_who_opens_a_panel_again_counts_what_they_bring_and_what_closes_it() -> None:
    """As the whole list does: human-factors LED-05, LED-09."""
    kit = fit(
        {
            "lid": item(["lid", "access", "shut", "", "shut > open; open > shut"]),
            "tools": item(["tools", "count", "0", "", ""]),
        },
        units=units("RX"),
    )
    steps = checklist(
        [
            step("bring", kind="count", sets={"tools": "counted"}),
            step("open", sets={"lid": "open"}),
            step("pull", must_be={"lid": "open"}, proves=("RX",)),
            step("knock"),
            step("close", sets={"lid": "shut"}, place="the lid"),
            step("other", kind="count", place="elsewhere"),
            step("screws", kind="count", place="the lid"),
            step("back", kind="count", sets={"tools": "0"}),
        ]
    )
    assert retest(steps, kit, repaired=["RX"]).steps == (
        "bring", "open", "pull", "close", "screws", "back",
    )  # fmt: skip
    assert sublist(steps, kit, ["knock"]) == ("knock",)


def test_a_repair_is_looked_at_where_the_unit_sits_and_in_its_zone() -> None:
    kit = replace(KIT, units={**KIT.units, "RX": replace(KIT.units["RX"], zone="bay")})
    steps = checklist(
        [
            step("wire", "bay", place="tray of RX, both latches"),
            step("nut", "bay", on_fault=OnFault(weakens=("hear",))),
            step("mast", "antenna", on_fault=OnFault(weakens=("hear",))),
            step("next", "bay", place="RX-2 on its tray"),
            step("hear", "cockpit", proves=("hear",)),
        ]
    )
    assert retest(steps, kit, repaired=["RX"]) == Retest(steps=("wire", "nut", "hear"))
    assert retest(steps, kit, repaired=["hear"]) == Retest(steps=("hear",))
    assert retest(replace(steps, steps=steps.steps[:4]), kit, repaired=["RX"]) == Retest(
        steps=("wire", "nut"), unproved=("RX",)
    )


def test_before_a_panel_is_opened_again_each_hazard_is_looked_at() -> None:
    kit = fit(
        {
            "power": item(["power", "energy", "off", "hazard", "off > on; on > off"]),
            "lid": item(["lid", "access", "shut", "", "shut > open; open > shut"]),
        }
    )
    steps = checklist(
        [
            step("found", sets={"power": "off"}),
            step("open", sets={"lid": "open"}),
            step("look", must_be={"lid": "open"}),
            step("close", sets={"lid": "shut"}),
            step("on", sets={"power": "on"}),
            step("hear", must_be={"power": "on"}),
            step("off", sets={"power": "off"}),
            step("walk-by"),
        ]
    )
    assert sublist(steps, kit, ["look"]) == ("found", "open", "look", "close")
    assert sublist(steps, kit, ["walk-by"]) == ("walk-by",)
    assert sublist(steps, kit, ["hear"]) == ("found", "on", "hear", "off")
