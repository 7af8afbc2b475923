"""What a set can do, against the printed table, every way of filling in, and the laws."""

from __future__ import annotations

import itertools
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.readings.blocks import block
from domain.structures import FUNCTIONS, MISSIONS, UNITS, Case, cases, defects
from hardstand.domain.capability import GONE, GOOD, Levels, answer, caps_of
from hardstand.domain.mission_words import ALWAYS, NEVER, AtLeast, Needs

_RANK = {"CANNOT": 0, "UNKNOWN": 1, "CAN WITH LIMITS": 2, "CAN": 3}


@pytest.mark.parametrize(
    "row", block("required_capability")[1], ids=lambda r: f"{r['airframe']} {r['mission']}"
)
def test_an_airframe_of_the_table_can_what_is_printed(row: dict[str, str]) -> None:
    things = defects(row["defects"])
    said = answer(FUNCTIONS, MISSIONS[row["mission"]], caps_of(things))
    assert said.word == row["answer"]


def test_limits_name_the_function_that_is_weak() -> None:
    caps = caps_of(defects("D1 loop aerial=1|D2 HF aerial=0"))
    assert answer(FUNCTIONS, MISSIONS["cross-country"], caps).limits == ("LF nav",)


def test_what_is_not_known_leaves_a_mission_unknown_or_does_not_matter() -> None:
    """Source: computations 3.3, loop aerial, LF receiver and spare unknown."""
    unknown = ("loop aerial", "LF receiver", "spare LF receiver")
    said = {name: answer(FUNCTIONS, wanted, {}, unknown).word for name, wanted in MISSIONS.items()}
    assert said == {
        "local day": "CAN", "cross-country": "UNKNOWN", "night": "UNKNOWN", "instrument": "UNKNOWN",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("needs", "level"),
    [
        (ALWAYS, GOOD),
        (NEVER, GONE),
        (AtLeast(0, ("a",)), GOOD),
        (AtLeast(2, ("a",)), GONE),
        (AtLeast(2, ("a", "a", "b")), GOOD),
        ([1, ["b", [2, ["a", "a"]]]], GOOD),
    ],
)
def test_edges_of_counting_are_what_the_table_of_edges_says(needs: Needs, level: int) -> None:
    """Source: computations 3.3, edge cases; JSON makes lists of the pairs."""
    assert Levels({}, {"b": GONE}).met(needs) == level


@given(cases(), st.sets(st.sampled_from(UNITS), max_size=4))
def test_unknown_is_what_differs_between_the_ways_of_filling_in(
    case: Case, unknown: set[str]
) -> None:
    """Law: three values are the exact bounds of every way the unknown could turn out."""
    caps = caps_of(case.things)
    ways = set()
    for levels in itertools.product((0, 1, 2), repeat=len(unknown)):
        turned = dict(caps)
        for name, level in zip(sorted(unknown), levels, strict=True):
            turned[name] = min(level, caps.get(name, GOOD))
        ways.add(answer(case.structure, case.wanted, turned).word != "CANNOT")
    said = answer(case.structure, case.wanted, caps, unknown).word
    expected = {frozenset({True}): {"CAN", "CAN WITH LIMITS"}, frozenset({False}): {"CANNOT"}}
    assert said in expected.get(frozenset(ways), {"UNKNOWN"})


@given(cases())
def test_one_more_defect_never_makes_a_mission_better(case: Case) -> None:
    """Law: monotone; clearing is the same step the other way."""
    said = [
        _RANK[answer(case.structure, case.wanted, caps_of(case.things[:n])).word]
        for n in range(len(case.things) + 1)
    ]
    assert said == sorted(said, reverse=True)


@given(cases(), st.sets(st.sampled_from(UNITS), max_size=4), st.sampled_from(UNITS))
def test_one_more_unknown_never_makes_a_mission_better(
    case: Case, unknown: set[str], name: str
) -> None:
    caps = caps_of(case.things)
    before = answer(case.structure, case.wanted, caps, unknown).word
    after = answer(case.structure, case.wanted, caps, {*unknown, name}).word
    assert after == before or (after == "UNKNOWN" and before != "CANNOT")


@given(cases())
def test_wanting_less_never_makes_a_mission_worse(case: Case) -> None:
    less = case.wanted._replace(needs=tuple((name, 1) for name, _ in case.wanted.needs))
    caps = caps_of(case.things)
    strict = answer(case.structure, case.wanted, caps).word
    assert _RANK[answer(case.structure, less, caps).word] >= _RANK[strict]


@given(cases(), st.randoms(use_true_random=False))
def test_the_order_of_parts_changes_nothing(case: Case, shuffle: random.Random) -> None:
    def turned(tree: Needs) -> Needs:
        if isinstance(tree, str):
            return tree
        parts = [turned(part) for part in tree.parts]
        shuffle.shuffle(parts)
        return AtLeast(tree.k, tuple(parts))

    other = {name: turned(tree) for name, tree in case.structure.items()}
    caps = caps_of(case.things)
    assert answer(other, case.wanted, caps) == answer(case.structure, case.wanted, caps)
