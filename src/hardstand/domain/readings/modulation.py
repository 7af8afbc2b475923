"""Amplitude modulation: from the envelope, from its peaks, from power and antenna current."""

from __future__ import annotations

from decimal import Decimal

from hardstand.domain.readings.arithmetic import exact, shown
from hardstand.domain.readings.family import Ask, Family, by_name
from hardstand.domain.readings.judged import Judged
from hardstand.errors import Usage

ZERO = Decimal(0)
ONE = Decimal(1)
HUNDRED = Decimal(100)

LAW = (
    "47 CFR 87.141(a): full-carrier AM must not pass 100 %. It has no lower limit; 70 % is the "
    "UK difference to ICAO Annex 10 volume III 2.3.1.4."
)


@exact
def modulation_envelope(*, emax: Decimal, emin: Decimal) -> Judged:
    """Modulation of a symmetrical envelope from its highest and lowest height.

    Raises:
        Usage: the lowest height is above the highest.
    """
    if emin > emax:
        raise Usage("Emin is above Emax")
    percent = (emax - emin) / (emax + emin) * 100
    return Judged(figures={"mod_pct": shown(percent, 2)}, value=percent, unit="%")


@exact
def modulation_peaks(*, carrier: Decimal, emax: Decimal, emin: Decimal) -> Judged:
    """Positive and negative peak modulation apart, and whether either reaches or passes 100 %.

    Raises:
        Usage: the carrier does not lie between the two heights.
    """
    if not emin <= carrier <= emax:
        raise Usage("Ecarrier does not lie between Emin and Emax")
    up = (emax - carrier) / carrier * 100
    down = (carrier - emin) / carrier * 100
    top = max(up, down)
    state = "ok" if top < HUNDRED else "full" if top == HUNDRED else "over"
    return Judged(
        figures={"positive_pct": shown(up, 1), "negative_pct": shown(down, 1), "state": state},
        value=top,
        unit="%",
        limit="100 %, inclusive",
        verdict=state,
        look_at=("speech level, then the modulator",) if state == "over" else (),
    )


@exact
def modulation_power(*, mod_pct: Decimal) -> Judged:
    """What a sine tone of that modulation does to antenna current, power and its peak."""
    m = mod_pct / 100
    power = 1 + m * m / 2
    current = power.sqrt()
    return Judged(
        figures={
            "antenna_current_ratio": shown(current, 4),
            "current_rise_pct": shown((current - 1) * 100, 2),
            "total_power_ratio": shown(power, 4),
            "pep_ratio": shown((1 + m) ** 2, 4),
            "sideband_share_pct": shown(m * m / 2 / power * 100, 2),
        },
        value=current,
    )


@exact
def modulation_from_current(*, current_ratio: Decimal) -> Judged:
    """Modulation by a sine tone from the rise of antenna current on an rms ammeter."""
    percent = (2 * (current_ratio * current_ratio - 1)).sqrt() * 100
    return Judged(
        figures={"mod_pct": shown(percent, 1)},
        value=percent,
        unit="%",
        look_at=("over 100 %: not a sine tone, or over-modulated",) if percent > HUNDRED else (),
    )


def _height(name: str, words: str, arg: str, *, zero: bool = False) -> Ask:
    low, above = (ZERO, None) if zero else (None, ZERO)
    return Ask(name=name, words=words, low=low, above=above, arg=arg)


EMAX = _height("Emax", "highest height of the envelope", "emax")
EMIN = _height("Emin", "lowest height of the envelope", "emin", zero=True)

FAMILIES = by_name(
    Family(
        name="modulation_envelope",
        asks=(EMAX, EMIN),
        columns=("Emax", "Emin", "mod_pct"),
        formula="m = (Emax - Emin) / (Emax + Emin), symmetrical envelope only",
        source=LAW,
        compute=modulation_envelope,
    ),
    Family(
        name="modulation_peaks",
        asks=(_height("Ecarrier", "height without modulation", "carrier"), EMAX, EMIN),
        columns=("Ecarrier", "Emax", "Emin", "positive_pct", "negative_pct", "state"),
        formula="positive = (Emax - Ec) / Ec; negative = (Ec - Emin) / Ec; negative 100 % = "
        "carrier cut off",
        source=LAW,
        compute=modulation_peaks,
    ),
    Family(
        name="modulation_power",
        asks=(Ask(name="mod_pct", words="modulation", units=("%",), low=ZERO, high=HUNDRED),),
        columns=(
            *("mod_pct", "antenna_current_ratio", "current_rise_pct"),
            *("total_power_ratio", "pep_ratio", "sideband_share_pct"),
        ),
        formula="current = root of (1 + m x m / 2); power = 1 + m x m / 2; peak = (1 + m) squared; "
        "a sine tone",
        source="NAVEDTRA 14193 page 5-3; speech reads lower than a tone.",
        compute=modulation_power,
    ),
    Family(
        name="modulation_from_current",
        asks=(
            Ask(name="current_ratio", words="antenna current, modulated / unmodulated", low=ONE),
        ),
        columns=("current_ratio", "mod_pct"),
        formula="m = root of (2 x (ratio squared - 1)); sine tone, thermocouple ammeter",
        source="NAVEDTRA 14193 page 5-3. A circulating form without the roots turns 100 % into "
        "300 %; it is wrong.",
        compute=modulation_from_current,
    ),
)
