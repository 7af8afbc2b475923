"""The statements of an append, compiled from Core once, and run as text.

Compiling and caching a Core statement at each execution costs more than the statement itself;
an append is four of them and a sync. Everything that is not hot stays Core.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from typing import Any, cast

from sqlalchemy import Connection, bindparam, delete, insert, select
from sqlalchemy.dialects import sqlite
from sqlalchemy.sql import ClauseElement, func

from hardstand.store import ddl
from hardstand.store.rows import COLUMNS

_DIALECT = sqlite.dialect()


def _text(statement: ClauseElement, columns: tuple[str, ...] | None = None) -> str:
    return str(statement.compile(dialect=_DIALECT, column_keys=columns))


def run(connection: Connection, text: str, row: Sequence[Any]) -> sqlite3.Cursor:
    """Run one of these by the driver itself, in the transaction that is open.

    Core's result objects and event hooks cost as much again as the statements themselves.
    """
    return driver(connection).execute(text, row)


def driver(connection: Connection) -> sqlite3.Connection:
    """The driver's own connection under one of Core."""
    return cast(sqlite3.Connection, connection.connection.dbapi_connection)


_HEAD = sqlite.insert(ddl.head)

HEADS = _text(select(*(ddl.head.c[n] for n in ("device", "seq", "digest", "tick", "walks"))))
CHAINS = _text(
    select(*(ddl.entry.c[n] for n in COLUMNS)).order_by(ddl.entry.c.device, ddl.entry.c.seq)
)
BEARING = _text(
    select(*(ddl.entry.c[n] for n in COLUMNS))
    .where(ddl.entry.c.airframe == bindparam("tail"), ddl.BEARING)
    .order_by(ddl.entry.c.tick, ddl.entry.c.device, ddl.entry.c.seq)
)
DIGEST = _text(
    select(ddl.entry.c.digest).where(
        ddl.entry.c.device == bindparam("device"), ddl.entry.c.seq == bindparam("seq")
    )
)
ADD_ENTRY = _text(insert(ddl.entry), COLUMNS)
ADVANCE = _text(
    _HEAD.on_conflict_do_update(
        index_elements=[ddl.head.c.device],
        set_={
            "seq": _HEAD.excluded.seq,
            "digest": _HEAD.excluded.digest,
            "tick": _HEAD.excluded.tick,
            "at": func.max(ddl.head.c.at, _HEAD.excluded.at),
            "acted": func.max(ddl.head.c.acted, _HEAD.excluded.acted),
            "walks": _HEAD.excluded.walks,
        },
    ),
    tuple(ddl.head.c.keys()),
)
"""Parameters: the head's columns; `at` and `acted` of the lines added, `walks` so far."""

KEPT = _text(select(ddl.now.c.facts, ddl.now.c.rest).where(ddl.now.c.tail == bindparam("tail")))
_KEEP = sqlite.insert(ddl.now)
KEEP = _text(
    _KEEP.on_conflict_do_update(
        index_elements=[ddl.now.c.tail],
        set_={"facts": _KEEP.excluded.facts, "rest": _KEEP.excluded.rest},
    ),
    tuple(ddl.now.c.keys()),
)
DROP_KEPT = _text(delete(ddl.now).where(ddl.now.c.tail == bindparam("tail")))
