"""A write on a record, the only one there is: one BEGIN IMMEDIATE transaction, taken in turn.

An append goes on with the folds of the airframes it bears on in that same transaction.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from pathlib import Path

from sqlalchemy import Connection

from hardstand.domain.chain import Head
from hardstand.domain.entry import Entry, bears_on_status
from hardstand.domain.facts import AirframeFacts, RecordFacts
from hardstand.domain.record import WHOLE
from hardstand.store import kept, selects, statements
from hardstand.store.kept import Kept
from hardstand.store.transaction import Begun, Told
from hardstand.store.turn import Turn


class SqlWriting:
    """One open write transaction on a connection; see ports.Writing."""

    def __init__(self, connection: Connection, known: Kept) -> None:
        """Take the ends of the chains as they are now; nothing else can move them from here on."""
        self._connection = connection
        self._raw = statements.driver(connection)
        self._heads = read_heads(self._raw)
        self._tick = max((tick for _, _, tick, _ in self._heads.values()), default=0)
        self._kept = known
        known.seen_at(self._heads)

    def head(self, device: str) -> Head:
        """The end of a device's chain."""
        found = self._heads.get(device)
        return Head(*found[:3]) if found else Head()

    def tick(self) -> int:
        """The highest tick in the record."""
        return self._tick

    def count_walks(self, device: str) -> int:
        """How many walks the device has started."""
        return self._heads[device][3] if device in self._heads else 0

    def record(self) -> RecordFacts:
        """The facts of the whole record."""
        return self._kept.record(self._connection)

    def facts(self, tail: str) -> AirframeFacts:
        """The facts of one airframe."""
        return self._kept.facts(self._connection, tail)

    def append(self, entries: Sequence[Entry]) -> None:
        """Add sealed entries, advance their heads, go on with the folds they bear on."""
        if not entries:
            return
        anew = any(line.kind in WHOLE for line in entries)
        last = self._tick < min(line.tick for line in entries)
        before = kept.before(self._connection, last=last) if anew else None
        self._raw.executemany(statements.ADD_ENTRY, entries)
        self._advance(entries)
        touched = dict[str, list[Entry]]()
        for line in entries:
            if line.airframe and bears_on_status(line.kind, line.airframe):
                touched.setdefault(line.airframe, []).append(line)
        for tail, lines in touched.items():
            self._kept.take(self._connection, tail, lines, last=last)
        if before is not None:
            self._kept.renew(self._connection, before)

    def _advance(self, entries: Sequence[Entry]) -> None:
        heads, newest, acted = dict(self._heads), dict[str, str](), dict[str, str]()
        for line in entries:
            walks = heads[line.device][3] if line.device in heads else 0
            walks += line.kind == "walk.started"
            heads[line.device] = (line.seq, line.digest, line.tick, walks)
            newest[line.device] = max(line.at, newest.get(line.device, ""))
            if line.airframe is not None:
                acted[line.device] = max(line.at, acted.get(line.device, ""))
        for device, at in newest.items():
            seq, digest, tick, walks = heads[device]
            values = (device, seq, digest, tick, at, acted.get(device, ""), walks)
            self._raw.execute(statements.ADVANCE, values)
        self._heads, self._tick = heads, max(self._tick, *(line.tick for line in entries))
        self._kept.grown_to(heads)

    def rebuild(self) -> None:
        """Drop the kept folds and fold everything anew; make the indexes that are not as ours."""
        selects.index_anew(self._connection)
        kept.rebuild(self._connection)
        self._kept.forget()
        self._kept.grown_to(self._heads)


class Write:
    """The write transactions of one connection, each in its turn.

    A class, not a generator, and one for all of them: it stands around every append.
    """

    def __init__(self, path: Path, connection: Connection, turn: Turn, known: Kept) -> None:
        self._told, self._turn = Told(path), turn
        self._begun = Begun(connection, "BEGIN IMMEDIATE")
        self._connection, self._kept = connection, known

    def __enter__(self) -> SqlWriting:
        """Wait for the turn, begin, and see where the chains end.

        Raises:
            Busy: another program kept the record for longer than the waiting time.
        """
        self._turn.__enter__()
        begun = False
        try:
            with self._told:
                self._begun.__enter__()
                writing = SqlWriting(self._connection, self._kept)
            begun = True
        finally:
            if not begun:
                self._end(BaseException)
        return writing

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: object
    ) -> None:
        """Commit, or take everything back; then give the turn to whoever waits."""
        self._end(kind)
        self._told.__exit__(kind, error, trace)

    def _end(self, kind: type[BaseException] | None) -> None:
        """What is not committed whole is taken back; what was seen inside is seen anew."""
        whole = False
        try:
            with self._told:
                self._begun.__exit__(kind)
            whole = kind is None
        finally:
            if not whole:
                self._kept.forget()
            self._turn.__exit__()


Heads = dict[str, tuple[int, bytes, int, int]]
"""For each device: seq, digest and tick of its last line, and how many walks it has started."""


def read_heads(raw: sqlite3.Connection) -> Heads:
    """The ends of all chains."""
    found = raw.execute(statements.HEADS)
    return {device: (seq, digest, tick, walks) for device, seq, digest, tick, walks in found}
