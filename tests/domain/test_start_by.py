"""When walks must begin, and the order that makes few late, against the printed tables."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.readings.blocks import block
from hardstand.domain.start_by import (
    Job,
    Length,
    due,
    earliest_first,
    fewest_late,
    length_of,
    lined_up,
    start_by,
    trade,
)

_JOBS = [
    Job(tail=r["tail"], length=int(r["length"]), due=int(r["due"])) for r in block("start_by")[1]
]
_ROWS = block("order_of_work")[1]
_MORNING = [
    Job(tail=r["tail"], length=int(r["length"]), due=int(r["latest_finish"]))
    for r in _ROWS
    if r["tail"].startswith("QM-")
]
_PRINTED = {r["tail"]: (r["length"], r["latest_finish"]) for r in _ROWS}


@pytest.mark.parametrize("row", block("start_by")[1], ids=lambda r: r["tail"])
def test_a_walk_begins_its_length_before_it_is_due(row: dict[str, str]) -> None:
    job = Job(tail=row["tail"], length=int(row["length"]), due=int(row["due"]))
    assert start_by(job) == int(row["start_by"])


def test_a_walk_is_due_twenty_minutes_before_take_off() -> None:
    assert due(370) == 350


def test_by_take_off_time_four_are_late() -> None:
    order = earliest_first(_MORNING)
    count, worst = _PRINTED["earliest_first_late_count"]
    assert (len(order.late), f"worst {order.worst}") == (int(count), worst)


def test_the_fewest_late_are_two_and_the_order_is_the_printed_one() -> None:
    order = fewest_late(_MORNING)
    count, told = _PRINTED["fewest_late"]
    late = " and ".join(tail for tail, _ in order.late)
    assert len(order.late) == int(count)
    assert f"{late}; worst {order.worst}; total {order.total}" == told
    assert " ".join(j.tail for j in order.jobs) == _PRINTED["fewest_late_order"][1]


def test_with_two_technicians_none_is_late() -> None:
    assert len(fewest_late(_MORNING, 2).late) == int(_PRINTED["two_technicians_late"][0])


@pytest.mark.parametrize(("people", "late", "plain"), [(1, 3, 6), (2, 1, 1), (3, 0, 0)])
def test_so_many_people_make_so_many_late(people: int, late: int, plain: int) -> None:
    """Source: computations 4c, on time 4, 6 and 7 of 7; late by plain order 6, 1 and 0."""
    assert len(fewest_late(_JOBS, people).late) == late
    assert len(earliest_first(_JOBS, people).late) == plain


def test_a_job_longer_than_there_is_time_is_late() -> None:
    assert fewest_late([Job(tail="AF-01", length=10, due=5)]).late == (("AF-01", 5),)


def test_the_trade_is_told_in_one_sentence() -> None:
    assert trade(fewest_late(_MORNING), earliest_first(_MORNING)) == (
        "2 late (QM-107 by 74 min and QM-110 by 64 min), or 4 late (QM-107 by 4 min and QM-101 by "
        "45 min and QM-116 by 44 min and QM-110 by 64 min) by take-off time."
    )
    two = fewest_late(_MORNING, 2)
    assert trade(two, two) == "None late."


_RANDOM = st.lists(st.tuples(st.integers(1, 60), st.integers(1, 200)), max_size=6).map(
    lambda pairs: [Job(tail=f"T{i}", length=n, due=d) for i, (n, d) in enumerate(pairs)]
)


@given(_RANDOM)
def test_one_pair_of_hands_makes_no_more_late_than_moore_and_hodgson(jobs: list[Job]) -> None:
    """Reference: Moore 1968, exact for one person."""
    kept: list[Job] = []
    dropped = 0
    for job in sorted(jobs, key=lambda j: j.due):
        kept.append(job)
        if sum(j.length for j in kept) > job.due:
            kept.remove(max(kept, key=lambda j: j.length))
            dropped += 1
    assert len(fewest_late(jobs).late) == dropped


@given(_RANDOM, st.integers(1, 3))
def test_no_order_is_better_than_the_one_chosen(jobs: list[Job], people: int) -> None:
    def badness(order: list[Job] | tuple[Job, ...]) -> tuple[int, int, int]:
        found = lined_up(order, people)
        return len(found.late), found.worst, found.total

    best = badness(fewest_late(jobs, people).jobs)
    assert all(best <= badness(some) for some in itertools.permutations(jobs))


def test_nine_jobs_are_bettered_by_changing_two_at_a_time() -> None:
    more = (("QM-166", 300), ("QM-104", 320), ("QM-113", 340))
    nine = [*_MORNING, *(Job(tail=tail, length=46, due=at) for tail, at in more)]
    assert len(earliest_first(nine).late) == 5
    assert len(fewest_late(nine).late) == 2


def test_under_five_walks_the_length_is_what_the_list_says() -> None:
    found = length_of([30, 31, 32, 33], 46)
    assert found == Length(minutes=46)
    assert found.sentence() == "46 min as the list says"


def test_four_walks_in_five_were_no_longer_than_the_length() -> None:
    """Source: computations 4b; nearest rank, n − 1 in n + 1 from memory."""
    found = length_of([50, 46, 47, 49, 48], 40)
    assert found == Length(minutes=49, walks=5, least=46, most=50)
    assert (
        found.sentence() == "49 min (46 to 50 min in 5 walks; 67 % of walks fall in such a range)"
    )
