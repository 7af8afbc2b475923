"""The power goes: only what was synced is sure to be there, and of the rest any part may be.

A real process is traced, every write, sync and change of name of the folder it works in. The trace
is replayed into a model of a disk up to some moment; what a disk may hold then is written out and
opened. A write that was not synced survives by sectors of 512 bytes: all, none or some of them. A
name that was not synced survives up to some point of the folder's own order.
"""

from __future__ import annotations

import os
import random
import re
import shutil
import subprocess
import sys
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal

from faults.deeds import checked, dice, work_on
from hardstand.store.journal import SqlJournal

STRACE = shutil.which("strace")
SECTOR = 512
CALLS = "openat,pwrite64,write,fdatasync,fsync,ftruncate,unlink,unlinkat,rename,renameat,renameat2"
How = Literal["only synced", "everything", "some"]
_CALL = re.compile(rb"^(?:\d+ +)?(\w+)\((.*)\) += (-?\d+)")
_HELD = re.compile(rb"^(\d+)<((?:\\x[0-9a-f]{2})*)>")
_TEXT = re.compile(rb'"((?:\\x[0-9a-f]{2})*)"(?:\.\.\.)?')


@dataclass(frozen=True, slots=True)
class Event:
    """One traced call: what it did to which file, or words told on standard output."""

    what: str
    name: str = ""
    other: str = ""
    at: int = 0
    data: bytes = b""


def traced(argv: Sequence[str], folder: Path, log: Path) -> list[Event]:
    """Run a command of Python and give what it did inside a folder, in order."""
    assert STRACE
    env = {**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))}
    options = ["-f", "-y", "-xx", "-s", "1000000", "--seccomp-bpf", "-e", f"trace={CALLS}"]
    subprocess.run(
        [STRACE, *options, "-o", str(log), sys.executable, *argv],
        check=True,
        stdout=subprocess.DEVNULL,
        env=env,
    )
    with log.open("rb") as lines:
        return list(_events(lines, str(folder)))


def _events(lines: Iterable[bytes], folder: str) -> Iterator[Event]:
    offsets: dict[str, int] = {}
    for line in lines:
        found = _CALL.match(line)
        if not found or int(found[3]) < 0:
            continue
        yield from _event(found[1].decode(), found[2], folder, offsets)


def _event(call: str, rest: bytes, folder: str, offsets: dict[str, int]) -> Iterator[Event]:
    texts = [_plain(t) for t in _TEXT.findall(rest)]
    names = [t.decode("utf-8", "replace") for t in texts]
    held = _HELD.match(rest)
    path = _plain(held[2]).decode("utf-8", "replace") if held else ""
    inside = path.startswith(folder)
    if call == "write" and held and held[1] == b"1":
        yield Event("told", data=texts[0])
    elif call == "write" and inside:
        at = offsets.get(path, 0)
        offsets[path] = at + len(texts[0])
        yield Event("write", path, at=at, data=texts[0])
    elif call == "pwrite64" and inside:
        yield Event("write", path, at=int(rest.rsplit(b", ", 1)[1]), data=texts[0])
    elif call == "ftruncate" and inside:
        yield Event("truncate", path, at=int(rest.rsplit(b", ", 1)[1]))
    elif call in {"fsync", "fdatasync"} and path.startswith(folder):
        yield Event("sync", path)
    elif call == "openat" and b"O_CREAT" in rest and names[0].startswith(folder):
        offsets[names[0]] = 0
        yield Event("create", names[0])
    elif call.startswith("unlink") and names[0].startswith(folder):
        yield Event("remove", names[0])
    elif call.startswith("rename") and names[0].startswith(folder):
        yield Event("rename", names[0], names[1])


def _plain(escaped: bytes) -> bytes:
    return bytes.fromhex(escaped.replace(b"\\x", b"").decode())


# -- the model of a disk ---------------------------------------------------------------------------


@dataclass(slots=True)
class _File:
    """What a file surely holds, and what was done to it since."""

    sure: bytes = b""
    since: list[tuple[int, bytes | None]] = field(default_factory=list)

    def sync(self) -> None:
        self.sure = self.content(None, "everything")
        self.since.clear()

    def content(self, rng: random.Random | None, how: How) -> bytes:
        data = bytearray(self.sure)
        for at, part in self.since if how != "only synced" else ():
            if rng is not None and how == "some":
                _survive(data, at, part, rng)
            elif part is None:
                _resize(data, at)
            else:
                _put(data, at, part)
        return bytes(data)


def _survive(data: bytearray, at: int, part: bytes | None, rng: random.Random) -> None:
    """A change that was not synced: it is there, or not, or some of its sectors are."""
    fate = rng.random()
    if part is None:
        if fate < 0.5:
            _resize(data, at)
        return
    share = 1.0 if fate < 0.4 else 0.0 if fate < 0.6 else rng.random()
    end = at + len(part)
    for start in range(at - at % SECTOR, end, SECTOR):
        first, last = max(at, start), min(end, start + SECTOR)
        if rng.random() < share:
            _put(data, first, part[first - at : last - at])


def _put(data: bytearray, at: int, part: bytes) -> None:
    if len(data) < at:
        data.extend(bytes(at - len(data)))
    data[at : at + len(part)] = part


def _resize(data: bytearray, size: int) -> None:
    if size < len(data):
        del data[size:]
    else:
        data.extend(bytes(size - len(data)))


@dataclass(slots=True)
class Disk:
    """A folder on a disk that can lose its power: files, names, and what is not synced of both."""

    folder: str
    names: dict[str, _File] = field(default_factory=dict)
    sure: dict[str, _File] = field(default_factory=dict)
    since: list[tuple[Event, _File]] = field(default_factory=list)
    told: bytes = b""

    def take(self, event: Event) -> None:
        """Let one event happen."""
        if event.what == "told":
            self.told += event.data
        elif event.what == "sync" and event.name == self.folder:
            self.sure = dict(self.names)
            self.since.clear()
        elif event.what == "create" and event.name not in self.names:
            self._rename(event, _File())
        elif event.what in {"remove", "rename"} and event.name in self.names:
            self._rename(event, self.names[event.name])
        elif event.name in self.names:
            self._change(self.names[event.name], event)

    def _rename(self, event: Event, file: _File) -> None:
        _named(self.names, event, file)
        self.since.append((event, file))

    def _change(self, file: _File, event: Event) -> None:
        if event.what == "sync":
            file.sync()
        elif event.what == "truncate":
            file.since.append((event.at, None))
        elif event.what == "write":
            file.since.append((event.at, event.data))

    def after_a_cut(self, rng: random.Random, how: How) -> dict[str, bytes]:
        """What the folder may hold when the power comes back: name to content."""
        names = dict(self.names) if how == "everything" else dict(self.sure)
        for event, file in self.since[: rng.randint(0, len(self.since))] if how == "some" else ():
            _named(names, event, file)
        return {Path(name).name: file.content(rng, how) for name, file in names.items()}


def _named(names: dict[str, _File], event: Event, file: _File) -> None:
    """Change names as an event says."""
    if event.what != "create":
        names.pop(event.name, None)
    if event.what != "remove":
        names[event.other if event.what == "rename" else event.name] = file


# -- cuts over a hardstand at work -----------------------------------------------------------------

HOWS: tuple[How, ...] = ("only synced", "some", "some", "everything")
CHILD = Path(__file__).with_name("work.py")


def cut(events: Sequence[Event], folder: str, scratch: Path, cuts: int, *, seed: int = 3) -> int:
    """Cut the power at as many moments as asked, and check what is left; lines acknowledged."""
    rng = dice(seed)
    at = sorted(rng.randrange(1, len(events) + 1) for _ in range(cuts))
    disk, done, most = Disk(folder), 0, 0
    for number, moment in enumerate(at):
        for event in events[done:moment]:
            disk.take(event)
        done = moment
        place = scratch / f"cut-{number}"
        place.mkdir()
        for name, content in disk.after_a_cut(rng, rng.choice(HOWS)).items():
            (place / name).write_bytes(content)
        most = max(most, hold(place, disk.told))
        shutil.rmtree(place)
    return most


def hold(place: Path, told: bytes) -> int:
    """Assert that what was told before a cut holds after it; how many lines were acknowledged."""
    words = [line.decode().split(" ") for line in told.split(b"\n")[:-1]]
    files = {w[1] for w in words if w[0] == "file"}
    acknowledged = [(d, int(seq), digest) for d, seq, digest in (w for w in words if len(w) == 3)]
    assert files <= {p.name for p in place.iterdir()}, "a finished file is gone"
    record = place / "record.db"
    for file in sorted(place.glob("*.db")):
        checked(file, acknowledged if file == record else ())
    if record.exists():
        journal = SqlJournal(record)
        lines = sum(head.seq for head in journal.heads().values())
        work_on(record, "Z", os.open(os.devnull, os.O_WRONLY), seed=lines, most=1)
        journal.close()
        checked(record, acknowledged)
    return len(acknowledged)
