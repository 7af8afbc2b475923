"""Stations of known frequency: which can check a receiver now, what they cover, channel plans.

Source: the rules for hours, day and night, age of the list, fifths and spread are our own
judgement on published propagation practice. A receiver is never failed for a station not heard.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from hardstand.domain.readings.arithmetic import exact
from hardstand.domain.readings.family import Ask, Family, by_name
from hardstand.domain.readings.judged import Judged

LIST_DAYS = 180
FIFTHS_ASKED = (1, 3, 5)
FEWEST = 3
SPREAD_PCT = 60

PLANS = {"10": (540, 1700, 10), "9": (531, 1602, 9), "9lf": (153, 279, 9)}
"""Plan → lowest and highest channel and step, kHz. Source: 47 CFR 73.25 for the step of 10 in the
United States; band edges partly from memory."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sender:
    """One frequency of a ground station, with what decides whether it can be used.

    Times are minutes after local midnight; `on` and `off` bound its hours, `off` not included.
    """

    ident: str
    khz: Decimal
    on: int = 0
    off: int = 1440
    night_only: bool = False
    day_only: bool = False
    distant: bool = False
    identified: bool = True
    list_days: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Hour:
    """The time of a check: minutes after local midnight, with sunrise and sunset of the day."""

    now: int
    sunrise: int
    sunset: int

    @property
    def day(self) -> bool:
        """Whether the sun is up: sunrise included, sunset not."""
        return self.sunrise <= self.now < self.sunset


@dataclass(frozen=True, slots=True, kw_only=True)
class Coverage:
    """What the usable stations of a band can prove of its dial.

    `missing` says in words what keeps it from `full`; `left_out` names each unused sender and why.
    """

    usable: tuple[Sender, ...]
    spread_pct: Decimal
    missing: tuple[str, ...]
    left_out: tuple[tuple[Sender, str], ...]

    @property
    def result(self) -> str:
        """`full`, or `part:` with what is missing."""
        return "part: " + "; ".join(self.missing) if self.missing else "full"


def why_left_out(sender: Sender, hour: Hour, *, for_strength: bool = False) -> str:
    """Why a sender cannot be used at this hour, in words; empty where it can.

    Distant stations serve for the dial but not, at night, for strength.
    """
    if sender.list_days > LIST_DAYS:
        return f"list older than {LIST_DAYS} days"
    if not _within(hour.now, sender.on, sender.off):
        return "off the air"
    if sender.night_only and hour.day:
        return "night only"
    if sender.day_only and not hour.day:
        return "day only"
    if for_strength and sender.distant and not hour.day:
        return "distant, at night"
    return "" if sender.identified else "not identified"


def _within(now: int, on: int, off: int) -> bool:
    """Whether `now` lies in hours that may run past midnight."""
    return on <= now < off if on < off else now >= on or now < off


@exact
def fifth(khz: Decimal, low: Decimal, high: Decimal) -> int:
    """Which fifth of a band a frequency lies in, 1 to 5; the top edge belongs to the fifth one."""
    return min(int((khz - low) * 5 / (high - low)) + 1, 5)


@exact
def covered(
    senders: Sequence[Sender],
    band: tuple[Decimal, Decimal],
    hour: Hour,
    calibrator_fifths: Sequence[int] = (),
) -> Coverage:
    """What can check a band now; a crystal calibrator fills any fifth it reaches."""
    low, high = band
    inside = [s for s in senders if low <= s.khz <= high]
    reasons = [(s, why_left_out(s, hour)) for s in inside]
    usable = tuple(s for s, why in reasons if not why)
    marks = [s.khz for s in usable]
    spread = (max(marks) - min(marks)) * 100 / (high - low) if marks else Decimal(0)
    filled = {fifth(khz, low, high) for khz in marks} | set(calibrator_fifths)
    lacking = [str(n) for n in FIFTHS_ASKED if n not in filled]
    missing = []
    if lacking:
        plural = "s" if len(lacking) > 1 else ""
        missing.append(f"fifth{plural} {_listed(lacking)} missing")
    if len(usable) + len(calibrator_fifths) < FEWEST:
        missing.append("too few")
    if spread < SPREAD_PCT and not {1, 5} <= set(calibrator_fifths):
        missing.append("spread")
    return Coverage(
        usable=usable,
        spread_pct=spread,
        missing=tuple(missing),
        left_out=tuple((s, why) for s, why in reasons if why),
    )


def _listed(words: Sequence[str]) -> str:
    """Words with commas and a last `and`."""
    *most, last = words
    return f"{', '.join(most)} and {last}" if most else last


@exact
def am_channel(*, khz: Decimal, plan: str) -> Judged:
    """Whether a frequency is a broadcast channel of a plan; 540 is one in two plans."""
    low, high, step = PLANS[plan]
    is_one = low <= khz <= high and (khz - low) % step == 0
    return Judged(figures={"is_channel": "yes" if is_one else "no"})


FAMILIES = by_name(
    Family(
        name="am_channel",
        asks=(
            Ask(name="khz", words="frequency", units=("kHz",), above=Decimal(0)),
            Ask(name="plan", words="channel plan", choices={plan: plan for plan in PLANS}),
        ),
        columns=("khz", "plan", "is_channel"),
        formula="10: 540 to 1700 step 10; 9: 531 to 1602 step 9; 9lf: 153 to 279 step 9",
        source="47 CFR 73.25 (step of 10); the other edges partly from memory.",
        compute=am_channel,
    ),
)
