"""The log beside a record: whether one lies there, and whether it is this record's own.

SQLite takes in whatever log lies beside a file under its name, for a log does not say whose it is
(sqlite.org/howtocorrupt.html, 1.4). So no file is put where a log lies already, and a log that was
there before the record is opened is looked at first.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

from hardstand.errors import Damaged, Refusal

LOG_ENDINGS = ("-wal", "-shm", "-journal")
"""What SQLite puts beside a file while it is open, or leaves there after a crash."""

SMALL = 8 * 2**20
"""Bytes up to which every page is looked at when a record is opened with a log beside it."""

_HEADS = "SELECT device, seq, digest FROM head"
_LINE = "SELECT digest FROM entry WHERE device = ? AND seq = ?"
_SINCE = "SELECT count(digest) FROM entry WHERE device = ? AND seq > ?"


def log_beside(path: Path) -> Path | None:
    """The log with lines in it that lies beside a file or the place of one, if there is one."""
    for ending in ("-journal", "-wal"):
        part = path.with_name(path.name + ending)
        with suppress(OSError):
            if part.stat().st_size:
                return part
    return None


def refuse_stray_log(path: Path, what: str) -> None:
    """Raise Refusal where a log lies at the place of a file that is yet to come.

    Args:
        path: the place.
        what: the file to come, as in "the one restored".
    """
    log = log_beside(path)
    if log is not None:
        raise Refusal(
            f"{log} belongs to a record that is gone, and would spoil {what}.",
            safe="Nothing was changed.",
            hint="It may hold the last lines of that record: move it to another folder, keep it.",
        )


def refuse_strange_log(path: Path, *, pages: bool = False) -> None:
    """Raise Damaged when the log beside a record is another's, or goes on from another state of it.

    The file alone and the file with its log are compared. What is odd about the file alone says
    nothing, for a power cut may leave it half brought up to date; what it holds for certain, a
    head and the line it names, its log cannot lack.

    Args:
        path: the record.
        pages: look at every page too, where the file is small.

    Raises:
        sqlite3.DatabaseError: the two do not read together.
    """
    log = log_beside(path)
    if log is not None and log.name.endswith("-journal"):
        raise strange_log(path, log, "a record never has such a log")
    sure = _sure_heads(path) if log else {}
    if log is None or not sure:
        return
    both = _opened(path, "mode=ro")
    try:
        both.execute("BEGIN")
        said = _parted(both, sure)
        if not said and pages and path.stat().st_size <= SMALL:
            said = both.execute("PRAGMA integrity_check(1)").fetchone()[0]
    finally:
        both.close()
    if said not in {"", "ok"}:
        raise strange_log(path, log, said)


def strange_log(path: Path, log: Path, said: str) -> Damaged:
    """The stop when a record and the log beside it do not read together."""
    return Damaged(
        f"{path} and the log beside it, {log.name}, do not belong together: {said}.",
        safe="Both were left as they are; neither was taken into the other.",
        hint="Keep copies of both. `hardstand record verify` names what is wrong; if the log is "
        "another file's, move it to another folder.",
    )


def _parted(both: sqlite3.Connection, sure: Mapping[str, tuple[int, bytes]]) -> str:
    """What says that a chain does not go on, with the log, from where it surely ended; or empty."""
    ends = {device: seq for device, seq, _ in both.execute(_HEADS)}
    for device, (seq, digest) in sure.items():
        line = both.execute(_LINE, (device, seq)).fetchone()
        since = both.execute(_SINCE, (device, seq)).fetchone()[0]
        if not line or line[0] != digest or ends.get(device, 0) != seq + since:
            return f"the chain of device {device} does not go on"
    return ""


def _sure_heads(path: Path) -> dict[str, tuple[int, bytes]]:
    """The heads that the file without its log names and whose line it has; none if it is odd."""
    alone = _opened(path, "mode=ro&immutable=1")
    try:
        heads = alone.execute(_HEADS).fetchall()
        lines = [alone.execute(_LINE, (device, seq)).fetchone() for device, seq, _ in heads]
    except sqlite3.DatabaseError:
        return {}
    finally:
        alone.close()
    return {
        device: (seq, digest)
        for (device, seq, digest), line in zip(heads, lines, strict=True)
        if line and line[0] == digest
    }


def _opened(path: Path, how: str) -> sqlite3.Connection:
    return sqlite3.connect(f"{path.absolute().as_uri()}?{how}", uri=True, isolation_level=None)
