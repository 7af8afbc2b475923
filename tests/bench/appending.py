"""A durable append, and eight programs that append at once."""

from __future__ import annotations

import os
import statistics
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from bench.timing import MEMORY, Figure, milliseconds, ratio, rounds
from builders import IO, TAIL
from faults.deeds import new_record
from faults.kills import forked, rest_of
from hardstand.domain import bodies as b
from hardstand.flows.pen import Pen
from hardstand.flows.recording import record
from hardstand.flows.records import verified
from hardstand.store.journal import SqlJournal
from hardstand.system.clock import MachineClock

APPENDS = 1500
EACH = 250
FIRST = 4
"""Lines of a new record: made, fleet, fit, list."""

LINE = b"x" * 300
QUICK_SYNC_S = 0.00012
"""A sync of a virtual disk with a write-back cache; a laptop's takes ten times as long."""
OK = b.StepAnswered(step="plugs", answer="OK", by=IO)


def _pen(path: Path, device: str = "A") -> Pen:
    return Pen(journal=SqlJournal(path, device), clock=MachineClock(), author="IO")


def _append(pen: Pen) -> None:
    record(pen, TAIL, lambda _: (OK,), walk="A1")


def appending(folder: Path) -> Iterator[Figure]:
    """A plain OK, all in: facts, decision, canonical JSON, digest, commit, sync."""
    path = folder / "append.db"
    new_record(path)
    pen = _pen(path)
    plain = os.open(folder / "floor", os.O_WRONLY | os.O_CREAT | os.O_APPEND)

    def floor() -> None:
        os.write(plain, LINE)
        os.fdatasync(plain)

    times = rounds({"floor": floor, "ours": lambda: _append(pen)}, APPENDS, warm=50)
    os.close(plain)
    pen.journal.close()
    assert _held(path) == FIRST + APPENDS + 50
    own = _in_memory()
    ours, base = sorted(times["ours"]), times["floor"]
    slow, slow_floor = (sorted(times[n])[int(APPENDS * 0.99)] for n in ("ours", "floor"))
    yield Figure(
        what="a plain OK appended, median", floor="append to a file and fdatasync",
        ratio=ratio(times["ours"], base), goal=2.5,
        note=f"{milliseconds(ours)} against {milliseconds(base)}; {own}none lost",
    )  # fmt: skip
    yield Figure(
        what="a plain OK appended, 99 of 100", floor="append to a file and fdatasync, 99 of 100",
        ratio=slow / slow_floor, goal=6,
        note=f"{slow * 1e3:.1f} against {slow_floor * 1e3:.1f} ms, a checkpoint each 250 in it",
    )  # fmt: skip


def _in_memory() -> str:
    """What an append takes where a sync costs nothing, and what that comes to on a quick disk."""
    if not MEMORY.is_dir():
        return ""
    with tempfile.TemporaryDirectory(dir=MEMORY) as free:
        record = Path(free) / "append.db"
        new_record(record)
        pen = _pen(record)
        times = rounds({"ours": lambda: _append(pen)}, APPENDS, warm=50)["ours"]
        pen.journal.close()
    own = statistics.median(times)
    return (
        f"all but the sync {own * 1e6:.0f} µs, {1 + own / QUICK_SYNC_S:.1f} × on a disk that syncs "
        f"in {QUICK_SYNC_S * 1e3:g} ms; "
    )


def _held(path: Path) -> int:
    """How many lines a record has, after it was verified."""
    journal = SqlJournal(path, read_only=True)
    verified(journal)
    lines = sum(head.seq for head in journal.heads().values())
    journal.close()
    return lines


def together(folder: Path) -> Iterator[Figure]:
    """Commits a second of eight programs on one record, against one."""
    shares, waits = [], []
    for number in range(5):
        one, _ = _commits(folder / f"one-{number}.db", "A")
        eight, worst = _commits(folder / f"eight-{number}.db", "ABCDEFGH")
        shares.append(eight / one)
        waits.append(worst)
    yield Figure(
        what="8 programs on one record, commits a second", floor="one program",
        ratio=statistics.median(shares), goal=0.7, more=True,
        note=f"five runs, {min(shares):.2f} to {max(shares):.2f}; none failed",
    )  # fmt: skip
    yield Figure(
        what="8 programs on one record, worst wait", floor="", ratio=max(waits), goal=2, unit="s",
        note="the worst of five runs",
    )  # fmt: skip


def _commits(path: Path, devices: str) -> tuple[float, float]:
    """Commits a second of as many programs as there are letters, and the worst wait."""
    new_record(path)
    go = path.with_suffix(".go")

    def child(out: int, device: str) -> None:
        pen, waits = _pen(path, device), list[float]()
        os.write(out, b"r")
        while not go.exists():
            time.sleep(0.001)
        for _ in range(EACH):
            began = time.perf_counter()
            _append(pen)
            waits.append(time.perf_counter() - began)
        os.write(out, f"{max(waits)}".encode())

    children = [forked(lambda out, d=device: child(out, d)) for device in devices]  # type: ignore[misc]  # a default binds the letter
    for _, pipe in children:
        os.read(pipe, 1)
    began = time.perf_counter()
    go.touch()
    worst = max(float(rest_of(pipe)) for _, pipe in children)
    took = time.perf_counter() - began
    for pid, _ in children:
        os.waitpid(pid, 0)
    assert _held(path) == FIRST + EACH * len(devices), "an append failed"
    return EACH * len(devices) / took, worst
