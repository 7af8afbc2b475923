"""A process on a terminal of its own, timed without a wait of ours in it."""

from __future__ import annotations

import os
import pty
import signal
from collections.abc import Mapping, Sequence
from fcntl import ioctl
from struct import pack
from termios import TIOCSWINSZ

from bench.timing import CLEAN

_ROWS, _COLUMNS = 40, 120


class OnTerminal:
    """A child on a terminal; what it writes is read until it says what is waited for."""

    def __init__(self, argv: Sequence[str], env: Mapping[str, str] = CLEAN) -> None:
        self._pid, self._handle = pty.fork()
        if self._pid == 0:
            os.execve(argv[0], list(argv), dict(env))  # noqa: S606  no shell is wanted
        ioctl(self._handle, TIOCSWINSZ, pack("HHHH", _ROWS, _COLUMNS, 0, 0))
        self._seen = b""

    def until(self, words: str) -> None:
        """Read until the words were written; what came after them is kept."""
        wanted = words.encode()
        while wanted not in self._seen:
            part = self._read()
            assert part, f"ended before {words!r}: {self._seen[-300:]!r}"
            self._seen += part
        self._seen = self._seen.partition(wanted)[2]

    def to_end(self) -> None:
        """Read until the child has ended."""
        while self._read():
            pass
        os.close(self._handle)
        os.waitpid(self._pid, 0)

    def _read(self) -> bytes:
        try:
            return os.read(self._handle, 65536)
        except OSError:
            return b""

    def send(self, typed: str) -> None:
        """Press keys."""
        os.write(self._handle, typed.encode())

    def leave(self) -> None:
        """End the child where it is."""
        os.kill(self._pid, signal.SIGKILL)
        os.waitpid(self._pid, 0)
        os.close(self._handle)
