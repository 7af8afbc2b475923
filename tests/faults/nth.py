"""The n-th write, sync or open of a record fails, for n = 1, 2, 3 … until none does any more.

After each the command has either done its work or said in three lines that it has not, and the
record is whole, with all that was acknowledged before.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from builders import TAIL
from faults.cuts import STRACE
from faults.deeds import Ack, checked, new_record, work_on
from hardstand.domain import bodies as b
from hardstand.domain.codec import decode
from hardstand.store.journal import SqlJournal

CALLS = ("pwrite64", "fdatasync", "fsync", "openat", "ftruncate", "rename", "unlink")
ERRORS = ("EIO", "ENOSPC")
NAMES = ("record.db", "backup.db", "other.db")
ENDINGS = ("", "-wal", "-journal", "-shm", ".new", ".new-wal", ".new-journal", ".new-shm")
STATUSES = {0, 10, 12, 13}
"""Done, refused, not saved, busy; never a bug, never killed."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """How a command ended under a fault, and whether the fault happened at all."""

    status: int
    said: str
    fired: bool


COMMANDS: dict[str, Callable[[Path], list[str]]] = {
    "raise": lambda d: ["defect", "raise", TAIL, "hum", "--by", "BT"],
    "walk": lambda d: ["walk", "--answers", str(d / "walk.txt"), "--by", "IO"],
    "new": lambda d: ["--record", str(d / "other.db"), "record", "new", "--by", "BT"],
    "backup": lambda d: ["record", "backup", str(d / "backup.db")],
    "rebuild": lambda d: ["record", "rebuild"],
    "restore": lambda d: ["--record", str(d / "other.db"), "record", "restore",
                          str(d / "record.db"), "--device", "E"],
}  # fmt: skip


WALKED = ("tools: 9", "safe: OFF")
"""The answers of the walk, by their steps; then the walker is called away."""


def prepared(folder: Path) -> list[Ack]:
    """A record with some work in it, and a walk to play; its ends, which every fault must leave."""
    path = folder / "record.db"
    new_record(path)
    work_on(path, "A", os.open(os.devnull, os.O_WRONLY), seed=1, most=8)
    journal = SqlJournal(path, read_only=True)
    ends = [(d, head.seq, head.digest.hex()) for d, head in journal.heads().items()]
    taken = ", ".join(e.number for e in journal.facts(TAIL).open if e.symbol != "/")
    journal.close()
    told = [f"tail {TAIL}", *([f"taken {taken}"] if taken else []), *WALKED]
    end = "end left_unfinished | called away\n"
    (folder / "walk.txt").write_text("\n".join([*told, end]), encoding="utf-8")
    return ends


FILES = tuple(name + ending for name in NAMES for ending in ENDINGS)


def failing(
    folder: Path, command: str, call: str, error: str, when: int, files: Sequence[str] = FILES
) -> Outcome:
    """Run a command whose `when`-th call of that kind on the record's files fails."""
    assert STRACE
    log = folder / "strace.log"
    watched = [str(folder / name) for name in files] + ([str(folder)] if files is FILES else [])
    only = [word for path in watched for word in ("-P", path)]
    inject = f"inject={call}:error={error}:when={when}"
    env = {**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))}
    env |= {"HARDSTAND_RECORD": str(folder / "record.db")}
    done = subprocess.run(
        [STRACE, "-f", "--seccomp-bpf", "-o", str(log), *only, "-e", f"trace={call}", "-e", inject,
         sys.executable, "-m", "hardstand", *COMMANDS[command](folder)],
        capture_output=True, text=True, env=env, check=False,
    )  # fmt: skip
    return Outcome(done.returncode, done.stderr, "(INJECTED)" in log.read_text())


Fault = tuple[str, str, int]
"""A call, the error it fails with, and which of the calls fails."""


def held(template: Path, ends: Sequence[Ack], place: Path, command: str, fault: Fault) -> Outcome:
    """Run a command with a fault on a copy of a record: all is told, nothing is lost."""
    shutil.copytree(template, place)
    outcome = failing(place, command, *fault)
    where = f"{command} with {fault}: {outcome}"
    assert outcome.status in STATUSES, where
    if outcome.status:
        assert len(outcome.said.splitlines()) >= 3, where
        assert "bug" not in outcome.said, where
    for file in place.glob("*.db"):
        checked(file, ends if file.name == "record.db" else ())
    _effect(place, command, ends, outcome, where)
    work_on(place / "record.db", "Z", os.open(os.devnull, os.O_WRONLY), seed=fault[2], most=2)
    checked(place / "record.db", ends)
    shutil.rmtree(place)
    return outcome


def _effect(place: Path, command: str, ends: Sequence[Ack], outcome: Outcome, where: str) -> None:
    """A command that ended well has done what it says."""
    if outcome.status == 0 and command == "raise":
        assert checked(place / "record.db", ends) == sum(seq for _, seq, _ in ends) + 1, where
    if command == "walk":
        _walked(place / "record.db", ends, outcome, where)
    made = {"backup": "backup.db", "new": "other.db", "restore": "other.db"}.get(command)
    if outcome.status == 0 and made:
        assert (place / made).exists(), where


def _walked(record: Path, ends: Sequence[Ack], outcome: Outcome, where: str) -> None:
    """The answers came one after another; a walk that ended well has all of them and its end."""
    known = {device: seq for device, seq, _ in ends}
    journal = SqlJournal(record, read_only=True)
    new = [decode(e) for e in journal.entries() if e.seq > known.get(e.device, 0)]
    journal.close()
    wanted = [line.partition(":")[0] for line in WALKED]
    given = [body.step for body in new if isinstance(body, b.StepAnswered)]
    assert given == wanted[: len(given)], where
    if outcome.status == 0:
        assert given == wanted, where
        assert isinstance(new[-1], b.WalkClosed), where


def every(template: Path, ends: Sequence[Ack], scratch: Path, most: int = 400) -> Iterator[Outcome]:
    """Let every call of every command fail in turn, each with every error."""
    for command in COMMANDS:
        for call in CALLS:
            for error in ERRORS:
                for when in range(1, most):
                    outcome = held(template, ends, scratch / "one", command, (call, error, when))
                    if not outcome.fired:
                        break
                    yield outcome
