"""Times as ratios: rows take turns, round by round, and a ratio is the median over rounds.

Milliseconds belong to one machine and one hour; a ratio to something done beside it lasts longer.
"""

from __future__ import annotations

import os
import statistics
import sys
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

SOURCE = Path(__file__).resolve().parents[2] / "src"
MEMORY = Path("/dev/shm")  # noqa: S108  a disk whose sync costs nothing, where there is one
CLEAN = {k: v for k, v in os.environ.items() if not k.startswith(("PYTHON", "HARDSTAND"))}
CLEAN |= {"PYTHONPATH": str(SOURCE), "TERM": "xterm", "XDG_STATE_HOME": "/nonexistent"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One row of the table: what, against what floor, how much, what was promised.

    `more` means that a greater figure is the better one. `note` says what else belongs to it.
    """

    what: str
    floor: str
    ratio: float
    goal: float
    more: bool = False
    unit: str = "×"
    note: str = ""

    @property
    def kept(self) -> bool:
        """Whether the goal is kept."""
        return self.ratio >= self.goal if self.more else self.ratio <= self.goal

    def row(self) -> tuple[str, ...]:
        """The cells of the table."""
        sign = "≥" if self.more else "≤"
        told = "kept" if self.kept else "missed"
        found = f"{self.ratio:.2f}" if self.ratio < 100 else f"{self.ratio:.0f}"
        return (self.what, self.floor, f"{found} {self.unit}", f"{sign} {self.goal:g} {self.unit}",
                told, self.note)  # fmt: skip


def rounds(deeds: Mapping[str, Callable[[], object]], count: int, *, warm: int = 1
           ) -> dict[str, list[float]]:  # fmt: skip
    """Seconds of each deed in each round, all in turn."""
    found: dict[str, list[float]] = {name: [] for name in deeds}
    for number in range(count + warm):
        for name, deed in deeds.items():
            began = time.perf_counter()
            deed()
            if number >= warm:
                found[name].append(time.perf_counter() - began)
    return found


def ratio(one: Sequence[float], floor: Sequence[float]) -> float:
    """The median of the ratios of each round."""
    return statistics.median(a / b for a, b in zip(one, floor, strict=True))


def milliseconds(times: Sequence[float]) -> str:
    """The median, for a note."""
    median = statistics.median(times) * 1e3
    return f"{median:.2f} ms" if median < 10 else f"{median:.0f} ms"


def process(argv: Sequence[str]) -> Callable[[], int]:
    """A whole process, from its start to its end, seeing no terminal; its peak of memory in KiB."""

    def run() -> int:
        null = [(os.POSIX_SPAWN_OPEN, n, "/dev/null", os.O_RDWR, 0) for n in (0, 1, 2)]
        pid = os.posix_spawn(argv[0], list(argv), CLEAN, file_actions=null)
        _, status, used = os.wait4(pid, 0)
        assert os.waitstatus_to_exitcode(status) in {0, 1}, argv
        return used.ru_maxrss

    return run


def python(*words: str) -> list[str]:
    """The words of a command of this Python."""
    return [sys.executable, *words]


def hardstand(*words: str) -> list[str]:
    """The words of a hardstand command."""
    return python("-m", "hardstand", *words)
