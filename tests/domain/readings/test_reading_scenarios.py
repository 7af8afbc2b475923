"""The scenarios of readings and reports, 21 to 32, as far as a pure sum decides them.

What a walk asks, stores and shows of them is tested with the walk.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from domain.readings.blocks import block
from hardstand.domain.readings.arithmetic import shown
from hardstand.domain.readings.dial import dial_grain, image_marks, is_check_point, nearer_image
from hardstand.domain.readings.frequency import answers_as_called, sockets_giving
from hardstand.domain.readings.grammar import measured
from hardstand.domain.readings.judged import asks_fresh_look, held, untrusted
from hardstand.domain.readings.range_filter import Heard, judged_filter
from hardstand.domain.readings.registry import REGISTRY
from hardstand.domain.readings.report import Report, weighed
from hardstand.errors import Usage


def _grain(dial: str, true: str, limit_pct: str, g: str) -> str:
    return dial_grain(
        true_khz=Decimal(true),
        dial_khz=Decimal(dial),
        limit_pct=Decimal(limit_pct),
        g_khz=Decimal(g),
    ).verdict


def test_21_digits_swapped_ask_for_a_fresh_look() -> None:
    assert _grain("239", "329", "1.0", "0.5") == "out"
    assert asks_fresh_look("239", lambda dial: _grain(f"{dial:f}", "329", "1.0", "0.5") == "in")


def test_22_megahertz_where_kilohertz_is_meant_are_refused_and_never_converted() -> None:
    with pytest.raises(Usage) as caught:
        measured("4.0 MHz", ("kHz",))
    assert caught.value.lines() == (
        "'4.0 MHz' is not read as a number: ' MHz' stands behind '4.0'",
        "Write digits with at most one point, as 4000 or 4000 kHz.",
    )
    possible = (Decimal(2800), Decimal(5600))
    accept = (Decimal(3980), Decimal(4020))
    assert held(Decimal("4.0"), accept, possible) == "ask_again"


def test_23_exactly_on_the_limit_is_in_but_too_close_for_a_coarse_dial() -> None:
    assert _grain("4020", "4000", "0.5", "0") == "in"
    assert _grain("4020", "4000", "0.5", "5") == "too_close"


def test_24_a_station_not_identified_is_no_calibration_point() -> None:
    assert not is_check_point(identified=False, frequency_dated=True)
    assert not is_check_point(identified=True, frequency_dated=False)
    assert is_check_point(identified=True, frequency_dated=True)


def test_25_a_big_error_asks_for_image_or_wrong_station_before_a_bad_dial() -> None:
    true, inter = Decimal(4000), Decimal(455)
    assert image_marks(true_khz=true, if_khz=inter) == (Decimal(3090), Decimal(4910))
    limit = Decimal("0.5")
    found = nearer_image(dial_khz=Decimal(3095), true_khz=true, if_khz=inter, limit_pct=limit)
    assert found == 3090
    assert (
        nearer_image(dial_khz=Decimal(3500), true_khz=true, if_khz=inter, limit_pct=limit) is None
    )
    judged = REGISTRY["dial_error"].judge(
        {"dial_khz": "3095", "true_khz": "4000", "limit_pct": "0.5"}
    )
    assert judged.look_at[0] == (
        "was it the station? an image lies twice the intermediate frequency away"
    )


def test_26_loud_and_clear_stores_no_digit() -> None:
    report = Report(station="Tower", channel="1", words="loud and clear")
    judged = weighed([report])
    assert report.digit is None
    assert judged.verdict == "ask_again"
    assert judged.look_at == ("no readability was given: ask for it",)


def test_27_another_station_answering_is_crossed_crystals() -> None:
    rows = block("demo_crystals")[1]
    sockets = {row["channel"]: Decimal(row["tx_crystal_khz"]) for row in rows}
    sockets["3"] = Decimal("5087.5")
    giving = sockets_giving(
        Decimal("122.1"), tuple(sockets.items()), multiplier=Decimal(24), ppm=Decimal(50)
    )
    assert giving == ("1", "3")
    assert answers_as_called("Great Fennoway", "Tarrick Tower") == "fail"
    assert answers_as_called("Great Fennoway", "Great Fennoway") == "pass"


def test_28_one_good_and_one_poor_report_ask_for_a_third() -> None:
    reports = [
        Report(station="Tarrick Tower", channel="1", digit=5),
        Report(station="Great Fennoway", channel="3", digit=2),
    ]
    judged = weighed(reports)
    assert judged.verdict == "ask_again"
    assert judged.look_at == ("ask another station, or the same one on another channel",)


def test_29_nobody_talking_during_the_filter_test_is_half_proven() -> None:
    code_only = Heard(code="yes", voice="no")
    silence = Heard(code="no", voice="no")
    judged = judged_filter(code_only, code_only, silence, code_only)
    assert judged.verdict == "HALF PROVEN"
    assert judged.look_at == ("no voice was on the air: try again when a station sends it",)


def test_32_a_calibrator_out_of_date_keeps_the_reading_and_makes_its_verdict_unknown() -> None:
    judged = REGISTRY["calibrator_harmonic"].judge({"dial_khz": "5003", "calibrator_khz": "1000"})
    doubted = untrusted(judged, "the calibrator was due on 2027-03-01")
    assert (judged.verdict, doubted.verdict) == ("ok", "unknown")
    assert doubted.figures == judged.figures


@pytest.mark.parametrize("row", block("demo_crystals")[1], ids=lambda row: row["use"])
def test_the_crystals_of_the_scenario_are_as_printed(row: dict[str, str]) -> None:
    sending = REGISTRY["channel_to_crystal"].judge(
        {"carrier_mhz": row["f_mhz"], "multiplier": "24"}
    )
    hearing = REGISTRY["receiver_crystal"].judge(
        {
            "channel_mhz": row["f_mhz"],
            "if_mhz": "10.5",
            "injection": "low",
            "multiplier": "16",
        }
    )
    tolerance = REGISTRY["tolerance_hz"].judge(
        {"assigned_hz": f"{Decimal(row['f_mhz']) * 1_000_000:.0f}", "tolerance_ppm": "50"}
    )
    assert sending.figures["crystal_khz"] == row["tx_crystal_khz"]
    assert hearing.figures["crystal_khz"] == row["rx_crystal_khz"]
    assert hearing.figures["local_osc_mhz"] == row["rx_osc_mhz"]
    image = Decimal(hearing.figures["image_mhz"])
    assert shown(image, 1) == row["image_mhz"]
    assert shown(tolerance.value or Decimal(0), 0) == row["tol_hz"]
