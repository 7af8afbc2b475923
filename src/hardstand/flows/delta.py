"""What to walk again on an airframe because its list was revised since the last walk there."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from hardstand.domain import bodies as b
from hardstand.domain.checklist import Checklist
from hardstand.domain.codec import decode
from hardstand.domain.entry import Entry
from hardstand.domain.retest import sublist
from hardstand.domain.revision import mark_of
from hardstand.domain.walk import Plan
from hardstand.errors import Refusal
from hardstand.ports import Journal

LOOKED_AT = (1000, 20_000)
"""Lines of the airframe in which its last walk of the whole list is looked for; more if it is not
in the newest. Ours: years of walks."""


def since_last_walk(
    journal: Journal, plan: Plan, lists: Mapping[str, Checklist], tail: str
) -> tuple[str, ...]:
    """The steps that ask otherwise than when they were last answered there, set up whole.

    Counted from the last finished walk of the whole list, with parts of it finished after that.

    Args:
        journal: the record.
        plan: the list in force, at that airframe.
        lists: every list ever adopted, by digest.
        tail: the airframe.

    Raises:
        Refusal: the whole list was never finished there, or nothing changed since.
    """
    own = plan.checklist
    answered = _answered(journal, own, lists, tail)
    if answered is None:
        raise Refusal(
            f"No walk of the whole of {own.id} was finished at {tail}.",
            rule="a part of a list counts only on top of the whole",
            safe="No walk was started.",
            hint=f"Walk all of it: hardstand walk {tail}",
        )
    stale = [s.id for s in plan.applicable if answered.get(s.id) != mark_of(s)]
    if not stale:
        raise Refusal(
            f"Nothing in {own.id} {own.revision} asks otherwise than at the last walk of {tail}.",
            safe="No walk was started.",
            hint=f"To walk all of it: hardstand walk {tail}",
        )
    here = {s.id for s in plan.applicable}
    return tuple(s for s in sublist(own, plan.fit, stale) if s in here)


def _answered(
    journal: Journal, own: Checklist, lists: Mapping[str, Checklist], tail: str
) -> dict[str, str] | None:
    """By step, the mark of what it asked when it was last answered in a finished walk.

    From the last finished walk back to the last of the whole list; None if that one is not found.
    """
    for most in LOOKED_AT:
        found: dict[str, str] = {}
        for begun, lines in _finished(journal.newest_of(tail, most), journal, own.id):
            walked = lists.get(begun.digest)
            if walked is None or (walked.fit, walked.id) != (own.fit, own.id):
                continue
            marks = {s.id: mark_of(s) for s in walked.steps}
            found = {**{s: marks[s] for s in _steps(lines) if s in marks}, **found}
            if not begun.only:
                return found
    return None


def _finished(
    newest: Iterable[Entry], journal: Journal, list_id: str
) -> Iterator[tuple[b.WalkStarted, Sequence[Entry]]]:
    """The finished walks of a list among lines, each with its own, the last closed first."""
    for entry in reversed([e for e in newest if e.kind == "walk.closed"]):
        body = decode(entry)
        if not isinstance(body, b.WalkClosed) or not entry.walk:
            continue
        if body.outcome == "finished" and body.checklist == list_id:
            lines = tuple(journal.entries(walk=entry.walk))
            begun = decode(lines[0])
            if isinstance(begun, b.WalkStarted):
                yield begun, lines


def _steps(lines: Sequence[Entry]) -> set[str]:
    """The steps with an answer that counts."""
    found = set[str]()
    for line in lines:
        match decode(line):
            case b.StepAnswered(step=step):
                found.add(step)
            case b.StepUndone(step=step):
                found.discard(step)
    return found
