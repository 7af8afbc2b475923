"""What a device's clock error does to the times of its lines, and when a clock is not trusted."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.readings.blocks import block
from hardstand.domain.clocks import BUILD_YEAR, Observation, corrected_at, is_trusted, offset
from hardstand.domain.quantity import Instant, later, seconds_between
from line_office import DAYS, at


def _seconds(text: str) -> int:
    sign = -1 if text[0] == "-" else 1
    hours, minutes, seconds = (int(part) for part in text[1:].split(":"))
    return sign * (hours * 3600 + minutes * 60 + seconds)


@pytest.mark.parametrize("row", block("clock")[1], ids=lambda r: r["device"])
def test_a_clock_error_is_taken_off_what_was_stamped(row: dict[str, str]) -> None:
    day, clock = row["stamped"].split()
    stamped = at(f"2027-03-{DAYS[day]:02d}T{clock}-03:00")
    day, clock = row["corrected"].split()
    seen = Observation(seq=9, stamped=stamped, offset_s=_seconds(row["offset"]))
    found = corrected_at({row["device"]: (seen,)}, row["device"], 5, stamped)
    assert found == at(f"2027-03-{DAYS[day]:02d}T{clock}-03:00")


NOON = Instant("2027-03-09T12:00:00Z")
FIRST = Observation(seq=10, stamped=NOON, offset_s=0)
SECOND = Observation(seq=20, stamped=later(NOON, hours=10), offset_s=100)


def test_between_two_observations_the_error_lies_on_a_line() -> None:
    clocks = {"C": (FIRST, SECOND)}
    halfway = later(NOON, hours=5)
    assert offset(clocks, "C", 15, halfway) == 50
    assert offset(clocks, "C", 20, SECOND.stamped) == 100
    assert offset(clocks, "C", 21, later(NOON, hours=11)) == 100
    assert offset(clocks, "C", 3, later(NOON, hours=-1)) == 0


def test_a_clock_that_jumped_is_right_until_the_jump_and_wrong_after_it() -> None:
    """The demo's tablet D: flat on Thursday, wakes a day slow, put right on Friday."""
    jumped = Observation(
        seq=20, stamped=later(NOON, hours=20), offset_s=-86400, jumped_after=14, put_right=True
    )
    clocks = {"D": (FIRST, jumped)}
    assert [offset(clocks, "D", seq, NOON) for seq in (14, 15, 20, 21)] == [0, -86400, -86400, 0]


def test_a_device_nobody_looked_at_is_taken_at_its_word() -> None:
    assert corrected_at({"C": (FIRST,)}, "A", 4, NOON) == NOON


@given(st.integers(11, 20), st.integers(-7200, 50000))
def test_the_error_between_two_observations_never_leaves_them(seq: int, seconds: int) -> None:
    found = offset({"C": (FIRST, SECOND)}, "C", seq, later(NOON, seconds=seconds))
    assert 0 <= found <= 100


@pytest.mark.parametrize(("behind", "trusted"), [(0, True), (120, True), (121, False)])
def test_a_clock_two_minutes_behind_the_newest_line_is_trusted_and_not_a_second_more(
    behind: int, *, trusted: bool
) -> None:
    now = later(NOON, seconds=-behind)
    assert seconds_between(now, NOON) == behind
    assert is_trusted(now, NOON, 120) == trusted


def test_a_clock_before_the_programs_own_year_is_not_trusted() -> None:
    assert not is_trusted(Instant(f"{BUILD_YEAR - 1}-12-31T23:59:59Z"), None, 120)
    assert is_trusted(Instant(f"{BUILD_YEAR}-01-01T00:00:00Z"), None, 120)
