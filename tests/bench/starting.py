"""Start-up, help, hot reads, and the way from Enter to the first prompt."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path

from bench.terminal import OnTerminal
from bench.timing import Figure, hardstand, milliseconds, process, python, ratio, rounds

BARE = """
import json, sqlite3, sys
db = sqlite3.connect(f"file:{sys.argv[1]}?mode=ro", uri=True)
for facts, in db.execute("SELECT facts FROM now WHERE tail = ?", (sys.argv[2],)):
    for e in json.loads(facts)["open"]:
        print(e["number"], e["symbol"], e["found_at"], e["found_by"], e["text"])
"""
"""What a hot read cannot do without: open, one SELECT, JSON, print."""

ROUNDS = 15


def on_terminal(argv: list[str]) -> Callable[[], object]:
    """A whole process on a terminal of its own, until it ends."""
    return lambda: OnTerminal(argv).to_end()


def to_prompt(argv: list[str], prompt: str) -> Callable[[], object]:
    """A process on a terminal until it asks; then it is left."""

    def run() -> None:
        child = OnTerminal(argv)
        child.until(prompt)
        child.leave()

    return run


def starting(folder: Path, record: Path, tail: str) -> Iterator[Figure]:
    """The figures of start-up."""
    bare = folder / "bare.py"
    bare.write_text(BARE)
    open_items = hardstand("--record", str(record), "open", tail)
    asked = folder / "asked.py"
    asked.write_text("input('tail: ')\n")
    times = rounds(
        {
            "pass": process(python("-c", "pass")),
            "version": process(hardstand("--version")),
            "help": process(hardstand("--help")),
            "bare": process(python(str(bare), str(record), tail)),
            "plain": process([*open_items[:3], "--plain", *open_items[3:]]),
            "bare table": on_terminal(python(str(bare), str(record), tail)),
            "table": on_terminal(open_items),
            "input": to_prompt(python(str(asked)), "tail: "),
            "prompt": to_prompt(
                hardstand("--record", str(record), "walk", "--by", "IO"), "painted on the aircraft"
            ),
        },
        ROUNDS,
    )  # fmt: skip
    figure = partial(_figure, times)
    yield figure("`hardstand --version`", "version", "pass", "`python -c pass`", 1.6)
    yield figure("`hardstand --help`", "help", "pass", "`python -c pass`", 14)
    bare_words = "a bare script: sqlite3, json, print"
    yield figure("`open TAIL`, plain", "plain", "bare", bare_words, 4.5)
    yield figure("`open TAIL`, table on a terminal", "table", "bare table", bare_words, 6.5)
    yield figure("`walk`, from Enter to the first question", "prompt", "input",
                 "python and `input()` on a terminal", 7)  # fmt: skip


def _figure(
    times: dict[str, list[float]], what: str, one: str, floor: str, words: str, goal: float
) -> Figure:
    note = f"{milliseconds(times[one])} against {milliseconds(times[floor])}"
    return Figure(what=what, floor=words, ratio=ratio(times[one], times[floor]), goal=goal,
                  note=note)  # fmt: skip
