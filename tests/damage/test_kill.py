"""kill -9 at fifty random moments of a real walk: nothing acknowledged is lost, nothing is jumped.

An answer is acknowledged when the question after it was printed. Each killed walk is gone on with
by the next process, which must begin at the step where the record stands.

The moment is so many questions seen and a few milliseconds more; what the walk can read ends soon
after, so that it is in the middle of its work on a slow machine and on a fast one.
"""

from __future__ import annotations

import os
import random
import re
import select
import signal
import subprocess
import sys
import time
from dataclasses import dataclass, field
from pathlib import Path
from typing import NoReturn

import pytest

import hardstand.cli.app  # noqa: F401  loaded once, before this process is copied
from builders import IO, TAIL, checklist, close_all, on_disk, step, steps
from good_hands import GoodHands
from hardstand.cli.front import run
from hardstand.domain.asking import Ask
from hardstand.domain.checklist import Checklist
from hardstand.domain.walk import WalkState
from hardstand.flows.adopting import lists
from hardstand.flows.pen import Pen
from hardstand.flows.pinned import resumed_state
from hardstand.flows.records import verified
from hardstand.flows.starting import walk
from hardstand.store.journal import SqlJournal
from hardstand.system.clock import MachineClock
from memory import MemoryJournal

KILLS = 50
A_RECORD = 10
"""So many kills one after another in each record."""
MORE = 40
ODD = {"look-05": "F", "look-15": "S", "look-25": "U", "volts": "S"}
SAID = {"F": "FAULT", "S": "SKIPPED", "U": "UNSURE"}
_HEADING = re.compile(rb"^(\d+\.\d\d)  Do [^\n]*\n", re.MULTILINE)


def _long_list() -> Checklist:
    """The tiny list with forty more things to look at."""
    more = tuple(step(f"look-{n:02d}", "test") for n in range(1, MORE + 1))
    return checklist(listed=(*steps()[:12], *more, *steps()[12:]))


LIST = _long_list()
ORDER = [s.id for s in LIST.steps if not s.applies_if]
NUMBER = {LIST.number(name): name for name in ORDER}


class _CountingHands(GoodHands):
    """Good hands that note how many lines they had typed when each step was first asked."""

    def __init__(self) -> None:
        super().__init__(LIST, ODD)
        self.before: dict[str, int] = {}

    def ask(self, question: Ask) -> str:
        """As ever."""
        step = self._step(question)
        if step is not None:
            self.before.setdefault(step.id, len(self.replies))
        return super().ask(question)


@dataclass(frozen=True)
class Typed:
    """The lines that walk on to the end; how many of them come before each question of a step."""

    lines: list[str]
    before: list[int] = field(default_factory=list)


def _typed(path: Path) -> tuple[Typed, WalkState | None]:
    """The lines that walk on to the end from where the record stands, and where that is."""
    journal = SqlJournal(path)
    memory = MemoryJournal(lines=list(journal.chains()))
    journal.close()
    pen = Pen(journal=memory, clock=MachineClock(), author="IO")
    facts = memory.facts(TAIL)
    state = resumed_state(pen, facts, lists(memory), facts.walks[0]) if facts.walks else None
    hands = _CountingHands()
    done = walk(pen, hands, planned=TAIL, by=IO)
    assert done.outcome == "finished"
    return Typed(hands.replies, list(hands.before.values())), state


@dataclass(frozen=True)
class Killed:
    """What one process printed before it was killed, and whether it ended by itself before."""

    printed: bytes
    ended: bool

    @property
    def shown(self) -> list[str]:
        """The steps it asked, in order."""
        found = (match[1].decode() for match in _HEADING.finditer(self.printed))
        return [NUMBER[number] for number in found]


@dataclass
class Running:
    """A walk in a process of its own, with what it will be told typed ahead."""

    process: int
    out: int
    lines_in: int

    def kill(self) -> bool:
        """End it as a power cut would; whether it had ended by itself before."""
        ended = os.waitpid(self.process, os.WNOHANG)[0] != 0
        if not ended:
            os.kill(self.process, signal.SIGKILL)
            os.waitpid(self.process, 0)
        os.close(self.lines_in)
        return ended


def _started(path: Path, typed: list[str], *, fresh: bool) -> Running:
    """A fresh interpreter; or a copy of this one, which begins to walk without loading anything."""
    argv = ["--record", str(path), "--plain", "walk", TAIL, "--by", "IO"]
    reads, lines_in = os.pipe()
    out, prints = os.pipe()
    os.write(lines_in, "".join(f"{line}\n" for line in typed).encode())
    if fresh:
        actions = [
            (os.POSIX_SPAWN_DUP2, reads, 0),
            (os.POSIX_SPAWN_DUP2, prints, 1),
            (os.POSIX_SPAWN_OPEN, 2, os.devnull, os.O_WRONLY, 0),
        ]
        words = [sys.executable, "-m", "hardstand", *argv]
        process = os.posix_spawn(sys.executable, words, os.environ, file_actions=actions)
    else:
        process = os.fork()
        if process == 0:
            os.close(lines_in)
            _be_the_walk(argv, reads, prints)
    os.close(reads)
    os.close(prints)
    return Running(process, out, lines_in)


def _be_the_walk(argv: list[str], reads: int, prints: int) -> NoReturn:
    try:
        sys.stdin = os.fdopen(reads, encoding="utf-8")
        sys.stdout = os.fdopen(prints, "w", encoding="utf-8")
        sys.stderr = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115  this process ends
        run(argv)
        sys.stdout.flush()
    finally:
        os._exit(0)


def _walk_and_kill(path: Path, typed: Typed, dice: random.Random, *, fresh: bool) -> Killed:
    """Start a walk with lines typed ahead and kill it at a moment drawn by lot."""
    seen = dice.randint(1, max(1, len(typed.before) // 2))
    most = [*typed.before, 0][seen - 1] + dice.choice((1, 4, len(typed.lines)))
    running = _started(path, typed.lines[:most], fresh=fresh)
    if dice.random() < 0.15 or not typed.before:
        printed = _read_for(running.out, dice.uniform(0, 0.5 if fresh else 0.05))
    else:
        printed = _read_for(running.out, 30, questions=seen)
        printed += _read_for(running.out, dice.uniform(0, 0.01))
    ended = running.kill()
    with os.fdopen(running.out, "rb") as rest:
        printed += rest.read()
    return Killed(printed, ended)


def _read_for(handle: int, seconds: float, questions: int = 0) -> bytes:
    """What comes from a pipe in that time, or until so many questions were seen in it."""
    printed, end = b"", time.monotonic() + seconds
    while (left := end - time.monotonic()) > 0:
        if not select.select([handle], [], [], left)[0]:
            break
        part = os.read(handle, 65536)
        printed += part
        if not part or (questions and len(_HEADING.findall(printed)) >= questions):
            break
    return printed


def _check(path: Path, killed: Killed, before: WalkState | None) -> None:
    """Nothing acknowledged is lost, nothing was jumped, and the record holds."""
    journal = SqlJournal(path)
    assert " lines hold, " in verified(journal)
    facts = journal.facts(TAIL)
    last = [e.walk for e in journal.entries(kind="walk.started")][-1:]
    answered = [e for w in last for e in journal.entries(walk=w or "", kind="step.answered")]
    journal.close()
    names = list(dict.fromkeys(_field(e.body, "step") for e in answered))
    said = {_field(e.body, "step"): _field(e.body, "answer") for e in answered}
    start = len(before.given) if before is not None else 0
    passed = before.given if before is not None else {}
    shown = [name for name in killed.shown if name != "gate" or name not in passed]
    if shown:  # a gate passed before is asked once more and moves nothing
        assert shown == ORDER[start : start + len(shown)]
        asked = start + len(shown) - 1
        assert len(names) in {asked, asked + 1}
    assert names == ORDER[: len(names)]
    assert said == {name: SAID.get(ODD.get(name, ""), "OK") for name in names}
    if names and len(names) < len(ORDER):
        assert [w.walk for w in facts.walks] == last


def _field(body: bytes, name: str) -> str:
    found = re.search(rb'"' + name.encode() + rb'":"([^"]*)"', body)
    assert found is not None
    return found[1].decode()


@pytest.mark.hf("PLC-02", "KEY-10")
def test_fifty_kills_lose_no_acknowledged_answer_and_jump_no_step(tmp_path: Path) -> None:
    dice = random.Random(161)  # noqa: S311  the same lots each time, no secret
    came = []
    for n in range(KILLS):
        path = tmp_path / str(n // A_RECORD) / "record.db"
        if n % A_RECORD == 0:
            path.parent.mkdir()
            on_disk(path.parent, listed=LIST)
            close_all()
        typed, before = _typed(path)
        killed = _walk_and_kill(path, typed, dice, fresh=n % 5 == 0)
        _check(path, killed, before)
        came.append(0 if killed.ended else len(killed.shown))
    assert sum(0 < far < len(ORDER) for far in came) >= KILLS // 3


def test_scenario_51_a_killed_walk_is_gone_on_with_and_finished_by_the_next_process(
    tmp_path: Path,
) -> None:
    on_disk(tmp_path, listed=LIST)
    close_all()
    path = tmp_path / "record.db"
    dice = random.Random(7)  # noqa: S311  the same lots each time, no secret
    whole, _ = _typed(path)
    _walk_and_kill(path, Typed(whole.lines[:20], whole.before[:4]), dice, fresh=True)
    typed, before = _typed(path)
    words = ["--record", str(path), "--plain", "walk", TAIL, "--by", "IO"]
    done = subprocess.run(
        [sys.executable, "-m", "hardstand", *words],
        input="".join(f"{line}\n" for line in typed.lines),
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    first = _HEADING.search(done.stdout.encode())
    assert first is not None
    expected = before.next_step() if before is not None else LIST.steps[0]
    assert expected is not None
    assert NUMBER[first[1].decode()] == expected.id
    assert "FINISHED" in done.stderr
    verify = subprocess.run(
        [sys.executable, "-m", "hardstand", "--record", str(path), "record", "verify"],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert verify.returncode == 0
    assert " lines hold, 1 devices: A " in verify.stdout
