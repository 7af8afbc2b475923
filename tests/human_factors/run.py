"""Random keys by the ten thousand: `python tests/human_factors/run.py [STREAMS] [KEYS]`.

Presses so many streams of so many keys at an aircraft of each shipped list, 20 of 10,000 unless
told otherwise, and stops at the first law that is broken.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

HERE = Path(__file__).resolve()
sys.path[:0] = [str(HERE.parents[1]), str(HERE.parents[2] / "src")]

from human_factors.streams import KEYS, pressed
from human_factors.watched import BOTH, papers_adopted

STREAMS = 20


def main(words: list[str]) -> None:
    """Press them all, and say what came of each."""
    streams, keys = ([int(word) for word in words] + [STREAMS, KEYS][len(words) :])[:2]
    base, began, told = papers_adopted(), time.monotonic(), 0
    for seed in range(streams):
        for tail in BOTH:
            stream = pressed(base, tail, seed, keys)
            told += stream.keys
            sys.stdout.write(stream.row() + "\n")
            sys.stdout.flush()
    took = time.monotonic() - began
    sys.stdout.write(f"{told} keys in {took:.0f} s: no law was broken\n")


if __name__ == "__main__":
    main(sys.argv[1:])
