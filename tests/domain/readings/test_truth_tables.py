"""The range filter, tower reports, shared parts: every case of the tables, and their laws."""

from __future__ import annotations

from collections import Counter
from itertools import product
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.readings.blocks import quantities
from hardstand.domain.readings.range_filter import Heard, judged_filter, outcome, pointer, proved
from hardstand.domain.readings.report import Fed, Report, findings, look_first, weighed

BITS = ("00", "01", "10", "11")
HEARD = {"1": "yes", "0": "no"}


def _heard(bits: str) -> Heard:
    return Heard(code=HEARD[bits[0]], voice=HEARD[bits[1]])


def test_all_256_sequences_of_the_filter_are_counted_as_printed() -> None:
    found = Counter(outcome(*bits) for bits in product(BITS, repeat=4))
    full = Counter(
        outcome("11", on_range, on_voice, "11") for on_range in BITS for on_voice in BITS
    )
    wanted = {key: int(count) for key, count in quantities("range_filter_counts").items()}
    assert {
        **found,
        "full_control_GOOD": full["GOOD"],
        "full_control_FAULT": full["FAULT"],
    } == wanted


@pytest.mark.parametrize("bits", list(product(BITS, repeat=4)), ids="-".join)
def test_what_was_heard_plainly_is_judged_as_its_digits(bits: tuple[str, str, str, str]) -> None:
    first, on_range, on_voice, last = (_heard(b) for b in bits)
    assert judged_filter(first, on_range, on_voice, last).verdict == outcome(*bits)


def test_every_fault_with_code_and_voice_on_the_air_has_a_pointer() -> None:
    for on_range, on_voice in product(BITS, repeat=2):
        is_fault = outcome("11", on_range, on_voice, "11") == "FAULT"
        assert bool(pointer(on_range, on_voice)) == is_fault


def test_half_proven_proves_the_half_that_was_on_the_air() -> None:
    assert proved("10", outcome("10", "10", "00", "10")) == ("range",)
    assert proved("01", outcome("01", "00", "01", "01")) == ("voice",)
    assert proved("11", "GOOD") == ("range", "voice")
    assert proved("11", "FAULT") == ()


def test_faint_is_not_heard_where_it_should_be_kept_out_and_weak_where_it_should_pass() -> None:
    both = Heard(code="yes", voice="yes")
    judged = judged_filter(
        both, Heard(code="faint", voice="faint"), Heard(code="faint", voice="yes"), both
    )
    assert judged.verdict == "GOOD"
    assert judged.look_at == ("code weak on RANGE",)


def test_a_faint_code_on_both_still_counts_as_heard() -> None:
    faint = Heard(code="faint", voice="no")
    silent = Heard(code="no", voice="no")
    assert (
        judged_filter(faint, Heard(code="yes", voice="no"), silent, faint).verdict == "HALF PROVEN"
    )


def _said(*digits: tuple[str, str, int | None]) -> str:
    return weighed([Report(station=s, channel=c, digit=d) for s, c, d in digits]).verdict


@pytest.mark.parametrize(
    ("digits", "verdict"),
    [
        ([("Tower", "1", 5)], "pass"),
        ([("Tower", "1", 4)], "pass"),
        ([("Tower", "1", 5), ("Strip", "2", 3)], "pass"),
        ([("Tower", "1", 3)], "ask_again"),
        ([("Tower", "1", 2)], "ask_again"),
        ([("Tower", "1", 5), ("Strip", "2", 2)], "ask_again"),
        ([("Tower", "1", 3), ("Tower", "1", 3)], "ask_again"),
        ([("Tower", "1", 3), ("Tower", "2", 3)], "defect_offered"),
        ([("Tower", "1", 3), ("Strip", "1", 3)], "defect_offered"),
        ([("Tower", "1", 3), ("Strip", "1", 1), ("Harbour", "1", 5)], "defect_offered"),
        ([("Tower", "1", None)], "ask_again"),
        ([], "ask_again"),
    ],
)
def test_reports_are_weighed_as_written(
    digits: list[tuple[str, str, int | None]], verdict: str
) -> None:
    assert _said(*digits) == verdict


REPORT = st.tuples(
    st.sampled_from(["Tower", "Strip", "Harbour"]), st.sampled_from("12"), st.integers(1, 5)
)


@given(st.lists(REPORT, max_size=5), st.randoms())
def test_the_order_of_reports_never_matters(
    reports: list[tuple[str, str, int]], dice: Random
) -> None:
    turned = list(reports)
    dice.shuffle(turned)
    assert _said(*reports) == _said(*turned)


@given(st.lists(REPORT, min_size=1, max_size=5))
def test_a_good_report_never_takes_a_defect_back(reports: list[tuple[str, str, int]]) -> None:
    if _said(*reports) == "defect_offered":
        assert _said(*reports, ("Head", "1", 5)) == "defect_offered"


def test_words_are_findings_even_beside_a_five() -> None:
    judged = weighed(
        [Report(station="Tower", channel="1", digit=5, words="strong, distorted, slight hum.")]
    )
    assert judged.verdict == "pass"
    assert judged.look_at == ("heard by Tower: distorted", "heard by Tower: hum")
    assert findings("good; you are off frequency") == ("off frequency",)
    assert findings("overhead the field") == ()


def test_an_untested_item_under_suspicion_is_tested_before_a_box_is_opened() -> None:
    fed = (
        Fed(item="a", box="A", poor=("bus",), dead=("bus",)),
        Fed(item="b", box="B", poor=("bus",), dead=("bus",)),
    )
    assert look_first(fed, {"a": "P", "b": "U"}) == ("test B before opening anything",)
    assert look_first(fed, {"a": "P", "b": "G"}) == ("A",)
    assert look_first(fed, {"a": "P", "b": "P"}) == ("bus",)
    assert look_first(fed, {"a": "G", "b": "U"}) == ()


def test_bad_items_that_share_nothing_are_named_one_by_one() -> None:
    fed = (
        Fed(item="a", box="A", poor=("left",), dead=("left",)),
        Fed(item="b", box="B", poor=("right",), dead=("right",)),
    )
    assert look_first(fed, {"a": "P", "b": "D"}) == ("A", "B")
