"""Low, in, high; the fresh look; blind double entry; readings of an untrusted meter."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hardstand.domain.readings.judged import (
    Judged,
    asks_fresh_look,
    blind_entries,
    held,
    untrusted,
)

ACCEPT = (Decimal(24), Decimal(29))
POSSIBLE = (Decimal(0), Decimal(50))


@pytest.mark.parametrize(
    ("value", "verdict"),
    [("23.9", "low"), ("24", "in"), ("29.0", "in"), ("29.1", "high"), ("50", "high")],
)
def test_limits_are_inclusive(value: str, verdict: str) -> None:
    assert held(Decimal(value), ACCEPT, POSSIBLE) == verdict


@pytest.mark.parametrize("value", ["-0.1", "50.1", "280"])
def test_what_the_meter_could_never_show_is_not_judged_but_asked_again(value: str) -> None:
    assert held(Decimal(value), ACCEPT, POSSIBLE) == "ask_again"
    assert held(Decimal(value), ACCEPT, None) in ("low", "high")


def _near(low: str, high: str, value: Decimal) -> bool:
    return Decimal(low) <= value <= Decimal(high)


@pytest.mark.parametrize("typed", ["239", "32.9", "3290", "0.329", "392", "329000"])
def test_a_slipped_point_or_swapped_digits_ask_for_a_fresh_look(typed: str) -> None:
    assert asks_fresh_look(typed, lambda value: _near("325.7", "332.3", value))


@pytest.mark.parametrize("typed", ["300", "340", "923", "333"])
def test_a_plain_bad_reading_does_not(typed: str) -> None:
    assert not asks_fresh_look(typed, lambda value: _near("325.7", "332.3", value))


@given(st.integers(101, 9899), st.integers(0, 2))
def test_every_swap_of_unlike_neighbours_is_caught(true: int, place: int) -> None:
    digits = str(true)
    if place + 1 >= len(digits) or digits[place] == digits[place + 1]:
        return
    typed = digits[:place] + digits[place + 1] + digits[place] + digits[place + 2 :]
    assert asks_fresh_look(typed, lambda value: value == true)


def test_blind_entries_settle_on_any_two_alike_and_give_up_after_three() -> None:
    first, second, third = Decimal("27.5"), Decimal("27.50"), Decimal(28)
    assert blind_entries((first,)) == "again"
    assert blind_entries((first, second)) == "agreed"
    assert blind_entries((first, third)) == "again"
    assert blind_entries((first, third, second)) == "agreed"
    assert blind_entries((first, third, Decimal(29))) == "apart"


def test_a_meter_out_of_date_leaves_the_reading_and_takes_the_verdict() -> None:
    read = Judged(figures={"verdict": "pass"}, value=Decimal(28), unit="V", verdict="pass")
    doubted = untrusted(read, "meter 7 ran out on 2027-03-01")
    assert (doubted.value, doubted.unit, doubted.verdict) == (Decimal(28), "V", "unknown")
    assert doubted.look_at == ("meter 7 ran out on 2027-03-01",)
