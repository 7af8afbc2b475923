"""M-12, C-12: on-time and ampere-hours across walks and people; the keying of a transmitter."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.readings.blocks import block
from hardstand.domain.battery_use import DUTY_IN_S, Move, Used, keyed, rest_s, used
from hardstand.domain.quantity import Instant, later
from hardstand.domain.readings.arithmetic import shown

START = Instant("2027-03-11T17:31:00Z")
BUS, RECEIVERS = Decimal("2.0"), Decimal("3.5")
DRAWS = {"battery": BUS, "rx_power": RECEIVERS}


def _on(minute: float, item: str = "battery", *, away: bool = True) -> Move:
    return Move(later(START, seconds=60 * minute), item, away)


def _used(*moves: Move, until: float, since: Instant = START) -> Used:
    return used(moves, DRAWS, since=since, now=later(START, seconds=60 * until))


def test_a_battery_left_on_draws_what_its_table_says() -> None:
    (row,) = block("battery_left_on")[1]
    found = _used(_on(0), _on(4, "rx_power"), until=136)
    assert str(found.minutes) == row["bus_minutes"]
    assert shown(found.ah, 3) == row["Ah_drawn"]
    assert found.minutes_left(Decimal(row["usable"])) == 0


def test_on_time_goes_on_from_walk_to_walk_and_counts_what_was_off_between_for_nothing() -> None:
    first = (_on(0), _on(10, away=False))
    assert _used(*first, until=60).minutes == 10
    second = (*first, _on(30), _on(50, away=False))
    assert _used(*second, until=60).minutes == 30
    assert _used(*second, until=60).ah == BUS * 30 / 60
    assert _used(*second, until=60).amperes == 0
    assert _used(*second, until=60).minutes_left(Decimal(10)) is None


def test_what_was_on_before_the_day_counts_from_its_beginning() -> None:
    found = _used(_on(-600), until=30)
    assert (found.minutes, found.ah) == (30, Decimal(1))


def test_a_battery_switched_on_this_very_second_was_on_and_one_of_yesterday_was_not() -> None:
    assert _used(_on(1), until=1).on
    assert _used(_on(5, "rx_power"), until=9).on is False
    assert _used(_on(1), _on(1, away=False), until=9).on
    assert _used(_on(-600), _on(-590, away=False), until=9).on is False
    assert _used(until=9).on is False


def test_external_power_stops_the_drain_and_not_the_on_time() -> None:
    found = _used(_on(0), _on(10, "external_power"), until=40)
    assert (found.minutes, found.ah, found.amperes) == (40, BUS * 10 / 60, Decimal(0))


def test_a_switch_left_on_behind_a_dead_battery_switch_draws_nothing() -> None:
    found = _used(_on(0), _on(0, "rx_power"), _on(10, away=False), until=60)
    assert found.ah == (BUS + RECEIVERS) * 10 / 60


def test_minutes_left_are_whole_and_rounded_down() -> None:
    found = Used(on=True, seconds=1, ah=Decimal("5.1"), amperes=Decimal("5.5"))
    assert found.minutes_left(Decimal("10.480")) == 58


@given(st.lists(st.tuples(st.integers(0, 600), st.sampled_from(list(DRAWS)), st.booleans())))
def test_ampere_hours_only_grow_and_agree_with_counting_every_minute(
    drawn: list[tuple[int, str, bool]],
) -> None:
    moves = [_on(minute, item, away=away) for minute, item, away in sorted(drawn)]
    found = _used(*moves, until=700)
    away, slow = set[str](), Decimal(0)
    for minute in range(700):
        for move in moves:
            if move.at == _on(minute).at:
                (away.add if move.away else away.discard)(move.item)
        slow += sum((DRAWS[n] for n in away), Decimal(0)) if "battery" in away else Decimal(0)
    assert abs(found.ah - slow / 60) < Decimal("1e-9")
    assert _used(*moves, until=701).ah >= found.ah


# -- duty: vectors and the law of computations 7 ---------------------------------------------------


@pytest.mark.parametrize(
    ("spans", "seconds"),
    [
        ([(0, 20), (100, 130), (200, 225), (380, 400)], 75),
        ([(0, 20), (100, 130), (310, 335)], 55),
        ([], 0),
    ],
)
def test_the_most_keyed_in_five_minutes_by_the_vectors(
    spans: list[tuple[int, int]], seconds: int
) -> None:
    assert keyed(spans, 300) == seconds


@given(st.lists(st.integers(1, 60), max_size=12), st.integers(20, 200))
def test_the_most_keyed_is_the_same_as_scanning_every_second(
    lengths: list[int], window: int
) -> None:
    edges, at = [], 0
    for length in lengths:
        at += length
        edges.append(at)
    spans = list(zip(edges[::2], edges[1::2], strict=False))
    last = edges[-1] if edges else 0
    on = [any(a <= s < b for a, b in spans) for s in range(-window, last + window)]
    slow = max(sum(on[s : s + window]) for s in range(len(on) - window + 1))
    assert keyed(spans, window) == slow


def test_six_calls_in_five_minutes_are_the_most_and_the_seventh_waits() -> None:
    calls = [later(START, seconds=s) for s in range(10, 70, 10)]
    assert rest_s(calls[:5], later(START, seconds=70)) == 0
    wait = rest_s(calls, later(START, seconds=70))
    assert wait == DUTY_IN_S - 70
    assert rest_s(calls, later(START, seconds=70 + wait)) == 0
