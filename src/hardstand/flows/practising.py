"""A walk for practice: played in memory on an aircraft as if nothing were open on it.

Nothing of it is a line of any airframe, so that no status, board, ledger or signature can ever
meet it; the record keeps one line that says it was practised.

Source: human-factors LRN-05.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace

from hardstand.domain.airframe import fold
from hardstand.domain.asking import Ask
from hardstand.domain.bodies import By, Practised
from hardstand.domain.bodies_walk import Said
from hardstand.domain.chain import Head
from hardstand.domain.entry import Entry
from hardstand.domain.facts import AirframeFacts, RecordFacts
from hardstand.domain.ground import Ground
from hardstand.domain.quantity import Instant
from hardstand.domain.record import ground
from hardstand.domain.walk import WalkState
from hardstand.errors import NotThere
from hardstand.flows.adopting import the_fleet
from hardstand.flows.pen import Pen
from hardstand.flows.recording import write
from hardstand.ports import Journal, Prompter

MARK = "PRACTICE"
LETTERS = "PQRSTUVWXYZABCDEFGHIJKLMNO"
"""Devices a practice may have: the first that no device of the record has, so that an entry number
such as 161-P01 is of a practice only."""


class Memory:
    """A journal that keeps its own lines in memory and reads lists and fleet from the record.

    Nobody is enrolled in it: a trainee may practise alone, and nothing is signed.
    """

    def __init__(self, behind: Journal) -> None:
        taken = behind.heads()
        self.device = next(letter for letter in LETTERS if letter not in taken)
        self.behind = behind
        self._lines: list[Entry] = []
        self._grounds: dict[str, Ground] = {}

    def head(self, device: str) -> Head:
        """The end of the chain kept here."""
        last = self._lines[-1] if self._lines and device == self.device else None
        return Head(last.seq, last.digest, last.tick) if last else Head()

    def tick(self) -> int:
        """The highest tick kept here."""
        return self.head(self.device).tick

    def count_walks(self, device: str) -> int:
        """How many walks were practised here."""
        return sum(e.kind == "walk.started" and e.device == device for e in self._lines)

    def append(self, entries: Sequence[Entry]) -> None:
        """Keep sealed entries until the practice is over."""
        self._lines += entries

    def rebuild(self) -> None:
        """Nothing is kept that could be rebuilt."""

    @contextmanager
    def write(self) -> Iterator[Memory]:
        """Open a write."""
        yield self

    def record(self) -> RecordFacts:
        """The facts of the record, with nobody enrolled."""
        return self.behind.record()._replace(people=(), founded=None)

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
        return fold(self._grounds[tail], (e for e in self._lines if e.airframe == tail))

    def heads(self) -> dict[str, Head]:
        """The end of the chain kept here."""
        return {self.device: self.head(self.device)}

    def digest(self, device: str, seq: int) -> bytes | None:
        """The digest of one line kept here."""
        return next((e.digest for e in self._lines if (e.device, e.seq) == (device, seq)), None)

    def entries(
        self, *, airframe: str = "", walk: str = "", kind: str = "", until: Instant | None = None
    ) -> Iterator[Entry]:
        """The lines of a walk kept here; of any other walk or of none, those of the record."""
        if not walk.startswith(self.device):
            yield from self.behind.entries(airframe=airframe, walk=walk, kind=kind, until=until)
            return
        for e in self._lines:
            if e.walk == walk and airframe in {"", e.airframe} and kind in {"", e.kind}:
                yield e

    def newest_of(self, airframe: str, most: int) -> Iterator[Entry]:
        """The newest so many lines of an airframe in the record."""
        return self.behind.newest_of(airframe, most)

    def newest_own(self, author: str, kind: str, most: int) -> Iterator[Entry]:
        """The newest lines of a kind that somebody wrote in the record."""
        return self.behind.newest_own(author, kind, most)

    def found_among(self, most: int) -> Iterator[Entry]:
        """Those that say what was found among the newest lines of the record."""
        return self.behind.found_among(most)

    def chains(self) -> Iterator[Entry]:
        """Every line kept here."""
        return iter(self._lines)

    def lines(self) -> Iterator[Entry]:
        """The same."""
        return self.chains()

    def stale(self) -> tuple[str, ...]:
        """Nothing: facts are folded when asked for."""
        return ()

    def unmade(self) -> tuple[str, ...]:
        """Nothing: there is no index."""
        return ()

    def guards(self) -> tuple[str, ...]:
        """Nothing: there is no file."""
        return ()

    def flaws(self, *, quick: bool = False) -> tuple[str, ...]:
        """Nothing: there is no file."""
        return ()

    def close(self) -> None:
        """Let go of everything."""
        self._lines.clear()


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
