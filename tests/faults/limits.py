"""Too little memory, no right to write, two programs at once, a terminal that goes away."""

from __future__ import annotations

import os
import resource
import signal
import subprocess
import sys
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

import pexpect

from builders import GOOD, steps
from faults.deeds import Ack, acks, checked, work_on
from faults.kills import forked, rest_of

NOBODY = 65534


def command(record: Path, *words: str, memory: int = 0) -> subprocess.CompletedProcess[str]:
    """Run hardstand in a process of its own, with so many bytes of address space if limited."""

    def limit() -> None:
        if memory:
            resource.setrlimit(resource.RLIMIT_AS, (memory, memory))

    return subprocess.run(
        [sys.executable, "-m", "hardstand", "--record", str(record), *words],
        capture_output=True, text=True, check=False, env=environment(),
        preexec_fn=limit,
    )  # fmt: skip


def environment() -> dict[str, str]:
    """What a hardstand of this working copy needs to find itself."""
    return {**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path)), "TERM": "dumb"}


def short_of_memory(record: Path, ends: Sequence[Ack], megabytes: Sequence[int]) -> list[int]:
    """Raise an entry with less and less memory; the statuses. Nothing acknowledged may be lost."""
    statuses = list[int]()
    known = checked(record, ends)
    for size in megabytes:
        done = command(record, "defect", "raise", "QM-161", "hum", "--by", "BT",
                       memory=size * 2**20)  # fmt: skip
        now = checked(record, ends)
        assert now == known + 1 if done.returncode == 0 else now in {known, known + 1}, done
        assert len(done.stderr.splitlines()) >= 3 or done.returncode == 0, done
        assert "Traceback" not in done.stderr, done
        known = now
        statuses.append(done.returncode)
    return statuses


def as_nobody(deed: Callable[[], int]) -> int:
    """What a deed comes to in a process that may not do what root may."""

    def child(out: int) -> None:
        if os.geteuid() == 0:
            os.setgroups([])
            os.setgid(NOBODY)
            os.setuid(NOBODY)
        os.write(out, str(deed()).encode())

    pid, pipe = forked(child)
    said = rest_of(pipe)
    os.waitpid(pid, 0)
    return int(said)


def together(record: Path, devices: str, deeds: int) -> list[Ack]:
    """Work on one record from several programs at once; what all of them had acknowledged."""
    children = [
        forked(partial(work_on, record, device, seed=40 + n, most=deeds))
        for n, device in enumerate(devices)
    ]
    told = [ack for _, pipe in children for ack in acks(rest_of(pipe))]
    for pid, _ in children:
        _, status = os.waitpid(pid, 0)
        assert status == 0, "a writer failed"
    return told


# -- a walk on a terminal that goes away -----------------------------------------------------------


def walk_until(record: Path, last: str, end: Callable[[pexpect.spawn], None]) -> None:
    """Walk on a terminal up to the prompt of a step, then let something happen to the terminal."""
    child = pexpect.spawn(
        sys.executable,
        ["-m", "hardstand", "--plain", "--record", str(record), "walk", "--by", "IO"],
        env=environment(), encoding="utf-8", timeout=20, dimensions=(60, 100), echo=False,
    )  # fmt: skip
    for line in ("QM-161", "c", "c"):
        child.sendline(line)
    for one in steps():
        child.expect_exact(f"Do {one.id}.")
        if one.id == last:
            end(child)
            return
        answer, *rest = GOOD[one.id]
        for line in (answer, *(["c"] if one.critical else []), *rest):
            child.sendline(line)


def signalled(number: signal.Signals) -> Callable[[pexpect.spawn], None]:
    """Send the walk a signal and wait until it is gone."""

    def end(child: pexpect.spawn) -> None:
        child.kill(number)
        child.expect(pexpect.EOF)
        child.close()

    return end


def closed(child: pexpect.spawn) -> None:
    """Take the terminal away under the walk, as a window that is closed does."""
    pid = child.pid
    child.close(force=False)
    while Path(f"/proc/{pid}").exists() and not child.terminated:
        child.isalive()
