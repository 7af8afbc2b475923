"""Until when a defect may be put off: whole calendar days in the record's one day basis. Pure.

The day an entry was logged is day 0 and does not count; the interval's last day runs to its end,
24:00. Dates are worked with as dates, so a change of legal time moves nothing. What a defect was
put off by once bounds it for good, also where a temporary repair re-enters it as another entry.

Source: FAA Policy Letter PL-25 revision 24 (categories, day of discovery is the day recorded in
the log); ORO.MLR.105(f) as published for the UK 2020-11-21, p. 130 (extension of B, C, D); FAA
Order 8900.1 4-689 as quoted (extension of B, C only); AMC M.A.403(d) (what is re-entered keeps its
original date). Which days count when flights or hours are
meant is whole-job C-8.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta, tzinfo
from typing import Literal

from hardstand.domain.facts import Deferral, shortest
from hardstand.domain.quantity import Instant, instant, local_day

DAYS = {"B": 3, "C": 10, "D": 120}
"""Consecutive calendar days of each category; A takes its days from its item."""

STRICTNESS = "ABCD"
"""From the strictest. An operator's list may be stricter than the master's, never looser."""

Profile = Literal["faa", "uk"]

EXTENDABLE: dict[Profile, str] = {"faa": "BC", "uk": "BCD"}
"""Which categories may be extended, once, by whose rule; A never."""

_DAYS_TEXT = re.compile(r"(\d+) (?:consecutive )?calendar[- ]days?")


@dataclass(frozen=True, slots=True, kw_only=True)
class NotYet:
    """An interval this hardstand cannot count yet: flights, flight days, hours."""

    interval: str


def days_of(category: str, interval: str = "") -> int | NotYet:
    """How many calendar days a category, or a category A item's own interval, gives.

    `interval` reads such as `90 consecutive calendar-days`; flights, flight days and hours are
    NotYet.
    """
    if category in DAYS:
        return DAYS[category]
    found = _DAYS_TEXT.search(interval)
    return int(found[1]) if found else NotYet(interval=interval)


def last_day(logged: Instant, days: int, where: tzinfo) -> date:
    """The last day on which the deferral counts, in the day basis."""
    return local_day(logged, where) + timedelta(days=days)


def runs_out(day: date, where: tzinfo) -> Instant:
    """The instant at the end of that day, 24:00, in the day basis."""
    return instant(datetime.combine(day + timedelta(days=1), time(0), tzinfo=where))


def most_extension(category: str, days: int, profile: Profile) -> int:
    """How many days a deferral may be extended by, once: at most its own interval; 0 for never."""
    return days if category in EXTENDABLE[profile] else 0


def granted(category: str, days: int, put_off: Iterable[Deferral]) -> tuple[int, int]:
    """The interval and the extension that a category gives a defect which was put off before.

    The interval is never longer than the shortest was. One as long goes on with its extension,
    but for A, which takes none.
    """
    least = shortest(put_off)
    if least is None or days < least.days:
        return days, 0
    return least.days, 0 if category == "A" else least.extended


def most_longer(put_off: Iterable[Deferral], now: Deferral, profile: Profile) -> int:
    """How many days a deferral may be extended by: none of those before could have ended earlier.

    Args:
        put_off: all that the defect was put off by, the one that stands among them.
        now: the one that stands.
        profile: by whose rule.
    """
    ends = (d.days + most_extension(d.category, d.days, profile) for d in put_off)
    return max(min(ends) - now.days, 0)


def is_looser(category: str, than: str) -> bool:
    """Whether a category gives more time than another."""
    return STRICTNESS.index(category) > STRICTNESS.index(than)


def conditions(text: str) -> tuple[str, ...]:
    """Each condition of a permitted-defects item; they stand between semicolons."""
    return tuple(part.strip() for part in text.split(";") if part.strip())


def is_placard(condition: str) -> bool:
    """Whether a condition asks for a placard, which is then counted on and off the aircraft."""
    return condition.casefold().startswith("placard")
