"""Instants as RFC 3339 writes them, numbers by one strict grammar, lengths of time as spoken."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hardstand.domain.quantity import (
    Instant,
    clock_time,
    date_time,
    day_time,
    instant,
    is_number,
    later,
    local_day,
    moment,
    parse_instant,
    seconds_between,
    short_time,
    span,
    zone,
)

QUENNOCK = zone("-03:00")


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        # The examples of RFC 3339 section 5.8, but for the two leap seconds.
        ("1985-04-12T23:20:50.52Z", "1985-04-12T23:20:50Z"),
        ("1996-12-19T16:39:57-08:00", "1996-12-20T00:39:57Z"),
        ("1937-01-01T12:00:27.87+00:20", "1937-01-01T11:40:27Z"),
        # Lower case and a space, which section 5.6 allows; seconds left out, which is ours.
        ("2027-03-08t05:11:00z", "2027-03-08T05:11:00Z"),
        ("2027-03-08 05:11:00-03:00", "2027-03-08T08:11:00Z"),
        ("2027-03-08T05:11-03:00", "2027-03-08T08:11:00Z"),
        (" 2027-03-08T05:11Z ", "2027-03-08T05:11:00Z"),
        ("2028-02-29T00:00Z", "2028-02-29T00:00:00Z"),
    ],
)
def test_a_time_with_its_offset_is_an_instant(text: str, expected: str) -> None:
    assert parse_instant(text) == expected


@pytest.mark.parametrize(
    "text",
    [
        "",
        "2027-03-08",
        "2027-03-08T05:11",
        "2027-03-08T05:11:00",
        "05:11Z",
        "2027-02-29T05:11Z",
        "2027-13-01T05:11Z",
        "2027-03-08T24:00Z",
        "2027-03-08T23:60Z",
        "1990-12-31T23:59:60Z",
        "2027-03-08T05:11+24:00",
        "2027-03-08T05:11-0300",
        "20270308T051100Z",
        "٢٠٢٧-٠٣-٠٨T٠٥:١١Z",
        "0001-01-01T00:00Z",
        "9999-12-31T23:59Z",
        "now",
    ],
)
def test_anything_else_is_none(text: str) -> None:
    assert parse_instant(text) is None


def test_a_naive_datetime_is_no_instant() -> None:
    with pytest.raises(ValueError, match=r"^a time without an offset is no instant$"):
        instant(datetime(2027, 3, 8, 5, 11))  # noqa: DTZ001  the case refused


moments = st.datetimes(
    min_value=datetime(2, 1, 2),  # noqa: DTZ001  hypothesis wants naive bounds
    max_value=datetime(9998, 12, 30),  # noqa: DTZ001  hypothesis wants naive bounds
    timezones=st.integers(-1439, 1439).map(lambda m: timezone(timedelta(minutes=m))),
)


@given(moments, moments)
def test_the_order_of_instants_as_text_is_their_order_in_time(a: datetime, b: datetime) -> None:
    a, b = a.replace(microsecond=0), b.replace(microsecond=0)
    assert (instant(a) < instant(b)) == (a < b)
    assert seconds_between(instant(a), instant(b)) == (b - a).total_seconds()


@given(moments)
def test_an_instant_reads_back_to_the_same_moment(given_: datetime) -> None:
    whole = given_.replace(microsecond=0)
    assert moment(instant(whole)) == whole
    assert parse_instant(instant(whole)) == instant(whole)
    assert parse_instant(given_.isoformat(timespec="seconds")) == instant(whole)


def test_later_counts_seconds_and_hours() -> None:
    assert later(Instant("2027-03-08T23:59:59Z"), seconds=1) == "2027-03-09T00:00:00Z"
    assert later(Instant("2027-03-08T23:00:00Z"), hours=24.5) == "2027-03-09T23:30:00Z"


@pytest.mark.parametrize("text", ["0", "12", "-3", "0.5", "-0.25", "007", "24.50"])
def test_digits_one_point_and_one_leading_minus_are_a_number(text: str) -> None:
    assert is_number(text)


@pytest.mark.parametrize(
    "text",
    ["", "+1", "1.", ".5", "1,5", "1e3", "0x10", "--1", "1.2.3", " 1", "1 ", "١٢", "½", "NaN",
     "inf", "1_000", "−1", "1\n"],
)  # fmt: skip
def test_nothing_else_is_a_number(text: str) -> None:
    assert not is_number(text)


@pytest.mark.parametrize(
    ("seconds", "said"),
    [
        (0, "0 min"),
        (59, "0 min"),
        (60, "1 min"),
        (59 * 60 + 59, "59 min"),
        (3600, "1 h 00 min"),
        (3900, "1 h 05 min"),
        (48 * 3600 - 1, "47 h 59 min"),
        (48 * 3600, "2 days"),
        (-720, "12 min"),
    ],
)
def test_a_length_of_time_is_said_in_two_words(seconds: int, said: str) -> None:
    assert span(seconds) == said


def test_times_are_told_by_the_local_clock_and_day() -> None:
    at = Instant("2027-03-08T01:11:00Z")
    assert clock_time(at, QUENNOCK) == "22:11"
    assert day_time(at, QUENNOCK) == "Sun 22:11"
    assert date_time(at, QUENNOCK) == "2027-03-07 22:11 -03:00"
    assert local_day(at, QUENNOCK) == date(2027, 3, 7)
    assert date_time(at, UTC) == "2027-03-08 01:11 +00:00"


@pytest.mark.parametrize(
    ("now", "said"),
    [("2027-03-08T01:11:00Z", "22:11"), ("2027-03-08T02:59:59Z", "22:11"),
     ("2027-03-08T03:00:00Z", "Sun 22:11"), ("2027-03-07T02:59:59Z", "Sun 22:11")],
)  # fmt: skip
def test_a_time_of_another_local_day_is_told_with_its_day(now: str, said: str) -> None:
    assert short_time(Instant("2027-03-08T01:11:00Z"), Instant(now), QUENNOCK) == said


@pytest.mark.parametrize(
    ("name", "at", "told"),
    [
        ("UTC", "2027-03-08T05:11:00Z", "2027-03-08 05:11 +00:00"),
        ("Z", "2027-03-08T05:11:00Z", "2027-03-08 05:11 +00:00"),
        ("+05:45", "2027-03-08T05:11:00Z", "2027-03-08 10:56 +05:45"),
        # tz database: Etc/GMT+3 is three hours behind; Europe/Berlin changes on 2027-03-28 01:00Z.
        ("Etc/GMT+3", "2027-03-08T05:11:00Z", "2027-03-08 02:11 -03:00"),
        ("Europe/Berlin", "2027-03-28T00:59:00Z", "2027-03-28 01:59 +01:00"),
        ("Europe/Berlin", "2027-03-28T01:00:00Z", "2027-03-28 03:00 +02:00"),
    ],
)
def test_a_zone_is_an_iana_name_or_a_fixed_offset(name: str, at: str, told: str) -> None:
    assert date_time(Instant(at), zone(name)) == told


def test_a_zone_that_nobody_knows_is_a_key_error() -> None:
    with pytest.raises(KeyError):
        zone("Quennock/Fennoway")
