"""A transaction, and in our own words what SQLite says in it.

Classes, not generators: they stand around every append, between an answer and the next question.
"""

from __future__ import annotations

import sqlite3
from pathlib import Path

from sqlalchemy import Connection
from sqlalchemy.exc import DBAPIError

from hardstand.store import statements
from hardstand.store.sqlite import explained


class Begun:
    """A transaction of the driver, ended with the block: Core's own around it costs as much.

    Where a statement of Core ran inside, Core believes in one of its own, which ends with it.
    """

    def __init__(self, connection: Connection, begin: str) -> None:
        """`begin` is the statement to begin with."""
        self._connection = connection
        self._raw = statements.driver(connection)
        self._begin = begin

    def __enter__(self) -> None:
        """Begin it."""
        self._raw.execute(self._begin)

    def __exit__(self, kind: type[BaseException] | None, *_: object) -> None:
        """Commit what ended without error, take anything else back."""
        try:
            if kind is None:
                self._raw.commit()
        finally:
            if self._raw.in_transaction:
                self._raw.rollback()
            if self._connection.in_transaction():
                self._connection.rollback()


class Told:
    """Turn what SQLite says inside into our own errors."""

    def __init__(self, path: Path) -> None:
        """`path` is named in what is raised."""
        self._path = path

    def __enter__(self) -> None:
        """Nothing is to be done before."""

    def __exit__(
        self, _: type[BaseException] | None, error: BaseException | None, __: object
    ) -> None:
        """Raise our own error in place of one of SQLite's."""
        found = error.orig if isinstance(error, DBAPIError) else error
        if isinstance(found, sqlite3.DatabaseError):
            raise explained(found, self._path) from error
