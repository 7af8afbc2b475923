"""From an answer to the next question, on a terminal, by the hand that the goals were set with.

What waits is pexpect, for the floor as for the walk; its own time is in both.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from pathlib import Path

import pexpect

from bench.timing import CLEAN, MEMORY, Figure, milliseconds
from builders import begun, checklist, step, steps
from faults.deeds import checked
from hardstand.domain.checklist import Checklist
from hardstand.store.journal import SqlJournal, create

SETTLE_S = 0.02
"""A person has read the question; what was typed before it is dropped."""

SIZE = (40, 120)
MORE = 60
LOOP = """
import os, sys
kept = os.open(sys.argv[1], os.O_WRONLY | os.O_CREAT | os.O_APPEND) if sys.argv[1:] else None
for i in range(200):
    said = input(f'step {i:02d} > ')
    if kept is not None:
        os.write(kept, b'x' * 300)
        os.fdatasync(kept)
"""
BEGIN = (("painted on the aircraft", "QM-161\n"), ("to hand", "c"), ("read it", "c"))
"""What a walk asks before its first step, and the answers."""

WAYS = {
    "single keys on a drawn screen": ((), ""),
    "lines, --plain": (("--plain",), "\n"),
}


def long_list() -> Checklist:
    """The tiny list with sixty more things to look at, each answered OK."""
    more = tuple(step(f"look-{n:02d}", "cockpit") for n in range(MORE))
    return checklist(listed=(*more, *steps()))


def asking(folder: Path) -> Iterator[Figure]:
    """Answer to next question: by single keys, and by lines; on this disk, and on one that is free.

    The walk appends durably before it asks on, so on a disk the floor does so too.
    """
    yield from _asking(folder, "a loop of `input()`, append, fdatasync", synced=True)
    if MEMORY.is_dir():
        with tempfile.TemporaryDirectory(dir=MEMORY) as free:
            yield from _asking(Path(free), "a bare `input()` loop; record in memory", synced=False)


def _asking(folder: Path, against: str, *, synced: bool) -> Iterator[Figure]:
    script = folder / "loop.py"
    script.write_text(LOOP)
    loop = [str(script), *([str(folder / "kept")] if synced else [])]
    for number, (what, (options, enter)) in enumerate(WAYS.items()):
        place = folder / f"asking-{number}"
        place.mkdir()
        record = place / "record.db"
        begin_on(record)
        argv = ["-m", "hardstand", *options, "--record", str(record), "walk", "--by", "IO"]
        opening = tuple((asked, typed if typed.endswith("\n") else typed + enter)
                        for asked, typed in BEGIN)  # fmt: skip
        floor = times(loop, "step {:02d} > ", (), "ok\n")
        ours = times(argv, "Do look-{:02d}.", opening, f"o{enter}")
        floor += times(loop, "step {:02d} > ", (), "ok\n")
        checked(record, ())
        yield Figure(
            what=f"answer to next question, {what}", floor=against,
            ratio=statistics.median(ours) / statistics.median(floor), goal=3,
            note=f"{milliseconds(ours)} against {milliseconds(floor)}, a durable append in it; "
            f"{_quick(ours) / _quick(floor):.1f} × in the quickest quarter",
        )  # fmt: skip
        if synced:
            yield Figure(
                what=f"answer to next question, {what}, beyond that", floor=against,
                ratio=(statistics.median(ours) - statistics.median(floor)) * 1e3, goal=1, unit="ms",
                note="what is not reading, printing or waiting for the disk",
            )  # fmt: skip


def _quick(times: Sequence[float]) -> float:
    """The time that a quarter of them stay under: what it takes when nothing else runs."""
    return statistics.quantiles(times, n=4)[0]


def begin_on(record: Path) -> None:
    """A demo record with the long list."""
    create(record, "A")
    journal = SqlJournal(record)
    begun(journal, demo=True, listed=long_list())
    journal.close()


def times(
    argv: Sequence[str], prompt: str, opening: Sequence[tuple[str, str]], answer: str
) -> list[float]:
    """Seconds from each answer to the next prompt, the time of the one who waits in them."""
    env = {**CLEAN, "HARDSTAND_BOUNCE_MS": "0"}
    child = pexpect.spawn(sys.executable, list(argv), env=env, echo=False, dimensions=SIZE)
    child.delaybeforesend = None
    for asked, typed in opening:
        child.expect_exact(asked)
        time.sleep(SETTLE_S)
        child.send(typed)
    child.expect_exact(prompt.format(0))
    found = list[float]()
    for number in range(1, MORE - 1):
        time.sleep(SETTLE_S)
        began = time.perf_counter()
        child.send(answer)
        child.expect_exact(prompt.format(number))
        found.append(time.perf_counter() - began)
    child.close(force=True)
    return found
