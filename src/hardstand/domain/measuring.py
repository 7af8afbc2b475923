"""What the numbers typed at a reading step come to: judged, asked again, or refused. Pure.

The same row of numbers always comes to the same: nothing else is remembered. A number is read by
one strict grammar, in the unit of the step and in no other; it is never mended or converted.
Source: human-factors ANS-03 to ANS-08; whole-job C-1 and C-2.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from hardstand.domain.checklist import Bounds, Step
from hardstand.domain.defects import Refused
from hardstand.domain.quantity import is_number
from hardstand.domain.readings.arithmetic import plain
from hardstand.domain.readings.dial import image_marks, nearer_image
from hardstand.domain.readings.family import Family
from hardstand.domain.readings.judged import Judged, asks_fresh_look, untrusted
from hardstand.domain.readings.registry import REGISTRY
from hardstand.domain.settled import Settled, kept, pairs
from hardstand.errors import Usage

MOST_DIGITS = 20
"""Characters in one number, point and minus included; no meter shows as many."""

LOOK_AGAIN = "Look at the meter again and give what it shows now."
"""Says neither why nor which number is suspected: human-factors ANS-07."""

BESIDE = ("name", "example", "position", "band", "if_khz")
"""Keys of `judge` that are no input of the sum."""

BOTH_SIDES = ("dial_error", "dial_grain")
"""Sums whose second reading is taken from both sides of zero beat."""

GOOD = ("in", "pass", "ok", "too_close")
"""Too close once more, after a second reading, is no fault: nothing shows that it is out."""
BAD = ("low", "high", "out", "fail", "ambiguous")
FAR = 5
"""A dial so many times its limit away was perhaps on another station; ours."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Gauge:
    """What one step holds its number against: a sum, its inputs laid down, the one to be read."""

    family: Family
    laid_down: Mapping[str, str]
    asked: str

    def judged(self, number: str) -> Judged:
        """The verdict on a number.

        Raises:
            Usage: the sum cannot mean such a number.
        """
        return self.family.judge({**self.laid_down, self.asked: number})

    def is_in(self, value: Decimal) -> bool:
        """Whether a value would be plainly good; one the sum cannot mean is not."""
        try:
            return self.judged(f"{value:f}").verdict in {"in", "pass", "ok"}
        except Usage:
            return False


def laid_down(step: Step) -> tuple[str, dict[str, str]]:
    """The sum that judges a step, and its inputs so far: limits where the list names no other."""
    grain = plain(step.graduation) if step.graduation else "0"
    if step.judge is None:
        low, high = (plain(step.accept.low), plain(step.accept.high)) if step.accept else ("", "")
        return "limits", {"low": low, "high": high, "g": grain}
    given = {key: value for key, value in step.judge.items() if key not in BESIDE}
    if step.judge["name"] == "dial_grain":
        given = {"g_khz": grain, **given}
    return step.judge["name"], given


def gauge(step: Step) -> Gauge | None:
    """What a step is judged by; None where this version knows no such sum, or nothing judges it.

    Raises:
        Usage: the step lays down an input the sum does not have.
    """
    name, given = laid_down(step)
    family = REGISTRY.get(name)
    if family is None or (step.judge is None and step.accept is None):
        return None
    left = family.left_to_read(given)
    return Gauge(family=family, laid_down=given, asked=left[0].name) if len(left) == 1 else None


def digits(text: str, unit: str) -> str:
    """The number in a text: alone, or with the unit of the step behind it; empty if it is none."""
    bare = text.removesuffix(unit).removesuffix(" ") if unit and text.endswith(unit) else text
    return bare if is_number(bare) and len(bare) <= MOST_DIGITS else ""


def settle(step: Step, typed: tuple[str, ...], *, doubt: str = "") -> Settled | Refused:
    """What the numbers typed so far come to, or what to ask next in words.

    Args:
        step: a reading step.
        typed: every number given at it, the newest last.
        doubt: why nothing read on this meter can be trusted, if so.
    """
    numbers = tuple(n for n in (digits(t, step.unit) for t in typed) if n)
    if not typed or not digits(typed[-1], step.unit):
        return no_number(typed[-1] if typed else "", step.unit)
    try:
        held = gauge(step)
        if held is None and step.accept is None and step.judge is None:
            return _unjudged(step, typed[-1], numbers)
        if held is None:
            return Refused(what=f"this hardstand cannot judge step {step.id}")
        return _settle(step, held, numbers, typed[-1], doubt)
    except Usage as refusal:
        return Refused(what=refusal.what, hint=refusal.hint)


def no_number(typed: str, unit: str) -> Refused:
    """What is said to text that is no number in the unit of the step."""
    example = "4000" if unit == "kHz" else "12"
    with_unit = f", such as {example} or {example} {unit}" if unit else f", such as {example}"
    return Refused(
        what=f"{typed[:MOST_DIGITS]!r} is no number this step can take",
        hint=f"Digits with at most one point, in {unit or 'whole pieces'}{with_unit}. "
        "Nothing is converted.",
    )


def _unjudged(step: Step, typed: str, numbers: tuple[str, ...]) -> Settled:
    """A number that is only written down."""
    return Settled(
        answer="OK",
        value=numbers[-1],
        unit=step.unit,
        typed=typed if typed != numbers[-1] else "",
        earlier=numbers[:-1],
        meter=step.meter,
    )


def _settle(
    step: Step, held: Gauge, numbers: tuple[str, ...], typed: str, doubt: str
) -> Settled | Refused:
    base = _base(step, held, numbers)
    if isinstance(base, Refused):
        return base
    first = held.judged(numbers[base])
    seconds = numbers[base + 1 :]
    if first.verdict != "too_close" or doubt:
        if seconds:
            return _no_more(step, numbers[base])
        return _answer(step, held, numbers, typed, doubt)
    return _second(step, held, numbers, base)


def _base(step: Step, held: Gauge, numbers: tuple[str, ...]) -> int | Refused:
    """Which number is the reading: the first that nothing keeps from being one."""
    told = Refused(what=f"nothing was read at step {step.id}")
    for index, number in enumerate(numbers):
        refused = _refusal(step, held, number, numbers[:index])
        if refused is None:
            return index
        told = refused
    return told


def _refusal(step: Step, held: Gauge, number: str, before: tuple[str, ...]) -> Refused | None:
    """Why a number is not taken as it stands; the same number given twice is believed."""
    value = Decimal(number)
    if _in_another_unit(step, held, value):
        return _other_unit(step, number)
    if any(Decimal(other) == value for other in before):
        held.judged(number)
        return None
    if step.critical:
        return _blind(sum(not _in_another_unit(step, held, Decimal(n)) for n in before))
    if step.possible and not _within(step.possible, value):
        return _outside(step, number)
    if held.judged(number).verdict not in BAD:
        return None
    if asks_fresh_look(number, held.is_in):
        return Refused(what=f"{number} {step.unit} is noted", hint=LOOK_AGAIN)
    return _image(step, number)


def _within(bounds: Bounds, number: Decimal) -> bool:
    return bounds.low <= number <= bounds.high


def _in_another_unit(step: Step, held: Gauge, number: Decimal) -> bool:
    """Whether a number this meter cannot show fits it a thousandfold: 4.0 for 4000 kHz."""
    if step.possible is None or _within(step.possible, number) or held.is_in(number):
        return False
    scaled = (number.scaleb(-3), number.scaleb(3))
    if step.possible.low > 0:
        return any(_within(step.possible, value) for value in scaled)
    return any(held.is_in(value) for value in scaled)


def _other_unit(step: Step, number: str) -> Refused:
    low = step.possible.low if step.possible else Decimal(number)
    return Refused(
        what=f"{number} is refused: the unit of this step is {step.unit}",
        hint=f"Example: {plain(low)}. Nothing is converted.",
    )


def _blind(entries: int) -> Refused:
    """What is said between entries that must not see each other. Source: ANS-08."""
    said = (
        "The first entry is taken and kept out of sight",
        "The two entries differ",
        "No two entries agree",
    )
    return Refused(what=said[min(entries, 2)], hint=LOOK_AGAIN)


def _image(step: Step, number: str) -> Refused | None:
    """Image or wrong station is asked before a bad dial is believed. Source: scenario 25."""
    rule = step.judge or {}
    if not {"if_khz", "true_khz", "limit_pct"} <= rule.keys():
        return None
    dial, true, pct = Decimal(number), Decimal(rule["true_khz"]), Decimal(rule["limit_pct"])
    middle = Decimal(rule["if_khz"])
    at_image = nearer_image(dial_khz=dial, true_khz=true, if_khz=middle, limit_pct=pct)
    if at_image is None and abs(dial - true) * 100 <= FAR * pct * true:
        return None
    marks = image_marks(true_khz=true, if_khz=middle)
    near = " and ".join(f"{plain(m)} kHz" for m in marks if m > 0)
    return Refused(
        what=f"{number} kHz is far off: image or wrong station",
        hint=f"Images of {plain(true)} kHz lie at {near}. Hear the ident, then read again.",
    )


def _second(step: Step, held: Gauge, numbers: tuple[str, ...], base: int) -> Settled | Refused:
    """After a reading too close to call: the further readings, and what they come to."""
    further = numbers[base + 1 :]
    if further and not _shown(step, further[-1]):
        return _outside(step, further[-1])
    usable = tuple(n for n in further if _shown(step, n))
    sides = held.family.name in BOTH_SIDES
    if not usable:
        how = "from both sides of zero beat: first from below" if sides else "eye square to it"
        return Refused(
            what=f"{numbers[base]} {step.unit} is too close to call", hint=f"Read again, {how}."
        )
    if sides and len(usable) == 1:
        return Refused(what=f"{usable[0]} {step.unit} is noted", hint="Now the dial from above.")
    if len(usable) > (2 if sides else 1):
        return _no_more(step, usable[-2])
    return _answer(step, held, numbers, "", "", between=usable if sides else ())


def _outside(step: Step, number: str) -> Refused:
    return Refused(
        what=f"{number} {step.unit} is outside what this meter can show", hint=LOOK_AGAIN
    )


def _no_more(step: Step, number: str) -> Refused:
    return Refused(what=f"{number} {step.unit} was judged; nothing more is asked")


def _shown(step: Step, number: str) -> bool:
    return step.possible is None or _within(step.possible, Decimal(number))


def _answer(
    step: Step,
    held: Gauge,
    numbers: tuple[str, ...],
    typed: str,
    doubt: str,
    *,
    between: tuple[str, ...] = (),
) -> Settled:
    """The answer of the last number, or of the middle of a pair."""
    value = plain(sum(map(Decimal, between), Decimal(0)) / 2) if between else numbers[-1]
    judged = held.judged(value)
    judged = untrusted(judged, doubt) if doubt else judged
    verdict = judged.verdict
    below, above = between or ("", "")
    inputs = {**held.laid_down, held.asked: value, "from_below": below, "from_above": above}
    return Settled(
        answer="OK" if verdict in GOOD else "FAULT" if verdict in BAD else "UNSURE",
        value=value,
        unit=step.unit,
        typed=typed if typed != value else "",
        earlier=numbers if between else numbers[:-1],
        words=doubt,
        meter=step.meter,
        detail=f"{value} {step.unit}".rstrip(),
        limit=_limit(step, judged),
        verdict=verdict,
        basis=step.ref if step.judge is None else f"{step.ref}. {judged.basis}",
        judged=kept(held.family.name, **inputs, doubt=doubt),
        look_at=judged.look_at,
    )


def _limit(step: Step, judged: Judged) -> str:
    """The limit in words, with its unit where the sum knows none."""
    numbers, comma, rest = judged.limit.partition(",")
    return judged.limit if step.judge else f"{numbers} {step.unit}{comma}{rest}"


def limit_words(step: Step) -> str:
    """What a step is held to, in words; empty where nothing judges it."""
    held = gauge(step)
    if held is None:
        return ""
    example = step.possible.low if step.possible else Decimal(1)
    try:
        return _limit(step, held.judged(plain(example)))
    except Usage:
        return ""


def next_prompt(step: Step, earlier: tuple[str, ...]) -> str:
    """How the next number is asked for, in the unit of the meter."""
    numbers = tuple(n for n in (digits(t, step.unit) for t in earlier) if n)
    held = gauge(step)
    base = _base(step, held, numbers) if held else None
    if held is None or not isinstance(base, int):
        return f"Reading, {step.unit}:"
    if held.family.name not in BOTH_SIDES:
        return f"Reading once more, {step.unit}:"
    side = "above" if any(_shown(step, n) for n in numbers[base + 1 :]) else "below"
    return f"Dial from {side}, {step.unit}:"


def verdict_again(judged: tuple[str, ...]) -> str:
    """The verdict of a stored judgement, reckoned anew from what was stored with it.

    Raises:
        Usage: the judgement is none of this version, or an input of it cannot be read.
    """
    given = pairs(judged)
    if given.pop("doubt", ""):
        return "unknown"
    family = REGISTRY.get(judged[0])
    if family is None:
        raise Usage(f"{judged[0]!r} is no sum of this hardstand")
    below, above = given.pop("from_below", ""), given.pop("from_above", "")
    if below and above:
        (asked,) = (a.name for a in family.asks if a.name == "dial_khz")
        given[asked] = plain((Decimal(below) + Decimal(above)) / 2)
    return family.judge(given).verdict
