"""A proving step done again for a repair, outside a walk, and kept with its entry."""

from __future__ import annotations

from hardstand.domain import ruling
from hardstand.domain.answering import Reply, judge
from hardstand.domain.bodies import By
from hardstand.domain.checklist import Step
from hardstand.domain.defects import Refused
from hardstand.domain.facts import AirframeFacts, OpenEntry
from hardstand.domain.ruling import Tested
from hardstand.domain.verdict import fit_of
from hardstand.domain.walk import Plan, begin
from hardstand.errors import NotThere
from hardstand.flows.adopting import Lists, lists
from hardstand.flows.answer_file import reply_of
from hardstand.flows.logging_defects import on_entry, tail_of
from hardstand.flows.pen import Pen
from hardstand.flows.pinned import plan_of
from hardstand.flows.recording import refusal


def retested(pen: Pen, number: str, step_id: str, answer: tuple[str, str], *, by: By) -> str:
    """Record that a step which proves the repair was done again, judged by the list in force.

    Args:
        pen: who writes where.
        number: the entry.
        step_id: a step of a list in force for the aircraft's fit.
        answer: the position or number seen, OK or FAULT; then words.
        by: whose hands.

    Raises:
        Refusal: by rule or authority, or the answer cannot be taken.
        NotThere: no open entry has that number, or no list in force that step.
    """
    name = number.strip().upper()
    facts = pen.journal.facts(tail_of(pen, name))
    known = lists(pen.journal)
    plan = plan_of(pen, facts, known, _list_with(pen, facts, known, step_id))
    step = plan.checklist.step(step_id)
    tested = _tested(plan, facts, facts.entry(name), step, answer)
    return on_entry(
        pen, name, lambda now, case: ruling.retest(now, name, tested, by, case),
        f"step {step.id} done again: {tested.answer}",
    )  # fmt: skip


def _list_with(pen: Pen, facts: AirframeFacts, known: Lists, step_id: str) -> str:
    """The digest of the list in force for the aircraft's fit that has this step."""
    fit = fit_of(facts, pen.clock.now(), pen.journal.record())
    for digest, checklist in known.current.items():
        if checklist.fit == fit and any(s.id == step_id for s in checklist.steps):
            return digest
    raise NotThere(
        f"No list in force for fit {fit} has a step {step_id}.",
        safe="Nothing was written.",
        hint="`hardstand checklist show` lists the steps.",
    )


def _tested(
    plan: Plan, facts: AirframeFacts, entry: OpenEntry | None, step: Step, answer: tuple[str, str]
) -> Tested:
    """What the step read, against what it must read."""
    state = begin(plan, walk="", airframe=facts.tail, items={x.item: x.value for x in facts.lines})
    reply = reply_of(step, *answer)
    judged = judge(state, step, reply)
    if isinstance(judged, Refused):
        raise refusal(judged)
    return Tested(
        step=step.id, title=plan.fill(step.do), answer=judged, value=reply.value or reply.state,
        unit=step.unit if reply.value else "", low=str(step.accept.low) if step.accept else "",
        high=str(step.accept.high) if step.accept else "",
        words=reply.words or reply.evidence or _beside(answer, reply),
        revision=f"{plan.checklist.id} {plan.checklist.revision}",
        proved=_proved(plan, entry, step) if judged == "OK" else (),
    )  # fmt: skip


def _beside(answer: tuple[str, str], reply: Reply) -> str:
    """The words typed, where they are not part of what was read."""
    return "" if answer[1] in reply.value else answer[1]


def _proved(plan: Plan, entry: OpenEntry | None, step: Step) -> tuple[str, ...]:
    """What this step, now OK, proves with those done again since the work: all of whose are OK."""
    since = entry.work.at if entry and entry.work else ""
    done = {r.step: r.answer for r in (entry.retested if entry else ()) if r.at >= since}
    good = {name for name, answer in done.items() if answer == "OK"} | {step.id}
    return tuple(
        name for name in step.proves if all(s.id in good for s in plan.steps if name in s.proves)
    )
