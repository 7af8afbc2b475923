"""What a walk is told of itself at its close: once, neutrally, to whoever walked it. Pure.

It blocks nothing, scores nobody and is written nowhere.

Source: human-factors ANS-16, REC-08; scenario 20.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import tzinfo
from itertools import pairwise

from hardstand.domain import bodies as b
from hardstand.domain.checklist import Checklist
from hardstand.domain.codec import decode
from hardstand.domain.entry import Entry
from hardstand.domain.quantity import seconds_between, short_time
from hardstand.domain.walk import Given, WalkState

ALIKE = 3
"""Walks in a row with the same reading before it is told."""
APART_S = 10
"""Two answers given at two places are not closer than this; ours, for the shortest way there is."""


def of_walk(state: WalkState, lines: Sequence[Entry], where: tzinfo) -> str:
    """When it was begun, how often it was left, and what was SKIPPED; from its own lines.

    A time of day is told, never a length of time that could be held against anybody.
    """
    first, last = lines[0].at, lines[-1].at
    begun = short_time(first, last, where)
    breaks = sum(1 for line in lines if line.kind == "walk.resumed")
    gaps = len(state.gaps())
    times = "once" if breaks == 1 else f"{breaks} times"
    left = f"gone on with {times}" if breaks else "walked without a break"
    return f"Begun {begun}, {left}; {gaps} SKIPPED."


def readings(lines: Sequence[Entry]) -> dict[str, str]:
    """The numbers read in a walk, by step; the last one of each."""
    found: dict[str, str] = {}
    for line in lines:
        body = decode(line) if line.kind == "step.answered" else None
        if isinstance(body, b.StepAnswered) and body.value and body.limit:
            found[body.step] = f"{body.value} {body.unit}".strip()
    return found


def frozen(
    now: Mapping[str, str], before: Sequence[Mapping[str, str]], checklist: Checklist
) -> str:
    """Readings that were the same in each of the last walks; empty if none was.

    Args:
        now: this walk's readings by step.
        before: those of the walks before it, newest first.
        checklist: the list, for its numbers.
    """
    if len(before) < ALIKE:
        return ""
    same = [s for s, v in now.items() if all(x.get(s) == v for x in before[:ALIKE])]
    told = ", ".join(f"{checklist.number(s)} {now[s]}" for s in same)
    return f"The same as in the last {ALIKE} walks: {told}." if told else ""


def close_together(state: WalkState) -> str:
    """Answers at two places given closer together than the way between; empty if none was."""
    done = [g for g in state.given.values() if g.body.answer not in {"SKIPPED", "NOT FITTED"}]
    steps = {s.id: s for s in state.plan.steps}
    pairs = [
        (one, two)
        for one, two in pairwise(done)
        if steps[one.body.step].zone != steps[two.body.step].zone
        and 0 <= seconds_between(one.at, two.at) < APART_S
    ]
    told = ", ".join(_pair(state, one, two) for one, two in pairs)
    return f"Answered within {APART_S} s at two places: {told}." if told else ""


def _pair(state: WalkState, one: Given, two: Given) -> str:
    number = state.plan.checklist.number
    return f"{number(one.body.step)} and {number(two.body.step)}"
