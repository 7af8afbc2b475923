"""A command on a record of years against the same command on the same fleet with no past."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

from bench.timing import CLEAN, Figure, hardstand, milliseconds, process, ratio, rounds

COMMANDS: dict[str, tuple[str, ...]] = {
    "open TAIL": ("--plain", "open", "{tail}"),
    "status TAIL": ("--plain", "status", "{tail}"),
    "why TAIL": ("why", "{tail}"),
    "walks TAIL": ("walks", "{tail}"),
    "defect raise": ("defect", "raise", "{tail}", "hum", "--by", "IO"),
}
ROUNDS = 9
GOAL = 1.2


def scale(folder: Path, record: Path, empty: Path, tail: str, lines: int) -> Iterator[Figure]:
    """Each command of every day, on both records."""
    big, small = _own(folder, record, "big.db"), _own(folder, empty, "small.db")
    for what, words in COMMANDS.items():
        named = tuple(word.format(tail=tail) for word in words)
        front = named[:1] if named[0].startswith("--") else ()
        rest = named[len(front) :]
        times = rounds(
            {
                "floor": process(hardstand(*front, "--record", str(small), *rest)),
                "ours": process(hardstand(*front, "--record", str(big), *rest)),
            },
            ROUNDS,
        )
        yield Figure(
            what=f"`{what}` at {lines / 1e6:.1f} M lines", floor="the same on an empty record",
            ratio=ratio(times["ours"], times["floor"]), goal=GOAL,
            note=f"{milliseconds(times['ours'])} against {milliseconds(times['floor'])}",
        )  # fmt: skip
    yield memory(big, tail)


def _own(folder: Path, record: Path, name: str) -> Path:
    """The record itself where it is too large to copy; a copy that may be written to otherwise."""
    if record.stat().st_size > 2e9:
        return record
    return Path(shutil.copyfile(record, folder / name))


def memory(record: Path, tail: str) -> Figure:
    """What a walk of seventy steps takes at most."""
    typed = "\n".join([tail, "c", "c", *["o"] * 69, ""])
    words = hardstand("--plain", "--record", str(record), "walk", "--by", "IO")
    measured = (
        "import resource, subprocess, sys; "
        "subprocess.run(sys.argv[1:], stdin=sys.stdin, stdout=subprocess.DEVNULL, "
        "stderr=subprocess.DEVNULL); "
        "print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)"
    )
    done = subprocess.run(
        [words[0], "-c", measured, *words], input=typed, capture_output=True, text=True, check=True,
        env=CLEAN,
    )  # fmt: skip
    return Figure(
        what="memory of a walk of 70 steps on that record", floor="", unit="MiB", goal=120,
        ratio=int(done.stdout) / 1024,
    )  # fmt: skip
