"""Laws that hold for every sum: own errors only, exact verdicts, round trips, monotony."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal, localcontext

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from domain.readings.blocks import block
from hardstand.domain.readings.arithmetic import shown
from hardstand.domain.readings.channel import (
    carrier_thirds,
    names,
    thousandths,
    vhf_carrier_to_names,
)
from hardstand.domain.readings.family import Ask
from hardstand.domain.readings.morse import CODES, decoded, encoded
from hardstand.domain.readings.receiver import microvolts_of, uv_dbm_50ohm
from hardstand.domain.readings.registry import REGISTRY
from hardstand.domain.readings.stations import Hour, Sender, covered
from hardstand.errors import Usage

TEXTS = st.text(max_size=20) | st.sampled_from(
    ["", "0", "-1", "999999999999999", "0.00000000000001", "1e999999", "nan", "118.005", "\x00"]
)


@settings(deadline=None)
@given(st.sampled_from(list(REGISTRY)), st.data())
def test_any_text_gives_an_answer_or_our_own_error(name: str, data: st.DataObject) -> None:
    family = REGISTRY[name]
    try:
        judged = family.judge({ask.name: data.draw(TEXTS, ask.name) for ask in family.asks})
    except Usage:
        return
    assert set(judged.figures) <= set(family.answers)
    assert judged.basis


def _good_text(ask: Ask) -> st.SearchStrategy[str]:
    """Texts the input accepts, the extremes of what a meter can show among them."""
    if ask.choices:
        return st.sampled_from(list(ask.choices))
    if ask.free:
        return st.sampled_from(["118.025", "TK", "2024-02-29", "5", "5680", "-.-"])
    numbers = st.decimals(Decimal("1e-14"), Decimal("1e15") - 1).map(
        lambda d: f"{d:.14f}"[:16].rstrip(".")
    )
    edges = [e for e in (ask.low, ask.high) if e is not None]
    whole = st.integers(1, 99).map(str)
    return (
        whole
        if ask.whole
        else numbers | whole | st.sampled_from([f"{e:f}" for e in edges or [Decimal(1)]])
    )


@settings(deadline=None, max_examples=500)
@given(st.sampled_from(list(REGISTRY)), st.data())
def test_the_largest_and_smallest_numbers_stay_within_the_context(
    name: str, data: st.DataObject
) -> None:
    family = REGISTRY[name]
    typed = {ask.name: data.draw(_good_text(ask), ask.name) for ask in family.asks}
    try:
        family.judge(typed)
    except Usage:
        return


@pytest.mark.parametrize("name", list(REGISTRY))
def test_a_caller_with_a_coarse_context_gets_the_same_figures(name: str) -> None:
    family = REGISTRY[name]
    row = block(name)[1][0]
    typed = {ask.name: row[ask.name] for ask in family.asks}
    usual = family.judge(typed)
    with localcontext() as coarse:
        coarse.prec = 3
        assert family.judge(typed).figures == usual.figures


@pytest.mark.parametrize(
    ("value", "places", "text"),
    [
        ("0.5", 0, "1"),
        ("-0.5", 0, "-1"),
        ("1.005", 2, "1.01"),
        ("-1.005", 2, "-1.01"),
        ("2.5", 0, "3"),
        ("-0.04", 1, "0.0"),
        ("1e3", 1, "1000.0"),
    ],
)
def test_display_rounds_halves_away_from_zero_and_has_no_minus_zero(
    value: str, places: int, text: str
) -> None:
    assert shown(Decimal(value), places) == text


def test_every_channel_name_comes_back_from_its_carrier() -> None:
    for name in names():
        number = thousandths(name)
        assert number is not None
        thirds = carrier_thirds(number)
        found = vhf_carrier_to_names(carrier_mhz=Decimal(thirds) / 3_000_000)
        sharing = found.figures["names_sharing_it"].split(" ")
        assert name in sharing
        assert len(sharing) == (2 if thirds % 75_000 == 0 else 1)


@given(st.decimals(-150, 30, places=2))
def test_a_level_comes_back_from_its_microvolts(dbm: Decimal) -> None:
    back = uv_dbm_50ohm(microvolts=microvolts_of(dbm)).value
    assert back is not None
    assert abs(back - dbm) < Decimal("1e-40")


@given(st.lists(st.text(list(CODES), min_size=1, max_size=5), min_size=1, max_size=4))
def test_a_text_comes_back_from_its_signals(words: list[str]) -> None:
    text = " ".join(words)
    assert decoded(encoded(text)) == text
    assert decoded(encoded(text.lower())) == text


Judge = Callable[[Decimal], str]


def _verdict(name: str, **typed: str) -> str:
    return REGISTRY[name].judge(typed).verdict


JUDGES: dict[str, tuple[Judge, tuple[str, ...]]] = {
    "dial_error": (
        lambda d: _verdict("dial_error", dial_khz=f"{5000 + d:f}", true_khz="5000", limit_pct="1"),
        ("pass", "fail"),
    ),
    "dial_grain": (
        lambda d: _verdict(
            "dial_grain", dial_khz=f"{5000 + d:f}", true_khz="5000", limit_pct="1", g_khz="5"
        ),
        ("in", "too_close", "out"),
    ),
    "frequency_verdict": (
        lambda d: _verdict(
            "frequency_verdict",
            measured_hz=f"{1_000_000 + d:f}",
            assigned_hz="1000000",
            limit_ppm="50",
        ),
        ("pass", "fail"),
    ),
    "adf_check": (
        lambda d: _verdict("adf_check", indicated=f"{min(d, Decimal(180)):f}", reference="0"),
        ("pass", "fail"),
    ),
    "bond_millivolt": (
        lambda d: _verdict("bond_millivolt", millivolts=f"{d:f}", amps="10", limit_milliohm="5"),
        ("pass", "fail"),
    ),
    "strand_damage": (
        lambda d: _verdict("strand_damage", awg="12", nicked=str(int(d)), broken="0"),
        ("pass", "fail"),
    ),
}
OFFSETS = st.decimals(0, 100, places=2)


@pytest.mark.parametrize("name", list(JUDGES))
@given(a=OFFSETS, b=OFFSETS)
def test_a_worse_reading_never_gets_a_better_verdict(name: str, a: Decimal, b: Decimal) -> None:
    judge, ranks = JUDGES[name]
    assert ranks.index(judge(min(a, b))) <= ranks.index(judge(max(a, b)))


def test_binary_floats_would_fail_what_meets_its_limit_exactly() -> None:
    assert (261.3 - 260.0) / 260.0 * 100 > 0.5
    assert _verdict("dial_error", dial_khz="261.3", true_khz="260.0", limit_pct="0.5") == "pass"
    assert (121.503645 - 121.5) / 121.5 * 1e6 > 30
    near = {"assigned_hz": "121500000", "limit_ppm": "30"}
    assert _verdict("frequency_verdict", measured_hz="121503645", **near) == "pass"
    assert _verdict("frequency_verdict", measured_hz="121503645.1", **near) == "fail"


@pytest.mark.parametrize(
    ("name", "typed", "column", "text"),
    [
        (
            "vhf_carrier_to_names",
            {"carrier_mhz_4dp": "118.0001"},
            "names_sharing_it",
            "118.000 118.005",
        ),
        ("vhf_carrier_to_names", {"carrier_mhz_4dp": "118.00011"}, "names_sharing_it", "none"),
        ("modulation_peaks", {"Ecarrier": "2", "Emax": "2", "Emin": "2"}, "state", "ok"),
        ("modulation_peaks", {"Ecarrier": "2", "Emax": "4", "Emin": "1"}, "state", "full"),
        ("modulation_peaks", {"Ecarrier": "2", "Emax": "4.1", "Emin": "1"}, "state", "over"),
        ("calibrator_harmonic", {"dial_khz": "125", "calibrator_khz": "100"}, "status", "ok"),
        (
            "calibrator_harmonic",
            {"dial_khz": "125.1", "calibrator_khz": "100"},
            "status",
            "ambiguous",
        ),
        (
            "vor_check",
            {"method": "dual", "indicated": "0", "reference": "180"},
            "error_deg",
            "-180.0",
        ),
        ("vor_check", {"method": "dual", "indicated": "360", "reference": "0"}, "error_deg", "0.0"),
        ("sg_to_charge", {"corrected_sg": "1.300"}, "charge_pct", "100.0"),
        ("ocv_to_charge", {"ocv_12v": "12.149"}, "charge_pct", "below_25"),
        ("ocv_to_charge", {"ocv_12v": "13.1"}, "charge_pct", "100"),
        (
            "receiver_crystal",
            {"channel_mhz": "3", "if_mhz": "1.6", "injection": "low", "multiplier": "1"},
            "image_mhz",
            "none",
        ),
    ],
)
def test_an_edge_of_a_rule_falls_where_the_rule_says(
    name: str, typed: dict[str, str], column: str, text: str
) -> None:
    assert REGISTRY[name].judge(typed).figures[column] == text


def test_a_beat_as_large_as_the_marker_is_high_leaves_no_frequency() -> None:
    typed = {"calibrator_khz": "100", "harmonic": "1", "beat_hz": "100000", "side": "-"}
    with pytest.raises(Usage, match="the beat is larger than the marker is high"):
        REGISTRY["beat_to_frequency"].judge(typed)


def test_stations_on_the_edges_of_a_band_are_in_it() -> None:
    hour = Hour(now=720, sunrise=400, sunset=1100)
    edges = tuple(Sender(ident=str(khz), khz=Decimal(khz)) for khz in (199, 200, 350, 500, 501))
    found = covered(edges, (Decimal(200), Decimal(500)), hour)
    assert [s.ident for s in found.usable] == ["200", "350", "500"]
    assert found.result == "full"
