"""Day and night at the base, at the edges of the operator's table."""

from __future__ import annotations

import pytest

from hardstand.domain.daylight import is_day
from hardstand.domain.quantity import Instant, zone

_ISLAND = zone("-03:00")
_TABLE = {"03-01": ("06:41", "18:52"), "06-01": ("08:00", "17:00")}


@pytest.mark.parametrize(
    ("at", "day"),
    [
        ("2027-03-08T09:40:59Z", False),
        ("2027-03-08T09:41:00Z", True),
        ("2027-03-08T21:51:59Z", True),
        ("2027-03-08T21:52:00Z", False),
        ("2027-06-01T10:30:00Z", False),
        ("2027-01-15T19:59:00Z", True),
        ("2027-01-15T20:00:00Z", False),
    ],
)
def test_the_sun_is_up_from_sunrise_until_just_before_sunset(at: str, day: bool) -> None:
    """Source: whole-job C-3, day is sunrise ≤ t < sunset; January goes by the last row."""
    assert is_day(_TABLE, Instant(at), _ISLAND) is day


def test_without_a_table_nobody_knows_whether_it_is_day() -> None:
    assert is_day({}, Instant("2027-03-08T15:00:00Z"), _ISLAND) is None
