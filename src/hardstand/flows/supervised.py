"""What a trainee did under supervision, for their own logbook: read from the record alone.

Source: human-factors LRN-07 (AMC M.A.402(g)): step, date, who watched, countersigned at the time.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from hardstand.domain import bodies as b
from hardstand.domain.checklist import Checklist
from hardstand.domain.codec import decode
from hardstand.domain.entry import Entry
from hardstand.domain.quantity import Instant
from hardstand.flows.adopting import lists
from hardstand.ports import Journal


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """A step as it was done: its number and words, and what was answered."""

    step: str
    answer: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Supervised:
    """A walk finished under supervision: when, where, on which list, who countersigned."""

    at: Instant
    tail: str
    walk: str
    revision: str
    by: str
    signed: bool
    done: tuple[Done, ...]


def supervised(journal: Journal, initials: str) -> tuple[Supervised, ...]:
    """Every walk that a person finished with somebody else's countersign, oldest first."""
    known = lists(journal).by_digest
    found = []
    for entry in journal.entries(kind="walk.closed"):
        body = decode(entry)
        if not isinstance(body, b.WalkClosed) or body.outcome != "finished":
            continue
        if body.by.doer == initials and entry.author != initials and entry.walk:
            found.append(_one(entry, body, tuple(journal.entries(walk=entry.walk)), known))
    return tuple(found)


def _one(
    entry: Entry, body: b.WalkClosed, lines: tuple[Entry, ...], known: Mapping[str, Checklist]
) -> Supervised:
    begun = decode(lines[0])
    checklist = known.get(begun.digest) if isinstance(begun, b.WalkStarted) else None
    given: dict[str, str] = {}
    for line in lines:
        match decode(line):
            case b.StepAnswered() as answer if answer.by.doer == body.by.doer:
                given.pop(answer.step, None)
                given[answer.step] = " ".join(
                    p for p in (answer.state, answer.value, answer.unit, answer.answer) if p
                )
            case b.StepUndone(step=step):
                given.pop(step, None)
    return Supervised(
        at=entry.at,
        tail=entry.airframe or "",
        walk=entry.walk or "",
        revision=f"{body.checklist} {body.revision}",
        by=entry.author,
        signed=entry.signature is not None,
        done=tuple(Done(step=_told(step, checklist), answer=a) for step, a in given.items()),
    )


def _told(step: str, checklist: Checklist | None) -> str:
    """A step by its number and words, as they stand in the list; by its id without the list."""
    if checklist is None:
        return step
    return f"{checklist.number(step)} {checklist.step(step).do.rstrip('.')}"
