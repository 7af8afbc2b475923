"""Tables of the record, once, for SQLAlchemy Core; the triggers that make `entry` append-only.

`entry` is the only truth. `now` is derived and can be dropped and rebuilt; so can `head`, which
is kept because a chain cannot show that its own end was cut off.
"""

from __future__ import annotations

from sqlalchemy import (
    Column,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    Table,
    Text,
    UniqueConstraint,
    literal_column,
    or_,
)  # fmt: skip
from sqlalchemy.dialects import sqlite
from sqlalchemy.schema import CreateIndex, CreateTable
from sqlalchemy.sql import ColumnElement

from hardstand.domain.entry import NOT_BEARING, OWN_WORK

metadata = MetaData()

entry = Table(
    "entry",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("device", Text, nullable=False),
    Column("seq", Integer, nullable=False),
    Column("tick", Integer, nullable=False),
    Column("at", Text, nullable=False),
    Column("author", Text, nullable=False),
    Column("airframe", Text),
    Column("walk", Text),
    Column("kind", Text, nullable=False),
    Column("version", Integer, nullable=False),
    Column("body", LargeBinary, nullable=False),
    Column("prev", LargeBinary, nullable=False),
    Column("digest", LargeBinary, nullable=False),
    Column("signature", LargeBinary),
    UniqueConstraint("device", "seq", name="entry_identity"),
    sqlite_strict=True,
)

BEARING = entry.c.kind.not_in([literal_column(f"'{kind}'") for kind in sorted(NOT_BEARING)])
"""Rows of a kind that bears on status; literal, so that SQLite matches it to the index."""

Index(
    "entry_bearing", entry.c.airframe, entry.c.tick, entry.c.device, entry.c.seq,
    sqlite_where=BEARING & entry.c.airframe.is_not(None),
)  # fmt: skip
Index("entry_walk", entry.c.walk, entry.c.id, sqlite_where=entry.c.walk.is_not(None))
Index("entry_whole", entry.c.kind, entry.c.tick, sqlite_where=entry.c.airframe.is_(None))


def of_kind(kind: str) -> ColumnElement[bool]:
    """Rows of a kind, literal: SQLite takes `entry_own` for a query that says one of its parts."""
    return entry.c.kind == literal_column(f"'{kind}'")


Index(
    "entry_own", entry.c.author, entry.c.kind, entry.c.tick,
    sqlite_where=or_(*map(of_kind, OWN_WORK)),
)  # fmt: skip

head = Table(
    "head",
    metadata,
    Column("device", Text, primary_key=True),
    Column("seq", Integer, nullable=False),
    Column("digest", LargeBinary, nullable=False),
    Column("tick", Integer, nullable=False),
    Column("at", Text, nullable=False),
    Column("acted", Text, nullable=False),
    Column("walks", Integer, nullable=False),
    sqlite_strict=True,
)
"""The end of each chain. `at` is the newest time its lines bear, `acted` that of those about an
airframe, empty when there is none.
"""

now = Table(
    "now",
    metadata,
    Column("tail", Text, primary_key=True),
    Column("facts", Text, nullable=False),
    Column("rest", Text, nullable=False),
    sqlite_strict=True,
)
"""The fold, kept: one row an airframe, and one for the whole record under the empty tail.

`facts` is what reads need; `rest` is what else the fold needs to be gone on with.
"""

meta = Table(
    "meta",
    metadata,
    Column("name", Text, primary_key=True),
    Column("value", Text, nullable=False),
    sqlite_strict=True,
)
"""What belongs to this copy of the record only: the device that writes here."""

TRIGGERS = {
    "entry_no_update": (
        "CREATE TRIGGER entry_no_update BEFORE UPDATE ON entry "
        "BEGIN SELECT RAISE(ABORT, 'the record only grows: no line is ever changed'); END"
    ),
    "entry_no_delete": (
        "CREATE TRIGGER entry_no_delete BEFORE DELETE ON entry "
        "BEGIN SELECT RAISE(ABORT, 'the record only grows: no line is ever removed'); END"
    ),
    "entry_no_replace": (
        "CREATE TRIGGER entry_no_replace BEFORE INSERT ON entry "
        "WHEN EXISTS (SELECT 1 FROM entry WHERE id = NEW.id "
        "OR (device = NEW.device AND seq = NEW.seq)) "
        "BEGIN SELECT RAISE(ABORT, 'the record only grows: this line exists already'); END"
    ),
}


def statements() -> dict[str, str]:
    """The statement that makes each table and index, by its name."""
    dialect = sqlite.dialect()
    made = {t.name: str(CreateTable(t).compile(dialect=dialect)) for t in metadata.sorted_tables}
    indexes = (index for table in metadata.sorted_tables for index in table.indexes)
    return made | {str(i.name): str(CreateIndex(i).compile(dialect=dialect)) for i in indexes}
