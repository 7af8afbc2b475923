"""What the walk is careful about: a critical answer, the aircraft, a switch moved back, a gate."""

from __future__ import annotations

from dataclasses import replace

from hardstand.domain import bodies as b
from hardstand.domain.answering import KEYS, Reply
from hardstand.domain.asking import Ask, Block
from hardstand.domain.checklist import Step
from hardstand.domain.disturbance import unmet
from hardstand.domain.ids import tail_key
from hardstand.flows import giving
from hardstand.flows import questions as q
from hardstand.flows.putting_back import make_safe_first
from hardstand.flows.seat import Walking, put_back, take_back

MOST_WRONG = 2
"""Wrong tails at one place after which the walk stops there; an empty line is none."""


def confirmed(walking: Walking, step: Step, reply: Reply) -> bool:
    """Whether a critical answer is confirmed with C: another key than any answer has.

    What says that nothing is known, SKIPPED, NOT FITTED or UNSURE, needs no second key.

    Source: MIL-STD-1472E 5.15.8.4, critical entries are acknowledged by a separate act.
    """
    if not step.critical or reply.key in {"S", "N", "U"}:
        return True
    found = KEYS.get(reply.key, "") or " ".join(p for p in (reply.state, reply.value) if p)
    unit = f" {step.unit}" if reply.value and step.unit else ""
    # a report is kept as parts between bars: all are read, the first stands beside the key
    parts = [part.strip() for part in f"{found}{unit}".split("|")]
    told = ", ".join(part for part in parts if part)
    question = Ask(
        strip=q.strip(walking.state, walking.facts, step, walking.where),
        blocks=(Block(kind="do", text=f"{q.short(walking.state, step)}: {told}"),),
        keys="CZBR",
        prompt=giving.confirm_prompt(step),
        words=(("C", f"confirm {parts[0]}"), ("Z", "back to the step")),
    )
    return walking.ask(question) == "C"


def right_tail(walking: Walking, step: Step) -> bool:
    """Whether the tail, typed again where the zone asks, is the walk's; twice wrong stops.

    A wrong one is not told the right one, which would then be typed without a look.

    Source: whole-job M-01; human-factors PLC-13.
    """
    zone = next(z for z in walking.state.plan.checklist.zones if z.id == step.zone)
    name = f"tail {zone.id}"
    if not zone.ask_tail or name in walking.offered:
        return True
    wrong = 0
    while wrong < MOST_WRONG:
        typed = walking.ask(_tail_ask(walking, step, zone.title))
        if tail_key(typed) == tail_key(walking.state.airframe):
            walking.offered.add(name)
            return True
        if not tail_key(typed.strip()):
            walking.say("Nothing was typed. Read the tail on the aircraft.")
            continue
        wrong += 1
        _note_wrong_tail(walking, typed)
        walking.say(f"Typed {typed}; that is not the aircraft of this walk. Read its tail again.")
    walking.write(lambda _: (b.WalkBroken(step=step.id, by=walking.by),))
    walking.left = True
    walking.say("Stopped: this is not the aircraft of the walk. Nothing more is answered here.")
    return False


def _tail_ask(walking: Walking, step: Step, at: str) -> Ask:
    """The question of the tail, on a screen that does not have it: it is read from the paint."""
    strip = replace(q.strip(walking.state, walking.facts, step, walking.where), tail="")
    return replace(q.words_ask(f"At {at}. Type the tail as painted here:"), strip=strip)


def _note_wrong_tail(walking: Walking, typed: str) -> None:
    body = b.WalkRefused(planned=walking.state.airframe, typed=typed[:40], by=walking.by)
    walking.write(lambda _: (body,))


def set_anew(walking: Walking, step: Step) -> bool:
    """Offer to set again what no longer stands as this step needs it; True if anything was asked.

    Where a step set it so with OK that step is asked again: its answer is taken back, the order
    stays the list's. Else, where the step needs it at home, it is looked at and put back.
    """
    state = walking.state
    lacking = unmet(step, state.plan.fit, state.items)
    if lacking is None:
        return False
    item, value = lacking
    before = state.plan.steps[: state.plan.steps.index(step)]
    setter = next((s for s in reversed(before) if (s.sets or {}).get(item) == value), None)
    again = setter if setter is not None and state.answer(setter.id) == "OK" else None
    line = walking.facts.line(item)
    name = f"{step.id} needs {item} {value}"
    if name in walking.offered or not (again or (line is not None and line.home == value)):
        return False
    number = state.plan.checklist.number
    title = state.plan.fill(state.plan.fit.items[item].title)
    said = f"{title} is recorded {state.items[item]}; {number(step.id)} needs it {value}."
    way = f"ask {number(again.id)} again: {q.short(state, again)}" if again else "look at it now"
    question = Ask(
        blocks=(Block(kind="do", text=said),),
        choices=(way, f"no, leave it {state.items[item]}"),
        prompt="Which?",
    )
    reply = walking.ask(question)
    walking.offered.add(name)
    if reply == "1" and again:
        take_back(walking, again.id)
    elif reply == "1":
        put_back(walking, item)
    elif f"again {name}" not in walking.offered:
        walking.say("Left so. Z at the step asks this once more.")
    return True


def left_so(walking: Walking) -> bool:
    """Whether the last choice at this step was to leave something as it stands; then it is free.

    Nothing of it is in the record. It is taken back once, so that Z comes to the last answer too.
    """
    step = walking.step
    lacking = unmet(step, walking.state.plan.fit, walking.state.items) if step else None
    if step is None or lacking is None:
        return False
    name = f"{step.id} needs {lacking[0]} {lacking[1]}"
    if name not in walking.offered or f"again {name}" in walking.offered:
        return False
    walking.offered.remove(name)
    walking.offered.add(f"again {name}")
    return True


def made_safe(walking: Walking) -> None:
    """After a FAULT at a gate: the order to make safe is read, then each hazard is looked at.

    Only then the walk goes on, past what stood behind the gate. Source: human-factors WCN-09,
    WCN-14; scenario 17.
    """
    order = Block(kind="card", text=q.make_safe(walking.facts))
    stopped = Block(kind="do", text="Stopped: the gate was not passed.")
    walking.ask(q.confirm_ask([stopped, order], "read, I make it safe", keys="CBR"))
    for line in make_safe_first(walking.state.plan, walking.facts):
        put_back(walking, line.item)
