"""Opening a record kept in SQLite: settings set and read back, strange files refused.

Every refusal is three lines: what happened, what is safe, what to do.
"""

from __future__ import annotations

import errno
import os
import sqlite3
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

from hardstand.errors import Busy, Damaged, HardstandError, NewerFormat, NoRecord, Refusal
from hardstand.store.logs import (
    LOG_ENDINGS,
    log_beside,
    refuse_strange_log,
    strange_log,
)
from hardstand.store.marks import APPLICATION_ID, SCHEMA

BUSY_MS = 5000

_INDEX_BYTES = 32768
"""What SQLite's index of the log takes at the least."""

KEEP = (
    "Keep this file. Go on with a verified backup, or with what `hardstand record salvage` can "
    "still read of it."
)
"""What to do with a file that SQLite no longer reads."""

_WRITER: Mapping[str, str | int] = {
    "journal_mode": "wal",
    "synchronous": 2,
    "foreign_keys": 1,
    "busy_timeout": BUSY_MS,
    "recursive_triggers": 1,
    "trusted_schema": 0,
    "cell_size_check": 1,
    "mmap_size": 0,
}
"""Set on each writing connection and read back; WAL with FULL loses nothing acknowledged."""

_READER: Mapping[str, str | int] = {
    "busy_timeout": BUSY_MS,
    "query_only": 1,
    "trusted_schema": 0,
    "cell_size_check": 1,
}

NETWORK_TYPES = frozenset({
    "nfs", "nfs4", "cifs", "smb3", "smbfs", "9p", "afs", "ceph", "glusterfs", "lustre",
    "fuse.sshfs", "fuse.glusterfs", "fuse.rclone", "fuse.s3fs", "ncpfs", "davfs", "fuse.davfs2",
})  # fmt: skip
"""File systems on which SQLite's write-ahead log is not sound. Source: sqlite.org/wal.html."""


def connect_writer(path: Path, *, new: bool = False) -> sqlite3.Connection:
    """A connection that may write, every setting set and read back, transactions by hand.

    Unless `new`, the file must carry a record's marks before anything is set on it.
    """
    refuse_network_disk(path)
    if path.exists() and not os.access(path, os.W_OK):
        raise read_only(path)
    try:
        refuse_strange_log(path, pages=True)  # before anything that would take the log in
        connection = sqlite3.connect(path, isolation_level=None, timeout=BUSY_MS / 1000)
    except sqlite3.DatabaseError as error:
        raise explained(error, path) from error
    with _closed_on_error(connection, path):
        if not new:
            check_marks(connection, path)
        _apply(connection, _WRITER)
    return connection


def connect_reader(path: Path, *, own_log: bool = False) -> sqlite3.Connection:
    """A connection that only reads; a record on a read-only medium or a full disk opens too.

    Args:
        path: the record.
        own_log: refuse a log beside it that is not its own; verify looks at whatever lies there.
    """
    refuse_network_disk(path)
    check_there(path)
    fixed = not os.access(path.parent, os.W_OK) or _has_no_room(path)
    still = fixed and log_beside(path) is None
    uri = f"{path.absolute().as_uri()}?mode=ro{'&immutable=1' if still else ''}"
    try:
        if own_log:
            refuse_strange_log(path)
        connection = sqlite3.connect(uri, uri=True, isolation_level=None, timeout=BUSY_MS / 1000)
    except sqlite3.DatabaseError as error:
        raise explained(error, path) from error
    with _closed_on_error(connection, path):
        _apply(connection, _READER)
        check_marks(connection, path)
    return connection


@contextmanager
def _closed_on_error(connection: sqlite3.Connection, path: Path) -> Iterator[None]:
    """Give a file back that turns out to be no record, so that nothing of ours stays beside it."""
    try:
        yield
    except sqlite3.DatabaseError as error:
        connection.close()
        raise explained(error, path) from error
    except HardstandError:
        connection.close()
        raise


def _apply(connection: sqlite3.Connection, settings: Mapping[str, str | int]) -> None:
    for name, value in settings.items():
        connection.execute(f"PRAGMA {name} = {value}").fetchall()
        held = connection.execute(f"PRAGMA {name}").fetchone()
        if held is not None and held[0] != value:
            raise Damaged(
                f"SQLite will not hold {name} = {value}; it says {held[0]}.",
                safe="Nothing was written.",
                hint="Move the record to a local disk that can lock files.",
            )


def check_there(path: Path) -> None:
    """Raise NoRecord unless a file stands there that is not empty."""
    try:
        size = path.stat().st_size
    except (FileNotFoundError, NotADirectoryError) as error:
        raise NoRecord(
            f"There is no record at {path}.",
            safe="Nothing was written.",
            hint="Make one with `hardstand --record PATH record new --device A`.",
        ) from error
    except OSError as error:
        raise NoRecord(
            f"{path} cannot be looked at: {error.strerror}.",
            safe="Nothing was written.",
            hint="Name the record file with --record PATH.",
        ) from error
    if not os.access(path, os.R_OK):
        raise NoRecord(
            f"{path} cannot be read: it belongs to somebody else, who keeps it shut.",
            safe="Nothing was written.",
            hint="Ask whoever keeps the tablets to let you read it.",
        )
    if path.is_dir() or size == 0:
        raise NoRecord(
            f"{path} is {'a folder' if path.is_dir() else 'an empty file'}, not a record.",
            safe="It was left as it is.",
            hint="Name the record file with --record PATH.",
        )


def check_marks(connection: sqlite3.Connection, path: Path) -> None:
    """Raise unless the file carries a record's marks in a form this version reads."""
    owner = connection.execute("PRAGMA application_id").fetchone()[0]
    form = connection.execute("PRAGMA user_version").fetchone()[0]
    if owner != APPLICATION_ID or form < SCHEMA:
        raise NoRecord(
            f"{path} is a SQLite file of another program, not a hardstand record.",
            safe="It was left as it is.",
            hint="Name the record file with --record PATH.",
        )
    if form > SCHEMA:
        raise NewerFormat(
            f"{path} was made by a newer hardstand: form {form}; this one knows form {SCHEMA}.",
            safe="The file was left as it is, to the byte.",
            hint="Use the newer hardstand that made it.",
        )


def refuse_network_disk(path: Path, mounts: str | None = None) -> None:
    """Raise Refusal when the file would lie on a network file system.

    Args:
        path: where the record is or will be.
        mounts: the text of /proc/self/mountinfo; read when not given. A machine without it
            cannot tell, and is let through: a stated limit.
    """
    kind = file_system(path, mounts)
    if kind in NETWORK_TYPES:
        raise Refusal(
            f"{path} lies on a network disk ({kind}); a record there can be damaged.",
            safe="Nothing was written.",
            hint="Keep the record on a disk of this machine; exchange copies, never share it.",
        )


def file_system(path: Path, mounts: str | None = None) -> str:
    """The type of the file system a path lies on, or empty where the machine cannot tell."""
    if mounts is None:
        table = Path("/proc/self/mountinfo")
        mounts = table.read_text(encoding="utf-8", errors="replace") if table.exists() else ""
    place = str(path.resolve().parent)
    best, kind = -1, ""
    for line in mounts.splitlines():
        fields = line.split(" ")
        point = _unescaped(fields[4])
        inside = place == point or place.startswith(point.rstrip("/") + "/")
        if inside and len(point) >= best:
            best, kind = len(point), fields[fields.index("-") + 1]
    return kind


def _unescaped(point: str) -> str:
    for written, char in (("\\040", " "), ("\\011", "\t"), ("\\012", "\n"), ("\\134", "\\")):
        point = point.replace(written, char)
    return point


def read_only(path: Path) -> Refusal:
    """The refusal to write where nothing can be written."""
    return Refusal(
        f"{path} cannot be written to: the file or its disk is read-only.",
        safe="Reading works; nothing was written anywhere else.",
        hint="Copy the record to a disk that can be written, or ask whoever keeps the tablets.",
    )


def busy(path: Path) -> Busy:
    """The stop when another program keeps the record too long."""
    return Busy(
        f"Another program has held {path} for more than {BUSY_MS // 1000} seconds.",
        safe="The record is whole; this was not written.",
        hint="Close the other program, or try again.",
    )


def full(path: Path) -> Damaged:
    """The stop when the disk has no room left."""
    return Damaged(
        f"NOT SAVED: the disk with {path} is full.",
        safe="Everything acknowledged before is in the record, and the record is whole.",
        hint="Free some space on that disk, then give the answer again.",
    )


def disk_error(error: OSError, path: Path) -> HardstandError:
    """What the operating system says of a record's disk, in words of ours."""
    if error.errno in {errno.ENOSPC, errno.EDQUOT, errno.EFBIG}:
        return full(path)
    if error.errno in {errno.EACCES, errno.EPERM, errno.EROFS}:
        return read_only(path)
    return _failing(path, error.strerror or str(error))


def _failing(path: Path, said: str) -> Damaged:
    return Damaged(
        f"NOT SAVED: the disk with {path} reported an error: {said}.",
        safe="What was acknowledged before may be trusted only after `record verify`.",
        hint="Run `hardstand record verify`, then look at the last line with `walks`.",
    )


def _unopened(path: Path) -> HardstandError:
    """SQLite does not say why it cannot open a file or the log beside it; what can be seen does."""
    if not os.access(path if path.exists() else path.parent, os.W_OK):
        return read_only(path)
    if not os.access(path.parent, os.W_OK):
        return read_only(path)
    return _failing(path, f"{path.name}, or the log beside it, cannot be opened")


def _has_no_room(path: Path) -> bool:
    """Whether the disk is full, which SQLite calls an I/O error when it is its index that grows."""
    try:
        disk = os.statvfs(path.parent)
    except OSError:
        return False
    return disk.f_bavail * disk.f_frsize < _INDEX_BYTES


def explained(error: sqlite3.DatabaseError, path: Path) -> HardstandError:
    """A SQLite error in words of ours; what the code does not know stays a bug."""
    text = str(error)
    code = getattr(error, "sqlite_errorcode", 0) & 0xFF
    if code in {sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED}:
        return busy(path)
    if code in {sqlite3.SQLITE_READONLY, sqlite3.SQLITE_PERM}:
        return read_only(path)
    if code == sqlite3.SQLITE_CANTOPEN:
        return _unopened(path)
    if code == sqlite3.SQLITE_FULL:
        return full(path)
    if code in {sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB}:
        log = log_beside(path)
        if log is not None:
            return strange_log(path, log, text)
        return Damaged(
            f"{path} is damaged or is no record: {text}.",
            safe="It was left as it is; nothing was repaired in place.",
            hint=KEEP,
        )
    if code == sqlite3.SQLITE_IOERR:
        return full(path) if _has_no_room(path) else _failing(path, text)
    return Damaged(
        f"{path} does not answer as a record does: {text}.",
        safe="It was left as it is.",
        hint=KEEP,
    )


def discard(path: Path) -> None:
    """Remove an unfinished record file with its log and index, if they are there."""
    try:
        for ending in ("", *LOG_ENDINGS):
            path.with_name(path.name + ending).unlink(missing_ok=True)
    except OSError as error:
        raise disk_error(error, path) from error


def make_room(path: Path) -> None:
    """Make the folder of a new record; Refusal when its own place is not free, or cannot be had."""
    try:
        if path.exists() or path.is_symlink():
            raise Refusal(
                f"{path} exists already.",
                safe="It was left as it is.",
                hint="Name another place, or use the record that is there.",
            )
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise Refusal(
            f"No record can be made at {path}: {error.strerror}.",
            safe="Nothing was written.",
            hint="Name a place in a folder of yours.",
        ) from error
    if not os.access(path.parent, os.W_OK):
        raise read_only(path)


def put_in_place(building: Path, path: Path) -> None:
    """Give a finished, closed record its name, so that a power cut leaves it whole or absent.

    Raises:
        Damaged: the disk failed, or closing the record could not bring its log into it, which
            SQLite does not say.
    """
    log = building.with_name(building.name + "-wal")
    if log.exists() and log.stat().st_size:
        discard(building)
        raise _failing(path, "the file could not be finished")
    try:
        sync(building)
        building.replace(path)
        sync(path.parent)
    except OSError as error:
        raise disk_error(error, path) from error


def sync(path: Path) -> None:
    """Have the disk keep a closed file or a folder; never a database that is open."""
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
