"""The ledger proof against the vectors of computations 2.4, brute force and networkx."""

from __future__ import annotations

from dataclasses import replace

import networkx as nx
import pytest

from domain.proofs.all_paths import subjects
from domain.proofs.eighty import kit as eighty_kit
from domain.proofs.eighty import ordinary, worst
from domain.proofs.random_lists import Dice, random_fit, random_list
from domain.proofs.tables import checklist, fit, item, step, table
from domain.proofs.told import KIT, messages
from hardstand.domain.checklist import Checklist, Fit
from hardstand.domain.ledger_paths import NODE_CAP, explore, program
from hardstand.domain.ledger_proof import CODES, Offence, offences, prove


def _without_needs(kit: Fit) -> Fit:
    items = {
        n: replace(i, actions=tuple(replace(a, only_with=None) for a in i.actions))
        for n, i in kit.items.items()
    }
    return replace(kit, items=items)


def _fault_of_5(steps: Checklist, target: str) -> Checklist:
    changed = (replace(s, if_fault=target) if s.id == "5" else s for s in steps.steps)
    return replace(steps, steps=tuple(changed))


def _in_order(steps: Checklist, order: str) -> Checklist:
    return replace(steps, steps=tuple(steps.step(i) for i in order.split()))


def _plainly(steps: Checklist, offence: Offence) -> str:
    """A path in the paper's own notation, facts in brackets."""
    marks = {"fault": "✗", "skipped": "–", "blocked": "!"}
    words = []
    for index, outcome in offence.path:
        name = steps.steps[index].id
        if outcome == "true":
            words.append(f"[{steps.steps[index].applies_if}]")
        elif outcome in {"ok", *marks}:
            words.append(name + marks.get(outcome, ""))
    return " ".join(words)


L1, FIT = table("proof_l1.txt")
EIGHT_FIRST = _in_order(_fault_of_5(L1, "8"), "1 2 3 4 5 8 6 7 9 10 11")


@pytest.mark.parametrize(
    ("steps", "kit", "sizes", "found"),
    [
        pytest.param(
            L1,
            _without_needs(FIT),
            (19, 111),
            {("HS301", "cover", "1 2 3 4 5✗ 9 10 11"), ("HS302", "key", "1 2 3 4 5 [hf_fitted] 6")},
            id="as written",
        ),
        pytest.param(
            _fault_of_5(L1, "7"),
            _without_needs(FIT),
            (15, 105),
            {("HS302", "key", "1 2 3 4 5 [hf_fitted] 6")},
            id="5 on fault to 7",
        ),
        pytest.param(
            L1,
            FIT,
            (19, None),
            {
                ("HS301", "cover", "1 2 3 4 5✗ 9 10 11!"),
                ("HS301", "stand", "1 2 3 4 5✗ 9 10 11!"),
                ("HS302", "key", "1 2 3 4 5 [hf_fitted] 6"),
                ("HS304", "cover", "1 2 3 4 5✗ 9 10"),
            },
            id="with inherited needs",
        ),
        pytest.param(EIGHT_FIRST, FIT, (15, 87), set(), id="8 before 6, with needs"),
        pytest.param(EIGHT_FIRST, _without_needs(FIT), (15, 87), set(), id="8 before 6"),
    ],
)
def test_vector_l1_of_computations_2_4(
    steps: Checklist,
    kit: Fit,
    sizes: tuple[int, int | None],
    found: set[tuple[str, str, str]],
) -> None:
    ready = program(steps, kit)
    assert explore(ready, skips=False).size == sizes[0]
    assert sizes[1] in {None, explore(ready, skips=True).size}
    proof = offences(steps, kit)
    assert proof.whole
    assert {(o.code, o.about[0], _plainly(steps, o)) for o in proof.offences} == found


@pytest.mark.parametrize("seed", range(300))
def test_findings_equal_those_of_every_path_walked_one_by_one(seed: int) -> None:
    dice = Dice(seed)
    kit = random_fit(dice)
    steps = random_list(dice, kit)
    assert {o.subject for o in offences(steps, kit).offences} == subjects(steps, kit)


def test_the_random_lists_hold_every_kind_of_offence_and_clean_lists_too() -> None:
    met: dict[str, int] = {}
    for seed in range(300):
        dice = Dice(seed)
        kit = random_fit(dice)
        for code in {s[0] for s in subjects(random_list(dice, kit), kit)} or {"clean"}:
            met[code] = met.get(code, 0) + 1
    assert set(met) == {"clean", "HS301", "HS302", "HS303", "HS304", "HS305", "HS307"}
    assert min(met.values()) >= 5


@pytest.mark.parametrize("seed", range(300))
def test_situations_met_are_the_descendants_in_networkx(seed: int) -> None:
    dice = Dice(seed)
    kit = random_fit(dice)
    steps = random_list(dice, kit, facts=())
    graph: nx.DiGraph[tuple[int, tuple[str, ...]]] = nx.DiGraph()
    homes = tuple(i.home for i in kit.items.values())
    for start in _all_values(kit):
        for index in range(len(steps.steps)):
            for target, after in _arrows(steps, kit, index, start):
                graph.add_edge((index, start), (target, after))
    reached = nx.descendants(graph, (0, homes)) | {(0, homes)}
    ready = program(steps, kit)
    met = {
        (level, tuple(ready.state(node).values()))
        for level, nodes in enumerate(explore(ready, skips=True).levels)
        for node in nodes
    }
    assert met == reached


def _all_values(kit: Fit) -> list[tuple[str, ...]]:
    found: list[tuple[str, ...]] = [()]
    for known in kit.items.values():
        found = [(*f, v) for f in found for v in known.values]
    return found


def _arrows(
    steps: Checklist, kit: Fit, index: int, values: tuple[str, ...]
) -> list[tuple[int, tuple[str, ...]]]:
    from domain.proofs.all_paths import _target, _unmet

    state = dict(zip(kit.items, values, strict=True))
    done = steps.steps[index]
    if _unmet(done, kit, state) is not None:
        return [(index + 1, values)]
    after = tuple({**state, **(done.sets or {})}.values())
    done_with = [(index + 1, after), (_target(steps, index), after)]
    if any(kit.items[n].home == v for n, v in (done.sets or {}).items()):
        return done_with
    return [*done_with, (index + 1, values)]


def test_a_fault_that_ends_the_walk_still_does_the_last_two_zones() -> None:
    steps = checklist(
        [
            step("open", "a", sets={"panel": "open"}, if_fault="end"),
            step("look", "b"),
            step("close", "c", sets={"panel": "closed"}),
            step("log", "d"),
        ]
    )
    assert prove(steps, KIT) == ()


def test_a_fault_that_goes_back_is_refused() -> None:
    steps = checklist([step("first"), step("second", if_fault="first")])
    with pytest.raises(ValueError, match="second: if_fault names first, which does not come later"):
        prove(steps, KIT)


def _twelve_open_at_once() -> tuple[Checklist, Fit]:
    items = {
        f"i{n}": item([f"i{n}", "access", "home", "", "home > out; out > home"]) for n in range(12)
    }
    opens = [step(f"o{n}", sets={f"i{n}": "out"}) for n in range(12)]
    closes = [step(f"c{n}", sets={f"i{n}": "home"}) for n in range(12) if n != 7]
    return checklist([*opens, *closes]), fit(items, [{"i0": "out", "i1": "out"}])


def test_above_the_cap_each_item_is_followed_by_itself_and_the_list_is_told_so() -> None:
    steps, kit = _twelve_open_at_once()
    assert messages(steps, kit, cap=2000) == [
        (
            "HS306",
            "",
            (
                "The list has more than 2000 situations, so each item was followed by itself: "
                "findings that say possibly may never happen, and close-up was not proved from "
                "everywhere."
            ),
            "Close what is open before opening the next, or split the list.",
        ),
        (
            "HS302",
            "o1",
            "i0 out and i1 out stand together: 1.01 to 1.02.",
            (
                "The fit forbids it under never. Ask for the safe value at 1.02 with must_be, or "
                "change the order."
            ),
        ),
        (
            "HS301",
            "o7",
            "i7 stays out: 1.01 to 1.23, end of the list.",
            "No later step brings it to home: add one.",
        ),
    ]


def test_with_a_cap_below_every_way_the_findings_are_only_possible() -> None:
    steps, kit = _twelve_open_at_once()
    found = {(f.code, f.step, f.message.startswith("Possibly: ")) for f in prove(steps, kit, cap=5)}
    assert found == {("HS306", "", False), ("HS302", "o1", True), ("HS301", "o7", True)}


def test_an_item_that_meets_the_cap_even_by_itself_is_named_as_unproved() -> None:
    facts = [f"f{n}" for n in range(14)]
    moves = [step(f"o{f}", sets={"power": "on"}, applies_if=f) for f in facts]
    homes = [step(f"c{f}", sets={"power": "off"}, applies_if=f) for f in facts]
    found = prove(checklist([*moves, *homes]), KIT, cap=5)
    assert [f.code for f in found] == ["HS306"]
    assert found[0].message.endswith(
        "close-up was not proved from everywhere. Nothing was proved about: panel, power."
    )


@pytest.mark.parametrize("seed", range(100))
def test_item_by_item_misses_nothing_that_the_whole_proof_finds(seed: int) -> None:
    dice = Dice(seed)
    kit = random_fit(dice)
    steps = random_list(dice, kit)
    whole = {o.subject for o in offences(steps, kit).offences if o.code != "HS303"}
    loose = {(o.code, o.subject[1], o.about[:1]) for o in offences(steps, kit, cap=0).offences}
    assert {(code, index, about[:1]) for code, index, about in whole} <= loose


def test_every_code_the_proof_gives_is_in_its_table() -> None:
    assert [*CODES] == ["HS301", "HS302", "HS303", "HS304", "HS305", "HS306", "HS307"]


@pytest.mark.parametrize(("listed", "most"), [(ordinary(), 2_000), (worst(), NODE_CAP)])
def test_eighty_steps_over_twelve_items_are_proved_whole(listed: Checklist, most: int) -> None:
    """By situations and not by the clock; tests/bench/proving.py has the seconds."""
    assert (len(listed.steps), len(listed.zones), len(eighty_kit().items)) == (80, 8, 12)
    assert offences(listed, eighty_kit()).whole
    assert explore(program(listed, eighty_kit()), skips=True).size <= most
