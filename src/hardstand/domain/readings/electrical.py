"""Supply, wiring and bonding: bus volts, voltage drop, milliohms, charge from gravity and volts."""

from __future__ import annotations

from decimal import Decimal

from hardstand.domain.readings.arithmetic import between, exact, plain, shown
from hardstand.domain.readings.family import Ask, Family, by_name
from hardstand.domain.readings.judged import Judged, held

ZERO = Decimal(0)

BUS: dict[str, tuple[Decimal, Decimal]] = {
    "external": (Decimal(24), Decimal(29)),
    "normal": (Decimal(22), Decimal(29)),
    "abnormal": (Decimal(20), Decimal("31.5")),
}
"""Case → lowest and highest volts, inclusive. Source: MIL-STD-704F 4.3 b (external, read); normal
and abnormal from memory, settings of the operator in the end."""

GRAVITY_POINTS = tuple(
    (Decimal(gravity), Decimal(charge))
    for gravity, charge in (
        ("1.130", 0),
        ("1.160", 5),
        ("1.190", 25),
        ("1.220", 50),
        ("1.250", 75),
        ("1.280", 100),
    )
)
"""Specific gravity at 80 °F → percent of charge. Source: US Army battery table II; the 5 for
"almost discharged" is our own reading of the words. A setting for each battery in the end."""

VOLT_POINTS = tuple(
    (Decimal(volts), Decimal(charge))
    for volts, charge in (("12.15", 25), ("12.30", 50), ("12.45", 75), ("12.66", 100))
)
"""Rested open-circuit volts of six cells → percent of charge. Source: a published restatement."""

GRAVITY_PER_DEGREE = Decimal("0.004") / 10
STANDARD_F = Decimal(80)


@exact
def bus_voltage(*, volts: Decimal, case: str) -> Judged:
    """Bus volts against the limits of the case: low, pass or high, limits inclusive."""
    low, high = BUS[case]
    where = held(volts, (low, high), None)
    verdict = "pass" if where == "in" else where
    look_at = {
        "low": ("supply and its connection, then the regulator",),
        "high": ("regulator, before any radio is switched on",),
    }
    return Judged(
        figures={"low_limit": shown(low, 1), "high_limit": shown(high, 1), "verdict": verdict},
        value=volts,
        unit="V",
        limit=f"{plain(low)} to {plain(high)} V, inclusive",
        verdict=verdict,
        look_at=look_at.get(verdict, ()),
    )


@exact
def sg_temperature(*, reading_sg: Decimal, electrolyte_f: Decimal) -> Judged:
    """A hydrometer reading corrected to 80 °F."""
    corrected = reading_sg + (electrolyte_f - STANDARD_F) * GRAVITY_PER_DEGREE
    return Judged(figures={"corrected_sg_80F": shown(corrected, 3)}, value=corrected)


@exact
def sg_to_charge(*, corrected_sg: Decimal) -> Judged:
    """Percent of charge from a corrected specific gravity; 0 and 100 beyond the table's ends."""
    ends = (GRAVITY_POINTS[0][0], GRAVITY_POINTS[-1][0])
    charge = between(min(max(corrected_sg, ends[0]), ends[1]), GRAVITY_POINTS) or ZERO
    return Judged(figures={"charge_pct": shown(charge, 1)}, value=charge, unit="%")


@exact
def ocv_to_charge(*, ocv_12v: Decimal) -> Judged:
    """Percent of charge of a rested battery from its open-circuit volts; 12 V, doubled for 24.

    Below the lowest published point there is no figure, only `below_25`.
    """
    charge = between(min(ocv_12v, VOLT_POINTS[-1][0]), VOLT_POINTS)
    return Judged(
        figures={
            "ocv_24v": shown(2 * ocv_12v, 2),
            "charge_pct": "below_25" if charge is None else shown(charge, 0),
            "volts_per_cell": shown(ocv_12v / 6, 3),
        },
        value=charge,
        unit="%",
        look_at=("charge it, then test it",) if charge is None else (),
    )


@exact
def voltage_drop(*, ohm_per_ft: Decimal, feet: Decimal, amps: Decimal) -> Judged:
    """The volts lost along a wire."""
    volts = ohm_per_ft * feet * amps
    return Judged(figures={"computed_V": shown(volts, 3)}, value=volts, unit="V")


@exact
def bond_millivolt(*, millivolts: Decimal, amps: Decimal, limit_milliohm: Decimal) -> Judged:
    """The resistance of a bond by the millivolt drop at a known current; the limit is inclusive."""
    verdict = "pass" if millivolts <= limit_milliohm * amps else "fail"
    milliohm = millivolts / amps
    return Judged(
        figures={"milliohm": shown(milliohm, 2), "verdict": verdict},
        value=milliohm,
        unit="milliohm",
        limit=f"{plain(limit_milliohm)} milliohm, inclusive",
        verdict=verdict,
        look_at=("paint or corrosion under the bond, then the strap",) if verdict == "fail" else (),
    )


def _ask(name: str, words: str, unit: str, *, above_zero: bool = False) -> Ask:
    low, above = (None, ZERO) if above_zero else (ZERO, None)
    return Ask(name=name, words=words, units=(unit,), low=low, above=above)


GRAVITY_LOW, GRAVITY_HIGH = Decimal("0.9"), Decimal("1.5")

FAMILIES = by_name(
    Family(
        name="bus_voltage",
        asks=(
            Ask(name="volts", words="bus volts", units=("V",), low=ZERO, high=Decimal(1000)),
            Ask(name="case", words="supply", choices={case: case for case in BUS}),
        ),
        columns=("volts", "case", "low_limit", "high_limit", "verdict"),
        formula="low below the lower limit, high above the upper one, both inclusive",
        source="MIL-STD-704F 4.3 b for external power; normal and abnormal from memory.",
        compute=bus_voltage,
    ),
    Family(
        name="sg_temperature",
        asks=(
            Ask(
                name="reading_sg",
                words="hydrometer reading",
                low=GRAVITY_LOW,
                high=GRAVITY_HIGH,
            ),
            Ask(
                name="electrolyte_F",
                words="electrolyte temperature",
                units=("°F", "F"),
                low=Decimal(-100),
                high=Decimal(250),
                arg="electrolyte_f",
            ),
        ),
        columns=("reading_sg", "electrolyte_F", "corrected_sg_80F"),
        formula="0.004 for each 10 °F from 80 °F, added above, taken away below",
        source="Two generator-set manuals, worked examples 1.250 at 20 °F and 1.235 at 100 °F.",
        compute=sg_temperature,
    ),
    Family(
        name="sg_to_charge",
        asks=(
            Ask(
                name="corrected_sg",
                words="specific gravity at 80 °F",
                low=GRAVITY_LOW,
                high=GRAVITY_HIGH,
            ),
        ),
        columns=("corrected_sg", "charge_pct"),
        formula="straight lines between 1.280 full, 1.250 75 %, 1.220 50 %, 1.190 25 %, 1.160 5 %, "
        "1.130 empty",
        source="US Army battery table II; the 5 % is our own reading of 'almost discharged'.",
        compute=sg_to_charge,
    ),
    Family(
        name="ocv_to_charge",
        asks=(
            Ask(
                name="ocv_12v",
                words="rested volts of six cells",
                units=("V",),
                low=ZERO,
                high=Decimal(20),
            ),
        ),
        columns=("ocv_12v", "ocv_24v", "charge_pct", "volts_per_cell"),
        formula="straight lines between 12.66 full, 12.45 75 %, 12.30 50 %, 12.15 25 %; double for "
        "24 V; nothing is said below 25 %",
        source="Published points, restated (secondary); lines between them are our own.",
        compute=ocv_to_charge,
    ),
    Family(
        name="voltage_drop",
        asks=(
            _ask("ohm_per_ft", "resistance of the wire per foot", "ohm"),
            _ask("feet", "length of the wire", "ft"),
            _ask("amps", "current", "A"),
        ),
        columns=("ohm_per_ft", "feet", "amps", "computed_V"),
        formula="volts = ohm per foot x feet x amperes",
        source="AC 43.13-1B tables 11-7 and 11-8, whose 0.366 V is a misprint for 0.491 and whose "
        "3.60 V is 3.555.",
        compute=voltage_drop,
    ),
    Family(
        name="bond_millivolt",
        asks=(
            _ask("millivolts", "drop across the bond", "mV"),
            _ask("amps", "current through it", "A", above_zero=True),
            _ask("limit_milliohm", "limit", "milliohm"),
        ),
        columns=("millivolts", "amps", "limit_milliohm", "milliohm", "verdict"),
        formula="milliohm = millivolt / ampere",
        source="AC 43.13-1B 11-188 (equipment, less than 2.5 milliohm, here taken as inclusive) "
        "and 11-189 (jumper, 3).",
        compute=bond_millivolt,
    ),
)
