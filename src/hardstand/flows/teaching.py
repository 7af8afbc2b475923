"""What is told around a step: as much as the person wants, and what was last found there."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import tzinfo

from hardstand.domain import bodies as b
from hardstand.domain.asking import Ask, Block
from hardstand.domain.bodies import By
from hardstand.domain.checklist import Step
from hardstand.domain.codec import decode
from hardstand.domain.entry import Entry
from hardstand.domain.guidance import ENOUGH, SAID, Level, Shown, level_of, suggestion
from hardstand.domain.people import find
from hardstand.domain.quantity import Instant, local_day, zone
from hardstand.domain.walk import WalkState
from hardstand.flows.pen import Pen
from hardstand.flows.recording import write

LOOKED_AT = 1000
"""Lines of each aircraft in which the last find is looked for; ours."""

_TELLING = ("defect.raised", "defect.noted", "defect.voided")


@dataclass(frozen=True, slots=True, kw_only=True)
class Find:
    """Something really found at a step: when, on which aircraft, in which words; never by whom."""

    day: str
    tail: str
    text: str
    number: str


def seen_blocks(state: WalkState, step: Step, level: Level) -> list[Block]:
    """What good and bad look or sound like, and why it is done, as far as the level says.

    What bad is stays at each level. Source: human-factors ANS-15, LRN-02.
    """
    fill = state.plan.fill
    good, bad = step.sounds_good or step.good, step.sounds_bad or step.bad
    told = [f"Bad: {fill(bad)}"]
    if level != "brief" and step.kind not in {"state", "reading", "count"}:
        told = [f"Good: {fill(good)}", *told]
    if level == "learner":
        told = [f"Why: {fill(step.why)}", f"Good: {fill(good)}", told[-1]]
    return [Block(kind="detail", text=text) for text in told]


def with_find(question: Ask, found: Find | None) -> Ask:
    """The question of a step with the last real find there, if the record has one."""
    if found is None:
        return question
    text = f"Last found here: {found.day}, {found.tail}: {found.text} ({found.number})."
    return replace(question, blocks=(*question.blocks, Block(kind="detail", text=text)))


def finds(pen: Pen, state: WalkState) -> Mapping[str, Find]:
    """The last FAULT that stands at each step, in the fleet's aircraft of this fit.

    Looked for in the newest lines of each. An entry made in error is no find.
    """
    journal, record = pen.journal, pen.journal.record()
    where = zone(record.time_zone)
    day = local_day(pen.clock.now(), where).isoformat()
    found: dict[str, tuple[Instant, Find]] = {}
    for tail in record.tails:
        if journal.facts(tail).fit_on(day) != state.plan.fit.id:
            continue
        for step, at, told in _faults(tail, journal.newest_of(tail, LOOKED_AT), where):
            if step not in found or found[step][0] <= at:
                found[step] = (at, told)
    return {step: told for step, (_, told) in found.items()}


def _faults(
    tail: str, entries: Iterable[Entry], where: tzinfo
) -> Iterator[tuple[str, Instant, Find]]:
    """The faults found at a step of a walk there, in the words they have now."""
    raised: dict[str, tuple[Instant, b.DefectRaised]] = {}
    said: dict[str, str] = {}
    for entry in entries:
        if entry.kind not in _TELLING:
            continue
        match decode(entry):
            case b.DefectRaised() as body if body.step and not body.untested:
                raised[body.number] = (Instant(body.found_at or entry.at), body)
            case b.DefectNoted() as note:
                said[note.number] = note.symptom or note.text
            case b.DefectVoided(number=number):
                raised.pop(number, None)
    for number, (at, body) in raised.items():
        more = said.get(number, body.symptom)
        text = f"{body.text}: {more}" if more else body.text
        yield body.step, at, Find(day=_day(at, where), tail=tail, text=text, number=number)


# -- levels ----------------------------------------------------------------------------------------


def level_at(pen: Pen, by: By, fit: str, zone_id: str) -> Level:
    """The guidance level of a person in a zone, as they last chose it anywhere."""
    own = [body for body, _ in _chosen(pen, by)]
    known = find(pen.journal.record().people, by.doer)
    trainee = known is not None and known.holds("trainee", pen.clock.now(), fit)
    return level_of(own, fit, zone_id, trainee=trainee)


def _chosen(pen: Pen, by: By) -> list[tuple[b.Guided, Instant]]:
    """Every level a person ever chose, and when, oldest first."""
    lines = pen.journal.entries(kind="person.guided")
    said = ((decode(entry), entry.at) for entry in lines)
    return [(g, at) for g, at in said if isinstance(g, b.Guided) and g.by.doer == by.doer]


def suggested(
    pen: Pen, by: By, fit: str, zone_id: str, level: Level, shown: Sequence[Shown]
) -> str:
    """Words for a level that suits what a person showed in a zone; empty where theirs does.

    Source: human-factors LRN-03.
    """
    times = [at for g, at in _chosen(pen, by) if (g.fit, g.zone) == (fit, zone_id)]
    chosen = times[-1] if times else None
    found = suggestion(level, zone_id, shown, chosen=chosen, now=pen.clock.now())
    if found is None:
        return ""
    day = _day(found.last, zone(pen.journal.record().time_zone))
    why = f"your last {ENOUGH} walks under supervision went clean here, the last on {day}"
    if found.days is not None:
        why = f"you last finished a walk of this fit on {day}"
    return f"Suggested in this zone: {found.level}, {SAID[found.level]}; {why}. M changes it."


def _day(at: Instant, where: tzinfo) -> str:
    day = local_day(at, where)
    return f"{day.day} {day:%b %Y}"


def choose(pen: Pen, by: By, fit: str, zone_id: str, level: Level) -> None:
    """Keep the level a person chose; it belongs to no airframe and follows them."""
    with pen.journal.write() as writing:
        write(pen, writing, (b.Guided(fit=fit, zone=zone_id, level=level, by=by),))
