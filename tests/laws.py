"""The laws of a walk, checked from outside: from what was asked and typed, and from the lines.

Nothing here asks the program what it thinks: answers are recounted from the lines themselves.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from hardstand.domain.asking import Ask
from hardstand.domain.checklist import Checklist, Step
from hardstand.domain.entry import Entry


@dataclass(frozen=True)
class Exchange:
    """One question with its reply, and how many lines the record had when it was put."""

    question: Ask
    reply: str
    lines: int


@dataclass
class Sitting:
    """One sitting at a walk as seen from outside."""

    checklist: Checklist
    exchanges: list[Exchange] = field(default_factory=list)

    def step_of(self, question: Ask) -> Step | None:
        """The step a question puts, if it puts one."""
        if question.strip is None or "F" not in question.keys:
            return None
        heading = next(b.text for b in question.blocks if b.kind == "do").split(" ")[0]
        return next(s for s in self.checklist.steps if self.checklist.number(s.id) == heading)

    def steps_asked(self) -> list[str]:
        """The steps put to the person, in order."""
        found = (self.step_of(x.question) for x in self.exchanges)
        return [step.id for step in found if step is not None]

    def cause(self, line: int) -> list[Exchange]:
        """The exchanges that led to a line: from the question of its step to the last reply."""
        until = [x for x in self.exchanges if x.lines <= line]
        for i in range(len(until) - 1, -1, -1):
            if self.step_of(until[i].question) is not None:
                return until[i:]
        return []


def body(entry: Entry) -> dict[str, Any]:
    """What a line says, as the JSON it is."""
    found: dict[str, Any] = json.loads(entry.body)
    return found


def every_ok_has_its_key(sitting: Sitting, entries: Sequence[Entry], start: int) -> None:
    """No OK without key O, or a matching state or reading, given at that step in this sitting."""
    for place, entry in enumerate(entries[start:], start):
        said = body(entry)
        if entry.kind != "step.answered" or said["answer"] != "OK":
            continue
        asked, *after = sitting.cause(place)
        step = sitting.step_of(asked.question)
        assert step is not None
        assert step.id == said["step"]
        assert _is_good(step, asked.reply), (step.id, asked.reply)
        replies = [x.reply for x in after if x.reply != "R"]
        if step.evidence:
            assert said["evidence"] == replies.pop(0).strip() or said["evidence"].strip()
        assert not step.critical or replies == ["C"]


def _is_good(step: Step, reply: str) -> bool:
    if step.kind == "state":
        return step.states[int(reply) - 1] == step.expect
    if step.kind == "reading":
        assert step.accept is not None
        return step.accept.low <= Decimal(reply.partition(" ")[0]) <= step.accept.high
    return reply.isdigit() if step.kind == "count" else reply == "O"


def never_finished_with_something_away(entries: Sequence[Entry]) -> None:
    """At each FINISHED everything that was ever moved on that airframe is home again."""
    away: dict[tuple[str | None, str], str] = {}
    for entry in entries:
        said = body(entry)
        if entry.kind == "ledger.moved":
            where = (entry.airframe, said["item"])
            away[where] = said["to"]
            if said["to"] == said["home"]:
                del away[where]
        if entry.kind == "walk.closed" and said["outcome"] == "finished":
            assert not [item for tail, item in away if tail == entry.airframe]


def every_finish_has_its_key(sitting: Sitting, entries: Sequence[Entry], start: int) -> None:
    """A walk is FINISHED only by the key C at the question that says so."""
    for place, entry in enumerate(entries[start:], start):
        if entry.kind == "walk.closed" and body(entry)["outcome"] == "finished":
            last = [x for x in sitting.exchanges if x.lines <= place][-1]
            assert "FINISHED" in dict(last.question.words)["C"]
            assert last.reply == "C"


def answered(entries: Sequence[Entry], walk: str) -> dict[str, str]:
    """The answers of a walk that count, recounted from its lines."""
    given: dict[str, str] = {}
    for entry in entries:
        if entry.walk == walk and entry.kind == "step.answered":
            given[body(entry)["step"]] = body(entry)["answer"]
        if entry.walk == walk and entry.kind == "step.undone":
            given.pop(body(entry)["step"], None)
    return given


def first_unanswered(checklist: Checklist, given: dict[str, str], facts: frozenset[str]) -> int:
    """The place in the list of the first step without an answer; its length if there is none."""
    for place, step in enumerate(checklist.steps):
        applies = not step.applies_if or step.applies_if in facts
        if applies and step.id not in given:
            return place
    return len(checklist.steps)
