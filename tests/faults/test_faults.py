"""A quick part of each fault run; `python tests/faults/run.py` is the long one.

The way of testing is SQLite's own (sqlite.org/testing.html): the n-th call fails until none does,
and a crash loses, tears and keeps what was not synced.
"""

from __future__ import annotations

import os
import signal
from collections.abc import Callable
from pathlib import Path

import pexpect
import pytest

from faults import cuts, limits, nth
from faults.deeds import Ack, checked, dice, new_record
from faults.kills import kill
from hardstand.domain import bodies as b
from hardstand.domain.codec import decode
from hardstand.errors import Refusal
from hardstand.store.journal import SqlJournal

traceable = pytest.mark.skipif(cuts.STRACE is None, reason="there is no strace on this machine")


def test_ten_kills_lose_nothing(tmp_path: Path) -> None:
    counts = kill(tmp_path, 10)
    assert counts.faults == 10
    assert counts.acknowledged > 10
    assert counts.lines >= counts.acknowledged


@traceable
@pytest.mark.parametrize("pages", [8, 1000])
def test_scenario_51_twenty_power_cuts_lose_nothing_that_was_acknowledged(
    tmp_path: Path, pages: int
) -> None:
    work, scratch = tmp_path / "work", tmp_path / "scratch"
    work.mkdir()
    scratch.mkdir()
    argv = [str(cuts.CHILD), str(work), "1", "12", str(pages)]
    events = cuts.traced(argv, work, tmp_path / "strace.log")
    assert {e.what for e in events} == {
        "told", "write", "sync", "create", "remove", "rename", "truncate",
    }  # fmt: skip
    assert cuts.cut(events, str(work), scratch, 20) > 10


def test_the_model_of_a_disk_keeps_what_was_synced_and_no_more() -> None:
    disk = cuts.Disk("/d")
    for event in (
        cuts.Event("create", "/d/new"), cuts.Event("write", "/d/new", at=0, data=b"aaaa"),
        cuts.Event("sync", "/d/new"), cuts.Event("rename", "/d/new", "/d/done"),
        cuts.Event("write", "/d/done", at=2, data=b"bbbb"),
    ):  # fmt: skip
        disk.take(event)
    chance = dice(1)
    assert disk.after_a_cut(chance, "only synced") == {}
    assert disk.after_a_cut(chance, "everything") == {"done": b"aabbbb"}
    disk.take(cuts.Event("sync", "/d"))
    assert disk.after_a_cut(chance, "only synced") == {"done": b"aaaa"}
    found = [disk.after_a_cut(chance, "some")["done"] for _ in range(40)]
    assert set(found) == {b"aaaa", b"aabbbb"}


def test_a_write_that_was_not_synced_tears_at_its_sectors() -> None:
    disk = cuts.Disk("/d")
    disk.take(cuts.Event("create", "/d/f"))
    disk.take(cuts.Event("sync", "/d"))
    disk.take(cuts.Event("write", "/d/f", at=100, data=b"x" * 1500))
    chance = dice(2)
    found = {bytes(disk.after_a_cut(chance, "some")["f"].ljust(1600, b"\0")) for _ in range(300)}
    torn = {tuple(f[at : at + 1] for at in (100, 512, 1024, 1536)) for f in found}
    assert len(torn) == 16


@traceable
@pytest.mark.parametrize(
    ("command", "call", "error", "when"),
    [
        ("raise", "pwrite64", "EIO", 1), ("raise", "pwrite64", "ENOSPC", 9),
        ("raise", "fdatasync", "EIO", 1), ("raise", "openat", "ENOSPC", 5),
        ("raise", "openat", "EIO", 4), ("walk", "fdatasync", "EIO", 4),
        ("walk", "pwrite64", "ENOSPC", 20), ("walk", "openat", "EIO", 4),
    ],
)  # fmt: skip
def test_a_call_that_fails_is_told_in_three_lines_and_loses_nothing(
    tmp_path: Path, command: str, call: str, error: str, when: int
) -> None:
    template = tmp_path / "template"
    template.mkdir()
    ends = nth.prepared(template)
    outcome = nth.held(template, ends, tmp_path / "one", command, (call, error, when))
    assert outcome.fired
    assert outcome.status in {0, 10, 12}


@traceable
def test_scenario_49_a_full_disk_says_not_saved_what_is_safe_and_what_to_do(tmp_path: Path) -> None:
    nth.prepared(tmp_path)
    outcome = nth.failing(tmp_path, "raise", "pwrite64", "ENOSPC", 2, ["record.db-wal"])
    assert outcome.status == 12
    assert outcome.said.splitlines() == [
        f"NOT SAVED: the disk with {tmp_path / 'record.db'} is full.",
        "Everything acknowledged before is in the record, and the record is whole.",
        "Free some space on that disk, then give the answer again.",
    ]


def test_too_little_memory_is_told_and_loses_nothing(tmp_path: Path) -> None:
    ends = nth.prepared(tmp_path)
    statuses = limits.short_of_memory(tmp_path / "record.db", ends, (30, 46, 400))
    assert statuses[-1] == 0
    assert set(statuses) <= {0, 12, 13, 70}


def test_scenario_50_a_folder_that_cannot_be_written_is_read_and_refuses_to_write(
    tmp_path: Path,
) -> None:
    ends = nth.prepared(tmp_path)
    record = tmp_path / "record.db"
    for place in (tmp_path, *tmp_path.parents):
        if not place.stat().st_mode & 0o001:  # pytest keeps its folders to whoever runs it
            place.chmod(0o755)
    for file in tmp_path.iterdir():
        file.chmod(0o444)
    tmp_path.chmod(0o555)
    before = sorted(p.name for p in tmp_path.iterdir())

    def deed() -> int:
        checked(record, ends)
        with pytest.raises(Refusal) as raised:
            SqlJournal(record)
        assert raised.value.lines() == (
            f"{record} cannot be written to: the file or its disk is read-only.",
            "Reading works; nothing was written anywhere else.",
            "Copy the record to a disk that can be written, or ask whoever keeps the tablets.",
        )
        return raised.value.exit_status

    try:
        assert limits.as_nobody(deed) == 10
    finally:
        tmp_path.chmod(0o755)
    assert sorted(p.name for p in tmp_path.iterdir()) == before


@pytest.mark.parametrize("devices", ["AB", "AA"])
def test_scenario_55_two_programs_on_one_record_lose_nothing(tmp_path: Path, devices: str) -> None:
    record = tmp_path / "record.db"
    new_record(record)
    told = limits.together(record, devices, 12)
    assert len(told) > 24
    assert checked(record, told) > 24


def _answered(record: Path) -> list[str]:
    journal = SqlJournal(record, read_only=True)
    bodies = [decode(e) for e in journal.entries(kind="step.answered")]
    journal.close()
    return [body.step for body in bodies if isinstance(body, b.StepAnswered)]


@pytest.mark.parametrize(
    "end",
    [
        limits.signalled(signal.SIGHUP), limits.signalled(signal.SIGTERM),
        limits.signalled(signal.SIGINT), limits.closed,
    ],
    ids=["SIGHUP", "SIGTERM", "SIGINT", "closed terminal"],
)  # fmt: skip
def test_a_walk_whose_terminal_goes_away_keeps_every_answer(
    tmp_path: Path, end: Callable[[pexpect.spawn], None]
) -> None:
    record = tmp_path / "record.db"
    new_record(record)
    limits.walk_until(record, "gate", end)
    checked(record, list[Ack]())
    assert _answered(record) == ["tools", "safe"]
    again = limits.command(record, "walks")
    assert "QM-161" in again.stdout
    assert os.listdir(tmp_path)


def test_an_interrupt_in_a_walk_says_what_is_safe_and_how_to_go_on(tmp_path: Path) -> None:
    record = tmp_path / "record.db"
    new_record(record)
    said = list[str]()

    def end(child: pexpect.spawn) -> None:
        child.expect_exact("Do safe.")
        child.kill(signal.SIGINT)
        child.expect(pexpect.EOF)
        child.close()
        said.extend(child.before.splitlines()[-3:])
        assert child.exitstatus == 130

    limits.walk_until(record, "tools", lambda child: end(_answering(child)))
    assert said == [
        "Interrupted.",
        "What was acknowledged is in the record.",
        "Give the command again; a walk goes on with `hardstand walk`.",
    ]
    assert _answered(record) == ["tools"]


def _answering(child: pexpect.spawn) -> pexpect.spawn:
    child.sendline("9")
    return child
