"""The writer's turn: one hardstand at a time writes into a folder, checkpoints included.

SQLite before 3.51.3 can lose committed pages when one connection commits while another runs a
checkpoint (source: sqlite.org/wal.html, "The WAL-Reset Bug"). A checkpoint of ours runs inside a
turn, so the two never meet. The lock is on the folder, not on the record: opening and closing a
database file beside SQLite would drop SQLite's own locks (sqlite.org/howtocorrupt.html, 2.2).
"""

from __future__ import annotations

import fcntl
import os
import time
from pathlib import Path

from hardstand.store.sqlite import BUSY_MS, busy, disk_error

_PAUSE_S = 0.0005


class Turn:
    """A turn to write in the folder of a record; waits as long as a busy record may keep one."""

    def __init__(self, record: Path) -> None:
        self._record = record
        self._folder = -1

    def __enter__(self) -> None:
        """Take the turn.

        Raises:
            Busy: another program kept it for longer than the waiting time.
        """
        try:
            self._wait()
        except BlockingIOError as error:
            raise busy(self._record) from error
        except OSError as error:
            raise disk_error(error, self._record) from error

    def _wait(self) -> None:
        if self._folder < 0:
            flags = os.O_RDONLY | os.O_DIRECTORY | os.O_CLOEXEC
            self._folder = os.open(self._record.resolve().parent, flags)
        end = time.monotonic() + BUSY_MS / 1000
        while True:
            try:
                fcntl.flock(self._folder, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except BlockingIOError:
                if time.monotonic() > end:
                    raise
                time.sleep(_PAUSE_S)
            else:
                return

    def __exit__(self, *_: object) -> None:
        """Give the turn to whoever waits."""
        fcntl.flock(self._folder, fcntl.LOCK_UN)

    def close(self) -> None:
        """Give up the folder."""
        if self._folder >= 0:
            os.close(self._folder)
            self._folder = -1
