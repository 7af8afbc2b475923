"""What is told around a step: as much as the person wants, and what was last found there."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import tzinfo
from functools import cache

from hardstand.domain import bodies as b
from hardstand.domain.asking import Ask, Block
from hardstand.domain.bodies import By
from hardstand.domain.checklist import Step
from hardstand.domain.codec import decode
from hardstand.domain.entry import Entry
from hardstand.domain.guidance import ENOUGH, SAID, Level, Shown, level_of, suggestion
from hardstand.domain.people import find
from hardstand.domain.plain import canonical
from hardstand.domain.quantity import Instant, local_day, zone
from hardstand.domain.walk import WalkState
from hardstand.flows.pen import Pen
from hardstand.flows.pinned import fit_walked
from hardstand.flows.recording import write

LOOKED_AT = 50_000
"""Among how many of the record's newest lines the last find is looked for; ours. However large the
fleet, no more."""

CHOSEN = (1000, 50_000)
"""Among how many of a person's newest choices of a level that of a zone is looked for; more if it
is not in the newest. Ours: years of pressing the key at every zone of every walk."""


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
    told = list[str]()
    if level != "brief" and step.kind not in {"state", "reading", "count"}:
        told = [f"Good: {fill(good)}"]
    if level == "learner":
        told = [f"Why: {fill(step.why)}", f"Good: {fill(good)}"]
    fading = (Block(kind="detail", text=text) for text in told)
    return [*fading, Block(kind="detail", text=f"Bad: {fill(bad)}", stays=True)]


def with_find(question: Ask, found: Find | None) -> Ask:
    """The question of a step with the last real find there, if the record has one."""
    if found is None:
        return question
    text = f"Last found here: {found.day}, {found.tail}: {found.text} ({found.number})."
    return replace(question, blocks=(*question.blocks, Block(kind="detail", text=text, stays=True)))


def finds(pen: Pen, state: WalkState) -> Mapping[str, Find]:
    """The last FAULT that stands at each step, found on a walk of this fit, in the fleet.

    Looked for in the newest lines of the record. An entry made in error is no find.
    """
    journal, plan = pen.journal, state.plan
    where = zone(journal.record().time_zone)
    fits = cache(lambda walk: fit_walked(journal, walk) == plan.fit.id)
    found: dict[str, Find | None] = {step.id: None for step in plan.steps}
    for entry, body in _faults(journal.found_among(LOOKED_AT)):
        if found.get(body.step, body) is None and fits(entry.walk):
            found[body.step] = _find(entry, body, where)
    return {step: told for step, told in found.items() if told}


def _faults(entries: Iterable[Entry]) -> list[tuple[Entry, b.DefectRaised]]:
    """The faults found at a step of a walk, the last first, in the words they have now."""
    raised: dict[str, tuple[Entry, b.DefectRaised]] = {}
    for entry in entries:
        if entry.kind == "defect.raised" and b'"step":' not in entry.body:
            continue  # most of a large log: not worth its decoding
        match decode(entry):
            case b.DefectRaised() as body if not body.untested:
                raised[body.number] = (entry, body)
            case b.DefectNoted(number=number, symptom=symptom, text=text) if number in raised:
                line, body = raised[number]
                raised[number] = (line, replace(body, symptom=symptom or text))
            case b.DefectVoided(number=number) as said if said.confirmed or not said.asked:
                raised.pop(number, None)
    return sorted(raised.values(), key=lambda one: _found_at(*one))[::-1]


def _found_at(entry: Entry, body: b.DefectRaised) -> Instant:
    return Instant(body.found_at or entry.at)


def _find(entry: Entry, body: b.DefectRaised, where: tzinfo) -> Find:
    return Find(
        day=_day(_found_at(entry, body), where),
        tail=entry.airframe or "",
        text=f"{body.text}: {body.symptom}" if body.symptom else body.text,
        number=body.number,
    )


# -- levels ----------------------------------------------------------------------------------------


def level_at(pen: Pen, by: By, fit: str, zone_id: str) -> Level:
    """The guidance level of a person in a zone, as they last chose it anywhere."""
    own = [body for body, _ in _chosen(pen, by, fit, zone_id)]
    known = find(pen.journal.record().people, by.doer)
    trainee = known is not None and known.holds("trainee", pen.clock.now(), fit)
    return level_of(own, fit, zone_id, trainee=trainee)


def _chosen(pen: Pen, by: By, fit: str, zone_id: str) -> list[tuple[b.Guided, Instant]]:
    """The levels a person chose last in a zone of a fit, and when, oldest first."""
    named = b'"zone":' + canonical(zone_id)
    for most in CHOSEN:
        lines = list(pen.journal.newest_own(by.doer, "person.guided", most))
        said = [(decode(entry), entry.at) for entry in lines if named in entry.body]
        own = [(g, at) for g, at in said if isinstance(g, b.Guided) and g.by.doer == by.doer]
        found = [(g, at) for g, at in own if (g.fit, g.zone) == (fit, zone_id)]
        if found or len(lines) < most:
            return found
    return []


def suggested(
    pen: Pen, by: By, fit: str, zone_id: str, level: Level, shown: Sequence[Shown]
) -> str:
    """Words for a level that suits what a person showed in a zone; empty where theirs does.

    Source: human-factors LRN-03.
    """
    times = [at for _, at in _chosen(pen, by, fit, zone_id)]
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
