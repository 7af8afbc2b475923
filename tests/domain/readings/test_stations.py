"""Stations to use now, and what they cover, on the invented stations of the scenario."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.readings.blocks import block
from hardstand.domain.readings.arithmetic import shown
from hardstand.domain.readings.stations import Coverage, Hour, Sender, covered, fifth, why_left_out

SUNRISE, SUNSET = 6 * 60 + 41, 18 * 60 + 52


def _at(local: str) -> Hour:
    hours, minutes = local.split(":")
    return Hour(now=int(hours) * 60 + int(minutes), sunrise=SUNRISE, sunset=SUNSET)


def _sender(ident: str, khz: int, on: int = 0, off: int = 24, heard: str = "both") -> Sender:
    return Sender(
        ident=ident,
        khz=Decimal(khz),
        on=on * 60,
        off=off * 60,
        night_only=heard == "night",
        day_only=heard == "day",
    )


SENDERS = (
    replace(_sender("VSY", 212), distant=True),
    _sender("ILH", 248),
    replace(_sender("HLO", 271, heard="night"), distant=True),
    _sender("GNR", 295),
    _sender("TK", 329),
    _sender("FNY", 392),
    _sender("MSH", 446, 5, 22),
    _sender("QNK", 3084),
    _sender("QNK", 6240),
    _sender("HTQ", 4000),
    _sender("HTQ", 8000),
    _sender("VQX", 5060, 5, 23),
    _sender("VQX", 7245, 7, 19, "day"),
    replace(_sender("AQX", 9155, 8, 18, "day"), distant=True),
)
BANDS = {"LF": (200, 500), "HF-A": (2800, 5600), "HF-B": (5600, 9400)}


def _covered(local: str, band: str, senders: tuple[Sender, ...] = SENDERS) -> Coverage:
    low, high = BANDS[band]
    return covered(senders, (Decimal(low), Decimal(high)), _at(local))


@pytest.mark.parametrize(
    "row", block("stations_now")[1], ids=lambda row: f"{row['local']} {row['band']}"
)
def test_what_can_check_a_band_now_is_as_printed(row: dict[str, str]) -> None:
    found = _covered(row["local"], row["band"].split(" ")[0])
    assert str(len(found.usable)) == row["usable"]
    assert shown(found.spread_pct, 1) == row["spread_pct"]
    assert found.result == row["result"]


def test_each_station_left_out_says_why() -> None:
    assert [(s.ident, why) for s, why in _covered("07:30", "LF").left_out] == [
        ("HLO", "night only")
    ]
    assert [(s.ident, why) for s, why in _covered("20:10", "HF-B").left_out] == [
        ("VQX", "off the air"),
        ("AQX", "off the air"),
    ]


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"list_days": 181}, "list older than 180 days"),
        ({"list_days": 180}, ""),
        ({"identified": False}, "not identified"),
        ({"on": 600, "off": 660}, "off the air"),
        ({"day_only": True}, "day only"),
        ({"distant": True}, ""),
    ],
)
def test_a_reason_holds_by_itself(change: dict[str, int], why: str) -> None:
    changed = replace(_sender("TK", 329), **change)  # type: ignore[arg-type]  # fields by name
    assert why_left_out(changed, _at("04:40")) == why


def test_a_distant_station_serves_the_dial_at_night_but_not_strength() -> None:
    assert why_left_out(SENDERS[0], _at("04:40")) == ""
    assert why_left_out(SENDERS[0], _at("04:40"), for_strength=True) == "distant, at night"
    assert why_left_out(SENDERS[0], _at("12:00"), for_strength=True) == ""


def test_hours_may_run_past_midnight_and_end_without_their_last_minute() -> None:
    late = replace(_sender("TK", 329), on=22 * 60, off=2 * 60)
    assert [why_left_out(late, _at(t)) for t in ("21:59", "22:00", "01:59", "02:00")] == [
        *("off the air", "", "", "off the air")
    ]


def test_day_begins_with_sunrise_and_ends_before_sunset() -> None:
    assert [_at(t).day for t in ("06:40", "06:41", "18:51", "18:52")] == [False, True, True, False]


def test_a_calibrator_fills_the_fifths_it_reaches() -> None:
    band = (Decimal(5600), Decimal(9400))
    assert covered((), band, _at("20:10"), (1, 2, 3, 4, 5)).result == "full"
    assert covered(SENDERS, band, _at("20:10"), (3, 5)).result == "part: spread"


def test_no_station_at_all_is_part_and_says_everything_that_is_missing() -> None:
    found = _covered("12:00", "LF", ())
    assert found.result == "part: fifths 1, 3 and 5 missing; too few; spread"


@given(st.integers(200, 500))
def test_a_frequency_lies_in_one_of_five_fifths(khz: int) -> None:
    found = fifth(Decimal(khz), Decimal(200), Decimal(500))
    assert found == min((khz - 200) * 5 // 300 + 1, 5)
