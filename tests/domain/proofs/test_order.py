"""The order of a list against vector W1, enumeration of all orders, and CP-SAT."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest
from ortools.sat.python import cp_model

from domain.proofs.random_lists import Dice, random_fit, random_list
from domain.proofs.tables import checklist, fit, item, sections, step, table
from hardstand.domain.checklist import Checklist, Fit
from hardstand.domain.ledger_proof import offences
from hardstand.domain.order import (
    BlockMove,
    Fewest,
    Order,
    block_moves,
    fewest_moves,
    order_of,
    too_many_moves,
)

W1, W1_FIT = table("proof_w1.txt")
W1_ROWS = sections("proof_w1.txt")
ORDER = order_of(W1, W1_FIT, start="cockpit")
SECONDS = {frozenset((a, b)): int(n) for a, b, n in (row[0].split() for row in W1_ROWS["seconds"])}


def _seconds(one: str, other: str) -> int:
    return SECONDS[frozenset((one, other))]


@pytest.mark.parametrize("step_id", [s.id for s in W1.steps])
def test_predecessors_are_those_of_vector_w1(step_id: str) -> None:
    wanted = {row[0]: tuple(row[1].split()) for row in W1_ROWS["predecessors"]}
    assert ORDER.predecessors(step_id) == wanted.get(step_id, ())


def test_moves_of_vector_w1_are_twelve_where_eight_are_enough() -> None:
    assert ORDER.moves() == 12
    assert fewest_moves(ORDER) == Fewest(moves=8)


def test_seconds_of_vector_w1_are_300_where_185_are_enough() -> None:
    assert ORDER.moves(distance=_seconds) == 300
    assert fewest_moves(ORDER, distance=_seconds) == Fewest(moves=185)


def test_block_moves_of_vector_w1() -> None:
    assert block_moves(ORDER) == (
        BlockMove(steps=("a6",), place="after", beside="a8", saves=1),
        BlockMove(steps=("a7",), place="after", beside="a9", saves=2),
        BlockMove(steps=("a4",), place="after", beside="a12", saves=1),
    )


def test_the_author_of_vector_w1_is_told_in_step_numbers() -> None:
    (found,) = too_many_moves(W1, W1_FIT)
    assert (found.code, found.level, found.field) == ("HS311", "advice", "steps")
    assert found.message == "This order makes 12 moves between zones; 8 are enough."
    assert found.hint == (
        "Move 2.03 after 1.03 (saves 1); then 4.01 after 2.04 (saves 2); "
        "then 3.01 after 2.05 (saves 1)."
    )


def test_moves_may_be_counted_between_other_places_than_zones() -> None:
    steps = checklist([step("a", place="left"), step("b", place="right"), step("c", place="left")])
    assert too_many_moves(steps, fit()) == ()
    (found,) = too_many_moves(steps, fit(), zone_of=lambda s: s.place)
    assert found.message == "This order makes 2 moves between zones; 1 is enough."
    assert found.hint == "Move 1.03 after 1.01 (saves 1)."


def _all_orders(order: Order, done: int = 0) -> Iterator[tuple[int, ...]]:
    if done == (1 << len(order.ids)) - 1:
        yield ()
    for index, before in enumerate(order.before):
        if not done >> index & 1 and not before & ~done:
            for rest in _all_orders(order, done | 1 << index):
                yield (index, *rest)


def _random_order(seed: int) -> Order:
    dice = Dice(seed)
    kit = random_fit(dice)
    steps = random_list(dice, kit)
    return order_of(steps, kit, start=dice.pick(("", "cockpit", "elsewhere")))


def _metric(seed: int) -> dict[frozenset[str], int]:
    """Walking times along the sides of random triangles: shortest ways, so a metric."""
    dice = Dice(seed)
    zones = ("cockpit", "bay", "antenna", "elsewhere")
    place = {z: (dice.below(50), dice.below(50)) for z in zones}
    return {
        frozenset((a, b)): 1 + abs(place[a][0] - place[b][0]) + abs(place[a][1] - place[b][1])
        for a in zones
        for b in zones
        if a != b
    }


@pytest.mark.parametrize("seed", range(300))
def test_fewest_moves_equal_the_best_of_all_orders(seed: int) -> None:
    order = _random_order(seed)
    walk = _metric(seed)

    def distance(one: str, other: str) -> int:
        return walk[frozenset((one, other))]

    orders = [*_all_orders(order)]
    assert fewest_moves(order).moves == min(order.moves(o) for o in orders)
    best = min(order.moves(o, distance) for o in orders)
    assert fewest_moves(order, distance=distance).moves == best


def _long_order(seed: int) -> Order:
    """Twenty to eighty steps in four to eight zones, each after up to two of the last ten."""
    dice = Dice(seed)
    count = 20 + 60 * seed // 14
    zones = [f"z{n}" for n in range(4 + seed % 5)]
    before = []
    for index in range(count):
        mask = 0
        for _ in range(dice.below(3)):
            if index:
                mask |= 1 << index - 1 - dice.below(min(index, 10))
        before.append(mask)
    at = [dice.pick(zones) for _ in range(count)]
    names = tuple(f"s{n}" for n in range(count))
    return Order(ids=names, zones=tuple(at), before=tuple(before), start=at[0])


def _by_cp_sat(order: Order, most: int) -> int:
    """The model of computations 1.4: visits with labels, steps put into visits."""
    model = cp_model.CpModel()
    zones = sorted(set(order.zones))
    labels = [model.new_int_var(0, len(zones) - 1, f"l{r}") for r in range(most + 1)]
    model.add(labels[0] == zones.index(order.start))
    visits = [model.new_int_var(0, most, f"x{i}") for i in range(len(order.ids))]
    last = model.new_int_var(0, most, "last")
    for index, visit in enumerate(visits):
        model.add_element(visit, labels, zones.index(order.zones[index]))
        model.add(last >= visit)
        for earlier in range(index):
            if order.before[index] >> earlier & 1:
                model.add(visit >= visits[earlier] + (order.zones[index] != order.zones[earlier]))
    model.minimize(last)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = 60
    assert solver.solve(model) == cp_model.OPTIMAL
    return round(solver.objective_value)


@pytest.mark.parametrize("seed", range(15))
def test_fewest_moves_of_long_lists_equal_cp_sat(seed: int) -> None:
    order = _long_order(seed)
    fewest = fewest_moves(order)
    assert fewest.exact
    assert _by_cp_sat(order, fewest.moves + 2) == fewest.moves


@pytest.mark.parametrize("seed", range(15))
def test_at_its_cap_the_search_gives_a_bound_from_below(seed: int) -> None:
    order = _long_order(seed)
    bound = fewest_moves(order, cap=5)
    assert not bound.exact
    assert bound.moves <= fewest_moves(order).moves


def test_a_bound_is_told_as_a_bound(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(
        "hardstand.domain.order.fewest_moves", lambda _order: Fewest(moves=8, exact=False)
    )
    (found,) = too_many_moves(W1, W1_FIT)
    assert found.code == "HS312"
    assert found.message == "This order makes 12 moves between zones; at least 8 are needed."


@pytest.mark.parametrize("seed", range(100))
def test_block_moves_save_what_they_say_and_keep_the_order_allowed(seed: int) -> None:
    order = _random_order(seed) if seed < 85 else _long_order(seed - 85)
    sequence = [*order.ids]
    for move in block_moves(order):
        was = order.moves([order.ids.index(s) for s in sequence])
        sequence = [s for s in sequence if s not in move.steps]
        to = sequence.index(move.beside) + 1 if move.place == "after" else 0
        sequence[to:to] = move.steps
        numbers = [order.ids.index(s) for s in sequence]
        assert order.allows(numbers)
        assert was - order.moves(numbers) == move.saves > 0
    assert order.moves([order.ids.index(s) for s in sequence]) >= fewest_moves(order).moves


def _clean(steps: Checklist, kit: Fit) -> bool:
    """Nothing left, forbidden or stopped on the ways without a skip."""
    return not any(
        o.code in {"HS301", "HS302", "HS304"} and all(how != "skipped" for _, how in o.path)
        for o in offences(steps, kit).offences
    )


def test_any_allowed_order_of_a_proved_list_leaves_nothing_and_forbids_nothing() -> None:
    """Bäckström 1998: every order that keeps the derived orderings is valid, on its plain way."""
    tried = 0
    for seed in range(400):
        dice = Dice(seed)
        kit = random_fit(dice)
        steps = random_list(dice, kit, facts=())
        plain = replace(steps, steps=tuple(replace(s, if_fault="go_on") for s in steps.steps))
        if not _clean(plain, kit):
            continue
        for order in [*_all_orders(order_of(plain, kit))][:20]:
            shuffled = replace(plain, steps=tuple(plain.steps[i] for i in order))
            assert _clean(shuffled, kit), (seed, order)
            tried += 1
    assert tried > 500


def test_a_step_follows_whose_fault_leads_to_it_and_what_may_not_stand_with_it() -> None:
    kit = fit(
        {
            "stand": item(["stand", "placed", "away", "", "away > placed; placed > away"]),
            "power": item(["power", "energy", "off", "hazard", "off > on; on > off"]),
        },
        [{"stand": "placed", "power": "on"}],
    )
    steps = checklist(
        [
            step("gate", if_fault="off"),
            step("away", sets={"stand": "away"}),
            step("on", sets={"power": "on"}),
            step("off", sets={"power": "off"}),
        ]
    )
    order = order_of(steps, kit)
    assert order.predecessors("on") == ("away",)
    assert order.predecessors("off") == ("gate", "away", "on")


def test_an_after_that_does_not_look_back_is_refused() -> None:
    steps = checklist([step("first", after=("second",)), step("second")])
    with pytest.raises(ValueError, match="first: after names second, which does not come before"):
        order_of(steps, fit())


def test_an_empty_list_needs_no_move_and_a_start_elsewhere_counts_the_first_arrival() -> None:
    nothing = order_of(checklist([]), fit())
    assert (nothing.moves(), fewest_moves(nothing)) == (0, Fewest(moves=0))
    one = order_of(checklist([step("a"), step("b")]), fit(), start="elsewhere")
    assert (one.moves(), fewest_moves(one)) == (1, Fewest(moves=1))
