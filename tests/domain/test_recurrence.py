"""What came back, against the printed table of the demo week and the edges of its figures."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.readings.blocks import block
from hardstand.domain.quantity import Instant, later
from hardstand.domain.recurrence import Removal, Report, before, did_not_hold, repeats, rogues

_PRINTED = {row["subject"]: row for row in block("repeats")[1]}
_MONDAY = Instant("2027-03-08T11:35:00Z")


def _hum(number: str, day: int, flight: int, cleared: int | None = None, cure: str = "") -> Report:
    return Report(
        number=number, at=later(_MONDAY, hours=24 * day), flight=flight, functions=("lf.rx",),
        unit="RX-LF", symptom="hum", text="hum in LF receiver", cleared=cleared, cure=cure,
    )  # fmt: skip


_QM_107 = (
    _hum("107-A02", 0, 1, 1, "bond strap remade"),
    _hum("107-A03", 3, 3, 4),
    _hum("107-S02", 5, 6),
)


def test_the_third_hum_of_the_week_is_a_repeat_that_did_not_hold_twice() -> None:
    (found,) = repeats(_QM_107, 6, later(_MONDAY, hours=24 * 5))
    row = _PRINTED["QM-107 hum in LF receiver"]
    assert f"{found.flights} flights" == row["span"]
    assert row["flag"] == "repeat; did not hold twice"
    assert found.did_not_hold == (("107-A02", "107-A03"), ("107-A03", "107-S02"))
    assert [r.number for r in found.reports] == ["107-A02", "107-A03", "107-S02"]


def test_what_an_entry_reports_was_reported_before_by_these() -> None:
    assert [r.number for r in before(_QM_107, "107-S02")] == ["107-A02", "107-A03"]
    assert before(_QM_107, "107-A02") == ()
    assert before(_QM_107, "107-X99") == ()


def test_one_entry_reported_three_times_is_not_a_repeat() -> None:
    assert _PRINTED["QM-104 sidetone"]["flag"] == "one entry still open: not a repeat"
    once = Report(number="104-S01", at=_MONDAY, flight=1, functions=("sidetone",))
    assert repeats([once], 3, later(_MONDAY, hours=96)) == ()


def test_the_control_box_of_the_week_is_a_rogue() -> None:
    def out(tail: str, at: str, bench: str) -> Removal:
        return Removal(
            part="CRW-7020", serial="C-4410", tail=tail, at=Instant(at), bench=bench,
            symptom="sidetone in and out",
        )  # fmt: skip

    removals = [
        out("QM-104", "2027-03-12T13:20:00Z", ""),
        out("QM-101", "2026-11-17T13:00:00Z", "no fault found"),
        out("QM-113", "2027-01-28T13:00:00Z", "no fault found"),
    ]
    (found,) = rogues(removals, Instant("2027-03-12T14:00:00Z"))
    assert f"{found.days} days" == _PRINTED["control box C-4410"]["span"]
    assert [r.tail for r in found.removals] == ["QM-101", "QM-113", "QM-104"]
    assert rogues(removals[:2], Instant("2027-03-12T14:00:00Z")) == ()
    elsewhere = removals[0]._replace(part="CRW-7010")
    assert rogues([elsewhere, *removals[1:]], Instant("2027-03-12T14:00:00Z")) == ()
    assert rogues(removals, Instant("2027-11-19T14:00:00Z")) == ()


def test_a_channel_not_tested_once_is_no_repeat() -> None:
    assert _PRINTED["QM-164 channel 3 not tested"]["flag"] == "none"
    assert repeats([], 2, _MONDAY) == ()


@pytest.mark.parametrize(
    ("flights", "flagged"),
    [((3, 9, 17), True), ((3, 9, 18), False), ((3, 3, 18), False), ((1, 2), False)],
)
def test_three_reports_in_fifteen_flights_are_a_repeat(
    flights: tuple[int, ...], flagged: bool
) -> None:
    """Source: computations 8a; far apart in days, so that only flights count."""
    reports = [_hum(f"107-A{n:02d}", 40 * n, flight) for n, flight in enumerate(flights)]
    now = reports[-1].at
    assert bool(repeats(reports, flights[-1], now)) == flagged


@pytest.mark.parametrize(("seconds", "flagged"), [(30 * 86_400, True), (30 * 86_400 + 1, False)])
def test_three_reports_in_thirty_days_are_a_repeat_however_many_flights(
    seconds: int, flagged: bool
) -> None:
    reports = [_hum("107-A01", 0, 1), _hum("107-A02", 1, 30), _hum("107-A03", 2, 60)]
    assert bool(repeats(reports, 90, later(_MONDAY, seconds=seconds))) == flagged


@pytest.mark.parametrize(("flight", "held"), [(8, False), (9, True)])
def test_a_fix_holds_when_five_flights_pass(flight: int, held: bool) -> None:
    reports = [_hum("107-A01", 0, 2, cleared=4), _hum("107-A02", 9, flight)]
    assert did_not_hold(reports) == (() if held else (("107-A01", "107-A02"),))


def test_reports_of_other_things_are_not_counted_together() -> None:
    hum, *rest = _QM_107
    for other in (
        hum._replace(functions=("hfa.rx",)),
        hum._replace(symptom="weak", text="weak"),
        hum._replace(functions=(), unit="RX-HFA"),
    ):
        assert repeats([other, *rest], 6, later(_MONDAY, hours=120)) == ()


def test_a_symptom_left_out_is_looked_for_in_the_words() -> None:
    hum, *rest = _QM_107
    unnamed = hum._replace(symptom="", text="loud Hum, generator on")
    assert len(repeats([unnamed, *rest], 6, later(_MONDAY, hours=120))) == 1


@given(st.permutations(_QM_107))
def test_the_order_reports_come_in_changes_nothing(reports: list[Report]) -> None:
    now = later(_MONDAY, hours=120)
    assert repeats(reports, 6, now) == repeats(_QM_107, 6, now)


@given(st.lists(st.integers(0, 60), min_size=1, max_size=8), st.integers(0, 60))
def test_one_more_report_never_takes_a_flag_away(flights: list[int], more: int) -> None:
    """Law: and clearing is no part of the count."""
    reports = [_hum(f"107-A{n:02d}", 40 * n, f) for n, f in enumerate(sorted(flights))]
    now, flight = later(_MONDAY, hours=24 * 400), 60
    flagged = bool(repeats(reports, flight, now))
    extra = _hum("107-B01", 0, more)
    assert bool(repeats([*reports, extra], flight, now)) >= flagged
    cleared = [r._replace(cleared=r.flight) for r in reports]
    assert bool(repeats(cleared, flight, now)) == flagged
