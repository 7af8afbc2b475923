"""What can be done where the technician stands: before leaving a zone, and while waiting.

A filter, never an order: the technician decides, and what is done is recorded as it happens.

Source: computations 12c; whole-job M-04.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from hardstand.domain.checklist import Checklist, Fit, Step
from hardstand.domain.close_up import moves_from
from hardstand.domain.disturbance import forbidden_after, gates_of, needs, unmet

VISUAL = ("look", "state")
"""Kinds of step that can be answered while the ears are busy, if they move nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Now:
    """Where a walk stands, as far as this needs it.

    `answers` maps step ids to the answer that counts. `items` maps items to values; one it does
    not name is at home. `facts` are those true of the airframe.
    """

    answers: Mapping[str, str]
    items: Mapping[str, str]
    facts: Collection[str] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaving:
    """What is still to do in a zone: gaps (answered SKIPPED), steps not answered, items away."""

    gaps: tuple[str, ...]
    unanswered: tuple[str, ...]
    away: tuple[str, ...]


def can_be_done(step: Step, checklist: Checklist, fit: Fit, now: Now) -> bool:
    """Whether a step without an answer, or a SKIPPED one, could be done at this moment.

    What it comes after must have been done, and the gates before it passed.
    """
    steps = [s for s in checklist.steps if _applies(s, now)]
    if step not in steps:
        return False
    if now.answers.get(step.id, "SKIPPED") != "SKIPPED":
        return False
    gates = gates_of(steps, steps.index(step), fit)
    before = [*gates, *(s for s in steps if s.id in step.after)]
    if not all(_is_behind(s, now) for s in before):
        return False
    return unmet(step, fit, now.items) is None and forbidden_after(step, fit, now.items) is None


def _applies(step: Step, now: Now) -> bool:
    fact = step.applies_if.removeprefix("not ")
    return not fact or (fact in now.facts) != step.applies_if.startswith("not ")


def _is_behind(step: Step, now: Now) -> bool:
    answer = now.answers.get(step.id, "SKIPPED")
    return answer in {"OK", "NOT FITTED"} or (answer != "SKIPPED" and step.kind != "gate")


def before_leaving(checklist: Checklist, fit: Fit, zone: str, now: Now) -> Leaving:
    """What can be done in the zone before walking on, in the order of the list and of the fit.

    Items are those away from home that have an action there which is possible now.
    """
    here = [s for s in checklist.steps if s.zone == zone and can_be_done(s, checklist, fit, now)]
    state = {name: now.items.get(name, item.home) for name, item in fit.items.items()}
    away = (
        name
        for name, item in fit.items.items()
        if state[name] != item.home
        and any(
            move.zone == zone and all(state[n] == v for n, v in move.needs.items())
            for move in moves_from(name, item, state[name])
        )
    )
    return Leaving(
        gaps=tuple(s.id for s in here if s.id in now.answers),
        unanswered=tuple(s.id for s in here if s.id not in now.answers),
        away=tuple(away),
    )


def while_waiting(checklist: Checklist, fit: Fit, waiting: Step, now: Now) -> tuple[str, ...]:
    """Steps that can be done while one waits or is held, in the order of the list.

    In its own zone: those that do not touch what it moves. In the zones of its `beside`: visual
    ones that move nothing. Never a transmission.
    """
    moved = set(waiting.sets or ())
    found = []
    for step in checklist.steps:
        if step.id == waiting.id or step.kind == "transmit":
            continue
        touches = moved & {*needs(step, fit), *(step.sets or ())}
        beside = step.zone in waiting.beside and step.kind in VISUAL and not step.sets
        here = step.zone == waiting.zone and not touches
        if (here or beside) and can_be_done(step, checklist, fit, now):
            found.append(step.id)
    return tuple(found)
