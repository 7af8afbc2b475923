"""Cards: a dial by the newest reading at each station, calls with who is on watch."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builders import checklist, step
from hardstand.domain.cards import MOST_ROWS, DialReading, call_words, calls, dial_card, on_watch
from hardstand.domain.fleet import Station
from hardstand.domain.quantity import Instant
from hardstand.domain.readings.card import CheckPoint, error_at

DAY = Instant("2027-03-08T08:00:00Z")
NEXT = Instant("2027-03-09T08:00:00Z")


def read(true: str, at_dial: str, *, at: Instant = DAY, verdict: str = "in") -> DialReading:
    """A reading of L-2210 to the nearest half kilohertz, limit 1 %."""
    return DialReading(
        serial="L-2210", position="RX-LF", true=Decimal(true), dial=Decimal(at_dial),
        limit_pct=Decimal(1), division=Decimal("0.5"), verdict=verdict, tail="QM-110", at=at,
        ref="B-1",
    )  # fmt: skip


TUESDAY = (read("212", "213"), read("329", "330.5"), read("446", "448.5"))


def test_the_newest_reading_at_each_station_is_the_one_that_counts() -> None:
    later = (read("446", "449", at=NEXT), *TUESDAY)
    assert [p.dial for p in dial_card(later).points] == [
        Decimal("213"), Decimal("330.5"), Decimal("449"),
    ]  # fmt: skip
    assert dial_card(later) == dial_card(tuple(reversed(later))), "their order does not matter"


def test_a_setting_is_true_plus_the_error_between_its_neighbours_to_the_nearest_division() -> None:
    """Whole-job C-2 and radio-facts 1: interpolated, rounded half up to the graduation."""
    to_set = dict(dial_card(TUESDAY).to_set)
    assert list(to_set) == [Decimal(n) for n in range(220, 441, 20)]
    assert to_set[Decimal(320)] == Decimal("321.5")
    assert to_set[Decimal(440)] == Decimal("442.5")


points = st.lists(
    st.tuples(st.integers(200, 500), st.integers(-8, 8)), min_size=2, max_size=8,
    unique_by=lambda p: p[0],
)  # fmt: skip


@given(points)
def test_a_card_never_goes_past_its_outermost_points_and_never_off_by_a_division(
    found: list[tuple[int, int]],
) -> None:
    readings = [read(str(t), str(t + Decimal(e) / 2)) for t, e in found]
    card = dial_card(readings)
    assert len(card.to_set) <= MOST_ROWS + 1
    low, high = card.points[0].true, card.points[-1].true
    checks = tuple(CheckPoint(true=r.true, dial=r.dial) for r in readings)
    for true, at in card.to_set:
        error = error_at(checks, true)
        assert low <= true <= high
        assert at is not None
        assert error is not None
        assert abs(at - (true + error)) <= Decimal("0.25")


def test_a_bent_or_backward_dial_is_said() -> None:
    assert "no straight line: go from point to point" in dial_card(TUESDAY).remarks
    backward = dial_card((*TUESDAY, read("392", "329")))
    assert any(r.startswith("reading suspected at dial 330.5") for r in backward.remarks)
    alone = dial_card(TUESDAY[:1])
    assert (alone.to_set, alone.remarks) == ((), ("one point: no line",))


def test_no_reading_makes_no_card() -> None:
    with pytest.raises(ValueError, match="a card needs a reading"):
        dial_card(())


# -- calls -----------------------------------------------------------------------------------------

CALLS = checklist(
    listed=(
        step("look", "test"),
        step("one", "test", "transmit", judge={
            "name": "transmitter_report", "called": "Tarrick Tower", "channel": "SET 1",
            "frequency": "3270 kHz", "station": "TOWER-HF"}),
        step("two", "test", "transmit", judge={
            "name": "transmitter_report", "channel": "CHANNEL 2", "frequency": "123.7 MHz"}),
    )
)  # fmt: skip
STATIONS = {
    "TOWER-HF": Station(title="Tarrick Tower by HF", khz=(Decimal(3270),), hours="04:30-22:45")
}


def test_a_call_has_station_frequency_words_and_whether_anybody_is_on_watch() -> None:
    one, two = calls(CALLS, "QM-107", STATIONS, "05:15")
    assert (one.step, one.channel, one.frequency) == ("3.02", "SET 1", "3270 kHz")
    assert (one.station, one.on_watch) == ("Tarrick Tower", True)
    assert (two.station, two.on_watch) == ("any station", None)
    assert calls(CALLS, "QM-107", STATIONS, "22:45")[0].on_watch is False


def test_the_words_are_those_of_annex_10() -> None:
    """ICAO Annex 10 volume II 5.2.1.8.1 and 5.1.3, restated: called, own, RADIO CHECK, frequency;
    numerals, followed by the call sign."""
    assert call_words("Tarrick Tower", "QM-107", "3270 kHz") == (
        "Tarrick Tower, QM-107, RADIO CHECK, 3270. ONE, TWO, THREE. QM-107."
    )


@pytest.mark.parametrize(
    ("hours", "clock", "there"),
    [("all", "03:00", True), ("04:30-22:45", "04:30", True), ("04:30-22:45", "04:29", False),
     ("04:30-22:45", "22:45", False), ("22:00-06:00", "23:59", True),
     ("22:00-06:00", "05:59", True), ("22:00-06:00", "06:00", False)],
)  # fmt: skip
def test_watch_hours_begin_with_their_minute_and_may_run_past_midnight(
    hours: str, clock: str, there: bool
) -> None:
    assert on_watch(hours, clock) is there
