"""What the tool adds to a whole walk: the time from each key to the next screen, summed."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator, Sequence
from pathlib import Path

from bench.asking import SETTLE_S
from bench.terminal import OnTerminal
from bench.timing import CLEAN, Figure
from builders import Watch
from hardstand.flows.adopting import adopt, begin_record
from hardstand.flows.papers import papers
from hardstand.flows.pen import Pen
from hardstand.store.journal import SqlJournal, create
from hardstand.system.demo_files import demo_texts
from human_factors.camera import pen_at_dawn
from human_factors.watched import BOTH, Exchange, watched

DRAWN = "\x1b[2J"
"""Begins each screen."""
MINUTE_S = 60.0
"""What a walk may grow by through the tool. Source: whole-job M-03, human-factors ACC-01."""


def walking(folder: Path) -> Iterator[Figure]:
    """A whole walk of each shipped list, every step answered well."""
    for tail in BOTH:
        exchanges = watched(pen_at_dawn(), tail).exchanges
        record = folder / f"walking-{tail}.db"
        _begin(record)
        took = sum(_times(record, exchanges))
        yield Figure(
            what=f"tool time of a whole walk, {tail}", floor="one minute", ratio=took / MINUTE_S,
            goal=1, note=f"{took:.1f} s in {len(exchanges)} screens",
        )  # fmt: skip


def _begin(record: Path) -> None:
    create(record, "A")
    journal = SqlJournal(record)
    pen = Pen(journal=journal, clock=Watch(), author="ÅL")
    begin_record(pen, demo=True, program="bench")
    adopt(pen, papers(journal, demo_texts()))
    journal.close()


def _times(record: Path, exchanges: Sequence[Exchange]) -> Iterator[float]:
    """Seconds from each reply to the screen after it; the last one to the end of the program."""
    argv = [sys.executable, "-m", "hardstand", "--record", str(record), "walk", "--by", "IO"]
    began = time.perf_counter()
    child = OnTerminal(argv, {**CLEAN, "HARDSTAND_BOUNCE_MS": "0"})
    child.until(DRAWN)
    yield time.perf_counter() - began
    for found in exchanges[:-1]:
        time.sleep(SETTLE_S)
        began = time.perf_counter()
        child.send(found.reply + ("\n" if found.question.typed else ""))
        child.until(DRAWN)
        yield time.perf_counter() - began
    time.sleep(SETTLE_S)
    began = time.perf_counter()
    child.send(exchanges[-1].reply)
    child.to_end()
    yield time.perf_counter() - began
