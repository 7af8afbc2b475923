"""Close-up plans against the table of computations 2.4, exhaustive search, and their laws."""

from __future__ import annotations

import heapq
from collections.abc import Callable, Sequence
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.proofs.all_paths import comes_home, neighbours
from domain.proofs.random_lists import ZONES, Dice, random_fit
from domain.proofs.tables import fit, item, names, pairs, sections, table
from hardstand.domain.checklist import Fit
from hardstand.domain.close_up import CloseUp, Move, NoSafeWay, WaysHome, close_up

_, L1 = table("proof_l1.txt")
Step = tuple[str, str]


def _cost(kit: Fit, state: dict[str, str], plan: Sequence[Step], at: str) -> tuple[int, int, int]:
    """The cost of a plan by the words of computations 2.3; fails if an action is not possible."""
    live = moves = 0
    now = dict(state)
    for name, to in plan:
        live += any(all(now[n] == v for n, v in c.items()) for c in kit.never)
        live += sum(i.hazard and now[n] != i.home for n, i in kit.items.items())
        zone, now = next((z, s) for n, t, z, s in neighbours(kit, now) if (n, t) == (name, to))
        moves += bool(at and zone and zone != at)
        at = zone or at
    assert now == {n: i.home for n, i in kit.items.items()}
    return (live, len(plan), moves)


def _state(kit: Fit, away: str) -> dict[str, str]:
    return {n: i.home for n, i in kit.items.items()} | pairs(away)


def _steps(plan: CloseUp | NoSafeWay) -> list[Step]:
    assert isinstance(plan, CloseUp)
    return [(m.item, m.to) for m in plan.moves]


@pytest.mark.parametrize("row", sections("proof_close_up.txt")["plans"])
def test_plans_of_computations_2_4_cost_what_ours_cost(row: list[str]) -> None:
    away, at, wanted = row
    state = _state(L1, away)
    paper = [(n, v) for n, v in (word.split() for word in names(wanted))]
    plan = close_up(state, L1, at=at)
    assert _cost(L1, state, _steps(plan), at) == _cost(L1, state, paper, at)
    assert isinstance(plan, CloseUp)
    assert plan.risk.order == _cost(L1, state, paper, at)
    assert sorted(_steps(plan)) == sorted(paper)


def test_the_key_comes_off_before_anyone_works_at_the_antenna() -> None:
    """Computations 2.3: with actions and moves alone the plan began at the keyed antenna."""
    state = _state(L1, "key on, power on, cover off, stand placed")
    assert _steps(close_up(state, L1, at="antenna"))[:2] == [("key", "off"), ("power", "off")]


def test_without_a_way_to_place_the_stand_there_is_no_safe_way() -> None:
    stand = replace(L1.items["stand"], actions=L1.items["stand"].actions[1:])
    kit = replace(L1, items={**L1.items, "stand": stand})
    plan = close_up(_state(L1, "cover off"), kit, at="cockpit")
    assert plan == NoSafeWay(away=("cover",))
    assert plan.sentence(kit.named) == "No safe way to close up from here: cover. Call the lead."


def test_items_that_need_each_other_home_have_no_safe_way() -> None:
    kit = fit(
        {
            "a": item(["a", "access", "in", "", "out > in with b in"]),
            "b": item(["b", "access", "in", "", "out > in with a in"]),
        }
    )
    assert close_up({"a": "out", "b": "out"}, kit) == NoSafeWay(away=("a", "b"))


def test_at_its_cap_the_search_says_that_it_stopped() -> None:
    plan = close_up(_state(L1, "panel open, power on"), L1, at="bay", cap=1)
    assert plan == NoSafeWay(away=("panel", "power"), searched_all=False)
    assert plan.sentence(L1.named) == (
        "No order was found in the time allowed: panel, power. Call the lead."
    )


def test_counted_things_are_counted_back_and_an_unproved_function_is_only_named() -> None:
    kit = fit(
        {
            "fuses": item(["fuses", "count", "0", "", ""]),
            "proof": item(["proof", "proof", "proved", "", "proved > unproved"]),
        }
    )
    plan = close_up({"fuses": "2", "proof": "unproved"}, kit, at="bay")
    assert isinstance(plan, CloseUp)
    assert plan.moves == (Move(item="fuses", to="0", needs={}),)
    assert plan.unproved == ("proof",)


def test_a_forbidden_combination_is_gone_round_by_moving_what_was_at_home() -> None:
    """The flap passes half-way only with the mast lowered; home again it must stand."""
    kit = fit(
        {
            "flap": item(["flap", "access", "shut", "", "open > half; half > shut"]),
            "mast": item(["mast", "placed", "up", "", "up > down; down > up"]),
        },
        [{"flap": "half", "mast": "up"}],
    )
    plan = close_up({"flap": "open"}, kit)
    assert _steps(plan) == [("mast", "down"), ("flap", "half"), ("flap", "shut"), ("mast", "up")]


def _random(seed: int) -> tuple[Fit, dict[str, str], str]:
    dice = Dice(seed)
    kit = random_fit(dice, most=4)
    state = {n: dice.pick(i.values) for n, i in kit.items.items()}
    return kit, state, dice.pick(("", *ZONES))


def _exhaustive(kit: Fit, start: dict[str, str], at: str) -> tuple[int, int, int] | None:
    """The least cost over all items by settling one (state, zone) after another."""
    homes = {n: i.home for n, i in kit.items.items()}
    heap = [((0, 0, 0), tuple(start.values()), at)]
    settled: set[tuple[tuple[str, ...], str]] = set()
    while heap:
        cost, values, where = heapq.heappop(heap)
        state = dict(zip(kit.items, values, strict=True))
        if state == homes:
            return cost
        if (values, where) in settled:
            continue
        settled.add((values, where))
        live = sum(i.hazard and state[n] != i.home for n, i in kit.items.items())
        for _, _, zone, after in neighbours(kit, state):
            bad = any(all(state[n] == v for n, v in c.items()) for c in kit.never)
            moves = bool(where and zone and zone != where)
            spent = (cost[0] + live + bad, cost[1] + 1, cost[2] + moves)
            heapq.heappush(heap, (spent, tuple(after.values()), zone or where))
    return None


@pytest.mark.parametrize("seed", range(300))
def test_the_plan_costs_what_exhaustive_search_finds(seed: int) -> None:
    kit, state, at = _random(seed)
    plan = close_up(state, kit, at=at)
    least = _exhaustive(kit, state, at)
    if least is None:
        assert plan == NoSafeWay(away=tuple(n for n, i in kit.items.items() if state[n] != i.home))
        return
    assert isinstance(plan, CloseUp)
    assert plan.risk.order == least == _cost(kit, state, _steps(plan), at)


@pytest.mark.parametrize("seed", range(300))
def test_ways_home_agree_with_a_flood_of_all_states(seed: int) -> None:
    kit, _, _ = _random(seed)
    dice = Dice(seed + 1000)
    ways = WaysHome(kit)
    for _ in range(6):
        state = {n: dice.pick(i.values) for n, i in kit.items.items()}
        assert ways.exist_from(state) == comes_home(kit, state)
    assert not ways.gave_up


def test_at_its_cap_the_question_for_a_way_home_is_answered_yes_and_marked() -> None:
    ways = WaysHome(L1, cap=0)
    assert ways.exist_from(_state(L1, "panel open"))
    assert ways.gave_up


@given(seed=st.integers(min_value=0, max_value=10**6))
def test_every_plan_ends_home_keeps_its_needs_and_enters_nothing_forbidden(seed: int) -> None:
    kit, state, at = _random(seed)
    plan = close_up(state, kit, at=at)
    if isinstance(plan, CloseUp):
        _cost(kit, state, _steps(plan), at)


@given(seed=st.integers(min_value=0, max_value=10**6))
def test_from_home_the_plan_is_empty(seed: int) -> None:
    kit, _, at = _random(seed)
    assert _steps(close_up({}, kit, at=at)) == []


@given(seed=st.integers(min_value=0, max_value=10**6))
def test_with_nothing_in_the_way_hazards_come_before_all_else(seed: int) -> None:
    kit, state, at = _random(seed)
    free = replace(
        kit,
        never=(),
        items={
            n: replace(i, actions=tuple(replace(a, only_with=None) for a in i.actions))
            for n, i in kit.items.items()
        },
    )
    plan = close_up(state, free, at=at)
    if isinstance(plan, CloseUp):
        hazards = [free.items[m.item].hazard for m in plan.moves]
        assert hazards == sorted(hazards, reverse=True)


@given(seed=st.integers(min_value=0, max_value=10**6))
def test_renaming_and_reordering_items_changes_no_cost(seed: int) -> None:
    kit, state, at = _random(seed)
    new = {n: f"x{9 - int(n[1:])}" for n in kit.items}
    items = {
        new[n]: replace(
            i,
            actions=tuple(
                replace(a, only_with={new[m]: v for m, v in (a.only_with or {}).items()})
                for a in reversed(i.actions)
            ),
        )
        for n, i in [*kit.items.items()][::-1]
    }
    never = [{new[n]: v for n, v in c.items()} for c in kit.never]
    renamed = close_up({new[n]: v for n, v in state.items()}, fit(items, never), at=at)
    plan = close_up(state, kit, at=at)
    assert type(plan) is type(renamed)
    if isinstance(plan, CloseUp) and isinstance(renamed, CloseUp):
        assert plan.risk == renamed.risk


def test_of_plans_that_cost_the_same_the_one_in_order_of_rank_is_told() -> None:
    kit = fit(
        {n: item([n, "access", "shut", "", "shut > open; open > shut"]) for n in ("a", "b", "c")}
    )
    away = dict.fromkeys(("a", "b", "c"), "open")
    for order in ("abc", "cab", "bca"):
        assert _told(close_up(away, kit, rank=_as_in(order))) == order


def _as_in(order: str) -> Callable[[Move], int]:
    return lambda move: order.index(move.item)


def _told(found: CloseUp | NoSafeWay) -> str:
    return "".join(m.item for m in found.moves) if isinstance(found, CloseUp) else ""
