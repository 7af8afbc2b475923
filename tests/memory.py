"""A record kept in memory: the Journal port without a disk, for tests by the thousand.

tests/store/test_journal_contract.py holds it and the SQLite journal to one set of tests, so that
it may be trusted.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager

from hardstand.domain.airframe import fold
from hardstand.domain.chain import Head
from hardstand.domain.entry import FOUND, Entry, bears_on_status
from hardstand.domain.facts import AirframeFacts, RecordFacts
from hardstand.domain.fleet import Fleet
from hardstand.domain.quantity import Instant
from hardstand.domain.record import WHOLE, fold_record, ground
from hardstand.errors import NotThere


def _heads_of(lines: Sequence[Entry]) -> dict[str, Head]:
    """The end of each chain in entries that stand in the order of each device."""
    return {e.device: Head(e.seq, e.digest, e.tick) for e in lines}


class MemoryJournal:
    """Entries in a list; facts folded when asked for and kept until something bears on them."""

    def __init__(self, device: str = "A", lines: Sequence[Entry] = ()) -> None:
        self.device = device
        self._lines = list(lines)
        self._facts: dict[str, AirframeFacts] = {}
        self._whole: tuple[RecordFacts, Fleet | None] | None = None
        self._heads = _heads_of(self._lines)

    # -- Writing ---------------------------------------------------------------------------------

    def head(self, device: str) -> Head:
        """The end of a device's chain."""
        return self._heads.get(device, Head())

    def tick(self) -> int:
        """The highest tick in the record."""
        return max((head.tick for head in self._heads.values()), default=0)

    def count_walks(self, device: str) -> int:
        """How many walks the device has started."""
        return sum(e.kind == "walk.started" and e.device == device for e in self._lines)

    def append(self, entries: Sequence[Entry]) -> None:
        """Add sealed entries; one that exists already is a mistake of the caller."""
        for line in entries:
            assert line.seq == self.head(line.device).seq + 1
            self._heads[line.device] = Head(line.seq, line.digest, line.tick)
            self._lines.append(line)
            if line.kind in WHOLE:
                self._facts.clear()
                self._whole = None
            elif bears_on_status(line.kind, line.airframe):
                self._facts.pop(line.airframe or "", None)

    def rebuild(self) -> None:
        """Fold anew when asked the next time."""
        self._facts.clear()
        self._whole = None

    # -- Journal ---------------------------------------------------------------------------------

    @contextmanager
    def write(self) -> Iterator[MemoryJournal]:
        """Open a write; an error inside takes back what was appended in it."""
        before = len(self._lines)
        try:
            yield self
        except BaseException:
            del self._lines[before:]
            self._heads = _heads_of(self._lines)
            self._facts.clear()
            self._whole = None
            raise

    def record(self) -> RecordFacts:
        """The facts of the whole record."""
        return self._folded()[0]

    def _folded(self) -> tuple[RecordFacts, Fleet | None]:
        if self._whole is None:
            self._whole = fold_record(e for e in self._lines if e.airframe is None)
        return self._whole

    def facts(self, tail: str) -> AirframeFacts:
        """The facts of one airframe."""
        fleet = self._folded()[1]
        if fleet is None or tail not in fleet.airframes:
            raise NotThere(
                f"There is no airframe {tail or '(no tail)'} in this record.",
                hint="`hardstand fleet show` lists the tails.",
            )
        if tail not in self._facts:
            own = (e for e in self._lines if e.airframe == tail and bears_on_status(e.kind, tail))
            self._facts[tail] = fold(ground(fleet, tail, self.record()), own)
        return self._facts[tail]

    def heads(self) -> dict[str, Head]:
        """The end of every device's chain."""
        return dict(self._heads)

    def digest(self, device: str, seq: int) -> bytes | None:
        """The digest of one line; None where the chain does not go so far."""
        return next((e.digest for e in self._lines if (e.device, e.seq) == (device, seq)), None)

    def entries(
        self, *, airframe: str = "", walk: str = "", kind: str = "", until: Instant | None = None
    ) -> Iterator[Entry]:
        """Entries in (tick, device, seq) order, narrowed by what is named."""
        for e in sorted(self._lines, key=lambda e: (e.tick, e.device, e.seq)):
            wanted = airframe in {"", e.airframe} and walk in {"", e.walk} and kind in {"", e.kind}
            if wanted and (until is None or e.at <= until):
                yield e

    def newest_of(self, airframe: str, most: int) -> Iterator[Entry]:
        """The newest lines that bear on an airframe, oldest first; with none named, of all."""
        own = [e for e in self.entries(airframe=airframe) if bears_on_status(e.kind, airframe)]
        yield from (own if airframe else self._lines)[-most:]

    def newest_own(self, author: str, kind: str, most: int) -> Iterator[Entry]:
        """The newest lines of a kind of OWN_WORK that somebody wrote, oldest first."""
        yield from [e for e in self.entries(kind=kind) if e.author == author][-most:]

    def found_among(self, most: int) -> Iterator[Entry]:
        """Those of the kinds FOUND among the newest lines of all, oldest first."""
        yield from (e for e in self._lines[-most:] if e.kind in FOUND)

    def chains(self) -> Iterator[Entry]:
        """Every entry, by device and seq."""
        return iter(sorted(self._lines, key=lambda e: (e.device, e.seq)))

    def lines(self) -> Iterator[Entry]:
        """The same; an entry unpacks as its fields in order."""
        return self.chains()

    def stale(self) -> tuple[str, ...]:
        """Nothing: facts are folded when asked for."""
        return ()

    def unmade(self) -> tuple[str, ...]:
        """Nothing: there is no index."""
        return ()

    def guards(self) -> tuple[str, ...]:
        """Nothing: there is no file whose triggers could be missing."""
        return ()

    def flaws(self, *, quick: bool = False) -> tuple[str, ...]:
        """Nothing: there is no file."""
        return ()

    def close(self) -> None:
        """Nothing to give back."""
