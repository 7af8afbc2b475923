"""Ampere-hours over a walk, what is left, and when it would be gone."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.readings.blocks import block
from hardstand.domain.readings.arithmetic import shown
from hardstand.domain.readings.battery import drawn, minutes_left, temperature_factor, warning
from hardstand.errors import Usage

USABLE = Decimal("10.480")


def test_a_walk_draws_what_its_table_says() -> None:
    rows = {row["mode"]: row for row in block("battery_walk")[1]}
    loads = [row for row in rows.values() if row["amps"]]
    taken = [drawn(Decimal(row["amps"]), Decimal(row["minutes"])) for row in loads]
    assert [shown(ah, 3) for ah in taken] == [row["Ah"] for row in loads]
    total = sum(taken, Decimal(0))
    assert shown(total, 3) == rows["total"]["Ah"]
    left = USABLE - total
    assert shown(left, 3) == rows["left_of_10.480"]["Ah"]
    minutes = minutes_left(left_ah=left, amps=Decimal("5.5")).figures["minutes"]
    assert minutes == rows["minutes_left_at_bus_plus_receivers_5.5A"]["minutes"]


def test_a_battery_left_on_is_gone_when_its_table_says() -> None:
    (row,) = block("battery_left_on")[1]
    bus, receivers = Decimal("2.0"), Decimal("3.5")
    taken = drawn(bus, Decimal(row["bus_minutes"])) + drawn(
        receivers, Decimal(row["receiver_minutes"])
    )
    assert shown(taken, 3) == row["Ah_drawn"]
    assert shown(USABLE - taken, 3) == row["left"]
    left_at_1435 = USABLE - drawn(bus, Decimal(4))
    after = int(minutes_left(left_ah=left_at_1435, amps=bus + receivers).figures["minutes"])
    gone = 14 * 60 + 35 + after
    assert f"{gone // 60}:{gone % 60:02d}" == row["usable_gone_at"]


@pytest.mark.parametrize(
    ("taken", "words"),
    [
        ("5.239", ""),
        ("5.24", "50 % of usable"),
        ("8.383", "50 % of usable"),
        ("8.384", "80 % of usable"),
        ("10.48", "off, or external power"),
        ("12", "off, or external power"),
    ],
)
def test_half_four_fifths_and_all_are_said(taken: str, words: str) -> None:
    assert warning(Decimal(taken), USABLE) == words


def test_with_nothing_usable_only_external_power_is_left() -> None:
    assert warning(Decimal(0), Decimal("-3.76")) == "external power only"
    assert minutes_left(left_ah=Decimal("-1.753"), amps=Decimal(5)).figures["minutes"] == "0"


def test_no_factor_is_made_up_for_cold_below_the_setting() -> None:
    assert temperature_factor(Decimal(-20)) == Decimal("0.50")
    assert temperature_factor(Decimal(45)) == 1
    with pytest.raises(Usage, match="no temperature factor is set below -20 °C"):
        temperature_factor(Decimal("-20.1"))


@given(st.decimals(0, 100, places=3), st.decimals("0.1", 50, places=1))
def test_minutes_left_are_never_more_than_the_battery_holds(left: Decimal, amps: Decimal) -> None:
    minutes = minutes_left(left_ah=left, amps=amps).value
    assert minutes is not None
    assert drawn(amps, minutes) <= left < drawn(amps, minutes + 1)


@given(st.decimals(-20, 60, places=1), st.decimals(-20, 60, places=1))
def test_colder_is_never_better(a: Decimal, b: Decimal) -> None:
    assert temperature_factor(min(a, b)) <= temperature_factor(max(a, b))
