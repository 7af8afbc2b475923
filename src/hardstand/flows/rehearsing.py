"""What a step of a practice asks beside its own question: what is expected, and what is made up.

Nothing of it is written: the record says that somebody practised, and no more.

Source: human-factors LRN-04 (recall before reveal), LRN-06 (seeded faults with feedback).
"""

from __future__ import annotations

import json
from dataclasses import replace

from hardstand.domain.asking import Ask, Block
from hardstand.domain.checklist import Step
from hardstand.domain.entry import Entry
from hardstand.domain.seeding import seeded
from hardstand.domain.walk import WalkState
from hardstand.flows import giving
from hardstand.flows import questions as q
from hardstand.flows.seat import Walking

COUNTED = 1000
"""How many of a person's newest practices are counted; ours."""


def rehearse(walking: Walking, step: Step) -> None:
    """In a practice, before a step is put: what is expected there; at some, what if it were so."""
    if not walking.state.plan.practice:
        return
    if step.id not in walking.expected:
        walking.expected[step.id] = walking.ask(expect_ask(walking.state, step)).strip()
    if walking.seeded is None:
        walking.seeded = _seeded(walking)
    if step.id not in walking.seeded:
        return
    fault = walking.seeded[step.id]
    said_fault = walking.ask(made_up_ask(walking.state, step, fault=fault)) == "F"
    del walking.seeded[step.id]
    walking.say(_told(walking.state, step, fault=fault, said_fault=said_fault))


def _seeded(walking: Walking) -> dict[str, bool]:
    plan, person = walking.state.plan, walking.by.doer
    lines = walking.pen.journal.newest_own(person, "walk.practised", COUNTED)
    often = sum(_list_of(line) == plan.checklist.id for line in lines)
    steps = [s.id for s in plan.steps if _by_look_or_ear(s)]
    return seeded(steps, plan.digest, person, often)


def _list_of(line: Entry) -> str:
    """The list of a practice; one field of a long body, no need of the whole."""
    return str(json.loads(line.body).get("checklist", ""))


def _by_look_or_ear(step: Step) -> bool:
    return step.kind in {"look", "listen"} and "O" in giving.keys(step, ())


def expect_ask(state: WalkState, step: Step) -> Ask:
    """Before anything good or bad is shown: what the person expects there."""
    return q.words_ask(
        "What do you expect to see or hear? (Enter = do not know)",
        blocks=(*q.cautions(state, step), *_step_blocks(state, step)),
    )


def _step_blocks(state: WalkState, step: Step) -> tuple[Block, Block]:
    fill = state.plan.fill
    heading = f"{state.plan.checklist.number(step.id)}  {fill(step.do)}"
    return (
        Block(kind="do", text=heading),
        Block(kind="detail", text=f"Place: {fill(step.place)}."),
    )


def with_expected(question: Ask, said: str | None) -> Ask:
    """The question of a step in a practice, with what was expected there."""
    if said is None:
        return question
    told = Block(kind="say", text=f"You expected: {said or 'not known'}.")
    return replace(question, blocks=(*question.blocks, told))


def made_up_ask(state: WalkState, step: Step, *, fault: bool) -> Ask:
    """What would be answered, if what good or bad is in the list's words were so at the step."""
    heading, _ = _step_blocks(state, step)
    verb = "hear" if step.kind == "listen" else "see"
    text = f"Made up, not this aircraft. Say you {verb}: {_seen(state, step, fault=fault)}"
    return Ask(
        blocks=(heading, Block(kind="card", text=text)),
        keys="OF",
        prompt="What would you answer?",
    )


def _seen(state: WalkState, step: Step, *, fault: bool) -> str:
    good, bad = step.sounds_good or step.good, step.sounds_bad or step.bad
    return state.plan.fill(bad if fault else good).rstrip(".") + "."


def _told(state: WalkState, step: Step, *, fault: bool, said_fault: bool) -> str:
    """Whether it would have been caught, and after a miss what tells the two apart."""
    if fault and said_fault:
        return "Caught: that is a FAULT here. Now look at this aircraft."
    if fault:
        good = _seen(state, step, fault=False)
        return f"Not caught: that is a FAULT here. Good: {good} Now look at this aircraft."
    if said_fault:
        bad = _seen(state, step, fault=True)
        return f"No FAULT: that is good here. Bad: {bad} Now look at this aircraft."
    return "Right: that is good here. Now look at this aircraft."
