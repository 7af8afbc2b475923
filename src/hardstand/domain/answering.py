"""decide: what one answer at a step writes. Pure.

No answer is made from silence: OK comes from the key O, or from a position or number that was
given and judged. FAULT raises its entry in the same decision; SKIPPED and UNSURE open or extend
the function's dash; positions seen move the items they belong to.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import partial

from hardstand.domain import bodies as b
from hardstand.domain.bodies import Answer, By
from hardstand.domain.checklist import COUNTED, Bounds, Step
from hardstand.domain.defects import Refused, Report, raised, untested
from hardstand.domain.facts import AirframeFacts
from hardstand.domain.quantity import Instant, is_number, later
from hardstand.domain.readings.judged import asks_fresh_look
from hardstand.domain.walk import WalkState

KEYS: dict[str, Answer] = {
    "O": "OK",
    "F": "FAULT",
    "S": "SKIPPED",
    "N": "NOT FITTED",
    "U": "UNSURE",
}

WEATHER = "weather"
"""The one reason that stops a whole zone."""

REASONS = (
    "no station on the air",
    "tower not on watch",
    "fuelling",
    WEATHER,
    "no stand",
    "no time",
    "no test gear",
    "other",
)
"""Why a step is SKIPPED; the last asks for words. Source: whole-job M-05."""


MOST_DIGITS = 20
"""Characters in one number, point and minus included; no meter shows as many."""

LOOK_AGAIN = "Look at the meter again and give what it shows now."
"""Says neither why nor which number is suspected: human-factors ANS-07."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reply:
    """What the person gave at a step: a key, or a position seen, or a number read.

    `earlier` keeps numbers given before and looked at again.
    """

    key: str = ""
    state: str = ""
    value: str = ""
    earlier: tuple[str, ...] = ()
    reason: str = ""
    words: str = ""
    evidence: str = ""


def decide(
    state: WalkState, facts: AirframeFacts, step: Step, reply: Reply, *, device: str, by: By
) -> tuple[b.Body, ...] | Refused:
    """The bodies that an answer writes, the answer first; or why it cannot be taken.

    Args:
        state: the walk so far.
        facts: the airframe, for its open dashes and numbers.
        step: the step answered.
        reply: what was given.
        device: whose entry numbers are used.
        by: whose hands.
    """
    answer = judge(state, step, reply)
    if isinstance(answer, Refused):
        return answer
    blocked = missing(state, step)
    if answer == "OK" and blocked:
        return Refused(
            what=f"step {step.id} cannot be OK now: {blocked}",
            hint="Z takes the last answer back; S skips this step with a reason.",
        )
    body = b.StepAnswered(
        step=step.id,
        answer=answer,
        state=reply.state,
        value=reply.value,
        unit=step.unit if reply.value else "",
        earlier=reply.earlier,
        reason=reply.reason,
        words=reply.words,
        evidence=reply.evidence,
        by=by,
    )
    moves = tuple(moved(state, facts, step, body))
    return (body, *moves, *_log(state, facts, step, body, device=device))


def judge(state: WalkState, step: Step, reply: Reply) -> Answer | Refused:
    """The answer that was given: by key, or by holding what was seen to what is expected."""
    if reply.key and reply.key != "O":
        return _by_key(reply)
    if step.kind == "state":
        return _by_position(state, step, reply)
    if step.kind in {"reading", "count"}:
        return _by_number(state, step, reply)
    if reply.key != "O":
        return Refused(what=f"nothing was answered at step {step.id}")
    if step.evidence and not reply.evidence.strip():
        return Refused(what=f"step {step.id} needs words: {step.evidence}")
    return "OK"


def _by_key(reply: Reply) -> Answer | Refused:
    answer = KEYS.get(reply.key)
    if answer is None:
        return Refused(what=f"{reply.key} is no answer", hint="Answers: O F S N U.")
    if answer in {"SKIPPED", "NOT FITTED"} and not reply.reason.strip():
        return Refused(what=f"{answer} needs a reason")
    return answer


def _by_position(state: WalkState, step: Step, reply: Reply) -> Answer | Refused:
    if reply.state not in step.states:
        return Refused(
            what=f"step {step.id} is answered with the position seen",
            hint=f"Positions: {', '.join(step.states)}.",
        )
    return "OK" if reply.state == step.expect else "FAULT"


def _by_number(state: WalkState, step: Step, reply: Reply) -> Answer | Refused:
    if not is_number(reply.value) or len(reply.value) > MOST_DIGITS:
        return Refused(
            what=f"{reply.value[:MOST_DIGITS]!r} is no number this step can take",
            hint=f"Digits with one point, in {step.unit or 'whole pieces'}; example "
            f"{step.accept.low if step.accept else 12}.",
        )
    if step.kind == "count":
        return _by_count(state, step, reply.value)
    return _by_reading(step, reply)


def _by_reading(step: Step, reply: Reply) -> Answer | Refused:
    """Held to the limits; a number that may be a slip is asked again, never mended."""
    number = Decimal(reply.value)
    good = step.accept is None or _within(step.accept, number)
    if not good and _in_another_unit(step, number):
        return Refused(
            what=f"{reply.value} is refused: the unit of this step is {step.unit}",
            hint=f"Example: {step.possible.low if step.possible else number}. "
            "Nothing is converted.",
        )
    if good or reply.value in reply.earlier:
        return "OK" if good else "FAULT"
    if step.possible and not _within(step.possible, number):
        return Refused(
            what=f"{reply.value} {step.unit} is outside what this meter can show", hint=LOOK_AGAIN
        )
    if step.accept and asks_fresh_look(reply.value, partial(_within, step.accept)):
        return Refused(what=f"{reply.value} {step.unit} is noted", hint=LOOK_AGAIN)
    return "FAULT"


def _within(bounds: Bounds, number: Decimal) -> bool:
    return bounds.low <= number <= bounds.high


def _in_another_unit(step: Step, number: Decimal) -> bool:
    """Whether a number this meter cannot show fits it a thousandfold: 4.0 for 4000 kHz."""
    if step.possible is None or _within(step.possible, number):
        return False
    scale = step.possible if step.possible.low > 0 else step.accept
    return scale is not None and any(_within(scale, number.scaleb(by)) for by in (-3, 3))


def _by_count(state: WalkState, step: Step, value: str) -> Answer | Refused:
    if "." in value or value.startswith("-"):
        return Refused(what=f"{value!r} is no count", hint="A whole number, such as 12.")
    expected = expected_count(state, step)
    return "OK" if expected is None or int(value) == expected else "FAULT"


def expected_count(state: WalkState, step: Step) -> int | None:
    """How many a count step must find; None where it takes whatever is counted."""
    for item, to in (step.sets or {}).items():
        if state.plan.fit.items[item].kind != "count":
            continue
        if to == COUNTED:
            return None
        if to == state.plan.fit.items[item].home:
            return int(state.items[item])
    text = state.plan.fill(step.expect)
    return int(text) if text.isdigit() else None


def missing(state: WalkState, step: Step) -> str:
    """What stands in the way of an OK here, in words; empty if nothing does."""
    known = {s.id for s in state.plan.steps}
    for earlier in (name for name in step.after if name in known):
        if not state.answer(earlier):
            return f"step {state.plan.checklist.number(earlier)} comes first"
        if state.plan.checklist.step(earlier).kind == "gate" and state.answer(earlier) != "OK":
            return f"the gate {state.plan.checklist.number(earlier)} was not passed"
    for item, value in (step.must_be or {}).items():
        if state.items[item] != value:
            title = state.plan.fill(state.plan.fit.items[item].title)
            return f"{title} is recorded {state.items[item]}, it must be {value}"
    return ""


def stale_gate(state: WalkState, step: Step, now: Instant) -> Step | None:
    """The gate before a step that was passed longer ago than it holds, to be asked again."""
    for name in step.after:
        given = state.given.get(name)
        gate = state.plan.checklist.step(name)
        if given is None or given.body.answer != "OK" or not gate.stale_after_min:
            continue
        if later(given.at, seconds=60 * gate.stale_after_min) < now:
            return gate
    return None


def moved(
    state: WalkState, facts: AirframeFacts, step: Step, body: b.StepAnswered
) -> Iterable[b.LineMoved]:
    """The items an answer moves.

    A position seen is where the item is. Otherwise OK moves the item as the list says; FAULT and
    UNSURE are taken carefully: away counts as done, home does not.
    """
    for item, to in (step.sets or {}).items():
        known = state.plan.fit.items[item]
        value = _value_after(state, step, body, item, to)
        if value != state.items[item]:
            line = facts.line(item)
            yield b.LineMoved(
                item=item,
                title=state.plan.fill(known.title),
                item_kind=known.kind,
                home=known.home,
                from_=state.items[item],
                to=value,
                step=step.id,
                by=body.by,
                seen=line.heads if line else (),
            )


def _value_after(state: WalkState, step: Step, body: b.StepAnswered, item: str, to: str) -> str:
    known, now = state.plan.fit.items[item], state.items[item]
    if body.state and body.state in known.values:
        return body.state
    if to == COUNTED:
        return body.value or now
    if body.answer == "OK":
        return to
    careful = body.answer in {"FAULT", "UNSURE"} and to != known.home and not body.state
    return to if careful else now


def _log(
    state: WalkState, facts: AirframeFacts, step: Step, body: b.StepAnswered, *, device: str
) -> tuple[b.Body, ...]:
    """What the answer writes in the defect log."""
    if body.answer == "OK":
        return ()
    unit = next((p for p in step.proves if p in state.plan.fit.units), "")
    here = Report(
        symbol="-",
        text=dash_text(state, step, body),
        step=step.id,
        zone=step.zone,
        place=state.plan.fill(step.place),
        unit=unit,
    )
    if body.answer == "FAULT":
        return (raised(facts, _fault(state, step, body, here), device=device, by=body.by),)
    if body.answer == "NOT FITTED" and not step.proves:
        return ()
    waits = step.proves or (f"step {step.id}",)
    if body.answer == "NOT FITTED":  # until this step is answered OK, whatever else proves them
        waits = (*step.proves, f"step {step.id}")
    return untested(facts, waits, here, device=device, by=body.by)


def _fault(state: WalkState, step: Step, body: b.StepAnswered, here: Report) -> Report:
    fault = step.on_fault
    return replace(
        here,
        symbol=fault.symbol,
        text=fault_text(state, step, body),
        takes=fault.takes,
        weakens=fault.weakens,
        value=" ".join(v for v in (body.value, body.unit) if v),
        stub=not body.words,
    )


def fault_text(state: WalkState, step: Step, body: b.StepAnswered) -> str:
    """The words of a new entry until its finder writes better ones."""
    if body.words:
        return body.words
    stub = state.plan.fill(step.on_fault.text or f"fault at: {step.do.rstrip('.')}")
    if body.state:
        return f"{stub}; seen {body.state}"
    return f"{stub}; {body.value} {body.unit}".rstrip() if body.value else stub


def dash_text(state: WalkState, step: Step, body: b.StepAnswered) -> str:
    """The words of a dash: what is not known, and why."""
    fit = state.plan.fit
    titles = [fit.functions[p].title for p in step.proves if p in fit.functions]
    what = ", ".join(titles) or state.plan.fill(step.do).rstrip(".")
    if body.answer == "SKIPPED":
        return f"{what} not tested: {body.reason}"
    if body.answer == "UNSURE":
        return f"{what}: not sure" + (f": {body.words}" if body.words else "")
    return f"fit not as recorded, {what} not fitted: {body.reason}"
