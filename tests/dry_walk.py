"""A walk of the tiny list without a record: decisions sealed, folded and replayed at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from builders import IO, TAIL, checklist, entry, fit, fleet
from hardstand.domain import bodies as b
from hardstand.domain import closing
from hardstand.domain.airframe import fold
from hardstand.domain.answering import Reply, decide
from hardstand.domain.bodies import By, Outcome
from hardstand.domain.chain import ZERO
from hardstand.domain.checklist import Checklist
from hardstand.domain.defects import Refused
from hardstand.domain.entry import Entry
from hardstand.domain.facts import AirframeFacts
from hardstand.domain.quantity import Instant, later
from hardstand.domain.record import ground
from hardstand.domain.walk import Plan, WalkState, begin, evolve

FIVE = Instant("2027-03-08T08:00:00Z")
WELL = {
    "tools": Reply(value="9"),
    "safe": Reply(state="OFF"),
    "gate": Reply(key="O", evidence="BT at the wing tip"),
    "shut": Reply(state="SHUT"),
    "power": Reply(state="ON"),
    "volts": Reply(value="24.5"),
    "call": Reply(key="O", evidence="Tarrick Tower"),
    "off": Reply(state="OFF"),
    "count": Reply(value="9"),
}
"""Replies that answer a step well; the rest of the steps take the key O."""


def plan(tail: str = TAIL, listed: Checklist | None = None) -> Plan:
    """The tiny list on one airframe of the tiny fleet."""
    kind = fleet().types[fleet().airframes[tail].type]
    return Plan(
        checklist=listed or checklist(), fit=fit(), digest="d", places=kind.places,
        facts=frozenset(kind.facts),
    )  # fmt: skip


@dataclass(slots=True)
class DryWalk:
    """One walk of one airframe on device A, as far as it went."""

    tail: str = TAIL
    listed: Checklist | None = None
    before: tuple[Entry, ...] = ()
    entries: list[Entry] = field(default_factory=list)
    state: WalkState = field(init=False)

    def __post_init__(self) -> None:
        self.entries = list(self.before)
        items = {line.item: line.value for line in self.facts.lines}
        self.state = begin(plan(self.tail, self.listed), walk="A1", airframe=self.tail, items=items)

    @property
    def facts(self) -> AirframeFacts:
        """The airframe after everything written so far."""
        return fold(ground(fleet(), self.tail), self.entries)

    def write(self, bodies: Sequence[b.Body], walk: str | None = "A1") -> None:
        """Add lines to the record of the walk."""
        for body in bodies:
            seq = len(self.entries) + 1
            prev = self.entries[-1].digest if self.entries else ZERO
            made = entry(
                body, seq=seq, at=later(FIVE, seconds=60 * seq), tail=self.tail, walk=walk,
                prev=prev,
            )  # fmt: skip
            self.entries.append(made)
            self.state = evolve(self.state, made)

    def decide(self, step: str, reply: Reply | None = None) -> tuple[b.Body, ...] | Refused:
        """What a reply at a step would write."""
        asked = self.state.plan.checklist.step(step)
        given = reply or WELL.get(step, Reply(key="O"))
        return decide(self.state, self.facts, asked, given, device="A", by=IO)

    def give(self, step: str, reply: Reply | None = None) -> tuple[b.Body, ...]:
        """Answer a step, well if no reply is given, with the steps a fault passes over."""
        bodies = self.decide(step, reply)
        assert not isinstance(bodies, Refused), bodies.what
        answer = bodies[0]
        if isinstance(answer, b.StepAnswered) and answer.answer == "FAULT":
            asked = self.state.plan.checklist.step(step)
            passed = closing.pass_over(self.state, self.facts, asked, device="A", by=IO)
            bodies = (*bodies, *passed)
        self.write(bodies)
        return bodies

    def walk(self, *, until: str = "", **odd: Reply) -> DryWalk:
        """Answer every open step in order, well but for the odd ones, up to `until`."""
        while (step := self.state.next_step()) is not None and step.id != until:
            self.give(step.id, odd.get(step.id))
        return self

    def undo(self, step: str) -> tuple[b.Body, ...]:
        """Take an answer back."""
        bodies = closing.undo(self.state, self.facts, step, IO)
        assert not isinstance(bodies, Refused), bodies.what
        self.write(bodies)
        return bodies

    def finish(self) -> tuple[b.Body, ...] | Refused:
        """FINISHED, or why not; written if it can be."""
        bodies = closing.finish(self.state, self.facts, "", IO)
        if not isinstance(bodies, Refused):
            self.write(bodies)
        return bodies

    def end(self, outcome: Outcome, by: By = IO) -> tuple[b.Body, ...]:
        """End the walk unfinished."""
        bodies = closing.end(self.state, self.facts, outcome, words="", device="A", by=by)
        self.write(bodies)
        return bodies
