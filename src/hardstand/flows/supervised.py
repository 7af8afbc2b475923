"""What a person did, and did under supervision: read from the record alone.

Source: human-factors LRN-07 (AMC M.A.402(g)): step, date, who watched, countersigned at the time;
LRN-03: what is suggested from it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from hardstand.domain import bodies as b
from hardstand.domain.checklist import Checklist
from hardstand.domain.codec import decode
from hardstand.domain.entry import Entry
from hardstand.domain.guidance import Shown
from hardstand.domain.quantity import Instant, local_day, zone
from hardstand.flows.adopting import lists
from hardstand.ports import Journal

LOOKED_AT = (1000, 20_000)
"""Lines of each aircraft in which what a person finished is looked for; more if none is in the
newest. Ours: years of an aircraft's walks."""


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
    for entry, body in _finished_by(initials, journal.entries(kind="walk.closed")):
        if entry.author != initials and entry.walk:
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


# -- what was shown, for the level that is suggested -----------------------------------------------


def shown(journal: Journal, initials: str, fit: str, now: Instant) -> tuple[Shown, ...]:
    """The walks that a person finished at aircraft that have a fit now, oldest first."""
    record = journal.record()
    day = local_day(now, zone(record.time_zone)).isoformat()
    tails = [tail for tail in record.tails if journal.facts(tail).fit_on(day) == fit]
    known = lists(journal).by_digest
    for most in LOOKED_AT:
        lines = (entry for tail in tails for entry in journal.newest_of(tail, most))
        closed = _finished_by(initials, (e for e in lines if e.kind == "walk.closed"))
        found = [_shown(journal, entry, body, known) for entry, body in closed]
        if found:
            return tuple(sorted(found, key=lambda one: one.at))
    return ()


def _finished_by(initials: str, closed: Iterable[Entry]) -> Iterator[tuple[Entry, b.WalkClosed]]:
    """The ends of walks that were a person's own work and went to their end."""
    for entry in closed:
        body = decode(entry)
        if not isinstance(body, b.WalkClosed) or body.outcome != "finished":
            continue
        if body.by.doer == initials:
            yield entry, body


def _shown(
    journal: Journal, entry: Entry, body: b.WalkClosed, known: Mapping[str, Checklist]
) -> Shown:
    at = body.by.late.made_at if body.by.late else entry.at
    watched = entry.author != body.by.doer and entry.signature is not None
    lines = tuple(journal.entries(walk=entry.walk)) if watched and entry.walk else ()
    begun = decode(lines[0]) if lines else None
    checklist = known.get(begun.digest) if isinstance(begun, b.WalkStarted) else None
    return Shown(at=Instant(at), zones=_clean(lines, body.by.doer, checklist) if checklist else {})


def _clean(lines: tuple[Entry, ...], doer: str, checklist: Checklist) -> dict[str, bool]:
    """Each zone answered in, and whether it went clean."""
    zones: dict[str, bool] = {}
    for line in lines:
        match decode(line):
            case b.StepAnswered() as answer:
                name = checklist.step(answer.step).zone
                seen = answer.answer in {"OK", "FAULT"} and answer.by.doer == doer
                zones[name] = zones.get(name, True) and seen
            case b.StepUndone(step=step):
                zones[checklist.step(step).zone] = False
    return zones
