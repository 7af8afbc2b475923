"""What the journal asks the table of lines by way of its indexes; and whether these stand.

Each of these finds its rows by an index, however many lines there are: tests/store/test_plans.py.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sqlalchemy import Connection, func, select, union_all
from sqlalchemy.sql import ColumnElement, Select

from hardstand.domain.entry import FOUND
from hardstand.store import ddl
from hardstand.store.kept import LINES, ORDER


def of_airframe(tail: str, narrow: Sequence[ColumnElement[bool]], *, answers: bool) -> Select[Any]:
    """Its bearing lines, and by way of its walks the answers that the airframe index leaves out."""
    bearing = (ddl.entry.c.airframe == tail) & ddl.BEARING
    if not answers:
        return select(*LINES).where(bearing, *narrow).order_by(*ORDER)
    walks = select(ddl.entry.c.walk).where(bearing, ddl.entry.c.kind == "walk.started")
    given = (ddl.entry.c.airframe == tail) & ~ddl.BEARING & ddl.entry.c.walk.in_(walks)
    both = union_all(
        select(*LINES).where(bearing, *narrow), select(*LINES).where(given, *narrow)
    ).subquery()
    return select(both).order_by(both.c.tick, both.c.device, both.c.seq)


def newest_of(tail: str, most: int) -> Select[Any]:
    """So many lines that bear on an airframe, newest first; with none named, the last written."""
    if not tail:
        return select(*LINES).order_by(ddl.entry.c.id.desc()).limit(most)
    return _newest_first(most, ddl.entry.c.airframe == tail, ddl.BEARING)


def newest_own(author: str, kind: str, most: int) -> Select[Any]:
    """So many lines of a kind of OWN_WORK that somebody wrote, newest first."""
    return _newest_first(most, ddl.entry.c.author == author, ddl.of_kind(kind))


def _newest_first(most: int, *where: ColumnElement[bool]) -> Select[Any]:
    newest = (column.desc() for column in ORDER)
    return select(*LINES).where(*where).order_by(*newest).limit(most)


def found_among(most: int) -> Select[Any]:
    """Those of the kinds FOUND among so many lines, the last written first.

    By the row number, which needs no index of its own: a row passed over costs half a microsecond.
    """
    last = select(func.max(ddl.entry.c.id)).scalar_subquery()
    where = (ddl.entry.c.id > last - most, ddl.entry.c.kind.in_(FOUND))
    return select(*LINES).where(*where).order_by(ddl.entry.c.id.desc())


# -- whether the indexes stand ---------------------------------------------------------------------


def strange(connection: Connection) -> tuple[str, ...]:
    """Tables and indexes that are missing, changed or not ours, but for the indexes of lines."""
    odd = _odd(connection) - _INDEXES
    return tuple(f"the table or index {n} is missing, changed or added" for n in sorted(odd))


def unmade(connection: Connection) -> tuple[str, ...]:
    """The indexes of lines that are missing or read otherwise: of another version of the program.

    What they are for is then found through every line, and is no less true.
    """
    return tuple(sorted(_odd(connection) & _INDEXES))


def index_anew(connection: Connection) -> None:
    """Make each of them as this version has it."""
    made = ddl.statements()
    for name in unmade(connection):
        connection.exec_driver_sql(f"DROP INDEX IF EXISTS {name}")
        connection.exec_driver_sql(made[name])


_INDEXES = frozenset(str(index.name) for index in ddl.entry.indexes)


def _odd(connection: Connection) -> set[str]:
    rows = connection.exec_driver_sql(
        "SELECT name, sql FROM sqlite_schema WHERE type IN ('table', 'index', 'view') "
        "AND sql IS NOT NULL"
    )
    found: dict[str, str] = {line.name: _spaced(line.sql) for line in rows}
    wanted = {name: _spaced(sql) for name, sql in ddl.statements().items()}
    return {n for n in found.keys() | wanted.keys() if found.get(n) != wanted.get(n)}


def _spaced(sql: str) -> str:
    return " ".join(sql.split())
