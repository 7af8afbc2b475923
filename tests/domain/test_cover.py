"""How many flights can be flown, against the printed table and a matching by a library."""

from __future__ import annotations

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.readings.blocks import block
from domain.structures import FUNCTIONS, MISSIONS, defects
from hardstand.domain.capability import InTheWay, answer, caps_of
from hardstand.domain.cover import cover

_FLEET = {r["airframe"]: defects(r["defects"]) for r in block("required_capability")[1]}


def _able(things: tuple[InTheWay, ...]) -> set[str]:
    caps = caps_of(things)
    return {m for m, w in MISSIONS.items() if answer(FUNCTIONS, w, caps).word.startswith("CAN")} - {
        m for m, w in MISSIONS.items() if answer(FUNCTIONS, w, caps).word == "CANNOT"
    }


def _wanted(cell: str) -> dict[str, int]:
    return {m: int(n) for m, _, n in (part.rpartition(" ") for part in cell.split("|"))}


@pytest.mark.parametrize("row", block("flights_covered")[1], ids=lambda r: r["wanted"])
def test_a_morning_of_the_table_is_covered_as_printed(row: dict[str, str]) -> None:
    found = cover(_wanted(row["wanted"]), {tail: _able(t) for tail, t in _FLEET.items()})
    assert (str(found.flyable), str(found.wanted)) == (row["flyable"], row["of"])
    assert set(found.short) == set(filter(None, row["short"].split("+")))
    assert found.short_able == int(row["able"] or 0)


@pytest.mark.parametrize("row", block("flights_covered")[1], ids=lambda r: r["wanted"])
def test_the_single_repairs_that_help_are_those_printed(row: dict[str, str]) -> None:
    wanted = _wanted(row["wanted"])
    before = cover(wanted, {tail: _able(t) for tail, t in _FLEET.items()}).flyable
    helping = []
    for tail, things in _FLEET.items():
        for thing in things:
            left = tuple(t for t in things if t != thing)
            able = {n: _able(left if n == tail else t) for n, t in _FLEET.items()}
            if cover(wanted, able).flyable > before:
                helping.append(f"{tail} {thing.name}")
    assert helping == list(filter(None, row["repairs_that_help"].split("|")))


_MISSIONS = st.sampled_from("abcd")


@given(
    st.dictionaries(_MISSIONS, st.integers(0, 4), max_size=4),
    st.dictionaries(st.integers(0, 6).map(str), st.sets(_MISSIONS), max_size=7),
)
def test_as_many_fly_as_the_largest_matching_holds(
    wanted: dict[str, int], able: dict[str, set[str]]
) -> None:
    """Reference: networkx, Hopcroft and Karp's matching of flights to airframes."""
    graph: nx.Graph[object] = nx.Graph()
    flights = [(m, i) for m, n in wanted.items() for i in range(n)]
    graph.add_nodes_from(flights)
    graph.add_edges_from((f, tail) for f in flights for tail, can in able.items() if f[0] in can)
    matching = nx.bipartite.hopcroft_karp_matching(graph, top_nodes=flights)
    assert cover(wanted, able).flyable == len(matching) // 2


def test_the_shortage_is_said_in_one_sentence() -> None:
    able = {"QM-107": {"MAIL-N"}, "QM-110": {"MAIL-N"}, "QM-161": {"SURVEY-N"}}
    assert cover({"MAIL-N": 3, "SURVEY-N": 1}, able).sentence() == (
        "3 of 4 flights can be flown: 3 MAIL-N wanted, 2 airframes can."
    )
    assert cover({"MAIL-N": 2}, able).sentence() == "2 of 2 flights can be flown."
    assert cover({}, able).sentence() == "0 of 0 flights can be flown."
