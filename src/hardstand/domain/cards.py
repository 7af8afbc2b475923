"""Cards to print: the dial of one receiver by its serial number, the calls of a test. Pure.

A dial card is made of the newest reading at each station, on whichever airframe the box was then.
Source: whole-job C-2, C-3, C-6; ICAO Annex 10 volume II 5.1.3 and 5.2.1.8.1, restated.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from hardstand.domain.checklist import Checklist
from hardstand.domain.fleet import Station
from hardstand.domain.quantity import Instant
from hardstand.domain.readings.card import CheckPoint, remarks, settings
from hardstand.domain.readings.report import LONGEST_TEST_S

MOST_ROWS = 16
"""Settings on one card; a step of 1, 2 or 5 is chosen so that there are no more."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DialReading:
    """One reading of a dial as the record has it, in kHz; `limit_pct` of the true frequency."""

    serial: str
    position: str
    true: Decimal
    dial: Decimal
    limit_pct: Decimal
    division: Decimal
    verdict: str
    tail: str
    at: Instant
    ref: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DialCard:
    """The correction card of one receiver.

    `to_set` maps a true frequency to where the dial is set, to the nearest `division`; readings
    that were judged out are used like the others, for the dial stands where it stands.
    """

    serial: str
    position: str
    division: Decimal
    points: tuple[DialReading, ...]
    to_set: tuple[tuple[Decimal, Decimal | None], ...]
    remarks: tuple[str, ...]


def dial_card(readings: Sequence[DialReading]) -> DialCard:
    """The card of the readings of one serial number, in any order; there is at least one.

    Raises:
        ValueError: there is no reading.
    """
    newest = {r.true: r for r in sorted(readings, key=lambda r: (r.at, r.ref))}
    points = tuple(newest[true] for true in sorted(newest))
    if not points:
        raise ValueError("a card needs a reading")
    checks = tuple(CheckPoint(true=r.true, dial=r.dial) for r in points)
    by_dial = tuple(sorted(checks, key=lambda p: (p.dial, p.true)))
    division = max((r.division for r in points), default=Decimal(1)) or Decimal(1)
    limit = min(r.true * r.limit_pct / 100 for r in points)
    said = remarks(by_dial, limit, division) if len(points) > 1 else ("one point: no line",)
    return DialCard(
        serial=points[0].serial,
        position=points[0].position,
        division=division,
        points=points,
        to_set=settings(checks, _wanted(points), division) if len(points) > 1 else (),
        remarks=said,
    )


def _wanted(points: tuple[DialReading, ...]) -> tuple[Decimal, ...]:
    """Round frequencies between the outermost points, at most MOST_ROWS of them."""
    low, high = points[0].true, points[-1].true
    step = next(
        step
        for power in range(6)
        for step in (Decimal(n).scaleb(power) for n in (1, 2, 5))
        if (high - low) / step <= MOST_ROWS - 1
    )
    first = int(low // step) + (low % step != 0)
    return tuple(step * n for n in range(first, int(high // step) + 1))


@dataclass(frozen=True, slots=True, kw_only=True)
class Call:
    """One test call: on what, to whom, in which words, and whether anybody is on watch now.

    `on_watch` is None where the fleet knows no hours for the station.
    """

    step: str
    channel: str
    frequency: str
    station: str
    title: str
    hours: str
    on_watch: bool | None
    words: str


def calls(
    checklist: Checklist, tail: str, stations: Mapping[str, Station], clock: str
) -> tuple[Call, ...]:
    """The test calls of a list in its order; `clock` is the local time, `HH:MM`."""
    found = []
    for step in checklist.steps:
        rule = step.judge or {}
        if rule.get("name") != "transmitter_report":
            continue
        station = stations.get(rule.get("station", ""))
        called = rule.get("called", "")
        found.append(
            Call(
                step=checklist.number(step.id),
                channel=rule["channel"],
                frequency=rule["frequency"],
                station=called or "any station",
                title=station.title if station else "",
                hours=station.hours if station else "",
                on_watch=on_watch(station.hours, clock) if station else None,
                words=call_words(called or "any station", tail, rule["frequency"]),
            )
        )
    return tuple(found)


def on_watch(hours: str, clock: str) -> bool:
    """Whether a local time lies in hours such as `04:30-22:45`, which may run past midnight."""
    if hours == "all":
        return True
    opens, _, closes = hours.partition("-")
    return opens <= clock < closes if opens < closes else clock >= opens or clock < closes


def call_words(station: str, tail: str, frequency: str) -> str:
    """What is said: station called, aircraft, RADIO CHECK, frequency; numerals, the call sign."""
    number = frequency.partition(" ")[0]
    return f"{station}, {tail}, RADIO CHECK, {number}. ONE, TWO, THREE. {tail}."


LONGEST = f"{LONGEST_TEST_S} s at most, from key down to key up."
