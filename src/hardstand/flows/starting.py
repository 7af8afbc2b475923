"""Start a walk at the right aircraft, or go on with the one that was left there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from hardstand.domain import bodies as b
from hardstand.domain.asking import ESCAPE, Ask, Block
from hardstand.domain.battery_use import Move
from hardstand.domain.bodies import By
from hardstand.domain.checklist import Checklist
from hardstand.domain.facts import AirframeFacts, OpenWalk, RecordFacts
from hardstand.domain.ids import easily_taken, find_tail, walk_name
from hardstand.domain.quantity import zone
from hardstand.domain.verdict import fit_of
from hardstand.domain.walk import WalkState, begin, replay
from hardstand.domain.words import visible
from hardstand.errors import NotThere, Refusal
from hardstand.flows import practising
from hardstand.flows import questions as q
from hardstand.flows.adopting import Lists, lists
from hardstand.flows.delta import since_last_walk
from hardstand.flows.pen import Pen
from hardstand.flows.pinned import plan_of, resumed_state
from hardstand.flows.recording import write
from hardstand.flows.seat import Walking, asked
from hardstand.flows.signing import refuse_unentitled
from hardstand.flows.timing import counted_since, midnight, moves_of, since_then, usable_ah
from hardstand.flows.walking import drive
from hardstand.ports import Prompter

LOOKED_AT = 1000
"""Lines of an aircraft in which what was switched on and off today is looked for; ours."""


def walk(
    pen: Pen,
    prompter: Prompter,
    *,
    planned: str = "",
    by: By,
    list_id: str = "",
    changed: bool = False,
) -> WalkState:
    """Begin or resume the walk of the aircraft whose tail is typed, and drive it.

    Args:
        pen: who writes where.
        prompter: who is asked.
        planned: the tail planned.
        by: whose hands.
        list_id: which list; the one that fits if empty.
        changed: only what the list asks otherwise than at the last whole walk there.

    Raises:
        Refusal: the tail typed is not the one planned, or no list fits.
        NotThere: no such tail.
    """
    record = pen.journal.record()
    planned = _planned(record, planned)
    tail = _tail(pen, prompter, record, planned, by)
    facts = pen.journal.facts(tail)
    # whoever may not walk here hears it before they read anything; each line asks again
    refuse_unentitled(pen, record, facts, b.WalkResumed(step="", looked_at=(), by=by))
    known = lists(pen.journal)
    for other in (w for w in facts.walks if w.device != pen.device):
        prompter.show(q.also_here(other, zone(record.time_zone)))
    own = next((w for w in facts.walks if w.device == pen.device), None)
    if own is not None:
        walking = _resumed(pen, prompter, by, facts, own, known)
    else:
        walking = _begun(pen, prompter, by, facts, known, (planned, list_id, changed))
    return drive(_with_battery(walking))


def _with_battery(walking: Walking) -> Walking:
    """The walking that knows what was switched on and off at the aircraft before, by anybody."""
    journal, tail = walking.pen.journal, walking.state.airframe
    recent = moves_of(journal.newest_of(tail, LOOKED_AT))
    known = {move.item for move in recent}
    older = (Move(x.since, x.item, away=True) for x in walking.facts.lines if x.item not in known)
    moves = (*older, *recent)
    today = midnight(walking.pen.clock.now(), walking.where)
    walking.moves = since_then(moves, counted_since(moves, today))
    walking.usable = usable_ah(walking.facts, journal.record())
    return walking


def practise(
    pen: Pen, prompter: Prompter, *, planned: str = "", by: By, list_id: str = ""
) -> WalkState:
    """Practise a walk of the aircraft whose tail is typed; it never counts.

    Raises:
        Refusal: the tail typed is not the one planned, or no list fits.
        NotThere: no such tail.
    """
    apart, marked = practising.apart(pen), practising.Marked(prompter)
    planned = _planned(apart.journal.record(), planned)
    tail = _tail(apart, marked, apart.journal.record(), planned, by)
    facts, known = apart.journal.facts(tail), lists(apart.journal)
    walking = _begun(apart, marked, by, facts, known, (planned, list_id, False))
    plan = replace(walking.state.plan, practice=True)
    walking.state = replace(walking.state, plan=plan)
    try:
        return drive(walking)
    finally:
        practising.note(pen, walking.state, by)


def _planned(record: RecordFacts, typed: str) -> str:
    """The tail planned, in its own spelling; empty if none was named."""
    found = find_tail(typed, record.tails)
    if typed and found is None:
        raise NotThere(
            f"The tail planned, {typed!r}, is none of this fleet.",
            safe="No walk was started.",
            hint="`hardstand fleet show` lists the tails.",
        )
    return found or ""


def _tail(pen: Pen, prompter: Prompter, record: RecordFacts, planned: str, by: By) -> str:
    """The tail as typed from the aircraft; a wrong one is recorded and starts nothing."""
    near = easily_taken(planned, record.tails) if planned else ""
    warn = [Block(kind="note", text=f"Easily taken for it: {near}.")] if near else []
    question = q.words_ask(
        "Type the whole tail as painted on the aircraft:",
        blocks=[Block(kind="card", text=q.MEMORY_AID), *warn],
    )
    typed = _or_none(asked(prompter, question)).strip()
    found, said = find_tail(typed, record.tails), visible(typed[:40]) or "nothing"
    if planned and found != planned:
        with pen.journal.write() as writing:
            refused = b.WalkRefused(planned=planned, typed=typed[:40], by=by)
            write(pen, writing, (refused,), tail=planned)
        real = practising.of_record(pen) is pen
        kept = "the stop is in the record" if real else "nothing was written"
        command = f"hardstand walk {found}{'' if real else ' --practice'}"
        raise Refusal(
            f"Stopped: typed {said}, planned {planned}.",
            safe=f"No walk was started; {kept}.",
            hint=f"To walk {found}: {command}" if found else "Read the tail on the aircraft again.",
        )
    if found is None:
        raise NotThere(
            f"Typed {said}, which is no tail of this fleet.",
            safe="No walk was started.",
            hint="A tail is A to Z, 0 to 9 and a hyphen; `hardstand fleet show` lists them.",
        )
    return found


def _or_none(reply: str) -> str:
    """The reply, unless it is to leave before anything was begun."""
    if reply in {"B", ESCAPE + "B"}:
        raise Refusal("No walk was started.", safe="Nothing was written.")
    return reply


def _resumed(
    pen: Pen, prompter: Prompter, by: By, facts: AirframeFacts, own: OpenWalk, known: Lists
) -> Walking:
    walking = Walking(
        pen=pen,
        prompter=prompter,
        by=by,
        where=zone(pen.journal.record().time_zone),
        state=resumed_state(pen, facts, known, own),
        facts=facts,
        returned=True,
    )
    if own.digest in known.withdrawn:
        walking.say(f"{q.withdrawn(known.withdrawn[own.digest])}. Ask the lead before you go on.")
    return walking


def _begun(
    pen: Pen,
    prompter: Prompter,
    by: By,
    facts: AirframeFacts,
    known: Lists,
    chosen: tuple[str, str, bool],
) -> Walking:
    planned, list_id, changed = chosen
    record = pen.journal.record()
    fit = fit_of(facts, pen.clock.now(), record)
    digest = _choose(prompter, facts.tail, fit, known, list_id)
    checklist = known.by_digest[digest]
    plan = plan_of(pen, facts, known, digest)
    only = since_last_walk(pen.journal, plan, known.by_digest, facts.tail) if changed else ()
    if asked(prompter, _manual_ask(facts.tail, checklist, only)) != "C":
        raise Refusal(
            "No walk was started.",
            safe="Nothing was written.",
            hint="Get the manual in that revision, then start again.",
        )
    state = open_walk(pen, facts, known, digest, planned=planned, by=by, only=only)
    return Walking(
        pen=pen,
        prompter=prompter,
        by=by,
        where=zone(record.time_zone),
        state=state,
        facts=pen.journal.facts(facts.tail),
    )


def _manual_ask(tail: str, checklist: Checklist, only: Sequence[str]) -> Ask:
    """Which list on which book; nothing starts without the book in that revision."""
    title = f"{tail}, fit {checklist.fit}: {checklist.title}, revision {checklist.revision}."
    manual = f"Manual: {checklist.manual.title}, revision {checklist.manual.revision}."
    draft = "DRAFT: no named person has tried this list at an aircraft."
    blocks = [Block(kind="card", text=title), Block(kind="do", text=manual)]
    if only:
        numbers = ", ".join(checklist.number(s) for s in only)
        part = f"Only what changed: {len(only)} of {len(checklist.steps)} steps, {numbers}. "
        blocks.append(Block(kind="note", text=f"{part}{q.NO_PREFLIGHT}"))
    blocks += [Block(kind="note", text=draft)] if checklist.draft else []
    return q.confirm_ask(blocks, "I have that revision to hand", keys="CBR")


def open_walk(
    pen: Pen,
    facts: AirframeFacts,
    known: Lists,
    digest: str,
    *,
    planned: str,
    by: By,
    only: Sequence[str] = (),
) -> WalkState:
    """Write the start of a walk on the list of that digest; the tail was typed and found right.

    With `only` these steps of it.
    """
    plan = replace(plan_of(pen, facts, known, digest), only=frozenset(only))
    checklist = plan.checklist
    with pen.journal.write() as writing:
        name = walk_name(pen.device, writing.count_walks(pen.device) + 1)
        started = b.WalkStarted(
            checklist=checklist.id,
            revision=checklist.revision,
            digest=digest,
            purpose=plan.purpose,
            fit=checklist.fit,
            planned=planned,
            typed=facts.tail,
            only=tuple(only),
            by=by,
        )
        entries = write(pen, writing, (started,), tail=facts.tail, walk=name)
    items = {line.item: line.value for line in facts.lines}
    return replay(begin(plan, walk=name, airframe=facts.tail, items=items), entries)


def _choose(prompter: Prompter, tail: str, fit: str, known: Lists, list_id: str) -> str:
    """The digest of the list to walk: the one named, the only one, or one picked by a digit."""
    fitting = {d: c for d, c in known.current.items() if c.fit == fit}
    if list_id:
        fitting = {d: c for d, c in fitting.items() if c.id == list_id}
    if not fitting:
        gone = (w for d, w in known.withdrawn.items() if known.by_digest[d].fit == fit)
        raise Refusal(
            f"No adopted list{' ' + list_id if list_id else ''} is for fit {fit}, "
            f"which {tail} carries.",
            rule="; ".join(q.withdrawn(w) for w in gone),
            safe="No walk was started.",
            hint="Adopt one: hardstand checklist adopt FOLDER",
        )
    digests = sorted(fitting, key=lambda d: fitting[d].id)
    if len(digests) == 1:
        return digests[0]
    titles = tuple(f"{fitting[d].title} ({fitting[d].id} {fitting[d].revision})" for d in digests)
    question = Ask(
        blocks=(Block(kind="do", text=f"Lists for {tail}:"),),
        choices=titles[:8],
        keys="BR",
        prompt="Which?",
    )
    return digests[int(_or_none(asked(prompter, question))) - 1]
