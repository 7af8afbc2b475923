"""What a person did, and did under supervision: read from the record alone.

Source: human-factors LRN-07 (AMC M.A.402(g)): step, date, who watched, countersigned at the time;
LRN-03: what is suggested from it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from hardstand.domain import bodies as b
from hardstand.domain.checklist import Checklist
from hardstand.domain.codec import decode
from hardstand.domain.entry import Entry
from hardstand.domain.guidance import ENOUGH, Shown
from hardstand.domain.quantity import Instant
from hardstand.flows.adopting import lists
from hardstand.flows.pinned import fit_walked
from hardstand.ports import Journal

BEGUN, LOOKED_AT = (500, 10_000), 30
"""How many of the newest walks that a person began, and of those they went on with, are searched
for a fit, more where they finished none of it among these; and how many of that fit are looked
into. Ours; however large the fleet, no more."""


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


def shown(journal: Journal, initials: str, checklist: Checklist) -> tuple[Shown, ...]:
    """Of a list's fit, the last walk that a person finished and the last under supervision.

    Oldest first; as many as say how each zone of the list last went, ENOUGH times.
    """
    among = (_shown_among(journal, initials, checklist, most) for most in BEGUN)
    return next(filter(None, among), ())


def _shown_among(
    journal: Journal, initials: str, checklist: Checklist, most: int
) -> tuple[Shown, ...]:
    found, dated, looked = list[Shown](), False, 0
    left = Counter({s.zone: ENOUGH for s in checklist.steps})
    known = cache(lambda: lists(journal).by_digest)
    for name, alone in _walked(journal, initials, checklist.fit, most):
        if looked == LOOKED_AT or (dated and not left):
            break
        if dated and alone:
            continue
        looked += 1
        lines = tuple(journal.entries(walk=name))
        for entry, body in _finished_by(initials, (e for e in lines if e.kind == "walk.closed")):
            found.append(_shown(entry, body, lines, known))
            dated = dated or body.by.late is None
            left = +(left - Counter(found[-1].zones.keys()))
    return tuple(sorted(found, key=lambda one: one.at))


def _walked(journal: Journal, initials: str, fit: str, most: int) -> Iterator[tuple[str, bool]]:
    """The walks of a fit that a person began or went on with, the last taken up first.

    Each once, and whether nobody was with them. Whoever goes on with a walk resumes it before it
    can be finished.
    """
    began = list(journal.newest_own(initials, "walk.started", most))
    lines = [*began, *journal.newest_own(initials, "walk.resumed", most)]
    starts, seen = {line.walk: line for line in began}, set[str]()
    for line in sorted(lines, key=lambda e: (e.tick, e.device, e.seq), reverse=True):
        name, body = line.walk or "", decode(line)
        if name in seen or not isinstance(body, b.WalkStarted | b.WalkResumed):
            continue
        seen.add(name)
        begun = decode(starts[name]) if name in starts and line != starts[name] else body
        walked = begun.fit if isinstance(begun, b.WalkStarted) else fit_walked(journal, name)
        if walked == fit:
            yield name, not body.by.with_


def _finished_by(initials: str, closed: Iterable[Entry]) -> Iterator[tuple[Entry, b.WalkClosed]]:
    """The ends of walks that were a person's own work and went to their end."""
    for entry in closed:
        body = decode(entry)
        if not isinstance(body, b.WalkClosed) or body.outcome != "finished":
            continue
        if body.by.doer == initials:
            yield entry, body


def _shown(
    entry: Entry,
    body: b.WalkClosed,
    lines: Sequence[Entry],
    known: Callable[[], Mapping[str, Checklist]],
) -> Shown:
    at = body.by.late.made_at if body.by.late else entry.at
    watched = entry.author != body.by.doer and entry.signature is not None
    begun = decode(lines[0]) if watched else None
    checklist = known().get(begun.digest) if isinstance(begun, b.WalkStarted) else None
    return Shown(at=Instant(at), zones=_clean(lines, body.by.doer, checklist) if checklist else {})


def _clean(lines: Sequence[Entry], doer: str, checklist: Checklist) -> dict[str, bool]:
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
