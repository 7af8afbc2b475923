"""VHF channel names and their carriers, in whole numbers; channels no test may go out on.

A six-digit name is a channel, not always a frequency: 118.005 and 118.000 share a carrier and
differ in spacing. 8.33 means 25/3 kHz exactly, so carriers are held in thirds of a hertz.
"""

from __future__ import annotations

import re
from decimal import Decimal

from hardstand.domain.readings.arithmetic import exact
from hardstand.domain.readings.family import Ask, Family, by_name
from hardstand.domain.readings.judged import Judged
from hardstand.errors import Usage

LOWEST, HIGHEST = 118_000, 136_990
SHARED_WITHIN_HZ = 100

NOT_A_NAME = "not a channel name"
OUTSIDE = "outside 118.000-136.990"
NOT_SIX_DIGITS = "not six digits with a point after the third"

_SIX = re.compile(r"[0-9]{3}\.[0-9]{3}")
_TYPED = re.compile(r"([0-9]{3})[.,]([0-9]{1,3})")

NO_TEST = {
    "121.500": "emergency",
    "121.505": "emergency",
    "123.100": "search and rescue, auxiliary",
    "123.105": "search and rescue, auxiliary",
}
"""VHF names nothing is ever transmitted on in a test. Source: Radio Regulations and ICAO Annex 10
volume V, from memory; 121.5 also read."""

NO_TEST_KHZ = (3023, 5680, 10003, 14993, 19993)
"""High frequencies that serve search and rescue. Source: Radio Regulations 5.111."""

NEAR_GUARD = {
    "121.450": "next to the emergency frequency (older guard band)",
    "121.550": "next to the emergency frequency (older guard band)",
}
"""Source: ICAO Annex 10 volume V 4.1, from memory."""


def thousandths(name: str) -> int | None:
    """The six digits of a name as a whole number, or None where they are not six."""
    return int(name[:3] + name[4:]) if _SIX.fullmatch(name) else None


def why_invalid(number: int) -> str:
    """Why six digits are no channel of the band; empty where they are one."""
    if not LOWEST <= number <= HIGHEST:
        return OUTSIDE
    if number % 5 or number % 25 == 20:
        return NOT_A_NAME
    return ""


def spacing(number: int) -> str:
    """`25` or `8.33`, in kHz, of a valid name."""
    return "25" if number % 25 == 0 else "8.33"


def carrier_thirds(number: int) -> int:
    """The carrier of a valid name in thirds of a hertz, exactly."""
    left = number % 25
    steps = left // 5 - 1 if left else 0
    return (number - left) * 3000 + steps * 25_000


def names() -> tuple[str, ...]:
    """Every channel name of the band, rising."""
    valid = (n for n in range(LOWEST, HIGHEST + 1, 5) if not why_invalid(n))
    return tuple(written(n) for n in valid)


def written(number: int) -> str:
    """Six digits with their point."""
    return f"{number // 1000}.{number % 1000:03d}"


def _rounded(thirds: int, unit_hz: int) -> int:
    """Thirds of a hertz in whole `unit_hz`, halves up."""
    return (2 * thirds + 3 * unit_hz) // (6 * unit_hz)


def vhf_channel(*, name: str) -> Judged:
    """Spacing and carrier of a six-digit channel name, or why it is none."""
    number = thousandths(name)
    why = NOT_SIX_DIGITS if number is None else why_invalid(number)
    if number is None or why:
        invalid = {"spacing_khz": "invalid", "why_invalid": why}
        return Judged(figures=invalid, verdict="invalid", look_at=(why,))
    thirds = carrier_thirds(number)
    tenths = _rounded(thirds, 100)
    spoken_test = may_test(name)
    return Judged(
        figures={
            "spacing_khz": spacing(number),
            "carrier_mhz_4dp": f"{tenths // 10_000}.{tenths % 10_000:04d}",
            "carrier_hz": str(_rounded(thirds, 1)),
        },
        value=Decimal(thirds) / 3,
        unit="Hz",
        look_at=(spoken_test,) if spoken_test else (),
    )


def expanded(typed: str) -> str | None:
    """The six-digit name a typed channel stands for, or None where digits are missing or too many.

    One decimal is padded. Two are the older five-digit form: a last 2 or 7 gains a 5, 0 and 5 gain
    a zero, any other last digit must be typed in full. A decimal comma is read as the point.
    """
    found = _TYPED.fullmatch(typed)
    if found is None:
        return None
    whole, part = found.groups()
    if len(part) == 2:
        tail = {"2": "5", "7": "5", "0": "0", "5": "0"}.get(part[-1])
        return None if tail is None else f"{whole}.{part}{tail}"
    return f"{whole}.{part:0<3}"


def vhf_entry_parse(*, typed: str) -> Judged:
    """The channel name meant by what was typed, and its spacing; `reject` where it is none."""
    name = expanded(typed)
    if name is None:
        why = "type six digits, as 118.025"
        return Judged(
            figures={"expanded_name": "reject", "spacing_khz": ""}, verdict="reject", look_at=(why,)
        )
    number = int(name[:3] + name[4:])
    why = why_invalid(number)
    if why:
        refused = {"expanded_name": "reject", "spacing_khz": "invalid"}
        return Judged(figures=refused, verdict="reject", look_at=(why,))
    return Judged(figures={"expanded_name": name, "spacing_khz": spacing(number)})


@exact
def vhf_carrier_to_names(*, carrier_mhz: Decimal) -> Judged:
    """The channel names whose carrier lies within 100 Hz, rising; `none` where there is none."""
    thirds = carrier_mhz * 3_000_000
    near = int(carrier_mhz * 1000) // 25 * 25
    found = [
        written(n)
        for n in range(near - 25, near + 55, 5)
        if not why_invalid(n) and abs(carrier_thirds(n) - thirds) <= 3 * SHARED_WITHIN_HZ
    ]
    return Judged(figures={"names_sharing_it": " ".join(found) or "none"})


def may_test(name: str) -> str:
    """Why nothing is transmitted on this channel in a test; empty where nothing is known."""
    reason = NO_TEST.get(name)
    return f"never transmit in a test: {reason}" if reason else NEAR_GUARD.get(name, "")


def channel_for_test(*, name: str) -> Judged:
    """Whether a test call may go out on a VHF channel or a high frequency in kHz.

    Raises:
        Usage: the text is neither a channel of the band nor a whole number of kilohertz.
    """
    if name.isascii() and name.isdigit() and len(name) <= 5:
        reason = "search and rescue" if int(name) in NO_TEST_KHZ else ""
    else:
        channel = expanded(name)
        number = thousandths(channel) if channel else None
        if channel is None or number is None or why_invalid(number):
            raise Usage(f"{name!r} is neither a VHF channel name nor a whole number of kHz")
        reason = NO_TEST.get(channel, "")
    verdict = "never" if reason else "may"
    return Judged(figures={"verdict": verdict, "why": reason}, verdict=verdict)


def _text(name: str, words: str) -> Ask:
    return Ask(name=name, words=words, free=True)


RULE = (
    "six digits as whole kHz; a multiple of 25 is a 25 kHz channel on that frequency; 5, 10, 15 "
    "above one are 8.33 kHz channels on it plus 0, 25/3, 50/3 kHz; others are no names"
)
NAMES = (
    "ICAO Annex 10 volume V; six-digit names since November 2005 (Amendment 80 to volume II), "
    "restated; 8.33 is 25/3 exactly. Tests that give 118.030 as 118.0333 are wrong: 118.0250."
)

FAMILIES = by_name(
    Family(
        name="vhf_channel",
        asks=(_text("name", "channel name, six digits"),),
        columns=("name", "spacing_khz", "carrier_mhz_4dp", "carrier_hz", "why_invalid"),
        formula=RULE,
        source=NAMES,
        compute=vhf_channel,
    ),
    Family(
        name="vhf_entry_parse",
        asks=(_text("typed", "channel as typed or said"),),
        columns=("typed", "expanded_name", "spacing_khz"),
        formula="one decimal is padded; of two, a last 2 or 7 gains a 5, 0 and 5 gain a 0; others "
        "must be typed in full",
        source="The older five-digit form is spoken so in training texts; the rule is our own.",
        compute=vhf_entry_parse,
    ),
    Family(
        name="vhf_carrier_to_names",
        asks=(
            Ask(
                name="carrier_mhz_4dp",
                words="carrier",
                units=("MHz",),
                above=Decimal(0),
                arg="carrier_mhz",
            ),
        ),
        columns=("carrier_mhz_4dp", "names_sharing_it"),
        formula="every name whose carrier lies within 100 Hz",
        source=NAMES,
        compute=vhf_carrier_to_names,
    ),
    Family(
        name="test_channel",
        asks=(_text("name", "VHF channel, or kHz"),),
        columns=("name", "verdict", "why"),
        formula="no test on an emergency or a search-and-rescue frequency",
        source="Radio Regulations 5.111 (high frequencies); VHF names from memory.",
        compute=channel_for_test,
    ),
)
