"""A real pseudo-terminal with a walk in it: keys go in, and what the screen shows is read back."""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Sequence
from pathlib import Path
from typing import Self

import pexpect
import pyte

PATIENCE_S = 60.0
"""How long a screen is waited for before the test says what it shows instead."""
QUIET_S = 0.05
"""A screen is whole when nothing came for so long and the program waits for a key."""
READS = {"wait_woken", "n_tty_read", "0", ""}
"""Where the kernel says a program sleeps that reads a terminal; the last two say nothing."""
NOTHING_S = 1.0
"""A key draws nothing when nothing came for so long; what stood there before is no reply to it."""


class Terminal:
    """One command in a terminal of so many columns and rows; leaving it closes the terminal."""

    def __init__(
        self, record: Path, words: Sequence[str], *, columns: int, rows: int, bounce_ms: int = 0
    ) -> None:
        self._screen = pyte.Screen(columns, rows)
        self._stream = pyte.ByteStream(self._screen)
        self._child = pexpect.spawn(
            sys.executable,
            ["-m", "hardstand", "--record", str(record), *words],
            dimensions=(rows, columns),
            env={**os.environ, "TERM": "xterm", "HARDSTAND_BOUNCE_MS": str(bounce_ms)},
        )
        self._child.delaybeforesend = None
        self._child.delayafterclose = self._child.delayafterterminate = 0
        self._drawn, self._pressed = False, time.monotonic()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self._child.close(force=True)

    @property
    def rows(self) -> list[str]:
        """What stands on the screen, row by row, trailing spaces left out."""
        return [row.rstrip() for row in self._screen.display]

    @property
    def words(self) -> str:
        """What stands on the screen, as one line."""
        return " ".join(" ".join(self.rows).split())

    def shows(self, text: str) -> Terminal:
        """Wait until the screen shows a text and the program waits for somebody."""
        until = time.monotonic() + PATIENCE_S
        while time.monotonic() < until:
            try:
                self._stream.feed(self._child.read_nonblocking(65536, QUIET_S))
                self._drawn = True
            except pexpect.TIMEOUT:
                replied = self._drawn or time.monotonic() - self._pressed > NOTHING_S
                if replied and text in self.words and self._waits():
                    return self
            except pexpect.EOF:
                break
        assert text in self.words, f"{text!r} is not on the screen:\n" + "\n".join(self.rows)
        return self

    def press(self, key: str) -> Terminal:
        """Press one key, or several at once."""
        self._drawn, self._pressed = False, time.monotonic()
        self._child.send(key)
        return self

    def type(self, line: str) -> Terminal:
        """Type a line and Enter."""
        return self.press(f"{line}\r")

    def _waits(self) -> bool:
        """Whether the program sleeps in a read, or at least sleeps where the kernel says no more.

        In a wait with an end it still throws keys away: one pressed then would be lost.
        """
        process = Path(f"/proc/{self._child.pid}")
        if not process.exists():
            return True
        asleep = (process / "stat").read_text().rpartition(")")[2].split()[0] == "S"
        where = process / "wchan"
        return asleep and (not where.exists() or where.read_text() in READS)
