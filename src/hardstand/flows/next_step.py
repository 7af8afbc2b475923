"""The question of a step with all that stands beside it; and of the step after it, made ready.

Most answers are a plain OK after which the next step of the zone is asked. What such an OK writes
and what is asked then are worked out while the person still reads, by the functions that would do
it after the key. They are taken only where nothing they were worked out from has changed by then.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from typing import cast

from hardstand.domain import bodies as b
from hardstand.domain.answering import Reply, decide, stale_gate
from hardstand.domain.asking import Ask
from hardstand.domain.checklist import Step
from hardstand.domain.codec import encode
from hardstand.domain.defects import Refused
from hardstand.domain.disturbance import unmet
from hardstand.domain.entry import Entry
from hardstand.domain.holding import ANTENNA
from hardstand.domain.quantity import Instant, later
from hardstand.domain.walk import WalkState, evolve
from hardstand.flows import giving
from hardstand.flows import questions as q
from hardstand.flows.gaps import meanwhile
from hardstand.flows.rehearsing import with_expected
from hardstand.flows.seat import Ahead, Walking
from hardstand.flows.sitting import found_here, level_here
from hardstand.flows.teaching import with_find
from hardstand.flows.timing import wait_over, with_duty, with_wait
from hardstand.ports import Forehanded

PLAIN = Reply(key="O")


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
    if not _runs(step):
        return question
    now = walking.pen.clock.now()
    over = wait_over(step, walking.facts, walking.put_at.setdefault(step.id, now))
    return with_duty(with_wait(question, over, now, walking.where), walking.state, step, now)


def _runs(step: Step) -> bool:
    return bool(step.wait_s) or step.kind == "transmit"


def make_ready(walking: Walking, step: Step) -> None:
    """Have what follows an OK of a step made ready while it is read, by whoever looks ahead."""
    if _looks_ahead(type(walking.prompter)):
        prompter = cast(Forehanded, walking.prompter)
        prompter.ahead(lambda: look_ahead(walking, step))


@cache
def _looks_ahead(kind: type[object]) -> bool:
    return issubclass(kind, Forehanded)


def look_ahead(walking: Walking, step: Step) -> Ask | None:
    """The question after a plain OK of a step, kept in `walking.ahead`; None where it is not so.

    It is not so where an OK is more than its key or moves anything, and where anything may be
    asked or told before the next step of the same zone.
    """
    walking.ahead = None
    state, now = walking.state, walking.pen.clock.now()
    if not _is_plain(state, step):
        return None
    bodies = decide(state, walking.facts, step, PLAIN, device=walking.pen.device, by=walking.by)
    if isinstance(bodies, Refused) or len(bodies) > 1 or not isinstance(bodies[0], b.StepAnswered):
        return None  # refused are those that need words, too
    after = evolve(state, _as_if(walking, now), bodies[0])
    following = after.next_step()
    if following is None or following.zone != step.zone:
        return None
    if not _comes_at_once(walking, after, following, now):
        return None
    question = step_ask(replace(walking, state=after), following)
    encode(bodies[0])
    walking.ahead = Ahead(
        state=state, facts=walking.facts, at=now, answered=bodies[0], step=following,
        question=question,
    )  # fmt: skip
    return walking.dressed(question, now)


def _is_plain(state: WalkState, step: Step) -> bool:
    """Whether O is all there is to an OK of a step, with nothing held beside it."""
    beside = state.held or state.others or state.plan.practice
    return not (step.critical or _runs(step) or beside) and "O" in giving.keys(step, ())


def _comes_at_once(walking: Walking, after: WalkState, following: Step, now: Instant) -> bool:
    """Whether nothing is asked or told before the step that follows, in this minute and the next.

    Each reason is one that `walking` looks at before it puts a step.
    """
    may_bar = following.zone == ANTENNA and len(walking.facts.walks) > 1
    last_chance = bool(following.sets) and bool(after.gaps())
    lacks = unmet(following, after.plan.fit, after.items) is not None
    stale = stale_gate(after, following, later(now, seconds=2 * 60)) is not None
    return not (_runs(following) or may_bar or last_chance or lacks or stale)


def _as_if(walking: Walking, at: Instant) -> Entry:
    """A line that stands for the one an OK would write now; nothing of it is shown but its time."""
    state, pen = walking.state, walking.pen
    return Entry(
        device=pen.device, seq=0, tick=0, at=at, author=pen.author, airframe=state.airframe,
        walk=state.walk, kind="step.answered", version=1, body=b"", prev=b"", digest=b"",
    )  # fmt: skip
