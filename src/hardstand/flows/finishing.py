"""The close of a walk: gaps, open lines by name at their place, what is said of it, FINISHED."""

from __future__ import annotations

from collections.abc import Iterator

from hardstand.domain import closing
from hardstand.domain.asking import Block
from hardstand.domain.authority import answers_for
from hardstand.domain.defects import Refused
from hardstand.domain.entry import Entry
from hardstand.domain.walk_notes import close_together, frozen, of_walk, readings
from hardstand.flows import questions as q
from hardstand.flows.gaps import offer
from hardstand.flows.seat import Walking, put_back
from hardstand.flows.signing import case_of
from hardstand.flows.sitting import undo_last

LOOKED_AT = 1000
"""Lines of the aircraft in which its last walks are looked for; ours."""


def close(walking: Walking) -> None:
    """Gaps once more, each open line by name at its place, then FINISHED on a key."""
    if "the end" not in walking.offered:
        asked = offer(walking)
        walking.offered.add("the end")
        if asked:
            return
    for line in q.safe_order(walking.facts):
        put_back(walking, line.item)
    _finish(walking)


def _finish(walking: Walking) -> None:
    state, facts = walking.state, walking.facts
    refused = closing.finish(state, facts, "", walking.by)
    rest, away = len(state.not_ok), len(facts.due_home)
    told = [Block(kind="do", text=f"Every step is answered; {rest} not OK. {away} not put back.")]
    if isinstance(refused, Refused):
        told.append(Block(kind="say", text=f"{refused.what}. {refused.hint}"))
        question = q.confirm_ask(told, "ask the open lines again", keys="CBR")
    else:
        told += [Block(kind="detail", text=text) for text in _notes(walking)]
        told.append(Block(kind="do", text=q.LOOK_ROUND))
        told.append(Block(kind="note", text=q.NO_RELEASE))
        question = q.confirm_ask(told, "looked round, FINISHED", keys="CBZR", whole=True)
    reply = walking.ask(question)
    if reply == "Z":
        undo_last(walking)
    elif not isinstance(refused, Refused):
        walking.write(lambda now: closing.finish(walking.state, now, "", walking.by))


def _notes(walking: Walking) -> Iterator[str]:
    """What is told of the walk before it is finished: neutral, and written nowhere."""
    state, journal = walking.state, walking.pen.journal
    lines = list(journal.entries(walk=state.walk))
    yield of_walk(state, lines, walking.where)
    before = [readings(list(journal.entries(walk=name))) for name in _walks_before(walking)]
    found = (frozen(readings(lines), before, state.plan.checklist), close_together(state))
    yield from (text for text in found if text)
    yield from _countersigned(walking)


def _walks_before(walking: Walking) -> list[str]:
    """The last finished walks of this list at this aircraft, newest first."""
    lines = walking.pen.journal.newest_of(walking.state.airframe, LOOKED_AT)
    own = walking.state.plan.checklist.id
    closed = [e for e in lines if e.kind == "walk.closed" and _finished(e, own)]
    return [e.walk for e in reversed(closed) if e.walk][:3]


def _finished(entry: Entry, checklist: str) -> bool:
    import json  # noqa: PLC0415  two fields of one kind; no need of the whole body

    body = json.loads(entry.body)
    return bool(body["outcome"] == "finished" and body["checklist"] == checklist)


def _countersigned(walking: Walking) -> Iterator[str]:
    """Who signs for a trainee, over which critical steps each by its number.

    Source: AMC M.A.402(g): a grouped signature lists each critical step.
    """
    state, record = walking.state, walking.pen.journal.record()
    case = case_of(walking.pen, record, walking.facts)
    signer = answers_for(walking.by.doer, walking.by.with_, case)
    if record.founded is None or signer == walking.by.doer:
        return
    critical = [s for s in state.plan.steps if s.critical]
    told = ", ".join(f"{state.plan.checklist.number(s.id)} {state.answer(s.id)}" for s in critical)
    yield f"{signer} countersigns the work of {walking.by.doer}, critical steps: {told or 'none'}."
