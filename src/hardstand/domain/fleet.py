"""The fleet as an operator wrote it: airframe types with their places, airframes with dated fits.

Read once into the record by digest; a later file is a later entry, the earlier one stays.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from hardstand.domain.dated import DatedFit


@dataclass(frozen=True, slots=True, kw_only=True)
class Battery:
    """Rated capacity at the one-hour rate and the reserve for start and emergency, in Ah."""

    rated_ah: Decimal
    reserve_ah: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class AirframeType:
    """Where things are in one airframe type: place → part → word or number as on the aircraft."""

    places: Mapping[str, Mapping[str, str]]
    battery: Battery | None = None
    facts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Airframe:
    """One airframe by its tail: type, dated fits, serials by position, numbers of the paper book.

    `entries_before` maps a device letter to the last entry number already used on paper.
    """

    type: str
    fits: tuple[DatedFit, ...]
    serials: Mapping[str, str] | None = None
    entries_before: Mapping[str, int] | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """A ground station that can be heard or called; `example` bars it from a live record."""

    title: str
    khz: tuple[Decimal, ...]
    hours: str = "all"
    heard: str = "both"
    use: str = ""
    example: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Daylight:
    """Local sunrise and sunset, `HH:MM`, from a day of any year on, `MM-DD`."""

    since: str
    rises: str
    sets: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Gear:
    """A meter or calibrator, and the last day on which what it shows may be trusted."""

    title: str
    due: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Fleet:
    """All an operator flies, the stations the sets are checked against, when the sun is up.

    `gear` is named by the `meter` of a reading step.
    """

    operator: str
    time_zone: str
    types: Mapping[str, AirframeType]
    airframes: Mapping[str, Airframe]
    stations: Mapping[str, Station] | None = None
    daylight: tuple[Daylight, ...] = ()
    gear: Mapping[str, Gear] | None = None
