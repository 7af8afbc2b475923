"""What an answer writes beside itself: the items it moves, the entry or dash it opens. Pure."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from hardstand.domain import bodies as b
from hardstand.domain.checklist import COUNTED, Step
from hardstand.domain.defects import Report, raised, untested
from hardstand.domain.facts import AirframeFacts
from hardstand.domain.settled import Settled
from hardstand.domain.walk import WalkState


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


def logged(
    state: WalkState,
    facts: AirframeFacts,
    step: Step,
    body: b.StepAnswered,
    found: Settled,
    *,
    device: str,
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
        fault = _fault(state, step, body, found, here)
        return (raised(facts, fault, device=device, by=body.by),)
    if body.answer == "NOT FITTED" and not step.proves:
        return ()
    waits = unproved(step, body) or (f"step {step.id}",)
    if body.answer == "NOT FITTED":  # until this step is answered OK, whatever else proves them
        waits = (*step.proves, f"step {step.id}")
    return untested(facts, waits, here, device=device, by=body.by)


def unproved(step: Step, body: b.StepAnswered) -> tuple[str, ...]:
    """What the step would prove and this answer did not."""
    return tuple(p for p in step.proves if p not in (body.proved or ()))


def _fault(
    state: WalkState, step: Step, body: b.StepAnswered, found: Settled, here: Report
) -> Report:
    fault = step.on_fault
    return replace(
        here,
        symbol=fault.symbol,
        text=fault_text(state, step, body, found),
        takes=fault.takes if found.takes is None else found.takes,
        weakens=fault.weakens,
        value=" ".join(v for v in (body.value, body.unit) if v),
        stub=not body.words,
    )


def fault_text(state: WalkState, step: Step, body: b.StepAnswered, found: Settled) -> str:
    """The words of a new entry until its finder writes better ones."""
    if body.words:
        return body.words
    stub = state.plan.fill(step.on_fault.text or f"fault at: {step.do.rstrip('.')}")
    return f"{stub}; {found.detail}" if found.detail else stub


def dash_text(state: WalkState, step: Step, body: b.StepAnswered) -> str:
    """The words of a dash: what is not known, and why."""
    fit = state.plan.fit
    titles = [fit.functions[p].title for p in unproved(step, body) if p in fit.functions]
    what = ", ".join(titles) or state.plan.fill(step.do).rstrip(".")
    if body.answer == "SKIPPED":
        return f"{what} not tested: {body.reason}"
    if body.answer == "UNSURE":
        return f"{what}: not sure" + (f": {body.words}" if body.words else "")
    return f"fit not as recorded, {what} not fitted: {body.reason}"
