"""Ampere-hours of the battery: what is usable, what has been drawn, how long it still lasts."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import ROUND_FLOOR, Decimal

from hardstand.domain.readings.arithmetic import between, exact, plain, shown
from hardstand.domain.readings.family import Ask, Family, by_name
from hardstand.domain.readings.judged import Judged
from hardstand.errors import Usage

ZERO = Decimal(0)
ONE = Decimal(1)
UNTESTED_HEALTH = Decimal("0.80")
"""Share of its rating an untested battery is trusted with. Source: a modern light-aeroplane
manual, 24-30: serviceable at 80 % of the rating."""

TEMPERATURE_POINTS = tuple(
    (Decimal(degrees), Decimal(factor))
    for degrees, factor in (
        (-20, "0.50"),
        (-10, "0.65"),
        (0, "0.80"),
        (10, "0.90"),
        (20, "1.00"),
    )
)
"""Degrees Celsius → share of the capacity. Source: our own setting, no published figure."""

EXTERNAL_ONLY = "off, or external power"


@exact
def temperature_factor(temp_c: Decimal) -> Decimal:
    """Share of the capacity left at a temperature; one at 20 °C and over.

    Raises:
        Usage: colder than the setting reaches.
    """
    factor = between(min(temp_c, TEMPERATURE_POINTS[-1][0]), TEMPERATURE_POINTS)
    if factor is None:
        raise Usage("no temperature factor is set below -20 °C")
    return factor


@exact
def battery_usable(
    *, rated: Decimal, health: Decimal, charge: Decimal, temp_c: Decimal, reserve: Decimal
) -> Judged:
    """Ampere-hours that may be drawn before the reserve for start and emergency is touched."""
    factor = temperature_factor(temp_c)
    usable = rated * health * charge * factor - reserve
    return Judged(
        figures={"temp_factor": shown(factor, 4), "usable": shown(usable, 3)},
        value=usable,
        unit="Ah",
        limit=f"reserve {plain(reserve)} Ah",
        look_at=() if usable > 0 else ("external power only",),
    )


@exact
def drawn(amps: Decimal, minutes: Decimal) -> Decimal:
    """Ampere-hours of one load over some minutes."""
    return amps * minutes / 60


@exact
def ah_budget(*, item: str, amps: Decimal, minutes: Decimal) -> Judged:
    """Ampere-hours one load takes."""
    taken = drawn(amps, minutes)
    return Judged(figures={"Ah": shown(taken, 3)}, value=taken, unit="Ah", look_at=(item,))


@exact
def total(lines: Sequence[Judged]) -> Judged:
    """The sum of the unrounded lines of a budget."""
    taken = sum((line.value or ZERO for line in lines), ZERO)
    return Judged(
        figures={"Ah": shown(taken, 3)},
        value=taken,
        unit="Ah",
        basis="Arithmetic, the sum of the unrounded lines.",
    )


@exact
def minutes_left(*, left_ah: Decimal, amps: Decimal) -> Judged:
    """Whole minutes a load can go on for, rounded down; none once nothing is left."""
    whole = (max(left_ah, ZERO) * 60 / amps).to_integral_value(rounding=ROUND_FLOOR)
    return Judged(
        figures={"minutes": shown(whole, 0)},
        value=whole,
        unit="min",
        look_at=() if whole else (EXTERNAL_ONLY,),
    )


@exact
def warning(drawn_ah: Decimal, usable_ah: Decimal) -> str:
    """What is said at half, at four fifths and at all of what was usable; empty before that."""
    if usable_ah <= 0:
        return "external power only"
    for share, words in ((100, EXTERNAL_ONLY), (80, "80 % of usable"), (50, "50 % of usable")):
        if drawn_ah * 100 >= usable_ah * share:
            return words
    return ""


def _ah(name: str, words: str, arg: str = "") -> Ask:
    return Ask(name=name, words=words, units=("Ah",), low=ZERO, arg=arg)


def _share(name: str, words: str) -> Ask:
    return Ask(name=name, words=words, low=ZERO, high=ONE)


AMPS = Ask(name="amps", words="current", units=("A",), low=ZERO)

FAMILIES = by_name(
    Family(
        name="battery_usable",
        asks=(
            _ah("rated", "rated capacity, one-hour rate"),
            _share("health", "share of the rating it still holds; 0.80 unless tested"),
            _share("charge", "share of charge"),
            Ask(
                name="temp_c",
                words="battery temperature",
                units=("°C", "C"),
                low=Decimal(-100),
                high=Decimal(100),
            ),
            _ah("reserve", "reserve for start and emergency"),
        ),
        columns=("rated", "health", "charge", "temp_c", "temp_factor", "reserve", "usable"),
        formula="usable = rated x health x charge x temperature factor - reserve",
        source="One-hour rating and 80 % health read in a modern light-aeroplane manual, 24-30; "
        "the temperature factors are our own setting.",
        compute=battery_usable,
    ),
    Family(
        name="ah_budget",
        asks=(
            Ask(name="item", words="load", free=True),
            AMPS,
            Ask(name="minutes", words="time", units=("min",), low=ZERO),
        ),
        columns=("item", "amps", "minutes", "Ah"),
        formula="ampere-hours = amperes x minutes / 60; the total is the sum, unrounded",
        source="Arithmetic; ask for the currents of the set, none are published.",
        compute=ah_budget,
        closing=total,
    ),
    Family(
        name="minutes_left",
        asks=(
            Ask(name="left_Ah", words="ampere-hours left", units=("Ah",), arg="left_ah"),
            Ask(name="amps", words="current", units=("A",), above=ZERO),
        ),
        columns=("left_Ah", "amps", "minutes"),
        formula="minutes = ampere-hours x 60 / amperes, rounded down",
        source="Arithmetic, rounded to the safe side.",
        compute=minutes_left,
    ),
)
