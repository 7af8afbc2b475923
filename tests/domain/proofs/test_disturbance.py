"""What a step asks of the items: the same answer as the proof's own compiled form."""

from __future__ import annotations

import pytest

from domain.proofs.random_lists import Dice, random_fit, random_list
from domain.proofs.tables import fit, item, step, table
from hardstand.domain.disturbance import forbidden_after, needs, unmet
from hardstand.domain.ledger_paths import program

_, L1 = table("proof_l1.txt")


@pytest.mark.parametrize("seed", range(100))
def test_unmet_agrees_with_the_proof_in_every_state(seed: int) -> None:
    dice = Dice(seed)
    kit = random_fit(dice)
    steps = random_list(dice, kit)
    ready = program(steps, kit)
    for _ in range(10):
        state = {n: dice.pick(i.values) for n, i in kit.items.items()}
        node = sum(ready.ask(n, v).bits for n, v in state.items())
        for rule, done in zip(ready.rules, steps.steps, strict=True):
            ask = rule.unmet(node)
            assert unmet(done, kit, state) == (ask and (ask.item, ask.value))
            if ask is not None:
                assert ask.value in needs(done, kit)[ask.item]


def test_a_step_asks_what_the_fit_asks_of_the_same_move() -> None:
    away = step("away", sets={"stand": "away"})
    assert needs(away, L1) == {"cover": {"fitted"}}
    assert unmet(away, L1, {"stand": "placed", "cover": "off"}) == ("cover", "fitted")
    assert unmet(away, L1, {"stand": "placed"}) is None


def test_a_stand_that_is_away_already_asks_nothing() -> None:
    assert unmet(step("away", sets={"stand": "away"}), L1, {"cover": "off"}) is None


def test_a_step_that_completes_a_forbidden_combination_is_told_which() -> None:
    key = step("key", sets={"key": "on"})
    assert forbidden_after(key, L1, {"cover": "off"}) == {"key": "on", "cover": "off"}
    assert forbidden_after(key, L1, {}) is None


def test_a_combination_that_stands_already_is_not_this_steps_doing() -> None:
    look = step("look", sets={"panel": "open"})
    assert forbidden_after(look, L1, {"cover": "off", "key": "on"}) is None


def test_a_count_is_brought_home_with_nothing_needed() -> None:
    kit = fit({"tools": item(["tools", "count", "0", "", ""])})
    assert needs(step("back", sets={"tools": "0"}), kit) == {}
