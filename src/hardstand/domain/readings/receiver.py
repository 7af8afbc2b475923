"""Receiver sensitivity: generator volts and decibels, signal against noise, audio power."""

from __future__ import annotations

from decimal import Decimal

from hardstand.domain.readings.arithmetic import exact, power_db, power_ratio, shown, volts_db
from hardstand.domain.readings.family import Ask, Family, by_name
from hardstand.domain.readings.judged import Judged

ZERO = Decimal(0)
OHMS = Decimal(50)
MILLIWATT_UV2 = OHMS * Decimal("1e-3") * Decimal("1e12")
"""Square of the microvolts that put one milliwatt into 50 ohm."""


@exact
def uv_dbm_50ohm(*, microvolts: Decimal) -> Judged:
    """Microvolts across a 50 ohm load as decibels above a microvolt and above a milliwatt."""
    dbm = power_db(microvolts * microvolts / MILLIWATT_UV2)
    figures = {"dBuV": shown(volts_db(microvolts), 2), "dBm": shown(dbm, 2)}
    return Judged(figures=figures, value=dbm, unit="dBm")


@exact
def microvolts_of(dbm: Decimal) -> Decimal:
    """Microvolts across 50 ohm at so many decibels above a milliwatt, unrounded."""
    return (MILLIWATT_UV2 * power_ratio(dbm)).sqrt()


@exact
def dbm_uv_50ohm(*, dbm: Decimal) -> Judged:
    """Decibels above a milliwatt as microvolts across 50 ohm, and as open-circuit e.m.f."""
    across = microvolts_of(dbm)
    figures = {"uV_pd": shown(across, 3), "uV_emf": shown(2 * across, 3)}
    return Judged(figures=figures, value=across, unit="uV")


@exact
def snn_power(*, power_on: Decimal, power_off: Decimal) -> Judged:
    """Signal plus noise to noise from output power with the modulation on and off."""
    ratio = power_on / power_off
    clean = shown(power_db(ratio - 1), 2) if ratio > 1 else "undefined"
    return Judged(
        figures={"SNN_dB": shown(power_db(ratio), 2), "SN_dB": clean},
        value=power_db(ratio),
        unit="dB",
        look_at=() if ratio > 1 else ("the modulation makes no difference: is a signal there?",),
    )


@exact
def snn_volts(*, volts_on: Decimal, volts_off: Decimal) -> Judged:
    """Signal plus noise to noise from output volts across one load, modulation on and off."""
    value = volts_db(volts_on / volts_off)
    return Judged(figures={"SNN_dB": shown(value, 2)}, value=value, unit="dB")


@exact
def audio_power_volts(*, power_mw: Decimal, load_ohm: Decimal) -> Judged:
    """The volts an output meter shows for so many milliwatts into a load."""
    volts = (power_mw * load_ohm / 1000).sqrt()
    return Judged(figures={"V_rms": shown(volts, 3)}, value=volts, unit="V")


def _positive(name: str, words: str, unit: str, arg: str) -> Ask:
    return Ask(name=name, words=words, units=(unit,), above=ZERO, arg=arg)


SENSITIVITY = (
    "Period LF/HF receiver handbook, sensitivity paragraph: 10 mW with modulation on against "
    "2.5 mW off is 6.02 dB; normal at 3 microvolt or better (lowest band 5), act above 7."
)

FAMILIES = by_name(
    Family(
        name="uv_dbm_50ohm",
        asks=(
            Ask(
                name="uV_across_50ohm",
                words="volts across the load",
                units=("uV", "µV", "μV"),
                above=ZERO,
                arg="microvolts",
            ),
        ),
        columns=("uV_across_50ohm", "dBuV", "dBm"),
        formula="dBuV = 20 log uV; dBm = dBuV - 106.99 across 50 ohm (not open-circuit e.m.f.)",
        source="Arithmetic, P = V x V / R with R = 50 ohm.",
        compute=uv_dbm_50ohm,
    ),
    Family(
        name="dbm_uv_50ohm",
        asks=(
            Ask(
                name="dBm",
                words="level",
                units=("dBm",),
                low=Decimal(-250),
                high=Decimal(100),
                arg="dbm",
            ),
        ),
        columns=("dBm", "uV_pd", "uV_emf"),
        formula="uV across 50 ohm = root of (power x 50); e.m.f. of a matched source is twice it",
        source="Arithmetic, P = V x V / R with R = 50 ohm; the generator's scale says which it is.",
        compute=dbm_uv_50ohm,
    ),
    Family(
        name="snn_power",
        asks=(
            _positive("out_mod_on_mW", "output, modulation on", "mW", "power_on"),
            _positive("out_mod_off_mW", "output, modulation off", "mW", "power_off"),
        ),
        columns=("out_mod_on_mW", "out_mod_off_mW", "SNN_dB", "SN_dB"),
        formula="(S+N)/N = 10 log (on / off); S/N = 10 log (on / off - 1)",
        source=SENSITIVITY,
        compute=snn_power,
    ),
    Family(
        name="snn_volts",
        asks=(
            _positive("V_mod_on", "output, modulation on", "V", "volts_on"),
            _positive("V_mod_off", "output, modulation off", "V", "volts_off"),
        ),
        columns=("V_mod_on", "V_mod_off", "SNN_dB"),
        formula="(S+N)/N = 20 log (on / off), same load, meter that reads true rms",
        source=SENSITIVITY,
        compute=snn_volts,
    ),
    Family(
        name="audio_power_volts",
        asks=(
            Ask(name="mW", words="output power", units=("mW",), low=ZERO, arg="power_mw"),
            Ask(name="load_ohm", words="load", units=("ohm", "Ω", "Ω"), above=ZERO),
        ),
        columns=("mW", "load_ohm", "V_rms"),
        formula="volts = root of (power x load)",
        source="Arithmetic, P = V x V / R.",
        compute=audio_power_volts,
    ),
)
