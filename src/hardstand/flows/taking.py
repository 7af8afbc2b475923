"""Taking down what was given at a step: a report in its parts, a place on the dial, test gear."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from hardstand.domain import bodies as b
from hardstand.domain import closing, reporting
from hardstand.domain.asking import Ask
from hardstand.domain.checklist import Cause, Step
from hardstand.domain.defects import Refused
from hardstand.domain.facts import AirframeFacts
from hardstand.flows import giving
from hardstand.flows.seat import Walking


def report_of(walking: Walking, step: Step, pick: str, *, further: bool) -> str:
    """The report on a call as one line: readability, who answered, on what, in which words."""
    channel = (step.judge or {}).get("channel", "")
    if pick == reporting.NO_ANSWER:
        return reporting.line(pick, "", channel, "")
    readability = reporting.said(int(walking.ask(giving.readability_ask())))
    station = _picked(walking, giving.station_ask(walking.state.plan.checklist))
    words = walking.ask(giving.words_ask())
    if further:
        channel = walking.ask(giving.channel_ask(step)).strip() or channel
    return reporting.line(readability, station, channel, words)


def _picked(walking: Walking, question: Ask) -> str:
    reply = walking.ask(question).strip()
    if reply.isdigit() and 1 <= int(reply) <= len(question.choices):
        return question.choices[int(reply) - 1]
    return reply


def tried_gear(walking: Walking, step: Step, number: str) -> bool:
    """After a FAULT: the test gear is tried; True if it was the gear and the step is asked again.

    The entry stands from the key on; if the gear was at fault it is entered in error, but for an
    X, which a second person takes away.
    """
    cause = next((c for c in step.causes if c.gear), None)
    if cause is None or walking.facts.entry(number) is None:
        return False
    tried = int(walking.ask(giving.gear_ask(cause)) or "3")
    if tried == 1:
        walking.write(lambda facts: _was_the_gear(walking, facts, step, cause))
        walking.say("Recorded against the test gear. Answer the step again with other gear.")
        return True
    words = f"{cause.cause}: {giving.GEAR[tried - 1]}"
    walking.write(lambda facts: _noted(walking, facts, number, words))
    return False


def _was_the_gear(
    walking: Walking, facts: AirframeFacts, step: Step, cause: Cause
) -> Sequence[b.Body] | Refused:
    bodies = closing.undo(walking.state, facts, step.id, walking.by)
    if isinstance(bodies, Refused):
        return bodies
    reason = f"test gear: {cause.cause}; {cause.confirm}"
    return tuple(replace(x, reason=reason) if isinstance(x, b.DefectVoided) else x for x in bodies)


def _noted(walking: Walking, facts: AirframeFacts, number: str, words: str) -> Sequence[b.Body]:
    entry = facts.entry(number)
    if entry is None:
        return ()
    return (b.DefectNoted(number=number, text=words, by=walking.by, seen=entry.heads),)
