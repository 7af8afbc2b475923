"""Where an open walk stands, read off its lines without folding it: light to import. Pure.

For the quick question "where was I?"; what a walk writes is decided by domain/walk.py alone.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from hardstand.domain.quantity import Instant


class WalkLine(NamedTuple):
    """A line of a walk: its kind, what it says, when, by whom."""

    kind: str
    body: Mapping[str, Any]
    at: Instant
    author: str


class Place(NamedTuple):
    """The last answer that counts, the step the list has next, and what is half done or held."""

    last: WalkLine | None = None
    last_step: str = ""
    next_step: str = ""
    half: bool = False
    held: tuple[str, ...] = ()
    answered: int = 0


def place(lines: Sequence[WalkLine], steps: Sequence[Mapping[str, Any]]) -> Place:
    """Where a walk stands.

    Args:
        lines: its lines, oldest first.
        steps: those of its list, in order; none where the list is not at hand.
    """
    given: dict[str, WalkLine] = {}
    held: list[str] = []
    half, only, at = False, frozenset[str](), ""
    for line in lines:
        step = line.body.get("step", "")
        if line.kind == "walk.started":
            only = frozenset(line.body.get("only", ()))
        elif line.kind == "step.answered":
            given.pop(step, None)
            given[step], half, at = line, False, ""
            held = [name for name in held if name != step]
        elif line.kind == "step.undone":
            given.pop(step, None)
        elif line.kind == "step.held":
            held.append(step)
        elif line.kind in {"walk.broken", "walk.resumed"}:
            half, at = bool(line.body.get("half")), step
    last = next(reversed(given), "")
    walked = [s for s in steps if (not only or s["id"] in only) and not s.get("applies_if")]
    open_ = (s["id"] for s in walked if s["id"] not in given and s["id"] not in held)
    return Place(
        last=given.get(last),
        last_step=told(last, steps),
        next_step=told(next(iter(open_), "") if at in ("", *given) else at, steps),
        half=half,
        held=tuple(told(name, steps) for name in held),
        answered=len(given),
    )


def told(step: str, steps: Sequence[Mapping[str, Any]]) -> str:
    """A step by its number and its own words; by its id where its list is not at hand."""
    found = next((s for s in steps if s["id"] == step), None)
    if found is None:
        return step
    zones = list(dict.fromkeys(s["zone"] for s in steps))
    zone = [s["id"] for s in steps if s["zone"] == found["zone"]]
    words = str(found["do"]).rstrip(".")
    return f"{zones.index(found['zone']) + 1}.{zone.index(step) + 1:02d} {words}"
