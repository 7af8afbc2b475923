"""What a device's clock error does to the times of its lines, and when a clock is not trusted."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.readings.blocks import block
from hardstand.domain.clocks import (
    BUILD_YEAR,
    Observation,
    corrected_at,
    is_trusted,
    newest_of,
    offset,
)
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


# -- what a device notes itself --------------------------------------------------------------------


def test_a_jump_the_device_noted_is_a_step_of_its_own_size() -> None:
    """Right at noon; an hour forward at line 14; ten hours on 3620 s fast: 20 s were drift."""
    jumped = ((14, 3600),)
    after = later(NOON, hours=11)
    ends = Observation(seq=20, stamped=after, offset_s=3620, jumps=jumped)
    clocks = {"C": (FIRST._replace(jumps=jumped), ends)}
    halfway = later(NOON, hours=5)
    assert offset(clocks, "C", 13, halfway) == 10
    assert offset(clocks, "C", 14, later(halfway, hours=1)) == 3610
    assert offset(clocks, "C", 20, after) == 3620
    assert corrected_at(clocks, "C", 14, later(halfway, hours=1)) == later(halfway, seconds=-10)


def test_a_jump_after_the_last_look_is_added_and_one_before_the_first_taken_off() -> None:
    jumps = ((5, -86400), (30, 86400))
    clocks = {"D": (Observation(seq=10, stamped=NOON, offset_s=-86400, jumps=jumps),)}
    assert [offset(clocks, "D", seq, NOON) for seq in (4, 5, 10, 29, 30)] == [
        0, -86400, -86400, -86400, 0,
    ]  # fmt: skip


@given(st.integers(1, 30), st.integers(0, 40000), st.integers(-5000, 5000))
def test_the_noted_jump_leaves_no_trace_in_true_times(seq: int, true: int, jump: int) -> None:
    """A clock that only jumps: whatever it shows, the true time comes out."""
    at_line, seconds = 15, jump
    known = ((at_line, seconds),)
    shown = later(NOON, seconds=true + (seconds if seq >= at_line else 0))
    last = Observation(seq=0, stamped=NOON, offset_s=0, jumps=known)
    ends = Observation(seq=40, stamped=later(NOON, seconds=50000 + seconds), offset_s=seconds,
                       jumps=known)  # fmt: skip
    assert corrected_at({"C": (last, ends)}, "C", seq, shown) == later(NOON, seconds=true)


# -- the newest line -------------------------------------------------------------------------------

FAST = Observation(seq=9, stamped=later(NOON, hours=40000), offset_s=40000 * 3600, put_right=True)


@pytest.mark.parametrize(
    ("known", "most", "last", "newest"),
    [
        ((), NOON, (7, NOON), NOON),
        ((Observation(seq=9, stamped=NOON, offset_s=440),), later(NOON, seconds=-60),
         (8, later(NOON, seconds=-60)), later(NOON, seconds=-440)),
        ((Observation(seq=9, stamped=NOON, offset_s=440),), later(NOON, hours=1),
         (12, later(NOON, hours=1)), later(NOON, seconds=3600 - 440)),
        ((FAST,), later(NOON, hours=39999), (9, later(NOON, hours=39999)), NOON),
        ((FAST,), later(NOON, hours=39999), (12, later(NOON, hours=2)), later(NOON, hours=2)),
    ],
    ids=["nobody looked", "before the look", "after it", "years fast", "put right since"],
)  # fmt: skip
def test_the_newest_time_of_a_device_is_told_by_what_is_known_of_its_clock(
    known: tuple[Observation, ...], most: Instant, last: tuple[int, Instant], newest: Instant
) -> None:
    assert newest_of({"C": known} if known else {}, "C", most, last) == newest
