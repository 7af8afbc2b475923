"""What the walk asks twice: a critical answer, the aircraft at a zone, the place after idling."""

from __future__ import annotations

from hardstand.domain import bodies as b
from hardstand.domain.answering import KEYS, Reply
from hardstand.domain.asking import Ask, Block
from hardstand.domain.checklist import Step
from hardstand.domain.ids import tail_key
from hardstand.domain.quantity import Instant, seconds_between
from hardstand.flows import questions as q
from hardstand.flows.sitting import Walking, put_back, take_back

IDLE_S = 120
"""So long without an answer and the place is looked at again; ours, a setting to come."""


def confirmed(walking: Walking, step: Step, reply: Reply) -> bool:
    """Whether a critical answer is confirmed with C: another key than any answer has.

    What says that nothing is known, SKIPPED, NOT FITTED or UNSURE, needs no second key.

    Source: MIL-STD-1472E 5.15.8.4, critical entries are acknowledged by a separate act.
    """
    if not step.critical or reply.key in {"S", "N", "U"}:
        return True
    given = KEYS.get(reply.key, "") or " ".join(p for p in (reply.state, reply.value) if p)
    unit = f" {step.unit}" if reply.value and step.unit else ""
    question = Ask(
        strip=q.strip(walking.state, walking.facts, step, walking.where),
        blocks=(Block(kind="do", text=f"{q.short(walking.state, step)}: {given}{unit}"),),
        keys="CZR",
        prompt="Is that what you see?",
        words=(("C", f"confirm {given}{unit}"), ("Z", "back to the step")),
    )
    return walking.ask(question) == "C"


def right_tail(walking: Walking, step: Step) -> bool:
    """Whether the tail, typed again where the zone asks for it, is the walk's; twice wrong stops.

    Source: whole-job M-01; human-factors PLC-13.
    """
    zone = next(z for z in walking.state.plan.checklist.zones if z.id == step.zone)
    name = f"tail {zone.id}"
    if not zone.ask_tail or name in walking.offered:
        return True
    for _ in range(2):
        typed = walking.ask(q.words_ask(f"At {zone.title}. Type the tail as painted here:"))
        if walking.wants_break:
            return False
        if tail_key(typed) == tail_key(walking.state.airframe):
            walking.offered.add(name)
            return True
        _note_wrong_tail(walking, typed)
        walking.say(f"Typed {typed or 'nothing'}; this walk is for {walking.state.airframe}. Look.")
    walking.write(lambda _: (b.WalkBroken(step=step.id, by=walking.by),))
    walking.left = True
    walking.say("Stopped: this is not the aircraft of the walk. Nothing more is answered here.")
    return False


def _note_wrong_tail(walking: Walking, typed: str) -> None:
    body = b.WalkRefused(planned=walking.state.airframe, typed=typed[:40], by=walking.by)
    walking.write(lambda _: (body,))


def after_idle(walking: Walking, asked_at: Instant) -> bool:
    """Whether the place had to be looked at again, because nobody answered for a while.

    The key that ended the idling is no answer. Energy that is on is looked at again.
    """
    if seconds_between(asked_at, walking.pen.clock.now()) < IDLE_S:
        return False
    while True:
        reply = walking.ask(q.resume_ask(walking.state, walking.facts, walking.where))
        if reply == "B":
            walking.wants_break = True
            return True
        if reply == "C":
            break
        take_back(walking, walking.state.last_three()[int(reply) - 1].body.step)
    for line in (x for x in q.safe_order(walking.facts) if x.kind == "energy"):
        if not put_back(walking, line.item):
            return True
    step = walking.state.next_step()
    looked = tuple(g.digest for g in walking.state.last_three())
    name = step.id if step else ""
    walking.write(lambda _: (b.WalkResumed(step=name, looked_at=looked, by=walking.by),))
    return True
