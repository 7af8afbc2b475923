"""What the flows need of the world: a record, a clock, somebody to ask."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import AbstractContextManager
from typing import Protocol, runtime_checkable

from hardstand.domain.asking import Ask
from hardstand.domain.chain import Head
from hardstand.domain.entry import Entry, Line
from hardstand.domain.facts import AirframeFacts, RecordFacts
from hardstand.domain.quantity import Instant


class Writing(Protocol):
    """One open write transaction; everything read in it holds until it ends."""

    def head(self, device: str) -> Head:
        """The end of a device's chain; `seq` 0 when it has none."""

    def tick(self) -> int:
        """The highest tick in the record."""

    def record(self) -> RecordFacts:
        """The facts of the whole record."""

    def facts(self, tail: str) -> AirframeFacts:
        """The facts of one airframe.

        Raises:
            NotThere: no such airframe in the fleet.
        """

    def count_walks(self, device: str) -> int:
        """How many walks the device has started."""

    def append(self, entries: Sequence[Entry]) -> None:
        """Add sealed entries, advance their heads, refold the airframes they bear on."""

    def rebuild(self) -> None:
        """Drop what is kept of every airframe and fold it anew."""


class Journal(Protocol):
    """The record: the only way in is `write`, one transaction each."""

    device: str

    def write(self) -> AbstractContextManager[Writing]:
        """Open a write transaction; it is durable when the `with` block ends without error."""

    def record(self) -> RecordFacts:
        """The facts of the whole record."""

    def facts(self, tail: str) -> AirframeFacts:
        """The facts of one airframe.

        Raises:
            NotThere: no such airframe in the fleet.
        """

    def heads(self) -> dict[str, Head]:
        """The end of every device's chain."""

    def digest(self, device: str, seq: int) -> bytes | None:
        """The digest of one line; None where the chain does not go so far."""

    def entries(
        self, *, airframe: str = "", walk: str = "", kind: str = "", until: Instant | None = None
    ) -> Iterator[Entry]:
        """Entries in (tick, device, seq) order, narrowed by what is named."""

    def newest_of(self, airframe: str, most: int) -> Iterator[Entry]:
        """The newest lines that bear on an airframe, oldest first; with none named, of all."""

    def newest_own(self, author: str, kind: str, most: int) -> Iterator[Entry]:
        """The newest lines of a kind of OWN_WORK that somebody wrote, oldest first."""

    def found_among(self, most: int) -> Iterator[Entry]:
        """Those of the kinds FOUND among the newest lines of all, oldest first."""

    def chains(self) -> Iterator[Entry]:
        """Every entry, by device and seq."""

    def lines(self) -> Iterator[Line | Entry]:
        """The same as fields in order, for verifying millions without an object each."""

    def stale(self) -> tuple[str, ...]:
        """What the derived tables hold that a fresh fold does not; empty when they agree."""

    def unmade(self) -> tuple[str, ...]:
        """Indexes that are not as this version of the program has them; empty when all are."""

    def guards(self) -> tuple[str, ...]:
        """Triggers that should stand and do not; empty when all do."""

    def flaws(self, *, quick: bool = False) -> tuple[str, ...]:
        """What is wrong with the file itself, below the lines; empty when it is sound. Slow.

        `quick` reads every page, and leaves out whether the indexes say what the tables say.
        """

    def close(self) -> None:
        """Give the record back; nothing can be read or written through this any more."""


class Clock(Protocol):
    """The time now, as the device believes it."""

    def now(self) -> Instant:
        """The present instant, whole seconds."""


@runtime_checkable
class SteadyClock(Clock, Protocol):
    """A clock that is watched: it knows by how much it moved by itself while the program ran."""

    def slipped(self) -> int:
        """Seconds it moved against a steady clock since last asked; 0 within a minute."""

    def has_slipped(self) -> bool:
        """Whether it ever moved so since the program began: then it dates nothing any more."""


class Key(Protocol):
    """A person's key, unlocked for one act."""

    @property
    def public(self) -> str:
        """Its public half, hex."""

    def sign(self, message: bytes) -> bytes:
        """The signature over a message, 64 bytes."""


class Signer(Protocol):
    """The keys of people: unlocked by their passphrase, asked afresh at each act."""

    @property
    def demo(self) -> bool:
        """Whether its keys are DEMO keys."""

    def unlock(self, person: str, public: str, says: Sequence[str]) -> Key:
        """The person's key, after its passphrase was given.

        Args:
            person: initials.
            public: the public key in force, hex.
            says: what is shown before the passphrase is asked: what is signed, what it means.

        Raises:
            WrongPassphrase: it does not open the key.
            Refusal: there is no such key here, or nobody to ask.
        """

    def make(self, person: str, number: int, says: Sequence[str]) -> Key:
        """A new key of a person, sealed by a passphrase they choose and give twice.

        Args:
            person: initials.
            number: how many keys they have had, this one counted.
            says: what is shown before.

        Raises:
            Refusal: the two are unlike, too short, or there is nobody to ask.
        """


class Verifier(Protocol):
    """The check of signatures; needs public keys only."""

    def fits(self, public: bytes, message: bytes, signature: bytes) -> bool:
        """Whether the signature over a message is by the key of that public half."""


class Prompter(Protocol):
    """Somebody who can be asked: a terminal, a pipe, a file of answers, a test."""

    def ask(self, question: Ask) -> str:
        """The reply: a key in capitals, a digit of a choice, or the line typed.

        Raises:
            Interrupted: the person left, or the input ended.
        """

    def show(self, text: str) -> None:
        """Show words that ask nothing."""


@runtime_checkable
class Forehanded(Protocol):
    """A prompter that gets ready what likely comes next while a question is read."""

    def ahead(self, likely: Callable[[], Ask | None]) -> None:
        """Take what makes the question after the next one; None where that cannot be told.

        It is called at most once, when the next question stands and a key can be pressed already.
        """

    def at_once(self) -> None:
        """Show what was made so, before it is put.

        Where that very question is put next it stands already; any other takes its place.
        """
