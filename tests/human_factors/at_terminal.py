"""A walk of the tiny list in a real terminal, which can be resized, suspended, killed or closed."""

from __future__ import annotations

import os
import signal
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from builders import TAIL, on_disk
from hardstand.flows.pen import Pen
from scenarios.stage import sit
from scenarios.terminal import Terminal

ALONE = ("walk", "--by", "IO")


class Held(Terminal):
    """A terminal whose process can be sent signals; `pen` looks at the record beside it."""

    pen: Pen

    @property
    def grounds(self) -> set[str]:
        """The background colours of what stands on the screen."""
        buffer = self._screen.buffer
        return {cell.bg for row in buffer.values() for cell in row.values() if cell.data.strip()}

    def signal(self, number: int) -> Held:
        """Send the process a signal."""
        os.kill(self._child.pid, number)
        return self

    def resized(self, columns: int, rows: int) -> Held:
        """Give the window another size."""
        self._screen.resize(rows, columns)
        self._child.setwinsize(rows, columns)
        return self

    def killed(self) -> None:
        """End the process at once, as a dead battery does."""
        self._child.kill(signal.SIGKILL)
        self._child.wait()


@contextmanager
def resumed(
    folder: Path, *, at: str, columns: int = 80, rows: int = 24, bounce_ms: int = 0
) -> Iterator[Held]:
    """A walk of the tiny list that has come to a step and is gone on with in a terminal."""
    pen = on_disk(folder, demo=True)
    sit(pen, TAIL, until=at)
    with Held(
        folder / "record.db", ALONE, columns=columns, rows=rows, bounce_ms=bounce_ms
    ) as found:
        found.pen = pen
        found.shows("Type the whole tail").type(TAIL)
        found.shows("Go on at").press("c").shows(f"Do {at}. Place")
        yield found
