"""What was left out and can be done now: offered before a zone or the walk is left, told in a wait.

The list is never re-ordered: a gap taken up is asked at its own place, then the walk goes on.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import tzinfo

from hardstand.domain.answering import missing
from hardstand.domain.asking import Ask, Block
from hardstand.domain.at_hand import Now, before_leaving, can_be_done, while_waiting
from hardstand.domain.checklist import Step
from hardstand.domain.facts import AirframeFacts
from hardstand.domain.walk import WalkState
from hardstand.flows import questions as q
from hardstand.flows.seat import Walking, put_back, take_back

MOST_TOLD = 3
"""Steps named by their reason before the rest are only counted."""


def now_of(state: WalkState) -> Now:
    """Where a walk stands, as the question of what is at hand needs it."""
    answers = {s: given.body.answer for s, given in state.given.items()}
    return Now(answers=answers, items=state.items, facts=state.plan.facts)


def offer(walking: Walking, zone: str = "") -> bool:
    """Ask once what of a zone, or of the whole list, can be done now; True if anything was asked.

    SKIPPED steps come first, then what is away from home and has its way home here.
    """
    state, plan = walking.state, walking.state.plan
    gaps = state.gaps(zone)
    now = now_of(state)
    can = tuple(s for s in gaps if can_be_done(s, plan.checklist, plan.fit, now))
    away = before_leaving(plan.checklist, plan.fit, zone, now).away if zone else ()
    told_off = all(f"passed {s.id}" in walking.offered for s in gaps)
    if not away and (not gaps or (zone and not can and told_off)):
        return False
    can = can[: 8 - len(away)]
    question = gaps_ask(state, walking.facts, (gaps, can, away), walking.where)
    here = next((s for s in reversed(plan.steps) if s.zone == zone), None)
    strip = q.strip(state, walking.facts, here, walking.where)
    reply = walking.ask(replace(question, strip=strip))
    if reply.isdigit() and int(reply) <= len(can):
        take_back(walking, can[int(reply) - 1].id)
    elif reply.isdigit():
        put_back(walking, away[int(reply) - 1 - len(can)])
    else:
        walking.offered |= {_declined(state, s) for s in can}
    return True


def _declined(state: WalkState, step: Step) -> str:
    """The mark that a step was not wanted at this moment of the walk."""
    return f"declined {step.id} at {state.last.seq if state.last else 0}"


def last_chance(walking: Walking, step: Step) -> bool:
    """Before a step puts back what SKIPPED steps need: ask once whether one is done first.

    The stand rolled away, the panel closed or the power off, they cannot be done any more. True if
    anything was asked.
    """
    state, plan = walking.state, walking.state.plan
    items, now = plan.fit.items, now_of(state)
    homes = [n for n, v in (step.sets or {}).items() if items[n].home == v != state.items[n]]
    can = tuple(
        s for s in state.gaps()
        if any((s.must_be or {}).get(n) == state.items[n] for n in homes)
        and can_be_done(s, plan.checklist, plan.fit, now)
        and not walking.offered & {f"passed {s.id}", _declined(state, s)}
    )[:8]  # fmt: skip
    if not can:
        return False
    titles = ", ".join(plan.fill(items[n].title) for n in homes)
    question = gaps_ask(state, walking.facts, (can, can, ()), walking.where)
    told = Block(kind="say", text=f"Next is put back: {titles}. After that they cannot be done.")
    strip = q.strip(state, walking.facts, step, walking.where)
    reply = walking.ask(replace(question, strip=strip, blocks=(told, *question.blocks)))
    if reply.isdigit():
        take_back(walking, can[int(reply) - 1].id)
    else:
        walking.offered |= {f"passed {s.id}" for s in can}
    return True


def gaps_ask(
    state: WalkState,
    facts: AirframeFacts,
    found: tuple[Sequence[Step], Sequence[Step], Sequence[str]],
    where: tzinfo,
) -> Ask:
    """The question of what can be done now.

    Args:
        state: the walk so far.
        facts: the airframe.
        found: all gaps, those that can be done now, items away with their way home here.
        where: the zone of the clock on the screen.
    """
    gaps, can, away = found
    said = f"{len(gaps)} SKIPPED. " if gaps else ""
    if can or away:
        said += f"{len(away)} not put back here. " if away else ""
        said += "Can one be done now?"
    else:
        said += "None can be done now."
    cannot = [s for s in gaps if s not in can]
    told = [f"Not now: {_number(state, s)}, {_why_not(state, s)}." for s in cannot[:MOST_TOLD]]
    if len(cannot) > MOST_TOLD:
        told.append(f"Not now: {len(cannot) - MOST_TOLD} more.")
    items = state.plan.fit.items
    titles = (f"put back: {state.plan.fill(items[n].title)}" for n in away)
    return Ask(
        strip=q.strip(state, facts, None, where),
        blocks=(Block(kind="do", text=said), *(Block(kind="detail", text=t) for t in told)),
        choices=(*(q.short(state, s) for s in can), *titles),
        keys="CBR",
        prompt="A digit does that now." if can or away else "",
        words=(("C", "none now, go on"),),
    )


def meanwhile(question: Ask, state: WalkState, step: Step) -> Ask:
    """The question of a step that waits, with the SKIPPED steps in reach that can be done then."""
    if not step.wait_s:
        return question
    plan = state.plan
    names = while_waiting(plan.checklist, plan.fit, step, now_of(state))
    gaps = [plan.checklist.step(n) for n in names if state.answer(n) == "SKIPPED"][:MOST_TOLD]
    if not gaps:
        return question
    told = "; ".join(f"{_number(state, s)} {q.short(state, s)}" for s in gaps)
    block = Block(kind="detail", text=f"SKIPPED, and can be done in the wait: {told}.")
    return replace(question, blocks=(*question.blocks, block))


def _number(state: WalkState, step: Step) -> str:
    return state.plan.checklist.number(step.id)


def _why_not(state: WalkState, step: Step) -> str:
    return missing(state, step) or "what comes before it was SKIPPED"
