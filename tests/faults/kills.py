"""kill -9 at any moment: a hardstand at work is killed, the record is checked, the next goes on."""

from __future__ import annotations

import os
import select
import signal
import time
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from faults.deeds import Ack, acks, checked, dice, new_record, work_on
from hardstand.store.journal import SqlJournal

ROUNDS_A_RECORD = 50
"""Kills before a new record is begun, so that checking stays quick."""

LONGEST_S = 0.05


@dataclass(slots=True)
class Counts:
    """What a run of faults came to; each loss would have stopped it."""

    faults: int = 0
    acknowledged: int = 0
    lines: int = 0
    unacknowledged: int = 0


def forked(child: Callable[[int], None]) -> tuple[int, int]:
    """Run something in a process of its own; its pid, and the pipe it may tell on."""
    reading, writing = os.pipe()
    pid = os.fork()
    if pid:
        os.close(writing)
        return pid, reading
    status = 1
    try:
        os.close(reading)
        child(writing)
        status = 0
    finally:
        os._exit(status)


def rest_of(pipe: int) -> bytes:
    """Everything still to be read from a pipe, which is then closed."""
    parts = list[bytes]()
    while part := os.read(pipe, 65536):
        parts.append(part)
    os.close(pipe)
    return b"".join(parts)


def kill(folder: Path, kills: int, *, seed: int = 9) -> Counts:
    """Kill as many writers as asked, each going on where the last one was killed."""
    rng, counts = dice(seed), Counts()
    path, told, known = folder / "none", list[Ack](), 0
    for number in range(kills):
        if number % ROUNDS_A_RECORD == 0:
            path, told, known = folder / f"record-{number}.db", [], 4
            new_record(path)
        device = rng.choice("AB")
        pid, pipe = forked(partial(work_on, path, device, seed=seed + number))
        select.select([pipe], [], [], 20)  # it is at work from its first acknowledgement on
        time.sleep(rng.random() * LONGEST_S)
        os.kill(pid, signal.SIGKILL)
        os.waitpid(pid, 0)
        new = acks(rest_of(pipe))
        assert new, "the writer never got to work"
        told += new
        lines = checked(path, told)
        counts.faults += 1
        counts.acknowledged += len(new)
        counts.unacknowledged += _after(path, device, new)
        counts.lines += lines - known
        known = lines
    return counts


def _after(path: Path, device: str, new: list[Ack]) -> int:
    """How many lines were durable when the kill came before they could be acknowledged."""
    journal = SqlJournal(path, read_only=True)
    end = journal.heads()[device].seq if device in journal.heads() else 0
    journal.close()
    return end - new[-1][1] if new else 0
