"""The record on SQLAlchemy Core: what is read back from it, and how it is made and opened.

Every write is one BEGIN IMMEDIATE transaction taken in turn; see `writing`.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from itertools import count
from operator import itemgetter
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, insert, select
from sqlalchemy.pool import StaticPool
from sqlalchemy.sql import Select

from hardstand.domain.chain import Head
from hardstand.domain.entry import APART, NOT_BEARING, Entry, Line
from hardstand.domain.facts import AirframeFacts, RecordFacts
from hardstand.domain.quantity import Instant
from hardstand.domain.record import WHOLE
from hardstand.errors import HardstandError, Refusal
from hardstand.store import ddl, kept, selects, statements
from hardstand.store.kept import LINES, ORDER, Kept
from hardstand.store.logs import refuse_stray_log
from hardstand.store.marks import APPLICATION_ID, SCHEMA
from hardstand.store.rows import entry
from hardstand.store.sqlite import (
    check_there,
    connect_reader,
    connect_writer,
    discard,
    make_room,
    put_in_place,
)
from hardstand.store.transaction import Begun, Told
from hardstand.store.turn import Turn
from hardstand.store.writing import SqlWriting, Write, read_heads


class SqlJournal:
    """A record in a SQLite file, opened for writing; see ports.Journal."""

    def __init__(self, path: Path, device: str = "", *, read_only: bool = False) -> None:
        """Open the record at `path`; `device` writes, else the one this copy was made for."""
        check_there(path)
        self.path = path
        self._engine = _engine(lambda: connect_reader(path) if read_only else connect_writer(path))
        self._connection = self._engine.connect()
        self._turn = Turn(path)
        self._kept = Kept()
        self._write = Write(path, self._connection, self._turn, self._kept)
        self.device = device or self._own_device()

    def _own_device(self) -> str:
        with self.reading() as connection:
            found = connection.execute(
                select(ddl.meta.c.value).where(ddl.meta.c.name == "device")
            ).scalar()
        return found or "A"

    def write(self) -> AbstractContextManager[SqlWriting]:
        """Open a write transaction; durable when the block ends without error."""
        return self._write

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A connection to read from, all of it as of one moment; it waits for no writer."""
        if statements.driver(self._connection).in_transaction:
            yield self._connection
            return
        with Told(self.path), Begun(self._connection, "BEGIN"):
            yield self._connection

    def record(self) -> RecordFacts:
        """The facts of the whole record."""
        with self._kept_reading() as connection:
            return self._kept.record(connection)

    def facts(self, tail: str) -> AirframeFacts:
        """The facts of one airframe."""
        with self._kept_reading(tail) as connection:
            return self._kept.facts(connection, tail)

    @contextmanager
    def _kept_reading(self, tail: str = "") -> Iterator[Connection]:
        """A connection to read what is kept; no transaction where all of it was seen already."""
        with Told(self.path):
            heads = read_heads(statements.driver(self._connection))
        if self._kept.has(heads, tail):
            yield self._connection
            return
        with self.reading() as connection:
            self._kept.seen_at(read_heads(statements.driver(connection)))
            yield connection

    def heads(self) -> dict[str, Head]:
        """The end of every device's chain."""
        with self.reading() as connection:
            raw = statements.driver(connection)
            return {device: Head(*end[:3]) for device, end in read_heads(raw).items()}

    def digest(self, device: str, seq: int) -> bytes | None:
        """The digest of one line; None where the chain does not go so far."""
        with self.reading() as connection:
            found = connection.exec_driver_sql(statements.DIGEST, (device, seq)).first()
        return found[0] if found else None

    def entries(
        self, *, airframe: str = "", walk: str = "", kind: str = "", until: Instant | None = None
    ) -> Iterator[Entry]:
        """Entries in (tick, device, seq) order, narrowed by what is named."""
        column = ddl.entry.c
        narrow = [column[n] == v for n, v in (("walk", walk), ("kind", kind)) if v]
        if kind in WHOLE | APART:  # said, so that SQLite takes the index of these few lines
            narrow.append(column.airframe.is_(None))
        if until is not None:
            narrow.append(column.at <= until)
        query = (
            selects.of_airframe(airframe, narrow, answers=kind in {"", *NOT_BEARING})
            if airframe
            else select(*LINES).where(*narrow).order_by(*ORDER)
        )
        with self.reading() as connection:
            found = [entry(values) for values in connection.execute(query)]
        yield from found

    def newest_of(self, airframe: str, most: int) -> Iterator[Entry]:
        """The newest lines that bear on an airframe, oldest first; with none named, of all."""
        yield from self._newest(selects.newest_of(airframe, most))

    def newest_own(self, author: str, kind: str, most: int) -> Iterator[Entry]:
        """The newest lines of a kind of OWN_WORK that somebody wrote, oldest first."""
        yield from self._newest(selects.newest_own(author, kind, most))

    def found_among(self, most: int) -> Iterator[Entry]:
        """Those of the kinds FOUND among the newest lines of all, oldest first."""
        yield from self._newest(selects.found_among(most))

    def _newest(self, query: Select[Any]) -> Iterator[Entry]:
        with self.reading() as connection:
            found = [entry(values) for values in connection.execute(query)]
        return reversed(found)

    def chains(self) -> Iterator[Entry]:
        """Every entry, by device and seq."""
        return (entry(values) for values in self.lines())

    def lines(self) -> Iterator[Line]:
        """Every entry as its fields in order, by device and seq, read as it is asked for.

        Text that is no UTF-8 comes with its odd bytes escaped, so that verify can name its line.
        """
        with self.reading() as connection:
            raw = statements.driver(connection)
            found, passed = raw.execute(statements.CHAINS), count()
            try:
                yield from map(itemgetter(0), zip(found, passed, strict=False))
            except sqlite3.OperationalError as error:
                if "decode" not in str(error):
                    raise
                yield from _as_it_stands(raw, f"{statements.CHAINS} LIMIT -1 OFFSET {next(passed)}")

    def stale(self) -> tuple[str, ...]:
        """What the derived tables hold that a fresh fold does not."""
        with self.reading() as connection:
            return kept.stale(connection)

    def unmade(self) -> tuple[str, ...]:
        """Indexes of the lines that are not as this version of the program has them."""
        with self.reading() as connection:
            return selects.unmade(connection)

    def guards(self) -> tuple[str, ...]:
        """Triggers that should stand and do not, or read otherwise."""
        with self.reading() as connection:
            rows = connection.exec_driver_sql(
                "SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'"
            )
            found: dict[str, str] = {line.name: line.sql for line in rows}
        return tuple(name for name, sql in ddl.TRIGGERS.items() if found.get(name) != sql)

    def flaws(self, *, quick: bool = False) -> tuple[str, ...]:
        """What SQLite finds wrong with its pages, and tables or indexes that are not ours.

        `quick` leaves out whether the indexes say what the tables say, and whose they are.
        """
        with self.reading() as connection:
            check = f"PRAGMA {'quick_check' if quick else 'integrity_check'}"
            said: list[str] = list(connection.exec_driver_sql(check).scalars())
            if quick:
                return tuple(said if said != ["ok"] else [])
            odd = selects.strange(connection)
        pages = [] if said == ["ok"] else said
        return (*pages, *odd)

    def close(self) -> None:
        """Give the file back."""
        self._connection.close()
        self._engine.dispose()
        self._turn.close()


def _engine(connect: Callable[[], sqlite3.Connection]) -> Engine:
    """An engine of one connection that begins its transactions as it is told to, not by itself."""
    return create_engine("sqlite://", creator=connect, poolclass=StaticPool)


def _as_it_stands(raw: sqlite3.Connection, query: str) -> Iterator[Line]:
    """The rows of a query, whatever bytes their text is made of."""
    raw.text_factory = lambda text: text.decode("utf-8", "surrogateescape")
    try:
        yield from raw.execute(query)
    finally:
        raw.text_factory = str


def create(path: Path, device: str) -> None:
    """Make an empty record at `path`: built under another name, then put in place whole.

    Raises:
        Refusal: something stands there already, or the place cannot hold a record.
    """
    make_room(path)
    refuse_stray_log(path, "the one made")
    building = path.with_name(path.name + ".new")
    discard(building)
    try:
        _build(building, path, device)
    except HardstandError:
        discard(building)
        raise
    put_in_place(building, path)


def _build(building: Path, path: Path, device: str) -> None:
    """Make the tables of an empty record, and close it; an error names `path`."""
    engine = _engine(lambda: connect_writer(building, new=True))
    try:
        with Told(path), engine.begin() as connection:
            connection.exec_driver_sql("BEGIN IMMEDIATE")
            ddl.metadata.create_all(connection)
            for sql in ddl.TRIGGERS.values():
                connection.exec_driver_sql(sql)
            connection.execute(insert(ddl.meta), {"name": "device", "value": device})
            kept.rebuild(connection)
            connection.exec_driver_sql(f"PRAGMA application_id = {APPLICATION_ID}")
            connection.exec_driver_sql(f"PRAGMA user_version = {SCHEMA}")
    finally:
        engine.dispose()


def anew(path: Path) -> None:
    """Make an empty demo record at `path`, in place of a demo record that stands there.

    Raises:
        Refusal: what stands there is not a demo record.
    """
    if path.exists():
        journal = SqlJournal(path, read_only=True)
        demo = journal.record().demo
        journal.close()
        if not demo:
            raise Refusal(
                f"{path} is a live record.",
                rule="the demo never touches a live record",
                safe="It was left as it is.",
                hint="Name another place for the demo.",
            )
        discard(path)
    create(path, "S")
