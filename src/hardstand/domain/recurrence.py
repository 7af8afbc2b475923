"""What came back: the third report of one thing, a fix that did not hold, a box failing again.

Flags, never verdicts. Clearing or "could not duplicate" never resets a count.

Source: guidance leaves the figures to the operator; 3 in 15 flights is the example commonly given
in training notes, three removals in 12 months a contract definition of a rogue unit (both read at
second hand, whole-job C-16). Five flights for "did not hold" is ours.
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby, pairwise
from typing import NamedTuple

from hardstand.domain.quantity import Instant, seconds_between

TIMES = 3
FLIGHTS = 15
DAYS = 30
HELD_FLIGHTS = 5
ROGUE_DAYS = 366
"""Twelve months, the longest they can be."""

_DAY_S = 86_400


class Report(NamedTuple):
    """One entry of the log as a report of something; joined entries are one report.

    `flight` counts the flights of that tail begun before it; `cleared` those before its clearing,
    None while it is open. `cure` is what was done about it.
    """

    number: str
    at: Instant
    flight: int
    by: str = ""
    functions: tuple[str, ...] = ()
    unit: str = ""
    symptom: str = ""
    text: str = ""
    cleared: int | None = None
    cure: str = ""


class Repeat(NamedTuple):
    """The same thing reported at least three times; `flights` from first to last, both counted."""

    what: str
    reports: tuple[Report, ...]
    flights: int
    did_not_hold: tuple[tuple[str, str], ...]


class Removal(NamedTuple):
    """A box taken out of an aircraft: which, whence, when, for what, and what the bench said."""

    part: str
    serial: str
    tail: str
    at: Instant
    symptom: str
    bench: str = ""


class Rogue(NamedTuple):
    """A serial removed at least three times for one thing; `days` from first to last."""

    serial: str
    symptom: str
    removals: tuple[Removal, ...]
    days: int


def same_thing(one: Report, other: Report) -> bool:
    """Whether two reports tell of one thing: a function in common, or the unit; and the symptom."""
    alike = (
        not set(one.functions).isdisjoint(other.functions)
        if one.functions and other.functions
        else bool(one.unit) and one.unit == other.unit
    )
    return alike and _same_symptom(one, other)


def _same_symptom(one: Report, other: Report) -> bool:
    a, b = one.symptom.casefold(), other.symptom.casefold()
    if a == b:
        return True
    if a and b:
        return False
    return (a or b) in (other if a else one).text.casefold()


def repeats(reports: Iterable[Report], flight: int, now: Instant) -> tuple[Repeat, ...]:
    """What was reported three times lately on one tail.

    Lately is within the last 15 flights or the last 30 days, whichever reaches back further.

    Args:
        reports: all entries of the tail that report something, in any order.
        flight: flights of that tail begun by now.
        now: the instant asked about.
    """
    found = []
    for group in _groups(reports):
        lately = [
            r
            for r in group
            if flight - r.flight < FLIGHTS or seconds_between(r.at, now) <= DAYS * _DAY_S
        ]
        if len(lately) >= TIMES:
            span = lately[-1].flight - lately[0].flight + 1
            pairs = did_not_hold(lately)
            what = lately[-1].symptom or lately[-1].text
            found.append(Repeat(what=what, reports=tuple(lately), flights=span, did_not_hold=pairs))
    return tuple(found)


def did_not_hold(reports: Iterable[Report]) -> tuple[tuple[str, str], ...]:
    """Entries cleared and reported again within five flights: the cleared one, the next one."""
    pairs = []
    for group in _groups(reports):
        for earlier, later in pairwise(group):
            if earlier.cleared is not None and later.flight - earlier.cleared < HELD_FLIGHTS:
                pairs.append((earlier.number, later.number))
    return tuple(pairs)


def before(reports: Iterable[Report], number: str) -> tuple[Report, ...]:
    """The earlier reports of the thing that an entry reports, oldest first."""
    for group in _groups(reports):
        names = [r.number for r in group]
        if number in names:
            return tuple(group[: names.index(number)])
    return ()


def _groups(reports: Iterable[Report]) -> list[list[Report]]:
    """Reports of one thing together, oldest first; alike to any of a group is of that group."""
    groups: list[list[Report]] = []
    for report in sorted(reports, key=lambda r: (r.at, r.number)):
        mine = [g for g in groups if any(same_thing(report, known) for known in g)]
        joined = [r for g in mine for r in g] + [report]
        groups = [g for g in groups if g not in mine]
        groups.append(sorted(joined, key=lambda r: (r.at, r.number)))
    return groups


def rogues(removals: Iterable[Removal], now: Instant) -> tuple[Rogue, ...]:
    """Boxes removed three times in the last 12 months for one thing, by serial."""

    def key(removal: Removal) -> tuple[str, str, str]:
        return removal.part, removal.serial, removal.symptom.casefold()

    recent = [r for r in removals if 0 <= seconds_between(r.at, now) <= ROGUE_DAYS * _DAY_S]
    found = []
    for (_, serial, _), group in groupby(sorted(recent, key=lambda r: (*key(r), r.at)), key):
        several = tuple(group)
        if len(several) >= TIMES and several[0].symptom:
            days = seconds_between(several[0].at, several[-1].at) // _DAY_S
            found.append(
                Rogue(serial=serial, symptom=several[0].symptom, removals=several, days=days)
            )
    return tuple(found)
