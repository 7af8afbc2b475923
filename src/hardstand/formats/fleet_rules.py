"""What must be true of a fleet once it has its shape, alone and against the fits it names."""

from __future__ import annotations

import datetime
import re
import zoneinfo
from collections.abc import Callable, Iterable, Iterator, Mapping

from hardstand.domain.checklist import Fit
from hardstand.domain.fleet import Fleet
from hardstand.domain.ids import is_device, is_tail, tail_key
from hardstand.formats.located import Path
from hardstand.formats.rules import Remark
from hardstand.formats.wording import accepted, nearest, quoted

_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_HOURS = re.compile(r"(?:[01][0-9]|2[0-3]):[0-5][0-9]-(?:(?:[01][0-9]|2[0-3]):[0-5][0-9]|24:00)")
_CLOCK = re.compile(r"(?:[01][0-9]|2[0-3]):[0-5][0-9]")
_HEARD = ("both", "day", "night")
_ZONE_HINT = "give an IANA name, such as Europe/Oslo or Etc/GMT+3"


def time_zone_is_known(fleet: Fleet) -> Iterator[Remark]:
    """HS275: the zone is a place of the IANA time zone database, the same on every machine."""
    zones = zoneinfo.available_timezones() - {"localtime", "Factory"}
    if fleet.time_zone not in zones:
        near = nearest(fleet.time_zone, sorted(zones))
        said = f"the time zone {quoted(fleet.time_zone)} is not known"
        hint = f"nearest: {near}; {_ZONE_HINT}" if near else _ZONE_HINT
        yield Remark(code="HS275", path=("time_zone",), message=said, hint=hint)


def tails_are_sayable(fleet: Fleet) -> Iterator[Remark]:
    """HS270, HS282: tails of A-Z, 0-9 and hyphens, different without their hyphens too."""
    first: dict[str, str] = {}
    for tail in fleet.airframes:
        path: Path = ("airframes", tail)
        if not is_tail(tail):
            said = f"the tail {quoted(tail)} holds other characters{_foreign(tail)}"
            hint = "accepted: A-Z 0-9, and single hyphens inside"
            yield Remark(code="HS270", path=path, message=said, hint=hint, on_key=True)
        other = first.setdefault(tail_key(tail), tail)
        if other != tail:
            yield Remark(
                code="HS282",
                path=path,
                message=f"{quoted(tail)} and {quoted(other)} cannot be told apart when typed",
                hint="letter case, spaces and hyphens do not count in a tail",
                on_key=True,
                also=("airframes", other),
                also_is="the other on line",
                also_on_key=True,
            )


def types_are_known(fleet: Fleet) -> Iterator[Remark]:
    """HS271: each airframe is of a type the fleet declares."""
    for tail, airframe in fleet.airframes.items():
        if airframe.type not in fleet.types:
            said = f"the fleet has no type {quoted(airframe.type)}"
            hint = accepted(airframe.type, fleet.types, none="the fleet has no types")
            path = ("airframes", tail, "type")
            yield Remark(code="HS271", path=path, message=said, hint=hint)


def fits_are_dated(fleet: Fleet) -> Iterator[Remark]:
    """HS272, HS273, HS279: at least one fit, each from a real day, in the order of the days."""
    for tail, airframe in fleet.airframes.items():
        if not airframe.fits:
            said = f"{quoted(tail)} has no fit"
            hint = "add one, such as {since: 2027-03-01, fit: H}"
            yield Remark(code="HS279", path=("airframes", tail, "fits"), message=said, hint=hint)
        before = ""
        for index, dated in enumerate(airframe.fits):
            path = ("airframes", tail, "fits", index, "since")
            if not _is_date(dated.since):
                said = f"{quoted(dated.since)} is not a date"
                hint = "write year, month, day, such as 2027-03-01"
                yield Remark(code="HS272", path=path, message=said, hint=hint)
                continue
            if dated.since <= before:
                said = f"{dated.since} does not come after {before}"
                hint = "put the oldest fit first; one fit a day"
                yield Remark(code="HS273", path=path, message=said, hint=hint)
            before = max(before, dated.since)


def paper_numbers_go_on(fleet: Fleet) -> Iterator[Remark]:
    """HS276, HS277: `entries_before` maps device letters to counts."""
    for tail, airframe in fleet.airframes.items():
        for device, count in (airframe.entries_before or {}).items():
            path = ("airframes", tail, "entries_before", device)
            if not is_device(device):
                said = f"the device {quoted(device)} is not one capital letter"
                hint = "accepted: A to Z"
                yield Remark(code="HS276", path=path, message=said, hint=hint, on_key=True)
            if count < 0:
                said = f"'entries_before' of {device} is {count}"
                yield Remark(code="HS277", path=path, message=said, hint="give 0 or more")


def serials_stand_once(fleet: Fleet) -> Iterator[Remark]:
    """HS284: one box, by position and serial number, is in one airframe."""
    first: dict[tuple[str, str], str] = {}
    for tail, airframe in fleet.airframes.items():
        for position, serial in (airframe.serials or {}).items():
            other = first.setdefault((position, serial), tail)
            if other != tail:
                yield Remark(
                    code="HS284",
                    path=("airframes", tail, "serials", position),
                    message=f"{quoted(serial)} stands at {position} of {tail} and of {other}",
                    hint="one box sits in one aircraft; correct one of them",
                    also=("airframes", other, "serials", position),
                    also_is="the other on line",
                )


def batteries_can_be(fleet: Fleet) -> Iterator[Remark]:
    """HS281: a battery holds something, and no more in reserve than in all."""
    for name, airframe_type in fleet.types.items():
        battery = airframe_type.battery
        if battery is None:
            continue
        path = ("types", name, "battery")
        if battery.rated_ah <= 0:
            said = f"'rated_ah' is {battery.rated_ah}"
            hint = "give ampere-hours above 0"
            yield Remark(code="HS281", path=(*path, "rated_ah"), message=said, hint=hint)
        elif not 0 <= battery.reserve_ah <= battery.rated_ah:
            said = f"'reserve_ah' is {battery.reserve_ah}"
            hint = f"give 0 to {battery.rated_ah}, the rated capacity"
            yield Remark(code="HS281", path=(*path, "reserve_ah"), message=said, hint=hint)


def stations_can_be_heard(fleet: Fleet) -> Iterator[Remark]:
    """HS280, HS281: hours and times in their words, frequencies above zero."""
    for name, station in (fleet.stations or {}).items():
        path = ("stations", name)
        if station.hours != "all" and not _HOURS.fullmatch(station.hours):
            said = f"the hours {quoted(station.hours)} cannot be read"
            hint = "accepted: all, or local times such as 05:00-22:00"
            yield Remark(code="HS280", path=(*path, "hours"), message=said, hint=hint)
        if station.heard not in _HEARD:
            said = f"{quoted(station.heard)} is no time of day for 'heard'"
            hint = accepted(station.heard, _HEARD)
            yield Remark(code="HS280", path=(*path, "heard"), message=said, hint=hint)
        if not station.khz:
            said = f"{quoted(name)} has no frequency"
            yield Remark(code="HS281", path=(*path, "khz"), message=said, hint="give one in kHz")
        for index, khz in enumerate(station.khz):
            if khz <= 0:
                said = f"the frequency is {khz} kHz"
                hint = "give a number above 0"
                yield Remark(code="HS281", path=(*path, "khz", index), message=said, hint=hint)


def daylight_is_a_table(fleet: Fleet) -> Iterator[Remark]:
    """HS285: days of the year in order, and sunrise before sunset, all as local text."""
    before = ""
    for index, row in enumerate(fleet.daylight):
        path: Path = ("daylight", index)
        if not _is_day_of_year(row.since):
            said = f"{quoted(row.since)} is no day of the year"
            yield Remark(code="HS285", path=(*path, "since"), message=said, hint="write MM-DD")
        elif row.since <= before:
            said = f"{row.since} stands after {before}"
            hint = "put the rows in the order of the year, each day once"
            yield Remark(code="HS285", path=(*path, "since"), message=said, hint=hint)
        if not (_CLOCK.fullmatch(row.rises) and _CLOCK.fullmatch(row.sets)):
            said = f"{quoted(row.rises)} to {quoted(row.sets)} are no times of day"
            hint = "write both as HH:MM, local"
            yield Remark(code="HS285", path=(*path, "rises"), message=said, hint=hint)
        elif row.rises >= row.sets:
            said = f"the sun rises {row.rises} and sets {row.sets}"
            hint = "sunrise comes before sunset on one local day"
            yield Remark(code="HS285", path=(*path, "rises"), message=said, hint=hint)
        before = row.since


def _is_day_of_year(text: str) -> bool:
    try:
        datetime.date.fromisoformat(f"2028-{text}")  # a leap year has every day
    except ValueError:
        return False
    return len(text) == 5


def gear_is_dated(fleet: Fleet) -> Iterator[Remark]:
    """HS272: the day until which a meter may be trusted is a day."""
    for name, gear in (fleet.gear or {}).items():
        if not _is_date(gear.due):
            said = f"{quoted(gear.due)} is not a date"
            hint = "write year, month, day, such as 2027-03-01"
            yield Remark(code="HS272", path=("gear", name, "due"), message=said, hint=hint)


RULES: tuple[Callable[[Fleet], Iterable[Remark]], ...] = (
    time_zone_is_known,
    tails_are_sayable,
    types_are_known,
    fits_are_dated,
    paper_numbers_go_on,
    serials_stand_once,
    batteries_can_be,
    stations_can_be_heard,
    daylight_is_a_table,
    gear_is_dated,
)


def against_fits(fleet: Fleet, fits: Mapping[str, Fit]) -> Iterator[Remark]:
    """HS274, HS278, HS283: the fits, positions and facts that the fleet names are known."""
    facts = dict.fromkeys(fact for fit in fits.values() for fact in fit.facts)
    for name, airframe_type in fleet.types.items():
        for index, fact in enumerate(airframe_type.facts):
            if fact not in facts:
                said = f"no fit knows the fact {quoted(fact)}"
                hint = accepted(fact, facts, none="the fits declare no facts")
                path: Path = ("types", name, "facts", index)
                yield Remark(code="HS283", path=path, message=said, hint=hint)
    for tail, airframe in fleet.airframes.items():
        for index, dated in enumerate(airframe.fits):
            if dated.fit not in fits:
                said = f"no fit {quoted(dated.fit)} is known"
                hint = accepted(dated.fit, fits, none="no fit is known")
                path = ("airframes", tail, "fits", index, "fit")
                yield Remark(code="HS274", path=path, message=said, hint=hint)
        carried = [fits[d.fit] for d in airframe.fits if d.fit in fits]
        for position in (airframe.serials or {}) if carried else ():
            if position not in carried[-1].units:
                said = f"fit {quoted(carried[-1].id)} has no unit {quoted(position)}"
                hint = accepted(position, carried[-1].units, none="the fit has no units")
                path = ("airframes", tail, "serials", position)
                yield Remark(code="HS278", path=path, message=said, hint=hint, on_key=True)


def _is_date(text: str) -> bool:
    """True for a day of the calendar as `2027-03-01`."""
    if not _DATE.fullmatch(text):
        return False
    try:
        datetime.date.fromisoformat(text)
    except ValueError:
        return False
    return True


def _foreign(text: str) -> str:
    """Names the first letter that only looks like one of ours."""
    from_afar = next((c for c in text if not c.isascii()), "")
    return f": {quoted(from_afar)} is U+{ord(from_afar):04X}" if from_afar else ""
