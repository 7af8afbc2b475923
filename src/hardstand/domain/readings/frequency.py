"""Transmitter frequency: tolerance, verdict on a measurement, crystals and their channels."""

from __future__ import annotations

from decimal import Decimal

from hardstand.domain.readings.arithmetic import MILLION, exact, plain, shown
from hardstand.domain.readings.family import Ask, Family, by_name
from hardstand.domain.readings.judged import Judged
from hardstand.errors import Usage

ZERO = Decimal(0)
BAND_LOW = Decimal("117.975")
BAND_HIGH = Decimal(137)
PPM_20 = Decimal(20)

TOLERANCES = (
    "Limits in print: 47 CFR 87.133 (100 ppm below 30 MHz; 5 ppm in 8.33 kHz mode); Radio "
    "Regulations 1947 appendix 3 (200 ppm high frequency, 100 ppm VHF, sets of the period); "
    "aircraft VHF 30 ppm from memory."
)


@exact
def tolerance_hz(*, assigned_hz: Decimal, tolerance_ppm: Decimal) -> Judged:
    """A tolerance in parts per million as percent and as hertz of the assigned frequency."""
    hertz = assigned_hz * tolerance_ppm / MILLION
    figures = {"tolerance_pct": shown(tolerance_ppm / 10_000, 4), "tolerance_hz": shown(hertz, 1)}
    return Judged(figures=figures, value=hertz, unit="Hz")


@exact
def frequency_verdict(*, measured_hz: Decimal, assigned_hz: Decimal, limit_ppm: Decimal) -> Judged:
    """A measured carrier against its assigned frequency; a limit met exactly passes."""
    offset = measured_hz - assigned_hz
    good = abs(offset) * MILLION <= limit_ppm * assigned_hz
    verdict = "pass" if good else "fail"
    ppm = offset * MILLION / assigned_hz
    return Judged(
        figures={"offset_hz": plain(offset), "offset_ppm": shown(ppm, 2), "verdict": verdict},
        value=offset,
        unit="Hz",
        limit=f"{plain(limit_ppm)} ppm of {plain(assigned_hz)} Hz, either way, inclusive",
        verdict=verdict,
        look_at=() if good else ("is the right crystal in the socket?", "let it warm, count again"),
    )


@exact
def crystal_to_channel(*, crystal_khz: Decimal, multiplier: Decimal) -> Judged:
    """The carrier a crystal gives after its multiplier stages."""
    carrier = crystal_khz * multiplier / 1000
    inside = BAND_LOW <= carrier <= BAND_HIGH
    return Judged(
        figures={"carrier_mhz": shown(carrier, 4)},
        value=carrier,
        unit="MHz",
        look_at=() if inside else ("outside the VHF band, 117.975 to 137 MHz",),
    )


@exact
def channel_to_crystal(*, carrier_mhz: Decimal, multiplier: Decimal) -> Judged:
    """The crystal a carrier needs, and 20 ppm in hertz at the carrier and at the crystal."""
    crystal = carrier_mhz * 1000 / multiplier
    hertz = carrier_mhz * PPM_20
    return Judged(
        figures={
            "crystal_khz": shown(crystal, 3),
            "carrier_tol_hz_at_20ppm": shown(hertz, 1),
            "crystal_tol_hz_at_20ppm": shown(hertz / multiplier, 1),
        },
        value=crystal,
        unit="kHz",
    )


@exact
def receiver_crystal(
    *, channel_mhz: Decimal, if_mhz: Decimal, injection: str, multiplier: Decimal
) -> Judged:
    """Local oscillator, crystal and image of a superheterodyne on one channel.

    Raises:
        Usage: a low-side oscillator would stand at or below zero.
    """
    side = 1 if injection == "high" else -1
    oscillator = channel_mhz + side * if_mhz
    if oscillator <= 0:
        raise Usage("the intermediate frequency is above the channel: no low-side oscillator")
    image = channel_mhz + 2 * side * if_mhz
    return Judged(
        figures={
            "local_osc_mhz": shown(oscillator, 3),
            "crystal_khz": shown(oscillator * 1000 / multiplier, 3),
            "image_mhz": shown(image, 3) if image > 0 else "none",
        },
        value=oscillator * 1000 / multiplier,
        unit="kHz",
        look_at=("what is heard at the image is not a station on the channel",),
    )


@exact
def sockets_giving(
    carrier_mhz: Decimal,
    sockets: tuple[tuple[str, Decimal], ...],
    multiplier: Decimal,
    ppm: Decimal,
) -> tuple[str, ...]:
    """The channels whose crystal (kHz) gives this carrier within `ppm`.

    Two names mean crossed crystals: the answering station tells which.
    """
    return tuple(
        channel
        for channel, crystal in sockets
        if abs(crystal * multiplier / 1000 - carrier_mhz) * MILLION <= ppm * carrier_mhz
    )


def answers_as_called(called: str, answered: str) -> str:
    """`pass`, or `fail` where another station answered than was called: crossed crystals.

    A fault of both channels then, however good the report was.
    """
    return "pass" if called == answered else "fail"


def _hz(name: str, words: str) -> Ask:
    return Ask(name=name, words=words, units=("Hz",), above=ZERO)


def _mhz(name: str, words: str) -> Ask:
    return Ask(name=name, words=words, units=("MHz",), above=ZERO)


def _ppm(name: str, words: str) -> Ask:
    return Ask(name=name, words=words, units=("ppm",), low=ZERO, high=MILLION)


ASSIGNED = _hz("assigned_hz", "assigned frequency")
TIMES = Ask(name="multiplier", words="multiplier", above=ZERO, high=Decimal(1000), whole=True)
CARRIER_OF = "carrier = crystal x multiplier; the ppm is the same at both, the hertz are not"

FAMILIES = by_name(
    Family(
        name="tolerance_hz",
        asks=(ASSIGNED, _ppm("tolerance_ppm", "tolerance")),
        columns=("assigned_hz", "tolerance_ppm", "tolerance_pct", "tolerance_hz"),
        formula="Hz = frequency x ppm / 1 000 000; percent = ppm / 10 000",
        source=TOLERANCES,
        compute=tolerance_hz,
    ),
    Family(
        name="frequency_verdict",
        asks=(_hz("measured_hz", "frequency measured"), ASSIGNED, _ppm("limit_ppm", "limit")),
        columns=(
            *("measured_hz", "assigned_hz", "limit_ppm"),
            *("offset_hz", "offset_ppm", "verdict"),
        ),
        formula="passes while |measured - assigned| x 1 000 000 is at most limit x assigned",
        source=TOLERANCES,
        compute=frequency_verdict,
    ),
    Family(
        name="crystal_to_channel",
        asks=(Ask(name="crystal_khz", words="crystal", units=("kHz",), above=ZERO), TIMES),
        columns=("crystal_khz", "multiplier", "carrier_mhz"),
        formula=CARRIER_OF,
        source="Arithmetic; the usual multipliers 9, 12, 18, 24, 27 are from memory.",
        compute=crystal_to_channel,
    ),
    Family(
        name="channel_to_crystal",
        asks=(_mhz("carrier_mhz", "carrier"), TIMES),
        columns=(
            *("carrier_mhz", "multiplier", "crystal_khz"),
            *("carrier_tol_hz_at_20ppm", "crystal_tol_hz_at_20ppm"),
        ),
        formula=CARRIER_OF,
        source="Arithmetic; 20 ppm is the newer ground figure of 47 CFR 87.133(a)(5).",
        compute=channel_to_crystal,
    ),
    Family(
        name="receiver_crystal",
        asks=(
            _mhz("channel_mhz", "channel"),
            _mhz("if_mhz", "intermediate frequency"),
            Ask(
                name="injection",
                words="side of the oscillator",
                choices={"low": "low", "high": "high"},
            ),
            TIMES,
        ),
        columns=(
            *("channel_mhz", "if_mhz", "injection", "multiplier"),
            *("local_osc_mhz", "crystal_khz", "image_mhz"),
        ),
        formula="oscillator = channel - or + IF; crystal = oscillator / multiplier; image = "
        "channel - or + twice the IF, on the oscillator's side",
        source="Arithmetic of the superheterodyne.",
        compute=receiver_crystal,
    ),
)
