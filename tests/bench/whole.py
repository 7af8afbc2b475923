"""From each answer to the next question over a whole walk of a shipped list, on a terminal.

What is typed is what somebody types at an aircraft in order: keys, positions, numbers, words. Some
answers move what the record keeps, some are judged, some end a zone; the bench of `asking` has
only plain ones.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

import pexpect

from bench.asking import LOOP, SETTLE_S, times
from bench.timing import CLEAN, MEMORY, Figure, milliseconds
from builders import IO, MORNING
from hardstand.domain.asking import Ask
from hardstand.flows.pen import Pen
from hardstand.flows.starting import walk
from hardstand.store.journal import SqlJournal, create
from hardstand.system.clock import ScriptClock
from human_factors.watched import papers_adopted
from memory import MemoryJournal
from scenarios.stage import Person, plan_at

LISTS = {"QM-107": "the hand-tuned list", "QM-161": "the VHF list"}
SIZE = (60, 200)
BEGIN = 4
"""So many questions before the first step: the tail, the manual, the log."""
ENOUGH = 40
"""Characters of a prompt to know it by."""


class Said(NamedTuple):
    """What was asked last, and what was typed."""

    prompt: str
    typed: str


class Noting(Person):
    """Answers as for an aircraft in order, and keeps what was typed to what."""

    def __init__(self, tail: str, pen: Pen) -> None:
        super().__init__(tail, plan_at(pen, tail), {}, until="", then=())
        self.script: list[Said] = []

    def ask(self, question: Ask) -> str:
        """A good answer."""
        reply = super().ask(question)
        ended = "\n" if question.typed else ""
        self.script.append(Said(question.prompt[:ENOUGH] or "Keys:", f"{reply}{ended}"))
        return reply


def script_of(tail: str) -> list[Said]:
    """What is asked and typed over a whole walk of an aircraft in order."""
    pen = Pen(
        journal=MemoryJournal(lines=papers_adopted()), clock=ScriptClock(MORNING), author="IO"
    )
    person = Noting(tail, pen)
    walk(pen, person, by=IO)
    return person.script


def whole(_: Path) -> Iterator[Figure]:
    """Answer to next question over whole walks: by single keys and by lines; a record in memory."""
    if not MEMORY.is_dir():
        return
    for tail, listed in LISTS.items():
        script = script_of(tail)
        for way, options in (("single keys", ()), ("lines", ("--plain",))):
            with tempfile.TemporaryDirectory(dir=MEMORY) as free:
                folder = Path(free)
                floor = _floor(folder)
                ours = _times(folder / "record.db", script, options)
                floor += _floor(folder)
            bound = 3 * statistics.median(floor)
            yield Figure(
                what=f"answer to next question over a whole walk of {listed}, {way}",
                floor="a bare `input()` loop; record in memory",
                ratio=statistics.median(ours) / statistics.median(floor), goal=3,
                note=f"{milliseconds(ours)} against {milliseconds(floor)}; "
                f"{sum(t <= bound for t in ours)} of {len(ours)} answers within it",
            )  # fmt: skip


def _floor(folder: Path) -> list[float]:
    script = folder / "loop.py"
    script.write_text(LOOP)
    return times([str(script)], "step {:02d} > ", (), "ok\n")


def _times(record: Path, script: Sequence[Said], options: Sequence[str]) -> list[float]:
    """Seconds from each answer to the next question, from the first step on."""
    create(record, "A")
    journal = SqlJournal(record)
    with journal.write() as writing:
        writing.append(papers_adopted())
    journal.close()
    argv = ["-m", "hardstand", *options, "--record", str(record), "walk", "--by", "IO"]
    env = {**CLEAN, "HARDSTAND_BOUNCE_MS": "0"}
    child = pexpect.spawn(sys.executable, argv, env=env, echo=False, dimensions=SIZE)
    child.delaybeforesend = None
    found, began = list[float](), 0.0
    for said in script:
        child.expect_exact(said.prompt)
        found.append(time.perf_counter() - began)
        time.sleep(SETTLE_S)
        with suppress(
            pexpect.TIMEOUT
        ):  # the rest of the screen, so that the next one is waited for
            child.read_nonblocking(1 << 20, 0)
        key = not (options or said.typed.endswith("\n"))
        typed = said.typed.lower() if key else f"{said.typed.rstrip()}\n"
        began = time.perf_counter()
        child.send(typed)
    child.close(force=True)
    return found[BEGIN + 1 :]
