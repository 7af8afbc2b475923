"""The long fault runs: `python tests/faults/run.py [kills|cuts|nth|memory|together|states …]`.

Each stops at the first loss. What they came to goes into docs/reference/measured.md.
"""

from __future__ import annotations

import collections
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

HERE = Path(__file__).resolve()
sys.path[:0] = [str(HERE.parents[1]), str(HERE.parents[2] / "src")]

from hypothesis import settings
from hypothesis.stateful import run_state_machine_as_test

from bench.page import Row, put
from faults import cuts, limits, nth
from faults.deeds import checked, new_record
from faults.kills import kill
from faults.states import TwoDevices

KILLS, CUTS, TRACES, STATES, WRITERS = 1000, 500, 10, 300, "ABCDEFGH"
LOST = "0 lost, 0 doubled, 0 breaks"


def kills(folder: Path) -> Iterator[Row]:
    """1,000 writers killed at any moment."""
    counts = kill(folder, KILLS)
    yield (f"{counts.faults} × kill -9 of a writer at any moment",
           f"{counts.acknowledged} writes acknowledged, {counts.lines} lines", LOST)  # fmt: skip


def cut(folder: Path) -> Iterator[Row]:
    """500 power cuts over traces of real work, with few and with many checkpoints."""
    told = 0
    for seed in range(TRACES):
        work, scratch = folder / f"work-{seed}", folder / f"scratch-{seed}"
        work.mkdir()
        scratch.mkdir()
        pages = 8 if seed % 2 else 1000
        argv = [str(cuts.CHILD), str(work), str(seed), "40", str(pages)]
        events = cuts.traced(argv, work, folder / "strace.log")
        told += cuts.cut(events, str(work), scratch, CUTS // TRACES, seed=seed)
    over = f"{TRACES} traced runs of new, walk, entries, backup, restore, rebuild"
    yield (f"{CUTS} × power cut: unsynced writes lost, kept or torn at 512 bytes",
           f"{over}; {told} writes acknowledged", LOST)  # fmt: skip


def every_call(folder: Path) -> Iterator[Row]:
    """The n-th call of every kind fails, until none does."""
    template = folder / "template"
    template.mkdir()
    ends = nth.prepared(template)
    fired = collections.Counter(
        "done in spite of it" if o.status == 0 else "told in three lines"
        for o in nth.every(template, ends, folder)
    )
    ended = ", ".join(f"{n} {how}" for how, n in sorted(fired.items()))
    what = f"the n-th {', '.join(nth.CALLS)} failing with {' and '.join(nth.ERRORS)}"
    yield (f"{fired.total()} × {what}", f"{', '.join(nth.COMMANDS)}: {ended}", LOST)


def memory(folder: Path) -> Iterator[Row]:
    """Less and less memory."""
    ends = nth.prepared(folder)
    sizes = range(20, 90, 2)
    statuses = limits.short_of_memory(folder / "record.db", ends, sizes)
    least = sizes[statuses.index(0)]
    told = sum(s != 0 for s in statuses)
    yield (f"{len(statuses)} × an entry raised with {sizes[0]} to {sizes[-1]} MiB of address space",
           f"{told} told in three lines; written from {least} MiB on", LOST)  # fmt: skip


def together(folder: Path) -> Iterator[Row]:
    """Eight programs on one record, each with its own letter; then two under one letter."""
    for devices in (WRITERS, "AA"):
        record = folder / f"{devices}.db"
        new_record(record)
        told = limits.together(record, devices, 60)
        lines = checked(record, told)
        how = "one letter each" if len(set(devices)) > 1 else "under one letter"
        yield (f"{len(devices)} programs at once on one record, {how}",
               f"{len(told)} writes acknowledged, {lines} lines, none failed", LOST)  # fmt: skip


def states(_: Path) -> Iterator[Row]:
    """The state machine of two devices, for longer."""
    long = settings(max_examples=STATES, stateful_step_count=40, deadline=None)
    run_state_machine_as_test(TwoDevices, settings=long)
    yield (f"{STATES} × up to 40 steps of two devices: writes, clock jumps, crashes, old copies",
           "chains, kept folds and every acknowledged line after each step", LOST)  # fmt: skip


RUNS: dict[str, Callable[[Path], Iterator[Row]]] = {
    "kills": kills, "cuts": cut, "nth": every_call, "memory": memory, "together": together,
    "states": states,
}  # fmt: skip


def main(names: list[str]) -> None:
    """Run what is named, or everything, and put the rows on the page."""
    rows = list[Row]()
    for name in names or RUNS:
        with tempfile.TemporaryDirectory(prefix=f"hardstand-{name}-") as folder:
            began = time.monotonic()
            for row in RUNS[name](Path(folder)):
                rows.append(row)
                sys.stdout.write(f"{' | '.join(row)} ({time.monotonic() - began:.0f} s)\n")
                sys.stdout.flush()
    if not names:
        put("faults", ("fault", "over", "outcome"), rows)


if __name__ == "__main__":
    main(sys.argv[1:])
