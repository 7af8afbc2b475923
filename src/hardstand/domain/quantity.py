"""Instants and numbers as the record keeps them: UTC text and strict decimals.

An Instant is `YYYY-MM-DDTHH:MM:SSZ`, so text order is time order. Knows no clock.
"""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta, timezone, tzinfo
from functools import lru_cache
from typing import NewType

Instant = NewType("Instant", str)

_RFC3339 = re.compile(
    r"(\d{4}-\d{2}-\d{2})[Tt ](\d{2}:\d{2})(:\d{2})?(?:\.\d+)?([Zz]|[+-]\d{2}:\d{2})", re.ASCII
)
_NUMBER = re.compile(r"-?[0-9]+(\.[0-9]+)?")


def parse_instant(text: str) -> Instant | None:
    """The instant of an RFC 3339 time with offset, seconds optional; None if it is not one.

    The first and the last year there is are none, so that every zone can show what is.

    Source: RFC 3339 section 5.6; seconds may be left out because people type these.
    """
    found = _RFC3339.fullmatch(text.strip())
    if found is None:
        return None
    day, minute, second, offset = found.groups()
    if not "0002" <= day[:4] <= "9998":
        return None
    try:
        given = datetime.fromisoformat(f"{day}T{minute}{second or ':00'}{_offset(offset)}")
        return instant(given)
    except (ValueError, OverflowError):
        return None


def _offset(text: str) -> str:
    return "+00:00" if text in "Zz" else text


def instant(moment: datetime) -> Instant:
    """The instant of an aware datetime, whole seconds.

    Raises:
        ValueError: the datetime is naive.
    """
    if moment.tzinfo is None:
        raise ValueError("a time without an offset is no instant")
    return Instant(f"{moment.astimezone(UTC).isoformat()[:19]}Z")


def moment(at: Instant) -> datetime:
    """The aware UTC datetime of an instant."""
    return datetime.fromisoformat(at)


def later(at: Instant, *, seconds: float = 0, hours: float = 0) -> Instant:
    """The instant that many seconds or hours on."""
    return instant(moment(at) + timedelta(seconds=seconds, hours=hours))


def seconds_between(earlier: Instant, after: Instant) -> int:
    """Whole seconds from one instant to another; negative if the order is the other way."""
    return int((moment(after) - moment(earlier)).total_seconds())


@lru_cache(maxsize=64)
def zone(name: str) -> tzinfo:
    """The time zone of an IANA name or of a fixed offset such as `-03:00`.

    Raises:
        KeyError: no such zone is known on this machine.
    """
    fixed = re.fullmatch(r"([+-])(\d{2}):(\d{2})", name)
    if fixed:
        sign = -1 if fixed[1] == "-" else 1
        return timezone(sign * timedelta(hours=int(fixed[2]), minutes=int(fixed[3])))
    if name in {"UTC", "Z"}:
        return UTC
    from zoneinfo import ZoneInfo  # noqa: PLC0415  costs 3 ms, and a UTC record never needs it

    return ZoneInfo(name)


def is_number(text: str) -> bool:
    """Whether text is a number by the one strict grammar: digits, one point, one leading minus."""
    return bool(_NUMBER.fullmatch(text))


def span(seconds: int) -> str:
    """A length of time in two words at most, as said on the telephone: `1 h 05 min`, `12 min`."""
    minutes = abs(seconds) // 60
    if minutes < 60:
        return f"{minutes} min"
    if minutes < 48 * 60:
        return f"{minutes // 60} h {minutes % 60:02d} min"
    return f"{minutes // 1440} days"


def clock_time(at: Instant, where: tzinfo) -> str:
    """The local time of day, `05:11`."""
    return moment(at).astimezone(where).isoformat()[11:16]


def day_time(at: Instant, where: tzinfo) -> str:
    """The local day and time as spoken, `Mon 05:11`."""
    return moment(at).astimezone(where).strftime("%a %H:%M")


def short_time(at: Instant, now: Instant, where: tzinfo) -> str:
    """The local time of day, behind its day where that is not the day of `now`."""
    same = at == now or local_day(at, where) == local_day(now, where)
    return (clock_time if same else day_time)(at, where)


def date_time(at: Instant, where: tzinfo) -> str:
    """The local date and time with its offset, `2027-03-08 05:11 -03:00`."""
    local = moment(at).astimezone(where).isoformat(sep=" ", timespec="minutes")
    return f"{local[:16]} {local[16:]}"


def local_day(at: Instant, where: tzinfo) -> date:
    """The local calendar day of an instant."""
    return moment(at).astimezone(where).date()
