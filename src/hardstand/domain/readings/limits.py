"""Any reading against two limits: low, in, high, or too close for the scale it was read on."""

from __future__ import annotations

from decimal import Decimal

from hardstand.domain.readings.arithmetic import exact, plain
from hardstand.domain.readings.family import Ask, Family, by_name
from hardstand.domain.readings.judged import Judged
from hardstand.errors import Usage


@exact
def limits(*, reading: Decimal, low: Decimal, high: Decimal, g: Decimal) -> Judged:
    """Where a reading lies; within half a graduation of a limit it is too close, either side.

    Both limits are inclusive where the scale has no graduation, `g` of 0.

    Raises:
        Usage: the low limit stands above the high one.
    """
    if low > high:
        raise Usage(f"low {plain(low)} stands above high {plain(high)}")
    half = g / 2
    if low + half <= reading <= high - half:
        verdict = "in"
    elif reading < low - half:
        verdict = "low"
    elif reading > high + half:
        verdict = "high"
    else:
        verdict = "too_close"
    grain = f", read to {plain(g)}" if g else ""
    return Judged(
        figures={"verdict": verdict},
        value=reading,
        limit=f"{plain(low)} to {plain(high)}{grain}, inclusive",
        verdict=verdict,
        look_at=("read it once more, eye square to the scale",) if verdict == "too_close" else (),
    )


FAMILIES = by_name(
    Family(
        name="limits",
        asks=(
            Ask(name="reading", words="reading"),
            Ask(name="low", words="lowest accepted"),
            Ask(name="high", words="highest accepted"),
            Ask(name="g", words="graduation, 0 for a scale without", low=Decimal(0)),
        ),
        columns=("reading", "low", "high", "g", "verdict"),
        formula="in: the reading, half a graduation either way, lies within low and high; low or "
        "high: it lies outside with that much to spare; otherwise too close",
        source="The limits are those given. Guard band after ILAC-G8:09/2019 4.2.3 and "
        "JCGM 106:2012.",
        compute=limits,
    ),
)
