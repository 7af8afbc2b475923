"""What stands beside a step: where, on what and with what it is done; whose tag, which entries."""

from __future__ import annotations

from datetime import tzinfo

from hardstand.domain.answering import counted
from hardstand.domain.checklist import Step
from hardstand.domain.facts import AirframeFacts, OpenEntry
from hardstand.domain.quantity import short_time
from hardstand.domain.walk import WalkState
from hardstand.flows import giving


def details(state: WalkState, facts: AirframeFacts, step: Step) -> str:
    """Where a step is done, on what and with what."""
    fill = state.plan.fill
    told = [f"Place: {fill(step.place)}."]
    if step.shows:
        n = len(entries(state, facts, step))
        told.append(f"H shows all {n}." if n > 1 else "H shows it." if n else "There is none.")
    if step.touch:
        told.append(_touch(state, fill(step.touch)))
    what = counted(state, step) if step.kind == "count" else ""
    if what:
        told.append(f"Count: {what}.")
    if step.meter:
        told.append(f"Meter: {step.meter}.")
    if step.wait_s:
        told.append(f"Wait {step.wait_s} s, then answer.")
    told.append(giving.limit_before(step))
    return " ".join(filter(None, told))


def _touch(state: WalkState, what: str) -> str:
    """What is touched and said: the words on its plate, where the fit knows that it has one.

    Source: human-factors ANS-14.
    """
    plates = (control.plate for control in state.plan.fit.controls.values())
    labelled = any(plate in what for plate in plates)
    return f"Touch: {what}. {'Read its label' if labelled else 'Say its name'} aloud."


def hung(state: WalkState, facts: AirframeFacts, step: Step, where: tzinfo) -> list[str]:
    """Who hung what a step takes off, from the ledger: it may be another than who walks now.

    Source: 29 CFR 1910.147(e)(3), from memory: a tag is taken off by whoever put it on.
    """
    items = state.plan.fit.items
    found = (facts.line(n) for n, to in (step.sets or {}).items() if to == items[n].home)
    told = []
    for line in (x for x in found if x is not None and x.kind == "tag"):
        when = short_time(line.since, state.last.at if state.last else line.since, where)
        told.append(f"Hung by {line.by} {when}, by the record: only {line.by} takes it off.")
    return told


def entries(state: WalkState, facts: AirframeFacts, step: Step) -> tuple[OpenEntry, ...]:
    """The entries that a step has read, oldest first: all that are open, or those of this walk."""
    found = sorted(facts.open, key=lambda e: (e.found_at, e.number)) if step.shows else ()
    return tuple(e for e in found if step.shows == "open" or e.walk == state.walk)
