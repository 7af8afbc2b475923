"""A step held with an ear on it, at a walk: the key E, and what other walks are at meanwhile."""

from __future__ import annotations

from dataclasses import replace

from hardstand.domain import bodies as b
from hardstand.domain.asking import Ask, Block
from hardstand.domain.checklist import Step
from hardstand.domain.holding import ANTENNA, may_be_held
from hardstand.domain.walk import WalkState
from hardstand.flows import questions as q
from hardstand.flows.adopting import lists
from hardstand.flows.pinned import resumed_state
from hardstand.flows.seat import Walking


def ear(walking: Walking, step: Step) -> Step | None:
    """What the key E does at a step: hold it, or turn to what is held; the step to put next.

    None: whatever comes next in order.
    """
    state = walking.state
    if step.id in state.held:
        return None
    if may_be_held(step, state.held):
        walking.write(lambda _: (b.StepHeld(step=step.id, by=walking.by),))
        return None
    held = state.held_steps
    if len(held) < 2:
        return held[0]
    named = tuple(f"{state.plan.checklist.number(s.id)} {q.short(state, s)}" for s in held)
    blocks = (Block(kind="do", text="Two are held."),)
    return held[int(walking.ask(Ask(blocks=blocks, choices=named, prompt="Which?"))) - 1]


def with_others(walking: Walking) -> WalkState:
    """The walk's state with what is away on the aircraft now, and where its other walks stand.

    Other devices move the same items; what their walks are at matters only where hands on the
    antenna and a transmission could meet.
    """
    state, facts = walking.state, walking.facts
    items = state.plan.fit.items
    now = {line.item: line.value for line in facts.lines if line.item in items}
    away = {name: now.get(name, item.home) for name, item in items.items()}
    step = state.next_step()
    others: tuple[Step, ...] = ()
    if step is not None and (step.kind == "transmit" or step.zone == ANTENNA):
        others = _stands(walking)
    if away != dict(state.items) or others != state.others:
        walking.state = replace(state, items=away, others=others)
    return walking.state


def _stands(walking: Walking) -> tuple[Step, ...]:
    """The step at which each other walk of this aircraft stands, where its list is known."""
    other = [w for w in walking.facts.walks if w.walk != walking.state.walk and not w.broken]
    if not other:
        return ()
    known = lists(walking.pen.journal)
    found = (
        resumed_state(walking.pen, walking.facts, known, w).next_step()
        for w in other
        if w.digest in known.by_digest
    )
    return tuple(step for step in found if step is not None)
