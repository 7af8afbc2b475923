"""Figures of standards and regulations, clause by clause, checked apart from the blocks."""

from __future__ import annotations

from decimal import Decimal

import pytest

from domain.readings.blocks import block, quantities
from hardstand.domain.readings.channel import names, spacing, thousandths
from hardstand.domain.readings.hazard import general_limit, occupational_limit
from hardstand.domain.readings.morse import CODES, interlock, units_of
from hardstand.domain.readings.registry import REGISTRY
from hardstand.errors import Usage


def _figures(sum_: str, /, **typed: str) -> dict[str, str]:
    return dict(REGISTRY[sum_].judge(typed).figures)


def test_the_signals_fill_the_dot_dash_tree_of_itu_r_m1677_1() -> None:
    """The letters of annex 1 part 1.1, read off their binary tree: dot goes left, dash right."""
    tree = "_ETIANMSURWDKGOHVF_L_PJBXCYZQ"
    for char, code in CODES.items():
        if char.isalpha():
            place = 1
            for mark in code:
                place = place * 2 + (mark == "-")
            assert tree[place - 1] == char


def test_the_figures_of_itu_r_m1677_1_count_their_dots() -> None:
    """Annex 1 part 1.1: 1 to 5 lead with so many dots, 6 to 0 with so many dashes."""
    for n in range(1, 6):
        assert CODES[str(n)] == "." * n + "-" * (5 - n)
        assert CODES[str((n + 5) % 10)] == "-" * n + "." * (5 - n)


def test_the_gaps_are_those_of_itu_r_m1677_1_part_2() -> None:
    assert units_of("T") == 3 * units_of("E")
    assert units_of("EE") - 2 * units_of("E") == 3
    assert units_of("E E") - 2 * units_of("E") == 7


@pytest.mark.parametrize("ident", ["QQY", "JYQ", "00Y"])
def test_a_beacon_ident_at_seven_words_fits_its_thirty_seconds(ident: str) -> None:
    """ICAO Annex 10 volume I 3.4.5, from memory: the longest three signs within 30 s."""
    seconds = _figures("morse_timing", text=ident, wpm="7")["seconds_plus_word_gap"]
    assert Decimal(seconds) <= 30


def test_a_and_n_of_a_range_interlock_without_a_gap() -> None:
    wanted = quantities("range_interlock")
    a, n = interlock()
    assert (a, n) == (wanted["A"], wanted["N"])
    both = "".join("1" if "1" in pair else "0" for pair in zip(a, n, strict=True))
    overlap = "".join("1" if pair == ("1", "1") else "0" for pair in zip(a, n, strict=True))
    assert (both, overlap) == (wanted["A_plus_N"], wanted["overlap"])
    assert (a.lstrip("0"), n.rstrip("0")) == ("10111", "11101")


def test_the_band_holds_the_published_count_of_channels() -> None:
    """ICAO Annex 10 volume V, restated: 760 channels of 25 kHz, 2280 of 8.33."""
    wanted = {key: int(value) for key, value in quantities("vhf_channel_counts").items()}
    every = names()
    numbers = [number for name in every if (number := thousandths(name)) is not None]
    wide = [n for n in numbers if spacing(n) == "25"]
    assert len(every) == len(numbers) == wanted["names_total"]
    assert len(wide) == wanted["names_25khz_118.000_to_136.975"]
    assert len(numbers) - len(wide) == wanted["names_833_118.005_to_136.990"]
    hundred = [n for n in wide if n % 100 == 0]
    assert len(hundred) == wanted["names_100khz_118.0_to_136.9"]
    assert sum(n <= 131_900 for n in hundred) == wanted["names_100khz_118.0_to_131.9"]
    fifty = [n for n in wide if n % 50 == 0 and n <= 135_950]
    assert len(fifty) == wanted["names_50khz_118.00_to_135.95"]


def test_every_channel_name_ends_as_the_standard_says() -> None:
    """Two last digits of the names in use, ICAO Annex 10 volume V, restated."""
    wide = {"00", "25", "50", "75"}
    narrow = {"05", "10", "15", "30", "35", "40", "55", "60", "65", "80", "85", "90"}
    assert {name[-2:] for name in names()} == wide | narrow


@pytest.mark.parametrize(
    ("name", "carrier", "misprint"),
    [("118.030", "118.0250", "118.0333"), ("118.055", "118.0500", "118.0583")],
)
def test_a_public_table_of_channels_is_not_copied(name: str, carrier: str, misprint: str) -> None:
    """A name 5 above a 25 kHz channel has that channel's carrier; the public figure is wrong."""
    found = _figures("vhf_channel", name=name)["carrier_mhz_4dp"]
    assert found == carrier
    assert found != misprint


@pytest.mark.parametrize("name", ["127.560", "133.010"])
def test_carriers_reported_from_the_air_come_out(name: str) -> None:
    """Published examples: 127.560 is 127.5583 MHz, 133.010 is 133.0083."""
    wanted = {"127.560": "127.5583", "133.010": "133.0083"}
    assert _figures("vhf_channel", name=name)["carrier_mhz_4dp"] == wanted[name]


@pytest.mark.parametrize(
    ("f_mhz", "work", "anyone"),
    [
        ("1.0", "100", "100"),
        ("10", "9", "1.8"),
        ("100", "1.0", "0.2"),
        ("300", "1.0", "0.2"),
        ("900", "3", "0.6"),
        ("1500", "5", "1.0"),
        ("100000", "5", "1.0"),
    ],
)
def test_exposure_limits_are_those_of_47_cfr_1_1310(f_mhz: str, work: str, anyone: str) -> None:
    """Table 1 (A) and (B), one frequency in each row and at the meeting of rows."""
    assert occupational_limit(Decimal(f_mhz)) == Decimal(work)
    assert general_limit(Decimal(f_mhz)) == Decimal(anyone)


def test_the_exposure_table_is_silent_outside_its_rows() -> None:
    """47 CFR 1.1310 table 1 begins at 0.3 MHz and ends at 100 000."""
    for f_mhz in ("0.299", "100000.1"):
        assert occupational_limit(Decimal(f_mhz)) is None
        assert general_limit(Decimal(f_mhz)) is None


@pytest.mark.parametrize(
    ("level", "minutes"),
    [("85", 480), ("88", 240), ("91", 120), ("94", 60), ("97", 30), ("100", 15)],
)
def test_noise_times_are_those_niosh_prints(level: str, minutes: int) -> None:
    assert _figures("noise_time", dBA=level)["niosh_minutes"] == f"{minutes}.0"


@pytest.mark.parametrize(
    ("level", "hours"), [("90", 8), ("95", 4), ("100", 2), ("105", 1), ("110", Decimal("0.5"))]
)
def test_noise_times_are_those_of_29_cfr_1910_95(level: str, hours: Decimal) -> None:
    """Table G-16."""
    assert _figures("noise_time", dBA=level)["osha_minutes"] == f"{hours * 60:.1f}"


@pytest.mark.parametrize(
    ("awg", "nicked", "broken"),
    [("24", 2, 0), ("14", 2, 0), ("12", 4, 0), ("10", 4, 0), ("8", 6, 6), ("4", 6, 6), ("2", 6, 6)],
)
def test_strand_limits_are_those_of_ac_43_13_1b_table_11_13(
    awg: str, nicked: int, broken: int
) -> None:
    def verdict(n: int, b: int) -> str:
        return _figures("strand_damage", awg=awg, nicked=str(n), broken=str(b))["verdict"]

    assert verdict(nicked, broken) == "pass"
    assert verdict(nicked + 1, broken) == "fail"
    assert verdict(nicked, broken + 1) == "fail"


@pytest.mark.parametrize("row", block("voltage_drop")[1], ids=lambda row: row["printed_V"])
def test_voltage_drops_of_ac_43_13_1b_are_right_but_for_its_two_misprints(
    row: dict[str, str],
) -> None:
    """Tables 11-7 and 11-8: 0.366 should read 0.491 and 3.60 should read 3.555."""
    found = _figures("voltage_drop", **{k: row[k] for k in ("ohm_per_ft", "feet", "amps")})
    volts, printed = Decimal(found["computed_V"]), Decimal("0" + row["printed_V"].lstrip("0"))
    agrees = volts.quantize(printed) == printed
    assert agrees == (row["agrees_to_printed_digits"] == "yes")
    assert agrees == (row["printed_V"] not in (".366", "3.60"))


@pytest.mark.parametrize(
    ("volts", "verdict"), [("23.9", "low"), ("24", "pass"), ("29", "pass"), ("29.01", "high")]
)
def test_external_power_is_held_to_mil_std_704f_4_3_b(volts: str, verdict: str) -> None:
    assert _figures("bus_voltage", volts=volts, case="external")["verdict"] == verdict


@pytest.mark.parametrize(
    ("method", "limit"), [("vot", "4"), ("ground", "4"), ("airborne", "6"), ("dual", "4")]
)
def test_vor_limits_are_those_of_14_cfr_91_171(method: str, limit: str) -> None:
    """Paragraphs (b)(1) to (b)(4) and (c)."""
    found = _figures("vor_check", method=method, indicated=limit, reference="0")
    assert (found["limit_deg"], found["verdict"]) == (limit, "pass")
    over = _figures("vor_check", method=method, indicated=f"{limit}.1", reference="0")
    assert over["verdict"] == "fail"


@pytest.mark.parametrize(
    ("assigned", "ppm", "hertz"),
    [("5680000", "100", "568.0"), ("121500000", "5", "607.5"), ("10000000", "2", "20.0")],
)
def test_tolerances_of_47_cfr_come_out_in_hertz(assigned: str, ppm: str, hertz: str) -> None:
    """87.133(a)(3), 87.133(g); 20 Hz of 73.1545 is 2 ppm at 10 MHz."""
    assert (
        _figures("tolerance_hz", assigned_hz=assigned, tolerance_ppm=ppm)["tolerance_hz"] == hertz
    )


def test_a_counter_check_to_one_part_per_million_has_its_published_ends() -> None:
    """A published generator check: 108.000000 MHz must count 107.999892 to 108.000108."""
    near = {"assigned_hz": "108000000", "limit_ppm": "1"}
    for hertz, verdict in (
        ("107999891", "fail"),
        ("107999892", "pass"),
        ("108000108", "pass"),
        ("108000109", "fail"),
    ):
        assert _figures("frequency_verdict", measured_hz=hertz, **near)["verdict"] == verdict


def test_swr_1_8_is_not_what_a_web_table_says() -> None:
    """The table prints 10.2 dB and 31.5 %; by the formula it is 10.88 dB and 28.6 %."""
    found = _figures("swr_table", swr="1.8")
    assert (found["return_loss_db"], found["reflection_coeff"]) == ("10.88", "0.2857")


def test_full_modulation_from_current_is_not_three_hundred_percent() -> None:
    """A circulating form leaves out the square roots of NAVEDTRA 14193 page 5-3."""
    assert _figures("modulation_from_current", current_ratio="1.2247449")["mod_pct"] == "100.0"


def test_the_handbook_volts_do_not_make_ten_decibels() -> None:
    """2.5 and 0.8 V are rounded from 2.449 and 0.775; they give 9.90 dB."""
    assert _figures("snn_volts", V_mod_on="2.5", V_mod_off="0.8")["SNN_dB"] == "9.90"
    assert _figures("snn_volts", V_mod_on="2.4495", V_mod_off="0.7746")["SNN_dB"] == "10.00"


def test_lockwire_of_a_fifth_of_an_inch_is_a_misprint() -> None:
    """A manual prints 0.20 inch (0.5 mm); half a millimetre is 0.020 inch."""
    assert Decimal("0.5") / Decimal("25.4") == pytest.approx(Decimal("0.020"), abs=Decimal("0.001"))
    wide = _figures("lockwire_twists", wire_dia_in="0.20", twists_per_inch="11")
    fine = _figures("lockwire_twists", wire_dia_in="0.020", twists_per_inch="11")
    assert (wide["verdict"], fine["verdict"]) == ("no_rule", "pass")


@pytest.mark.parametrize("plan", ["10", "9", "9lf"])
def test_a_broadcast_plan_has_its_count_of_channels(plan: str) -> None:
    wanted = quantities("am_channel_counts")[plan]
    found = [
        khz
        for khz in range(100, 1800)
        if _figures("am_channel", khz=str(khz), plan=plan)["is_channel"] == "yes"
    ]
    assert str(len(found)) == wanted


def test_no_test_goes_out_on_a_frequency_of_radio_regulations_5_111() -> None:
    for name in ("121.500", "121.5", "3023", "5680", "10003", "14993", "19993"):
        assert _figures("test_channel", name=name)["verdict"] == "never"
    with pytest.raises(Usage, match=r"'144\.000' is neither a VHF channel name"):
        _figures("test_channel", name="144.000")


def test_a_list_that_cannot_be_right_is_refused_with_its_reason() -> None:
    for name, typed, reason in (
        (
            "swr_from_power",
            {"forward_W": "10", "reflected_W": "12"},
            "reflected power is above forward power, a bad reading",
        ),
        (
            "swr_from_power",
            {"forward_W": "10", "reflected_W": "-1"},
            "reflected_W: -1 is not a number in W from 0",
        ),
        ("swr_table", {"swr": "0.9"}, "swr: 0.9 is not a number from 1"),
        (
            "vor_currency",
            {"check_date": "2024-02-30", "flight_date": "2024-03-01"},
            "'2024-02-30' is not a day",
        ),
        (
            "vor_currency",
            {"check_date": "2024-03-02", "flight_date": "2024-03-01"},
            "the flight is before the check",
        ),
        ("morse_code", {"char": "Ä"}, "'Ä' has no signal here"),
        (
            "bus_voltage",
            {"volts": "28", "case": "spare"},
            "case: 'spare' is not one of external, normal, abnormal",
        ),
    ):
        with pytest.raises(Usage) as caught:
            REGISTRY[name].judge(typed)
        assert caught.value.what == reason
