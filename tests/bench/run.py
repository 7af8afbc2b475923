"""Every figure in one run: `python tests/bench/run.py [FRACTION] [NAME …]`.

Rewrites a table of docs/reference/measured.md when nothing is left out. FRACTION of 2,000
airframes, 1 M defects and 20 M step results is how much past the record of years has; 0.02 unless
given. 1 is all of it: that runs only what depends on it, and takes an hour or two and 30 GB.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

HERE = Path(__file__).resolve()
sys.path[:0] = [str(HERE.parents[1]), str(HERE.parents[2] / "src")]

from bench import (
    appending,
    asking,
    big,
    leading,
    proving,
    scale,
    starting,
    verifying,
    walking,
    whole,
)
from bench.page import Row, put
from bench.reasons import missed
from bench.timing import Figure
from faults.deeds import new_record

HEADS: Row = ("what", "against", "measured", "goal", "", "of it")
TAIL = "QM-1500"

Bench = Callable[[Path, Path, int], Iterator[Figure]]


def _small(folder: Path) -> Path:
    record = folder / "small.db"
    if not record.exists():
        new_record(record)
    return record


def _empty(folder: Path) -> Path:
    record = folder / "empty.db"
    if not record.exists():
        big.begun_empty(record)
    return record


BENCHES: dict[str, Bench] = {
    "starting": lambda d, r, n: starting.starting(d, _small(d), "QM-161"),
    "appending": lambda d, r, n: appending.appending(d),
    "together": lambda d, r, n: appending.together(d),
    "asking": lambda d, r, n: asking.asking(d),
    "whole": lambda d, r, n: whole.whole(d),
    "walking": lambda d, r, n: walking.walking(d),
    "leading": lambda d, r, n: leading.leading(d),
    "proving": lambda d, r, n: proving.proving(),
    "verifying": lambda d, r, n: verifying.verifying(d, r),
    "loading": lambda d, r, n: verifying.loading(d, r),
    "rebuilding": lambda d, r, n: verifying.rebuilding(d, r),
    "sizing": lambda d, r, n: verifying.sizing(d, r),
    "backing_up": lambda d, r, n: verifying.backing_up(d, r),
    "reading": lambda d, r, n: verifying.reading(d, r, TAIL),
    "scale": lambda d, r, n: scale.scale(d, r, _empty(d), TAIL, n),
}
OF_YEARS = ("verifying", "loading", "rebuilding", "sizing", "backing_up", "reading", "scale")
AT_FULL = tuple(name for name in OF_YEARS if name != "loading")
"""What is run on the record of twenty years; a bulk load would hold all of it in memory."""


def main(words: list[str]) -> None:
    """Run what is named, or everything, and put the table on the page."""
    fraction = float(words.pop(0)) if words and words[0][0].isdigit() else 0.02
    figures = list[Figure]()
    with tempfile.TemporaryDirectory(prefix="hardstand-bench-") as scratch:
        folder = Path(scratch)
        record, lines = folder / "years.db", 0
        if not words or set(words) & set(OF_YEARS):
            lines = big.build(record, fraction, told=True)
        for name in words or (AT_FULL if fraction >= 1 else BENCHES):
            for figure in BENCHES[name](folder, record, lines):
                figures.append(figure)
                sys.stdout.write(" | ".join(figure.row()) + "\n")
                sys.stdout.flush()
    if not words:
        rows = [figure.row() for figure in figures]
        put("years" if fraction >= 1 else "bench", HEADS, rows, _below(figures, fraction, lines))


def _below(figures: Sequence[Figure], fraction: float, lines: int) -> list[str]:
    """What is told below the table: how much past the record had, each goal missed and why."""
    share = "all" if fraction == 1 else f"{fraction:g}"
    told = [f"The record of years had {lines / 1e6:.2f} M lines, {share} of twenty years."]
    why = missed(figures)
    return [*told, "", "Missed:", "", *why] if why else [*told, "", "No goal is missed."]


if __name__ == "__main__":
    main(sys.argv[1:])
