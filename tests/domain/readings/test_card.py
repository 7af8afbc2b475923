"""The correction card: fit, interpolation, leave-one-out, cover, against numpy and tables."""

from __future__ import annotations

from decimal import Decimal

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from domain.readings.blocks import block, quantities
from hardstand.domain.readings.arithmetic import shown
from hardstand.domain.readings.card import (
    CheckPoint,
    dial_for,
    error_at,
    error_line,
    fitted,
    is_straight,
    left_out,
    merged,
    remarks,
    settings,
    true_for,
    widest_gap,
)
from hardstand.domain.readings.dial import grain_verdict
from hardstand.errors import Usage


def _points(*pairs: tuple[str, str]) -> tuple[CheckPoint, ...]:
    return tuple(CheckPoint(dial=Decimal(d), true=Decimal(t)) for d, t in pairs)


FIT = tuple(
    CheckPoint(true=Decimal(row["true_khz"]), dial=Decimal(row["dial_khz"]))
    for row in block("dial_fit_points")[1]
)
C1 = _points(
    ("203.5", "205"),
    ("232", "233"),
    ("259.5", "260"),
    ("288.5", "288"),
    ("317", "316"),
    ("348.5", "347"),
    ("393.5", "391"),
)
"""Source: vector C1, limit 2 kHz, half a division 0.5 kHz; its fit agrees with numpy.polyfit."""


def test_the_fit_leaves_over_what_the_block_says() -> None:
    line = error_line(FIT)
    for point, over, row in zip(FIT, line.residuals, block("dial_fit_points")[1], strict=True):
        assert shown(point.error, 2) == row["error_khz"]
        assert shown(line.at(point.true), 3) == row["fitted_error_khz"]
        assert shown(over, 3) == row["residual_khz"]


def test_the_fit_has_the_quantities_of_the_block() -> None:
    line, wanted = error_line(FIT), quantities("dial_fit_result")
    assert {
        "intercept_khz": shown(line.intercept, 4),
        "slope_khz_per_khz": shown(line.slope, 6),
        "max_abs_residual_khz": shown(line.worst, 3),
        "residual_std_dof_n_minus_2_khz": shown(line.spread(), 3),
        "dial_setting_for_true_300_khz": shown(dial_for(line, Decimal(300)), 2),
        "true_for_dial_300_khz": shown(true_for(line, Decimal(300)), 2),
    } == wanted


@pytest.mark.parametrize("row", block("dial_interp")[1], ids=lambda row: row["true_khz"])
def test_errors_between_check_points_are_as_printed_and_none_outside(row: dict[str, str]) -> None:
    found = error_at(FIT, Decimal(row["true_khz"]))
    assert (shown(found, 3) if found is not None else "out_of_range") == row["error_khz"]


POINTS = st.lists(
    st.tuples(st.integers(200, 500), st.integers(-40, 40)), min_size=2, max_size=9
).filter(lambda pairs: len({x for x, _ in pairs}) > 1)


@given(POINTS)
def test_the_fit_agrees_with_numpy(pairs: list[tuple[int, int]]) -> None:
    line = fitted(tuple((Decimal(x), Decimal(y) / 8) for x, y in pairs))
    slope, intercept = np.polyfit([x for x, _ in pairs], [y / 8 for _, y in pairs], 1)
    assert float(line.slope) == pytest.approx(slope, abs=1e-9)
    assert float(line.intercept) == pytest.approx(intercept, abs=1e-6)


@given(POINTS, st.integers(1600, 4000))
def test_interpolation_agrees_with_numpy_inside_and_never_goes_outside(
    pairs: list[tuple[int, int]], eighths: int
) -> None:
    by_true = dict(pairs)
    points = tuple(CheckPoint(true=Decimal(x), dial=Decimal(x + y)) for x, y in by_true.items())
    asked = Decimal(eighths) / 8
    found = error_at(points, asked)
    inside = min(by_true) <= asked <= max(by_true)
    assert (found is not None) == inside
    if found is not None:
        trues = sorted(by_true)
        wanted = np.interp(float(asked), trues, [by_true[x] for x in trues])
        assert float(found) == pytest.approx(float(wanted), abs=1e-9)


def test_vector_c1_is_judged_and_fitted_as_printed() -> None:
    verdicts = [grain_verdict(p.error, Decimal(2), Decimal(1)) for p in C1]
    assert verdicts == ["in"] * 6 + ["too_close"]
    line = fitted(tuple((p.dial, p.true) for p in C1))
    assert (shown(line.intercept, 6), shown(line.slope, 8)) == ("5.904820", "0.97853917")
    assert [shown(r, 4) for r in line.residuals] == [
        *("-0.0375", "0.0741", "0.1643", "-0.2134", "-0.1017", "0.0743", "0.0400")
    ]


def test_leave_one_out_of_c1_is_as_printed() -> None:
    assert [(str(p.dial), shown(miss, 4)) for p, miss in left_out(C1)] == [
        ("232", "-0.0089"),
        ("259.5", "-0.2301"),
        ("288.5", "0.2435"),
        ("317", "0.0250"),
        ("348.5", "-0.1176"),
    ]


def test_the_card_of_c1_is_as_printed_and_covers_no_more_than_it_was_checked_on() -> None:
    wanted = tuple(Decimal(true) for true in range(200, 401, 25))
    card = settings(C1, wanted, Decimal("0.5"))
    assert [(int(t), None if d is None else shown(d, 1)) for t, d in card] == [
        (200, None),
        (225, "224.0"),
        (250, "249.5"),
        (275, "275.0"),
        (300, "300.5"),
        (325, "326.0"),
        (350, "351.5"),
        (375, "377.0"),
        (400, None),
    ]


def test_a_straight_dial_is_called_straight_and_draws_no_remark() -> None:
    assert is_straight(C1, Decimal("0.5"))
    assert remarks(C1, Decimal(2), Decimal("0.5")) == ()


def test_three_points_never_make_a_straight_line() -> None:
    assert not is_straight(C1[:3], Decimal("0.5"))


def test_a_bent_dial_is_told_and_points_too_far_apart_with_it() -> None:
    bent = _points(("200", "200"), ("250", "256"), ("300", "306"), ("350", "350"))
    assert remarks(bent, Decimal(4), Decimal(1)) == (
        "points too far apart to interpolate here",
        "no straight line: go from point to point",
    )


def test_a_reading_that_does_not_rise_is_suspected() -> None:
    turned = _points(("200", "200"), ("250", "249"), ("260", "248"), ("350", "350"))
    assert remarks(turned, Decimal(200), Decimal(100)) == (
        "reading suspected at dial 260: not above the one before it",
    )


def test_two_readings_at_one_mark_are_averaged_and_their_spread_is_kept() -> None:
    twice = _points(("250", "251"), ("200", "200"), ("250", "252"))
    assert merged(twice) == (
        (CheckPoint(dial=Decimal(200), true=Decimal(200)), Decimal(0)),
        (CheckPoint(dial=Decimal(250), true=Decimal("251.5")), Decimal(1)),
    )


@pytest.mark.parametrize("pairs", [(), (("200", "200"),), (("200", "200"), ("200", "201"))])
def test_a_line_needs_two_places(pairs: tuple[tuple[str, str], ...]) -> None:
    with pytest.raises(Usage, match="a line needs two points at different places on the dial"):
        fitted(tuple((p.dial, p.true) for p in _points(*pairs)))


def test_the_worst_gap_is_named_and_end_stretches_count_twice() -> None:
    heard = tuple(Decimal(f) for f in (205, 233, 260, 288))
    low, high = Decimal(200), Decimal(400)
    assert widest_gap(heard, low, high) == (Decimal(224), Decimal(288), high)
    assert widest_gap((), low, high) == (Decimal(400), low, high)


@given(st.sets(st.integers(200, 400), min_size=1, max_size=8), st.integers(200, 400))
def test_one_more_station_never_widens_the_gap(heard: set[int], more: int) -> None:
    assume(more not in heard)
    low, high = Decimal(200), Decimal(400)
    before = widest_gap(tuple(Decimal(f) for f in heard), low, high)
    after = widest_gap(tuple(Decimal(f) for f in heard | {more}), low, high)
    assert after[0] <= before[0]
