"""After a FAULT: which units would explain what was found so far, and the next best check.

Never says what it is: an answer found by looking proves nothing about what works, and is left out.
"""

from __future__ import annotations

from dataclasses import replace

from hardstand.domain.asking import Ask, Block
from hardstand.domain.checklist import Fit, Step
from hardstand.domain.coverage import checks_of
from hardstand.domain.suspects import suspects
from hardstand.domain.walk import WalkState
from hardstand.flows.questions import short


def would_explain(state: WalkState) -> str:
    """What may be said of the checks so far; empty while none has failed."""
    fit, number = state.plan.fit, state.plan.checklist.number
    steps = {s.id: s for s in state.plan.steps if shows_a_function(s, fit)}
    checks = checks_of(replace(state.plan.checklist, steps=tuple(steps.values())), fit)
    answers = {name: state.answer(name) for name in steps}
    seen = {name: a == "OK" for name, a in answers.items() if a in {"OK", "FAULT"}}
    found = suspects(checks, seen)
    if not found.failed:
        return ""
    failed = ", ".join(number(name) for name, good in seen.items() if not good)
    named = (
        found.next_check and f"{number(found.next_check)} {short(state, steps[found.next_check])}"
    )
    return f"FAULT at {failed}. {replace(found, next_check=named).sentence()}"


def shows_a_function(step: Step, fit: Fit) -> bool:
    """Whether a step shows that something works, not only how it looks."""
    return step.kind != "look" and any(p in fit.functions for p in step.proves)


def with_suspects(question: Ask, state: WalkState) -> Ask:
    """The help of a step, with what would explain the faults found so far, first."""
    said = would_explain(state)
    if not said:
        return question
    head, *rest = question.blocks
    return replace(question, blocks=(head, Block(kind="detail", text=said), *rest))
