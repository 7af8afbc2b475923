"""The record on SQLAlchemy Core: append, read back, refold. The only place that writes.

Every write is one BEGIN IMMEDIATE transaction; an append refolds the airframes it bears on in
that same transaction, by the same fold that reads use.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy import Connection, Engine, create_engine, delete, event, insert, select, text
from sqlalchemy.exc import DBAPIError
from sqlalchemy.pool import StaticPool

from hardstand.domain.airframe import fold
from hardstand.domain.chain import Head
from hardstand.domain.entry import Entry, bears_on_status
from hardstand.domain.facts import AirframeFacts, RecordFacts
from hardstand.domain.fleet import Fleet
from hardstand.domain.plain import to_plain
from hardstand.domain.quantity import Instant
from hardstand.domain.record import WHOLE, fold_record, ground
from hardstand.errors import NotThere, Refusal
from hardstand.store import ddl
from hardstand.store.marks import APPLICATION_ID, SCHEMA
from hardstand.store.rows import COLUMNS, entry, kept, row
from hardstand.store.sqlite import (
    check_there,
    connect_reader,
    connect_writer,
    discard,
    explained,
    put_in_place,
)

_LINES = [ddl.entry.c[name] for name in COLUMNS]
_ORDER = (ddl.entry.c.tick, ddl.entry.c.device, ddl.entry.c.seq)


class SqlWriting:
    """One open write transaction on a connection; see ports.Writing."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def head(self, device: str) -> Head:
        """The end of a device's chain."""
        found = self._connection.execute(
            select(ddl.head.c.seq, ddl.head.c.digest, ddl.head.c.tick).where(
                ddl.head.c.device == device
            )
        ).first()
        return Head(*found) if found else Head()

    def tick(self) -> int:
        """The highest tick in the record."""
        ticks = self._connection.execute(select(ddl.head.c.tick)).scalars()
        return max(ticks, default=0)

    def count_walks(self, device: str) -> int:
        """How many walks the device has started."""
        found = self._connection.execute(
            select(ddl.head.c.walks).where(ddl.head.c.device == device)
        ).scalar()
        return found or 0

    def record(self) -> RecordFacts:
        """The facts of the whole record."""
        cached = read_cached(self._connection, "")
        return kept(RecordFacts, cached, "") if cached else RecordFacts()

    def facts(self, tail: str) -> AirframeFacts:
        """The facts of one airframe."""
        return airframe_facts(self._connection, tail)

    def append(self, entries: Sequence[Entry]) -> None:
        """Add sealed entries, advance their heads, refold what they bear on."""
        for line in entries:
            self._connection.execute(insert(ddl.entry), row(line))
            self._advance(line)
        if any(line.kind in WHOLE for line in entries):
            self.rebuild()
            return
        touched = dict.fromkeys(
            line.airframe for line in entries if bears_on_status(line.kind, line.airframe)
        )
        if touched:
            fleet = whole(self._connection)[1]
            for tail in touched:
                self._refold(tail or "", fleet)

    def _advance(self, line: Entry) -> None:
        started = 1 if line.kind == "walk.started" else 0
        values = {
            "device": line.device,
            "seq": line.seq,
            "digest": line.digest,
            "tick": line.tick,
            "at": line.at,
            "walks": started,
        }
        self._connection.execute(_ADVANCE, values)

    def _refold(self, tail: str, fleet: Fleet | None) -> None:
        if fleet is None or tail not in fleet.airframes:
            return
        store_cached(self._connection, tail, _folded(self._connection, fleet, tail))

    def rebuild(self) -> None:
        """Drop the cached facts and fold everything anew."""
        self._connection.execute(delete(ddl.now))
        record, fleet = whole(self._connection)
        store_cached(self._connection, "", record)
        for tail in record.tails:
            self._refold(tail, fleet)


_ADVANCE = text(
    "INSERT INTO head (device, seq, digest, tick, at, walks) "
    "VALUES (:device, :seq, :digest, :tick, :at, :walks) "
    "ON CONFLICT (device) DO UPDATE SET seq = excluded.seq, digest = excluded.digest, "
    "tick = excluded.tick, at = max(head.at, excluded.at), walks = head.walks + excluded.walks"
)


def read_cached(connection: Connection, tail: str) -> str | None:
    """The cached facts of a tail as JSON text; None when there are none."""
    return connection.execute(select(ddl.now.c.facts).where(ddl.now.c.tail == tail)).scalar()


def store_cached(connection: Connection, tail: str, facts: object) -> None:
    """Keep folded facts under a tail, in place of what was there."""
    connection.execute(delete(ddl.now).where(ddl.now.c.tail == tail))
    connection.execute(insert(ddl.now), {"tail": tail, "facts": dumped(facts)})


def dumped(facts: object) -> str:
    """Facts as the JSON text of the cache."""
    return json.dumps(to_plain(facts), ensure_ascii=False, separators=(",", ":"))


def airframe_facts(connection: Connection, tail: str) -> AirframeFacts:
    """The cached facts of one airframe.

    Raises:
        NotThere: no such airframe in the fleet.
    """
    cached = read_cached(connection, tail)
    if not tail or cached is None:
        raise NotThere(
            f"There is no airframe {tail or '(no tail)'} in this record.",
            hint="`hardstand fleet show` lists the tails.",
        )
    return kept(AirframeFacts, cached, tail)


def whole(connection: Connection) -> tuple[RecordFacts, Fleet | None]:
    """The record's facts and its fleet, folded from the entries of no airframe."""
    found = connection.execute(
        select(*_LINES).where(ddl.entry.c.airframe.is_(None)).order_by(*_ORDER)
    )
    return fold_record(entry(values) for values in found)


def bearing(connection: Connection, tail: str) -> Iterator[Entry]:
    """The status-bearing entries of one airframe."""
    found = connection.execute(
        select(*_LINES).where(ddl.entry.c.airframe == tail, ddl.BEARING).order_by(*_ORDER)
    )
    return (entry(values) for values in found)


def _folded(connection: Connection, fleet: Fleet | None, tail: str) -> AirframeFacts:
    """The facts of one airframe, folded anew."""
    if fleet is None:
        raise NotThere("This record knows no fleet yet.")
    return fold(ground(fleet, tail), bearing(connection, tail))


class SqlJournal:
    """A record in a SQLite file, opened for writing; see ports.Journal."""

    def __init__(self, path: Path, device: str = "", *, read_only: bool = False) -> None:
        """Open the record at `path`; `device` writes, else the one this copy was made for."""
        check_there(path)
        self.path = path
        self._engine = reading_engine(path) if read_only else writing_engine(path)
        self.device = device or self._own_device()

    def _own_device(self) -> str:
        with self.reading() as connection:
            found = connection.execute(
                select(ddl.meta.c.value).where(ddl.meta.c.name == "device")
            ).scalar()
        return found or "A"

    @contextmanager
    def write(self) -> Iterator[SqlWriting]:
        """Open a write transaction; durable when the block ends without error."""
        with told(self.path), self._engine.begin() as connection:
            yield SqlWriting(connection)

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A connection to read from; it takes the writer's place in the queue, briefly."""
        with told(self.path), self._engine.begin() as connection:
            yield connection

    def record(self) -> RecordFacts:
        """The facts of the whole record."""
        with self.write() as writing:
            return writing.record()

    def facts(self, tail: str) -> AirframeFacts:
        """The facts of one airframe."""
        with self.reading() as connection:
            return airframe_facts(connection, tail)

    def heads(self) -> dict[str, Head]:
        """The end of every device's chain."""
        with self.reading() as connection:
            found = connection.execute(
                select(ddl.head.c.device, ddl.head.c.seq, ddl.head.c.digest, ddl.head.c.tick)
            )
            return {device: Head(*rest) for device, *rest in found}

    def entries(
        self, *, airframe: str = "", walk: str = "", kind: str = "", until: Instant | None = None
    ) -> Iterator[Entry]:
        """Entries in (tick, device, seq) order, narrowed by what is named."""
        query = select(*_LINES).order_by(*_ORDER)
        for column, value in (("airframe", airframe), ("walk", walk), ("kind", kind)):
            if value:
                query = query.where(ddl.entry.c[column] == value)
        if kind in WHOLE:  # said, so that SQLite takes the index of these few lines
            query = query.where(ddl.entry.c.airframe.is_(None))
        if until is not None:
            query = query.where(ddl.entry.c.at <= until)
        with self.reading() as connection:
            found = [entry(values) for values in connection.execute(query)]
        yield from found

    def chains(self) -> Iterator[Entry]:
        """Every entry, by device and seq."""
        query = select(*_LINES).order_by(ddl.entry.c.device, ddl.entry.c.seq)
        with self.reading() as connection:
            yield from (entry(values) for values in connection.execute(query))

    def stale(self) -> tuple[str, ...]:
        """What the derived tables hold that a fresh fold does not."""
        with self.reading() as connection:
            record, fleet = whole(connection)
            fresh: dict[str, object] = {"": record}
            for tail in fleet.airframes if fleet else ():
                fresh[tail] = _folded(connection, fleet, tail)
            cached = connection.execute(select(ddl.now.c.tail, ddl.now.c.facts))
            held: dict[str, str] = {line.tail: line.facts for line in cached}
        wanted = {tail: dumped(facts) for tail, facts in fresh.items()}
        differ = [t for t in wanted.keys() | held.keys() if wanted.get(t) != held.get(t)]
        return tuple(sorted(t or "the whole record" for t in differ))

    def guards(self) -> tuple[str, ...]:
        """Triggers that should stand and do not, or read otherwise."""
        with self.reading() as connection:
            rows = connection.exec_driver_sql(
                "SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'"
            )
            found: dict[str, str] = {line.name: line.sql for line in rows}
        return tuple(name for name, sql in ddl.TRIGGERS.items() if found.get(name) != sql)

    def close(self) -> None:
        """Give the file back."""
        self._engine.dispose()


def writing_engine(path: Path, *, new: bool = False) -> Engine:
    """An engine of one connection whose transactions are all BEGIN IMMEDIATE."""
    engine = create_engine(
        "sqlite://", creator=lambda: connect_writer(path, new=new), poolclass=StaticPool
    )
    event.listen(engine, "begin", _immediate)
    return engine


def reading_engine(path: Path) -> Engine:
    """An engine of one connection that cannot write."""
    engine = create_engine("sqlite://", creator=lambda: connect_reader(path), poolclass=StaticPool)
    event.listen(engine, "begin", _deferred)
    return engine


def _deferred(connection: Connection) -> None:
    connection.exec_driver_sql("BEGIN")


def _immediate(connection: Connection) -> None:
    connection.exec_driver_sql("BEGIN IMMEDIATE")


@contextmanager
def told(path: Path) -> Iterator[None]:
    """Turn what SQLite says into our own errors."""
    try:
        yield
    except DBAPIError as error:
        if isinstance(error.orig, sqlite3.DatabaseError):
            raise explained(error.orig, path) from error
        raise
    except sqlite3.DatabaseError as error:
        raise explained(error, path) from error


def create(path: Path, device: str) -> None:
    """Make an empty record at `path`: built under another name, then put in place whole.

    Raises:
        Refusal: something stands there already, or the place cannot hold a record.
    """
    if path.exists():
        raise Refusal(
            f"{path} exists already.",
            safe="It was left as it is.",
            hint="Name another place, or use the record that is there.",
        )
    path.parent.mkdir(parents=True, exist_ok=True)
    building = path.with_name(path.name + ".new")
    discard(building)
    engine = writing_engine(building, new=True)
    with told(path), engine.begin() as connection:
        ddl.metadata.create_all(connection)
        for sql in ddl.TRIGGERS.values():
            connection.exec_driver_sql(sql)
        connection.execute(insert(ddl.meta), {"name": "device", "value": device})
        connection.exec_driver_sql(f"PRAGMA application_id = {APPLICATION_ID}")
        connection.exec_driver_sql(f"PRAGMA user_version = {SCHEMA}")
    engine.dispose()
    put_in_place(building, path)


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
