"""A walk for practice: played in memory on an aircraft as if nothing were open on it.

Nothing of it is a line of any airframe, so that no status, board, ledger or signature can ever
meet it; the record keeps one line that says it was practised.

Source: human-factors LRN-05.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace

from hardstand.domain.airframe import fold
from hardstand.domain.asking import Ask
from hardstand.domain.bodies import By, Practised
from hardstand.domain.bodies_walk import Said
from hardstand.domain.entry import Entry
from hardstand.domain.facts import AirframeFacts, RecordFacts
from hardstand.domain.ground import Ground
from hardstand.domain.quantity import Instant
from hardstand.domain.record import ground
from hardstand.domain.walk import WalkState
from hardstand.errors import NotThere
from hardstand.flows.adopting import the_fleet
from hardstand.flows.behind import Before
from hardstand.flows.pen import Pen
from hardstand.flows.recording import write
from hardstand.ports import Journal, Prompter

MARK = "PRACTICE"
LETTERS = "PQRSTUVWXYZABCDEFGHIJKLMNO"
"""Devices a practice may have: the first that no device of the record has, so that an entry number
such as 161-P01 is of a practice only."""


class Memory(Before):
    """A journal that keeps its own lines in memory and reads lists and fleet from the record.

    Nobody is enrolled in it: a trainee may practise alone, and nothing is signed.
    """

    def __init__(self, behind: Journal) -> None:
        taken = behind.heads()
        super().__init__(behind, next(letter for letter in LETTERS if letter not in taken))
        self._grounds: dict[str, Ground] = {}

    @contextmanager
    def write(self) -> Iterator[Memory]:
        """Open a write."""
        yield self

    def record(self) -> RecordFacts:
        """The facts of the record, with nobody enrolled."""
        return super().record()._replace(people=(), founded=None)

    def facts(self, tail: str) -> AirframeFacts:
        """The airframe as if nothing were open on it, with what was practised.

        Raises:
            NotThere: no such airframe in the fleet.
        """
        if tail not in self._grounds:
            fleet = the_fleet(self.behind)
            if tail not in fleet.airframes:
                raise NotThere(f"There is no airframe {tail or '(no tail)'} in this record.")
            self._grounds[tail] = ground(fleet, tail, self.record())
        return fold(self._grounds[tail], (e for e in self.kept if e.airframe == tail))

    def entries(
        self, *, airframe: str = "", walk: str = "", kind: str = "", until: Instant | None = None
    ) -> Iterator[Entry]:
        """The lines of a walk kept here; of any other walk or of none, those of the record."""
        if not walk.startswith(self.device):
            yield from super().entries(airframe=airframe, walk=walk, kind=kind, until=until)
            return
        for e in self.kept:
            if e.walk == walk and airframe in {"", e.airframe} and kind in {"", e.kind}:
                yield e


class Marked:
    """A prompter through which every line says that it is practice."""

    def __init__(self, prompter: Prompter) -> None:
        self._prompter = prompter

    def ask(self, question: Ask) -> str:
        """The reply to a question whose prompt says PRACTICE."""
        prompt = f"{MARK} {question.prompt}".rstrip()
        return self._prompter.ask(replace(question, prompt=prompt))

    def show(self, text: str) -> None:
        """Show words that say PRACTICE first."""
        self._prompter.show(f"{MARK} {text}")


def apart(pen: Pen) -> Pen:
    """The pen that writes a practice: in memory, without a key."""
    return replace(pen, journal=Memory(pen.journal), signer=None, key=None)


def of_record(pen: Pen) -> Pen:
    """The pen for what is of no airframe, such as words to an author: the record's own, always."""
    journal = pen.journal
    return replace(pen, journal=journal.behind) if isinstance(journal, Memory) else pen


def note(pen: Pen, state: WalkState, by: By) -> None:
    """Keep in the record that somebody practised; of no airframe, and without any verdict."""
    body = Practised(
        typed=state.airframe,
        checklist=state.plan.checklist.id,
        revision=state.plan.checklist.revision,
        answers=tuple(Said(step=s, answer=g.body.answer) for s, g in state.given.items()),
        finished=state.outcome == "finished",
        by=by,
    )
    with pen.journal.write() as writing:
        write(pen, writing, (body,))
