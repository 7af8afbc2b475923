"""Radio-frequency exposure, the distance to keep, and how long a noise may be borne."""

from __future__ import annotations

from decimal import Decimal

from hardstand.domain.readings.arithmetic import PI, exact, power_ratio, shown
from hardstand.domain.readings.family import Ask, Family, by_name
from hardstand.domain.readings.judged import Judged

ZERO = Decimal(0)
ONE = Decimal(1)
NO_LIMIT = "no_limit_in_table"
KEEP_CLEAR = "no distance follows from this table; keep clear by the local rule"
NEAR_FIELD = (
    "nearer than a fraction of a wavelength the sum does not hold: keep hands off the wire and use "
    "a fixed clear area"
)

NIOSH_MINUTES, NIOSH_LEVEL, NIOSH_STEP = Decimal(480), Decimal(85), Decimal(3)
OSHA_LEVEL, OSHA_STEP = Decimal(90), Decimal(5)


@exact
def occupational_limit(f_mhz: Decimal) -> Decimal | None:
    """Milliwatts to the square centimetre, people at work who know; None where the table is silent.

    Where two rows meet the smaller holds.
    """
    if not Decimal("0.3") <= f_mhz <= 100_000:
        return None
    if f_mhz <= 30:
        return min(Decimal(100), 900 / (f_mhz * f_mhz))
    return ONE if f_mhz <= 300 else min(f_mhz / 300, Decimal(5))


@exact
def general_limit(f_mhz: Decimal) -> Decimal | None:
    """Milliwatts to the square centimetre, anyone; None where the table is silent."""
    if not Decimal("0.3") <= f_mhz <= 100_000:
        return None
    if f_mhz <= 30:
        return min(Decimal(100), 180 / (f_mhz * f_mhz))
    return Decimal("0.2") if f_mhz <= 300 else min(f_mhz / 1500, ONE)


def mpe_limits(*, f_mhz: Decimal) -> Judged:
    """Both exposure limits at a frequency, or that the table has no row for it."""
    work, anyone = occupational_limit(f_mhz), general_limit(f_mhz)
    return Judged(
        figures={
            "occupational_mW_cm2": NO_LIMIT if work is None else shown(work, 3),
            "general_mW_cm2": NO_LIMIT if anyone is None else shown(anyone, 3),
        },
        value=anyone,
        unit="mW/cm2",
    )


@exact
def rf_distance(
    *,
    power_w: Decimal,
    gain_dbi: Decimal,
    duty: Decimal,
    f_mhz: Decimal,
    people: str,
    ground_factor: Decimal,
) -> Judged:
    """The distance at which the exposure limit is met, by the far-field sum."""
    limit = general_limit(f_mhz) if people == "gp" else occupational_limit(f_mhz)
    eirp = power_w * duty * power_ratio(gain_dbi)
    if limit is None:
        silent = {"eirp_W": shown(eirp, 2), "limit_W_m2": NO_LIMIT}
        return Judged(figures=silent, look_at=(KEEP_CLEAR,))
    flux = limit * 10
    distance = (ground_factor * eirp / (4 * PI * flux)).sqrt()
    reach = Decimal(300) / f_mhz / (2 * PI)
    return Judged(
        figures={
            "eirp_W": shown(eirp, 2),
            "limit_W_m2": shown(flux, 2),
            "distance_m": shown(distance, 3),
        },
        value=distance,
        unit="m",
        look_at=(NEAR_FIELD,) if distance < reach else (),
    )


@exact
def noise_time(*, dba: Decimal) -> Judged:
    """Minutes a steady noise may be borne in a day, by NIOSH and by OSHA."""
    niosh = NIOSH_MINUTES / Decimal(2) ** ((dba - NIOSH_LEVEL) / NIOSH_STEP)
    osha = NIOSH_MINUTES / Decimal(2) ** ((dba - OSHA_LEVEL) / OSHA_STEP)
    return Judged(
        figures={"niosh_minutes": shown(niosh, 1), "osha_minutes": shown(osha, 1)},
        value=niosh,
        unit="min",
    )


FREQUENCY = Ask(name="f_mhz", words="frequency", units=("MHz",), above=ZERO)
MPE = "47 CFR 1.1310 table 1; averaged over 6 minutes (at work) and 30 (anyone)."

FAMILIES = by_name(
    Family(
        name="mpe_limits",
        asks=(FREQUENCY,),
        columns=("f_mhz", "occupational_mW_cm2", "general_mW_cm2"),
        formula="at work: 100 to 3 MHz, 900 / f squared to 30, 1 to 300; anyone: 100 to 1.34, "
        "180 / f squared to 30, 0.2 to 300; below 0.3 MHz no row",
        source=MPE,
        compute=mpe_limits,
    ),
    Family(
        name="rf_distance",
        asks=(
            Ask(
                name="power_W",
                words="power",
                units=("W",),
                low=ZERO,
                high=Decimal(10**9),
                arg="power_w",
            ),
            Ask(
                name="gain_dBi",
                words="antenna gain",
                units=("dBi",),
                low=Decimal(-100),
                high=Decimal(100),
                arg="gain_dbi",
            ),
            Ask(
                name="duty",
                words="share of time on the air; 1.0 unless measured",
                low=ZERO,
                high=ONE,
            ),
            FREQUENCY,
            Ask(
                name="class",
                words="gp anyone, occ people at work who know",
                choices={"gp": "gp", "general": "gp", "occ": "occ", "occupational": "occ"},
                arg="people",
            ),
            Ask(
                name="ground_factor",
                words="1 free space, 2.56 usual ground, 4 worst case",
                above=ZERO,
                high=Decimal(100),
            ),
        ),
        columns=(
            *("power_W", "gain_dBi", "duty", "f_mhz", "class", "ground_factor"),
            *("eirp_W", "limit_W_m2", "distance_m"),
        ),
        formula="distance = root of (ground factor x EIRP / (4 pi x limit)); 1 mW/cm2 = 10 W/m2",
        source=MPE + " FCC OET Bulletin 65 for the sum, restated; ground factors from memory.",
        compute=rf_distance,
    ),
    Family(
        name="noise_time",
        asks=(
            Ask(
                name="dBA",
                words="sound level",
                units=("dBA",),
                low=ZERO,
                high=Decimal(200),
                arg="dba",
            ),
        ),
        columns=("dBA", "niosh_minutes", "osha_minutes"),
        formula="NIOSH: 480 min at 85 dBA, halved each 3 dB; OSHA: 480 min at 90, halved each 5",
        source="NIOSH recommended exposure limit; 29 CFR 1910.95 for OSHA.",
        compute=noise_time,
    ),
)
