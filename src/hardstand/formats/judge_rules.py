"""What must be true of `judge`: its name, the kind of step it fits, its inputs, its unit."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from decimal import Decimal

from hardstand.domain.checklist import Checklist, Fit, Step
from hardstand.domain.hearing import READS
from hardstand.domain.measuring import BESIDE, BOTH_SIDES, laid_down
from hardstand.domain.quantity import is_number
from hardstand.domain.readings.channel import channel_for_test
from hardstand.domain.readings.family import Ask, Family
from hardstand.domain.readings.morse import encoded
from hardstand.domain.readings.range_filter import PARTS
from hardstand.domain.readings.registry import REGISTRY
from hardstand.errors import Usage
from hardstand.formats.rules import Remark
from hardstand.formats.wording import accepted, quoted

NUMBERS = (
    "dial_grain", "dial_error", "frequency_verdict", "bus_voltage", "bond_millivolt",
    "lockwire_twists", "vor_check", "adf_check", "test_transmission",
)  # fmt: skip
"""Bench sums with a verdict that judge one number of a reading step."""

KINDS: Mapping[str, str] = {
    **dict.fromkeys(NUMBERS, "reading"),
    "range_filter": "listen",
    "ident_match": "listen",
    "transmitter_report": "transmit",
}
"""Each judgement and the kind of step that can name it."""

KEYS: Mapping[str, tuple[str, ...]] = {
    "range_filter": ("reads", *PARTS, "voice_from", "code_from"),
    "ident_match": ("expected",),
    "transmitter_report": ("called", "channel", "frequency", "station", "shared"),
}
"""What else may stand under `judge`, beside `name` and `example`."""

NEEDED: Mapping[str, tuple[str, ...]] = {
    "range_filter": ("reads",),
    "ident_match": ("expected",),
    "transmitter_report": ("channel", "frequency"),
}
_FREQUENCY = re.compile(r"([0-9]+(?:\.[0-9]+)?) (kHz|MHz)")


def judgements_are_known(step: Step) -> Iterator[Remark]:
    """HS251, HS252: `judge` names a judgement, and one that fits the kind of step."""
    if step.judge is None:
        return
    name = step.judge.get("name", "")
    fitting = [known for known, kind in KINDS.items() if kind == step.kind]
    if not name:
        said = "'judge' has no name"
        yield _remark("HS251", (), said, accepted("", fitting, none="no judgement fits this kind"))
    elif name not in KINDS:
        said = f"no judgement is called {quoted(name)}"
        hint = accepted(name, fitting or KINDS)
        yield _remark("HS251", ("name",), said, hint)
    elif KINDS[name] != step.kind:
        said = f"{name} judges a {KINDS[name]} step, this is a {step.kind} step"
        hint = accepted("", fitting, none="no judgement fits this kind; take 'judge' out")
        yield _remark("HS252", ("name",), said, hint)


def _fits(step: Step) -> str:
    """The name of the judgement of a step, if it is known and fits; else empty."""
    name = (step.judge or {}).get("name", "")
    return name if KINDS.get(name) == step.kind else ""


def inputs_are_laid_down(step: Step) -> Iterator[Remark]:
    """HS253, HS254: every key is one of the judgement, with a value it can take."""
    name = _fits(step)
    if not name or step.judge is None:
        return
    family = REGISTRY[name] if name in NUMBERS else None
    asks = {ask.name: ask for ask in family.asks} if family else {}
    known = (*asks, *BESIDE) if family else ("name", "example", *KEYS[name])
    for key, value in step.judge.items():
        if key not in known:
            said = f"{name} has no input {quoted(key)}"
            yield _remark("HS253", (key,), said, accepted(key, known), on_key=True)
        elif key in asks and (wrong := _unread(asks[key], value)):
            yield _remark("HS254", (key,), wrong, f"accepted: {asks[key].accepted}")
    for key in NEEDED.get(name, ()):
        if not step.judge.get(key, ""):
            said = f"{name} needs {quoted(key)}"
            yield _remark("HS253", (), said, f"add {key} under judge")
    if family:
        yield from _one_number(step, family)


def _unread(ask: Ask, value: str) -> str:
    try:
        ask.read(value)
    except Usage as refusal:
        return refusal.what
    return ""


def _one_number(step: Step, family: Family) -> Iterator[Remark]:
    """Exactly one number is left to be read, in the unit of the step."""
    _, given = laid_down(step)
    left = [ask for ask in family.asks if ask.name not in given]
    if len(left) != 1 or left[0].free or left[0].choices:
        named = ", ".join(ask.name for ask in left) or "nothing"
        said = f"{family.name} leaves {named} to be read, a reading step reads one number"
        hint = f"lay down all but one of: {', '.join(ask.name for ask in family.asks)}"
        yield _remark("HS253", (), said, hint)
        return
    units = left[0].units
    if units and step.unit not in units:
        said = f"{family.name} reads {left[0].words} in {units[0]}, the step says {step.unit}"
        yield Remark(code="HS255", path=("unit",), message=said, hint=f"accepted: {units[0]}")


def one_limit_stands(step: Step) -> Iterator[Remark]:
    """HS256: a number is judged by `judge` or by `accept`, not by both."""
    if step.judge is not None and step.accept is not None:
        said = "'accept' and 'judge' both judge the number"
        hint = "keep the judgement and what is possible, take accept out"
        yield Remark(code="HS256", path=("accept",), message=said, hint=hint, on_key=True)


def images_can_be_reckoned(step: Step) -> Iterator[Remark]:
    """HS254: the intermediate frequency is a number above zero, on a dial."""
    if _fits(step) not in NUMBERS or step.judge is None or "if_khz" not in step.judge:
        return
    value = step.judge["if_khz"]
    if step.judge["name"] not in BOTH_SIDES:
        said = "only a dial has images"
        yield _remark("HS253", ("if_khz",), said, "take if_khz out", on_key=True)
    elif not is_number(value) or Decimal(value) <= 0:
        said = f"the intermediate frequency {quoted(value)} is no number above 0"
        yield _remark("HS254", ("if_khz",), said, "give it in kHz, such as 455")


def bands_have_two_ends(step: Step) -> Iterator[Remark]:
    """HS254: the band of a receiver is its lowest and its highest frequency, in kHz."""
    band = (step.judge or {}).get("band", "")
    low, _, high = band.partition("-")
    if _fits(step) not in BOTH_SIDES or not band:
        return
    if not (is_number(low) and is_number(high) and Decimal(low) < Decimal(high)):
        said = f"the band {quoted(band)} is not two frequencies, the lower first"
        yield _remark("HS254", ("band",), said, "write it in kHz, such as 200-500")


def idents_can_be_sent(step: Step) -> Iterator[Remark]:
    """HS254, HS230: the ident has a signal for each letter, and the step asks what was heard."""
    if _fits(step) != "ident_match" or step.judge is None:
        return
    try:
        encoded(step.judge.get("expected") or "E")
    except Usage as refusal:
        yield _remark("HS254", ("expected",), refusal.what, "give the ident in letters and figures")
    if not step.evidence:
        said = "a step that matches an ident needs 'evidence'"
        yield Remark(code="HS230", path=(), message=said, hint="add evidence: ident heard")


def calls_may_be_made(step: Step) -> Iterator[Remark]:
    """HS254, HS257: a test call stands on a frequency, and on none that is kept for distress."""
    if _fits(step) != "transmitter_report" or not (step.judge or {}).get("frequency"):
        return
    given = (step.judge or {})["frequency"]
    found = _FREQUENCY.fullmatch(given)
    in_its_unit = found and ("." in found[1]) == (found[2] == "MHz")
    try:
        judged = channel_for_test(name=found[1]) if found and in_its_unit else None
    except Usage:
        judged = None
    if judged is None:
        said = f"the frequency {quoted(given)} is neither a VHF channel nor a whole number of kHz"
        yield _remark("HS254", ("frequency",), said, "write it as 3270 kHz or 122.1 MHz")
    elif judged.verdict == "never":
        said = f"nothing is sent on {given} in a test: {judged.figures['why']}"
        hint = "make it a listen step, or call on another channel"
        yield _remark("HS257", ("frequency",), said, hint)


RULES: tuple[Callable[[Step], Iterable[Remark]], ...] = (
    judgements_are_known,
    inputs_are_laid_down,
    one_limit_stands,
    images_can_be_reckoned,
    bands_have_two_ends,
    idents_can_be_sent,
    calls_may_be_made,
)


def filter_is_heard_in_order(checklist: Checklist) -> Iterator[Remark]:
    """HS258: BOTH, RANGE, VOICE and BOTH again, each once; what they prove stands at the last."""
    steps = [(n, s) for n, s in enumerate(checklist.steps) if _fits(s) == "range_filter"]
    if not steps:
        return
    reads = tuple((s.judge or {}).get("reads", "") for _, s in steps)
    if reads != READS:
        said = f"the filter is listened to as {', '.join(reads)}"
        hint = f"one step for each, in this order: {', '.join(READS)}"
        path = ("steps", steps[-1][0], "judge")
        yield Remark(code="HS258", path=path, message=said, hint=hint)
    for index, step in steps[:-1]:
        if step.proves:
            said = f"step {quoted(step.id)} proves nothing before the last position is heard"
            hint = "name them under judge of the last position, as both, range, voice"
            path = ("steps", index, "proves")
            yield Remark(code="HS258", path=path, message=said, hint=hint, on_key=True)
    index, last = steps[-1]
    named = tuple((last.judge or {}).get(part, "") for part in PARTS)
    if any(part and part not in last.proves for part in named) or not any(named):
        said = f"the parts {', '.join(p or 'nothing' for p in named)} are not what the step proves"
        hint = "give both, range and voice under judge, and name the same under proves"
        yield Remark(code="HS258", path=("steps", index, "judge"), message=said, hint=hint)


def positions_are_units(checklist: Checklist, fit: Fit) -> Iterator[Remark]:
    """HS240: the position whose dial is read is a unit of the fit."""
    for index, step in enumerate(checklist.steps):
        position = (step.judge or {}).get("position", "")
        if position and position not in fit.units:
            said = f"the fit has no unit {quoted(position)}"
            path = ("steps", index, "judge", "position")
            hint = accepted(position, fit.units)
            yield Remark(code="HS240", path=path, message=said, hint=hint)


def _remark(
    code: str, below: tuple[str, ...], message: str, hint: str, *, on_key: bool = False
) -> Remark:
    return Remark(code=code, path=("judge", *below), message=message, hint=hint, on_key=on_key)
