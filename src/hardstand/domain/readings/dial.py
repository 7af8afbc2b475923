"""A tuning dial against something of known frequency: error, grain, marker, zero beat."""

from __future__ import annotations

from decimal import ROUND_FLOOR, Decimal

from hardstand.domain.readings.arithmetic import MILLION, exact, plain, shown
from hardstand.domain.readings.family import Ask, Family, by_name
from hardstand.domain.readings.judged import Judged
from hardstand.errors import Usage

ZERO = Decimal(0)
HALF = Decimal("0.5")
CHECK_STATION = "was it the station? an image lies twice the intermediate frequency away"

LIMITS = (
    "No receiver handbook read gives a limit for dial error; the limit is the one given "
    "(common practice: 1 % below 550 kHz, 0.5 % on high frequency)."
)


@exact
def dial_error(*, dial_khz: Decimal, true_khz: Decimal, limit_pct: Decimal) -> Judged:
    """Dial minus true, held to a percentage of true; a limit met exactly passes."""
    error = dial_khz - true_khz
    good = abs(error) * 100 <= limit_pct * true_khz
    share = error / true_khz
    verdict = "pass" if good else "fail"
    return Judged(
        figures={
            "error_khz": shown(error, 1),
            "error_pct": shown(share * 100, 3),
            "error_ppm": shown(share * MILLION, 0),
            "verdict": verdict,
        },
        value=error,
        unit="kHz",
        limit=f"{plain(limit_pct)} % of {plain(true_khz)} kHz, either way, inclusive",
        verdict=verdict,
        look_at=() if good else (CHECK_STATION, "the next station along the dial"),
    )


@exact
def grain_verdict(error: Decimal, limit: Decimal, grain: Decimal) -> str:
    """`in`, `out`, or `too_close` where half a graduation decides; all three in one unit."""
    if abs(error) + grain / 2 <= limit:
        return "in"
    return "out" if abs(error) - grain / 2 > limit else "too_close"


@exact
def dial_grain(
    *, true_khz: Decimal, dial_khz: Decimal, limit_pct: Decimal, g_khz: Decimal
) -> Judged:
    """Dial error where the dial can be read to the nearest `g_khz` only: in, out or too close."""
    error = dial_khz - true_khz
    limit = true_khz * limit_pct / 100
    verdict = grain_verdict(error, limit, g_khz)
    look_at = {
        "too_close": ("take it again, from both sides of zero beat",),
        "out": (CHECK_STATION, "the next station along the dial"),
    }
    return Judged(
        figures={"error_khz": plain(error), "limit_khz": shown(limit, 2), "verdict": verdict},
        value=error,
        unit="kHz",
        limit=f"{plain(limit_pct)} % of {plain(true_khz)} kHz, dial read to {plain(g_khz)} kHz",
        verdict=verdict,
        look_at=look_at.get(verdict, ()),
    )


@exact
def calibrator_harmonic(*, dial_khz: Decimal, calibrator_khz: Decimal) -> Judged:
    """The crystal marker nearest the dial, and whether another could as well be meant.

    Raises:
        Usage: the dial stands below half the spacing, where there is no marker.
    """
    harmonic = (dial_khz / calibrator_khz + HALF).to_integral_value(rounding=ROUND_FLOOR)
    if not harmonic:
        raise Usage("the dial stands below half the calibrator spacing: no marker is there")
    true = harmonic * calibrator_khz
    error = dial_khz - true
    status = "ambiguous" if abs(error) * 4 > calibrator_khz else "ok"
    return Judged(
        figures={
            "harmonic": shown(harmonic, 0),
            "true_khz": plain(true),
            "error_khz": shown(error, 1),
            "error_pct": shown(error / true * 100, 3),
            "status": status,
        },
        value=error,
        unit="kHz",
        limit="a quarter of the calibrator spacing",
        verdict=status,
        look_at=("a station of known frequency near by",) if status == "ambiguous" else (),
    )


@exact
def zero_beat_bracket(
    *, dial_low_khz: Decimal, dial_high_khz: Decimal, true_khz: Decimal
) -> Judged:
    """The middle of the two dial readings where the beat has the same pitch, against true."""
    centre = (dial_low_khz + dial_high_khz) / 2
    error = centre - true_khz
    return Judged(
        figures={
            "centre_khz": shown(centre, 2),
            "error_khz": shown(error, 2),
            "error_pct": shown(error / true_khz * 100, 3),
        },
        value=error,
        unit="kHz",
    )


@exact
def beat_to_ppm(*, carrier_hz: Decimal, residual_beat_hz: Decimal) -> Judged:
    """A beat that is left over, in parts per million of the carrier."""
    ppm = residual_beat_hz * MILLION / carrier_hz
    return Judged(figures={"ppm": shown(ppm, 3)}, value=ppm, unit="ppm")


@exact
def beat_to_frequency(
    *, calibrator_khz: Decimal, harmonic: Decimal, beat_hz: Decimal, side: str
) -> Judged:
    """The frequency that beats so with a marker, above (+) or below (-) it.

    Raises:
        Usage: the beat is larger than the marker is high.
    """
    beat = beat_hz / 1000 if side == "+" else -beat_hz / 1000
    unknown = calibrator_khz * harmonic + beat
    if unknown <= 0:
        raise Usage("the beat is larger than the marker is high")
    return Judged(figures={"unknown_khz": shown(unknown, 3)}, value=unknown, unit="kHz")


@exact
def image_marks(*, true_khz: Decimal, if_khz: Decimal) -> tuple[Decimal, Decimal]:
    """Where on the dial a station of `true_khz` also shows: oscillator above it, then below it."""
    return true_khz - 2 * if_khz, true_khz + 2 * if_khz


@exact
def nearer_image(
    *, dial_khz: Decimal, true_khz: Decimal, if_khz: Decimal, limit_pct: Decimal
) -> Decimal | None:
    """The image mark the dial stands at within its limit, or None: asked before a bad dial is."""
    limit = true_khz * limit_pct / 100
    marks = image_marks(true_khz=true_khz, if_khz=if_khz)
    return next((mark for mark in marks if mark > 0 and abs(dial_khz - mark) <= limit), None)


def is_check_point(*, identified: bool, frequency_dated: bool) -> bool:
    """Whether a station heard may calibrate a dial: identified, its frequency from a dated list."""
    return identified and frequency_dated


def _khz(name: str, words: str) -> Ask:
    return Ask(name=name, words=words, units=("kHz",), above=ZERO)


DIAL = _khz("dial_khz", "dial reading")
TRUE = _khz("true_khz", "true frequency")
LIMIT = Ask(name="limit_pct", words="limit", units=("%",), low=ZERO, high=Decimal(100))
CALIBRATOR = _khz("calibrator_khz", "calibrator spacing")

FAMILIES = by_name(
    Family(
        name="dial_error",
        asks=(DIAL, TRUE, LIMIT),
        columns=(
            *("dial_khz", "true_khz", "limit_pct"),
            *("error_khz", "error_pct", "error_ppm", "verdict"),
        ),
        formula="error = dial - true (positive: the dial reads high); percent and ppm of true",
        source=LIMITS,
        compute=dial_error,
    ),
    Family(
        name="dial_grain",
        asks=(TRUE, DIAL, LIMIT, Ask(name="g_khz", words="graduation", units=("kHz",), low=ZERO)),
        columns=(
            *("true_khz", "dial_khz", "limit_pct", "g_khz"),
            *("error_khz", "limit_khz", "verdict"),
        ),
        formula="in: error + half a graduation is within the limit; out: error - half a graduation "
        "is beyond it; otherwise too close",
        source="Guard band after ILAC-G8:09/2019 4.2.3 and JCGM 106:2012. " + LIMITS,
        compute=dial_grain,
    ),
    Family(
        name="calibrator_harmonic",
        asks=(DIAL, CALIBRATOR),
        columns=(
            *("dial_khz", "calibrator_khz"),
            *("harmonic", "true_khz", "error_khz", "error_pct", "status"),
        ),
        formula="harmonic = whole part of dial / spacing + 0.5; ambiguous when the error exceeds a "
        "quarter of the spacing",
        source="Period communications receiver handbook, calibration against a 100 kHz marker; "
        "the quarter is our own judgement.",
        compute=calibrator_harmonic,
    ),
    Family(
        name="zero_beat_bracket",
        asks=(
            _khz("dial_low_khz", "dial below zero beat"),
            _khz("dial_high_khz", "dial above zero beat, at the same pitch"),
            TRUE,
        ),
        columns=(
            *("dial_low_khz", "dial_high_khz", "true_khz"),
            *("centre_khz", "error_khz", "error_pct"),
        ),
        formula="centre = mean of the two readings; error = centre - true",
        source="Common practice: the ear loses the last tens of hertz near zero beat.",
        compute=zero_beat_bracket,
    ),
    Family(
        name="beat_to_ppm",
        asks=(
            Ask(name="carrier_hz", words="carrier", units=("Hz",), above=ZERO),
            Ask(name="residual_beat_hz", words="beat left over", units=("Hz",)),
        ),
        columns=("carrier_hz", "residual_beat_hz", "ppm"),
        formula="ppm = beat / carrier x 1 000 000",
        source="Arithmetic. AM carriers stay within 20 Hz by 47 CFR 73.1545.",
        compute=beat_to_ppm,
    ),
    Family(
        name="beat_to_frequency",
        asks=(
            CALIBRATOR,
            Ask(name="harmonic", words="marker number", above=ZERO, whole=True),
            Ask(name="beat_hz", words="beat", units=("Hz",), low=ZERO),
            Ask(name="side", words="side of the marker", choices={"+": "+", "-": "-"}),
        ),
        columns=("calibrator_khz", "harmonic", "beat_hz", "side", "unknown_khz"),
        formula="unknown = marker number x spacing, plus or minus the beat",
        source="Arithmetic. The pitch falls as the dial goes up while it is below the marker.",
        compute=beat_to_frequency,
    ),
)
