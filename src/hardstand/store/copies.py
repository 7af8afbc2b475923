"""Copies of a record by SQLite's own means: a backup, and a backup put back.

A record is up to three files while it is open, and only SQLite may open them; a copy is one
closed file, built under another name, checked, synced, then put in place.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping
from pathlib import Path

from hardstand.domain.chain import Head
from hardstand.errors import Busy, Damaged, HardstandError, Refusal
from hardstand.store import statements
from hardstand.store.logs import LOG_ENDINGS, refuse_stray_log
from hardstand.store.sqlite import (
    connect_reader,
    connect_writer,
    discard,
    explained,
    put_in_place,
    refuse_network_disk,
)
from hardstand.store.turn import Turn


def copy(source: Path, target: Path, *, device: str = "") -> dict[str, Head]:
    """Copy a record as of one moment, check the copy, and put it in place; the heads it holds.

    Args:
        source: the record; others may go on writing to it.
        target: where nothing stands yet.
        device: who writes in the copy; as in the source if empty.

    Raises:
        Refusal: something stands there, or the copy cannot be written.
        Damaged: the source does not read, or the copy is not what was read.
    """
    if target.exists() or target.is_symlink():
        raise Refusal(
            f"{target} exists already.",
            safe="It was left as it is; the record was only read.",
            hint="Name another file.",
        )
    refuse_stray_log(target, "the copy")
    building, heads = _built(source, target, device)
    put_in_place(building, target)
    return heads


def put_back(backup: Path, record: Path, device: str, standing: Mapping[str, Head]) -> None:
    """Copy a backup to where the record is to be, in place of an older copy of itself.

    Args:
        backup: a record that holds.
        record: where it goes.
        device: who writes there from now on.
        standing: the heads of what stands there, all of which the backup holds; empty if nothing
            does.

    Raises:
        Refusal: the log of another record lies there, and would spoil this one.
        Busy: another program has the record there open, or has written to it meanwhile.
    """
    building, _ = _built(backup, record, device)
    try:
        with Turn(record):
            _clear_place(record, standing)
            put_in_place(building, record)
    except HardstandError:
        discard(building)
        raise


def _clear_place(record: Path, standing: Mapping[str, Head]) -> None:
    """Make sure that only what may go stands there, closed by everybody."""
    beside = [record.with_name(record.name + ending) for ending in LOG_ENDINGS]
    if record.exists():
        connection = connect_writer(record)
        try:
            same = _heads_in(connection) == standing
        finally:
            connection.close()  # the last to close takes the log in and removes it
        if not same or any(part.exists() for part in beside):
            raise _in_use(record)
    refuse_stray_log(record, "the one restored")
    if not record.exists():
        discard(record)


def _in_use(record: Path) -> Busy:
    return Busy(
        f"Another program has {record} open.",
        safe="Nothing was changed.",
        hint="Close the other program, then restore again.",
    )


def _built(source: Path, target: Path, device: str) -> tuple[Path, dict[str, Head]]:
    """The checked and closed copy, under the name of one that is still being built; its heads."""
    building = target.with_name(target.name + ".new")
    discard(building)
    reader = connect_reader(source)
    try:
        refuse_network_disk(target)
        heads = _copy_pages(reader, building, device)
        _check(building, heads)
    except sqlite3.DatabaseError as error:
        discard(building)
        raise _unwritten(error, source, target) from error
    except HardstandError:
        discard(building)
        raise
    finally:
        reader.close()
    return building, heads


def _copy_pages(reader: sqlite3.Connection, building: Path, device: str) -> dict[str, Head]:
    """Copy all pages; the heads as they were in what was copied."""
    out = sqlite3.connect(building, isolation_level=None)
    try:
        out.execute("PRAGMA synchronous = OFF")  # nobody sees it before it is synced as a whole
        reader.execute("BEGIN")
        heads = _heads_in(reader)
        reader.backup(out)
        reader.execute("COMMIT")
        if device:
            out.execute("UPDATE meta SET value = ? WHERE name = 'device'", (device,))
    finally:
        out.close()
    return heads


def _check(building: Path, heads: dict[str, Head]) -> None:
    connection = _alone(building)
    try:
        said = connection.execute("PRAGMA quick_check(1)").fetchone()[0].splitlines()[-1]
        same = _heads_in(connection) == heads
    finally:
        connection.close()
    if said != "ok" or not same:
        raise Damaged(
            f"The copy does not hold: {said.rstrip('.') if said != 'ok' else 'it ends elsewhere'}.",
            safe="The record was only read; the copy was thrown away.",
            hint="Run `hardstand record verify --full` on the record, and try another disk.",
        )


def _alone(path: Path) -> sqlite3.Connection:
    """A connection to a closed file that nobody else has, which leaves nothing beside it."""
    uri = f"{path.absolute().as_uri()}?mode=ro&immutable=1"
    return sqlite3.connect(uri, uri=True, isolation_level=None)


def _heads_in(connection: sqlite3.Connection) -> dict[str, Head]:
    found = connection.execute(statements.HEADS)
    return {device: Head(seq, digest, tick) for device, seq, digest, tick, _ in found}


def _unwritten(error: sqlite3.DatabaseError, source: Path, target: Path) -> HardstandError:
    why = _WHY.get(error.sqlite_errorcode & 0xFF)
    if why and not target.parent.is_dir():
        why = f"there is no folder {target.parent}"
    if why is None:
        return explained(error, source)
    return Refusal(
        f"No copy was made at {target}: {why}.",
        safe="The record was only read.",
        hint="Name a place on a sound disk that can be written and has room.",
    )


_WHY = {
    sqlite3.SQLITE_FULL: "its disk is full",
    sqlite3.SQLITE_CANTOPEN: "it cannot be written to",
    sqlite3.SQLITE_READONLY: "it cannot be written to",
    sqlite3.SQLITE_IOERR: "a disk reported an error while it was read or written",
}
