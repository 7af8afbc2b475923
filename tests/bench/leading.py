"""What a shift lead asks: status and board of the demo week, and of a record of 20,000 walks."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from bench import big
from bench.starting import on_terminal
from bench.timing import Figure, hardstand, milliseconds, process, python, ratio, rounds
from scenarios.stage import hardstand as told

BARE = """
import json, sqlite3, sys
db = sqlite3.connect(f"file:{sys.argv[1]}?mode=ro", uri=True)
for tail, facts in db.execute("SELECT tail, facts FROM now ORDER BY tail"):
    print(tail)
    for e in json.loads(facts).get("open", ()):
        print(e["number"], e["symbol"], e["found_at"], e["found_by"], e["text"])
"""
"""What a read of every airframe cannot do without: open, one SELECT, JSON, print."""

WALKS, ENTRIES, AIRFRAMES = 20_000, 200, 10
ROUNDS = 15
PLAIN, DRAWN = 4.5, 6.5


def leading(folder: Path) -> Iterator[Figure]:
    """Each question on each record, in a pipe and on a terminal."""
    bare = folder / "bare-board.py"
    bare.write_text(BARE)
    week, walks = folder / "week.db", folder / "walks.db"
    assert told(None, "demo", str(week)).status == 0
    big.build_of(walks, WALKS, ENTRIES, AIRFRAMES)
    for record, of in ((week, "the demo week"), (walks, f"{WALKS:,} walks")):
        yield from _asked(bare, record, of)


def _asked(bare: Path, record: Path, of: str) -> Iterator[Figure]:
    floor = python(str(bare), str(record))
    deeds = {"bare": process(floor), "bare, drawn": on_terminal(floor)}
    for verb in ("status", "board"):
        words = hardstand("--record", str(record), verb)
        deeds |= {verb: process(words), f"{verb}, drawn": on_terminal(words)}
    times = rounds(deeds, ROUNDS)
    for verb in ("status", "board"):
        for how, goal in (("", PLAIN), (", drawn", DRAWN)):
            ours, least = times[verb + how], times[f"bare{how}"]
            where = "on a terminal" if how else "plain"
            yield Figure(
                what=f"`{verb}` of {of}, {where}", floor="a bare script: sqlite3, json, print",
                ratio=ratio(ours, least), goal=goal,
                note=f"{milliseconds(ours)} against {milliseconds(least)}",
            )  # fmt: skip
