"""What must be true of a step by itself: its kind decides what it needs and what it may have."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from decimal import Decimal

from hardstand.domain.checklist import COUNTED, Bounds, Checklist, Step
from hardstand.formats import judge_rules
from hardstand.formats.fit_rules import is_count
from hardstand.formats.mark_rules import MARK
from hardstand.formats.rules import Remark
from hardstand.formats.wording import accepted, quoted

KEYS = 8
"""Digits 1 to 8 pick from a list on the screen."""

_NEEDED: dict[str, tuple[str, ...]] = {
    "state": ("states", "expect"),
    "reading": ("unit", "possible"),
    "listen": ("sounds_good", "sounds_bad"),
    "gate": ("evidence",),
}
_ANSWERED_BY_KEY = ("look", "listen", "set", "record", "gate", "transmit")
_ONLY_ON: dict[str, tuple[str, ...]] = {
    "states": ("state",),
    "expect": ("state", "count"),
    "unit": ("reading", "count"),
    "meter": ("reading",),
    "graduation": ("reading",),
    "accept": ("reading",),
    "possible": ("reading",),
    "read_first": ("reading",),
    "evidence": _ANSWERED_BY_KEY,
}
_NOT_YET = ("verify", "hold")


def kinds_have_what_they_need(step: Step) -> Iterator[Remark]:
    """HS230: fields without which such a step cannot be answered or judged."""
    needed = [(field, f"a {step.kind} step") for field in _NEEDED.get(step.kind, ())]
    if step.critical:
        needed.append(("touch", "a critical step"))
    if step.kind == "reading" and not step.judge:
        needed.append(("accept", "a reading step without 'judge'"))
    for field, whose in needed:
        if not getattr(step, field):
            said = f"{whose} needs {quoted(field)}"
            yield Remark(code="HS230", path=(), message=said, hint=f"add {field} to the step")


def kinds_have_nothing_else(step: Step) -> Iterator[Remark]:
    """HS229: a field that this kind of step would pass over in silence."""
    for field, kinds in _ONLY_ON.items():
        if getattr(step, field) and step.kind not in kinds:
            said = f"a {step.kind} step does not use {quoted(field)}"
            hint = f"take it out, or change the kind; used by: {', '.join(kinds)}"
            yield Remark(code="HS229", path=(field,), message=said, hint=hint, on_key=True)


def states_can_be_picked(step: Step) -> Iterator[Remark]:
    """HS227, HS228, HS242: two to eight different states, the expected one among them."""
    if step.kind != "state" or not step.states:
        return
    if len(step.states) < 2:
        said = f"one state, {quoted(step.states[0])}, is no choice"
        hint = "give every position the control has, in panel order"
        yield Remark(code="HS227", path=("states",), message=said, hint=hint)
    for index, state in enumerate(step.states):
        if state in step.states[:index]:
            said = f"state {quoted(state)} is given twice"
            yield Remark(code="HS227", path=("states", index), message=said, hint="keep one")
    if step.expect and step.expect not in step.states:
        said = f"the expected {quoted(step.expect)} is not one of the states"
        hint = accepted(step.expect, step.states)
        yield Remark(code="HS228", path=("expect",), message=said, hint=hint)
    yield from _too_many(step.states, ("states",))


def symptoms_can_be_picked(step: Step) -> Iterator[Remark]:
    """HS242: no more symptoms than keys."""
    yield from _too_many(step.on_fault.symptoms, ("on_fault", "symptoms"))


def limits_enclose(step: Step) -> Iterator[Remark]:
    """HS231, HS232: low is not above high; what is possible encloses what is accepted."""
    for field in ("accept", "possible"):
        bounds: Bounds | None = getattr(step, field)
        if bounds and bounds.low > bounds.high:
            said = f"low {bounds.low} is above high {bounds.high}"
            yield Remark(code="HS231", path=(field, "low"), message=said, hint="swap the two")
    if step.accept and step.possible:
        accept, possible = step.accept, step.possible
        if accept.low < possible.low or accept.high > possible.high:
            said = (
                f"possible {possible.low} to {possible.high} does not enclose "
                f"accept {accept.low} to {accept.high}"
            )
            hint = "possible is what the meter can show at all"
            yield Remark(code="HS232", path=("possible",), message=said, hint=hint)


def counts_are_counts(step: Step) -> Iterator[Remark]:
    """HS233: what a count expects is a whole number or one mark."""
    if step.kind != "count" or not step.expect:
        return
    if not is_count(step.expect) and not re.fullmatch(MARK, step.expect):
        said = f"the expected count {quoted(step.expect)} is not a number or a mark"
        hint = "give a whole number, or a mark such as {place.part} and nothing else"
        yield Remark(code="HS233", path=("expect",), message=said, hint=hint)


def counted_is_for_counts(step: Step) -> Iterator[Remark]:
    """HS236: only a count step has a number to give to an item."""
    for item, value in (step.sets or {}).items():
        if value == COUNTED and step.kind != "count":
            said = f"a {step.kind} step counts nothing to give to {quoted(item)}"
            hint = "make it a count step, or give the value"
            yield Remark(code="HS236", path=("sets", item), message=said, hint=hint)


def numbers_are_large_enough(step: Step) -> Iterator[Remark]:
    """HS248: times are not below zero; a graduation is above it."""
    for field in ("minutes", "wait_s", "stale_after_min"):
        number: Decimal | int = getattr(step, field)
        if number < 0:
            said = f"{quoted(field)} is {number}"
            yield Remark(code="HS248", path=(field,), message=said, hint="give 0 or more")
    if step.graduation is not None and step.graduation <= 0:
        said = f"'graduation' is {step.graduation}"
        hint = "give the step between two lines of the scale, above 0"
        yield Remark(code="HS248", path=("graduation",), message=said, hint=hint)


def nothing_is_asked_too_early(step: Step) -> Iterator[Remark]:
    """HS290: fields that a later hardstand will judge."""
    for field in _NOT_YET:
        if getattr(step, field):
            yield Remark(
                code="HS290",
                path=(field,),
                message=f"not yet: this hardstand cannot judge {quoted(field)}",
                hint="take the field out or wait for the version that can",
                on_key=True,
            )


RULES: tuple[Callable[[Step], Iterable[Remark]], ...] = (
    kinds_have_what_they_need,
    kinds_have_nothing_else,
    states_can_be_picked,
    symptoms_can_be_picked,
    limits_enclose,
    counts_are_counts,
    counted_is_for_counts,
    numbers_are_large_enough,
    nothing_is_asked_too_early,
    *judge_rules.RULES,
)


def of_steps(checklist: Checklist) -> Iterator[Remark]:
    """What every rule says of every step."""
    for index, step in enumerate(checklist.steps):
        for rule in RULES:
            yield from (remark.under(("steps", index)) for remark in rule(step))


def _too_many(choices: tuple[str, ...], path: tuple[str, ...]) -> Iterator[Remark]:
    if len(choices) > KEYS:
        said = f"{len(choices)} to pick from, but the keys are 1 to {KEYS}"
        hint = f"keep at most {KEYS}"
        yield Remark(code="HS242", path=path, message=said, hint=hint)
