"""A journal that stands before another: what is not its own is read from the one behind."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from hardstand.domain.chain import Head
from hardstand.domain.entry import Entry
from hardstand.domain.facts import RecordFacts
from hardstand.domain.quantity import Instant
from hardstand.ports import Journal


class Before:
    """Lines kept in memory before a record, which is never written: a journal but for `write`."""

    def __init__(self, behind: Journal, device: str) -> None:
        """`device` writes here; the lines of its walks are kept here, too."""
        self.device = device
        self.behind = behind
        self.kept: list[Entry] = []

    def append(self, entries: Sequence[Entry]) -> None:
        """Keep sealed entries for as long as this stands."""
        self.kept += entries

    def rebuild(self) -> None:
        """Nothing is kept that could be rebuilt."""

    def head(self, device: str) -> Head:
        """The end of the chain kept here."""
        last = self.kept[-1] if self.kept and device == self.device else None
        return Head(last.seq, last.digest, last.tick) if last else Head()

    def tick(self) -> int:
        """The highest tick kept here."""
        return self.head(self.device).tick

    def count_walks(self, device: str) -> int:
        """How many walks were begun here."""
        return sum(e.kind == "walk.started" and e.device == device for e in self.kept)

    def record(self) -> RecordFacts:
        """The facts of the record."""
        return self.behind.record()

    def heads(self) -> dict[str, Head]:
        """The end of the chain kept here."""
        return {self.device: self.head(self.device)}

    def digest(self, device: str, seq: int) -> bytes | None:
        """The digest of one line kept here."""
        return next((e.digest for e in self.kept if (e.device, e.seq) == (device, seq)), None)

    def newest_of(self, airframe: str, most: int) -> Iterator[Entry]:
        """The newest so many lines of an airframe in the record."""
        return self.behind.newest_of(airframe, most)

    def newest_own(self, author: str, kind: str, most: int) -> Iterator[Entry]:
        """The newest lines of a kind that somebody wrote in the record."""
        return self.behind.newest_own(author, kind, most)

    def found_among(self, most: int) -> Iterator[Entry]:
        """Those that say what was found among the newest lines of the record."""
        return self.behind.found_among(most)

    def entries(
        self, *, airframe: str = "", walk: str = "", kind: str = "", until: Instant | None = None
    ) -> Iterator[Entry]:
        """Those of the record."""
        return self.behind.entries(airframe=airframe, walk=walk, kind=kind, until=until)

    def chains(self) -> Iterator[Entry]:
        """Every line kept here."""
        return iter(self.kept)

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
        """Let go of everything kept here; the record stays open."""
        self.kept.clear()
