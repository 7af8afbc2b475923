"""Which stations can check each receiver now, how they sound, and why the others cannot. Pure.

Source: whole-job C-3 and M-07. A receiver is never failed for a station that was not heard.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from hardstand.domain.checklist import Checklist
from hardstand.domain.fleet import Daylight, Station
from hardstand.domain.readings.morse import encoded
from hardstand.domain.readings.stations import Coverage, Hour, Sender, covered
from hardstand.errors import Usage

NO_POINT = "not a calibration point"
NO_SUN = "day or night not known"


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """One station on one frequency: its ident, what it is, its ident as dots and dashes."""

    ident: str
    title: str
    khz: Decimal
    code: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """One receiver: the stations to use now in rising order, the others with the reason."""

    position: str
    low: Decimal
    high: Decimal
    usable: tuple[Heard, ...]
    left_out: tuple[tuple[Heard, str], ...]
    result: str


def bands(checklist: Checklist) -> dict[str, tuple[Decimal, Decimal]]:
    """The band of each receiver whose dial the list reads, in kHz."""
    found = {}
    for step in checklist.steps:
        rule = step.judge or {}
        if "band" in rule and "position" in rule:
            low, _, high = rule["band"].partition("-")
            found[rule["position"]] = (Decimal(low), Decimal(high))
    return found


def sun_on(table: Sequence[Daylight], day: str) -> Daylight | None:
    """Sunrise and sunset of a local day, `MM-DD`; None where there is no table.

    A day before the first row belongs to the last row of the year before.
    """
    begun = [row for row in table if row.since <= day]
    return (begun or list(table))[-1] if table else None


def minutes(clock: str) -> int:
    """Minutes after midnight of `HH:MM`."""
    return 60 * int(clock[:2]) + int(clock[3:5])


def station_card(
    checklist: Checklist,
    stations: Mapping[str, Station],
    clock: str,
    sun: Daylight | None,
    list_days: int,
) -> tuple[Band, ...]:
    """What can check each receiver at a local time, by a list so many days old."""
    hour = Hour(
        now=minutes(clock),
        sunrise=minutes(sun.rises) if sun else 0,
        sunset=minutes(sun.sets) if sun else 1440,
    )
    known = [(ident, s, khz) for ident, s in stations.items() for khz in s.khz]
    told = {(ident, khz): _heard(ident, s, khz) for ident, s, khz in known}
    unused = {(i, k): why for i, s, k in known if (why := _no_use(s, sun))}
    senders = [_sender(i, s, k, list_days) for i, s, k in known if (i, k) not in unused]
    return tuple(
        _band(position, low, high, covered(senders, (low, high), hour), told, unused)
        for position, (low, high) in bands(checklist).items()
    )


def _no_use(station: Station, sun: Daylight | None) -> str:
    if station.use == "call":
        return NO_POINT
    return NO_SUN if sun is None and station.heard != "both" else ""


def _sender(ident: str, station: Station, khz: Decimal, list_days: int) -> Sender:
    opens, _, closes = ("00:00-24:00" if station.hours == "all" else station.hours).partition("-")
    return Sender(
        ident=ident,
        khz=khz,
        on=minutes(opens),
        off=minutes(closes),
        night_only=station.heard == "night",
        day_only=station.heard == "day",
        distant=station.use == "distant",
        list_days=list_days,
    )


def _heard(ident: str, station: Station, khz: Decimal) -> Heard:
    sign = ident.partition("-")[0]
    try:
        code = encoded(sign)
    except Usage:
        code = ""
    return Heard(ident=sign, title=station.title, khz=khz, code=code)


def _band(
    position: str,
    low: Decimal,
    high: Decimal,
    found: Coverage,
    told: Mapping[tuple[str, Decimal], Heard],
    unused: Mapping[tuple[str, Decimal], str],
) -> Band:
    usable = tuple(told[s.ident, s.khz] for s in sorted(found.usable, key=lambda s: s.khz))
    others = [(told[s.ident, s.khz], why) for s, why in found.left_out]
    others += [(told[key], why) for key, why in unused.items() if low <= key[1] <= high]
    return Band(
        position=position,
        low=low,
        high=high,
        usable=usable,
        left_out=tuple(sorted(others, key=lambda pair: pair[0].khz)),
        result=found.result,
    )
