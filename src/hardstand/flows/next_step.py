"""The question of a step with all that stands beside it now."""

from __future__ import annotations

from collections.abc import Sequence

from hardstand.domain.answering import missing
from hardstand.domain.asking import Ask
from hardstand.domain.checklist import Step
from hardstand.flows import questions as q
from hardstand.flows.gaps import meanwhile
from hardstand.flows.rehearsing import with_expected
from hardstand.flows.seat import Walking
from hardstand.flows.sitting import found_here, level_here
from hardstand.flows.teaching import with_find
from hardstand.flows.timing import wait_over, with_duty, with_wait


def step_ask(walking: Walking, step: Step, earlier: Sequence[str] = ()) -> Ask:
    """The question of a step with all that stands beside it now."""
    state = walking.state
    question = q.step_ask(
        state, walking.facts, step, walking.where, earlier, level=level_here(walking, step)
    )
    question = with_find(question, found_here(walking, step))
    question = with_expected(question, walking.expected.get(step.id))
    return _timed(walking, meanwhile(question, state, step), step)


def _timed(walking: Walking, question: Ask, step: Step) -> Ask:
    """The question of a step with what runs: its wait, and the rest of the transmitter."""
    if not _runs(step) or missing(walking.state, step):  # it runs from when it can be done
        walking.put_at.pop(step.id, None)
        return question
    now = walking.pen.clock.now()
    over = wait_over(step, walking.facts, walking.put_at.setdefault(step.id, now))
    return with_duty(with_wait(question, over, now, walking.where), walking.state, step, now)


def _runs(step: Step) -> bool:
    return bool(step.wait_s) or step.kind == "transmit"
