"""Verify, bulk load, rebuild, size and backup, over a record of years."""

from __future__ import annotations

import json
import os
import shutil
import sqlite3
import subprocess
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path

from sqlalchemy import func, select

from bench.timing import Figure, milliseconds, ratio, rounds
from hardstand.domain.chain import ZERO, Head, preimage, verify
from hardstand.domain.entry import Entry
from hardstand.store import ddl, kept, statements
from hardstand.store.copies import copy
from hardstand.store.journal import SqlJournal, create

LOADED = 60_000
"""Lines of the bulk load."""

ROUNDS = 3
LONG = 5_000_000
"""Lines from which on one round must do."""


def _rounds(deeds: Mapping[str, Callable[[], object]], lines: int) -> dict[str, list[float]]:
    return rounds(deeds, 1, warm=0) if lines > LONG else rounds(deeds, ROUNDS)


def verifying(folder: Path, record: Path) -> Iterator[Figure]:
    """Every digest and link of the record, in this process, against sha256sum of the same bytes."""
    journal = SqlJournal(record, read_only=True)
    heads = journal.heads()
    plain = folder / "preimages"
    with plain.open("wb") as out:
        out.writelines(preimage(entry) for entry in journal.chains())
    lines = sum(head.seq for head in heads.values())
    size = plain.stat().st_size / lines

    def ours() -> None:
        assert list(verify(journal.lines(), heads)) == []

    def scan() -> None:
        for _ in journal.lines():
            pass

    def floor() -> None:
        subprocess.run(["sha256sum", str(plain)], check=True, stdout=subprocess.DEVNULL)

    times = _rounds({"floor": floor, "scan": scan, "ours": ours}, lines)
    journal.close()
    plain.unlink()
    each = min(times["ours"]) / lines * 1e6
    yield Figure(
        what=f"verify {lines / 1e6:.2f} M lines", floor="`sha256sum` of the same bytes",
        ratio=ratio(times["ours"], times["floor"]), goal=1.5,
        note=f"{each:.2f} µs a line of {size:.0f} bytes; reading the rows alone is "
        f"{ratio(times['scan'], times['floor']):.1f} ×",
    )  # fmt: skip


def rebuilding(_: Path, record: Path) -> Iterator[Figure]:
    """Fold every airframe anew, against reading every row once."""
    journal = SqlJournal(record)

    def scan() -> None:
        for _ in journal.lines():
            pass

    def ours() -> None:
        with journal.write() as writing:
            writing.rebuild()

    lines = sum(head.seq for head in journal.heads().values())
    times = _rounds({"floor": scan, "ours": ours}, lines)
    with journal.reading() as connection:
        bearing = ddl.entry.c.airframe.is_not(None) & ddl.BEARING
        count = connection.execute(select(func.count()).where(bearing)).scalar()
    journal.close()
    each = min(times["ours"]) / (count or 1) * 1e6
    yield Figure(
        what="rebuild everything that is kept", floor="a scan of all rows",
        ratio=ratio(times["ours"], times["floor"]), goal=2.5,
        note=f"{count} lines that bear on status, {each:.0f} µs each",
    )  # fmt: skip


def loading(folder: Path, record: Path) -> Iterator[Figure]:
    """Lines of another record taken in and verified, against executemany of the same rows."""
    journal = SqlJournal(record, read_only=True)
    lines = [entry for entry in journal.chains() if entry.device == "A"][:LOADED]
    journal.close()
    rates: dict[str, list[float]] = {"floor": [], "ours": []}
    for number in range(ROUNDS):
        rates["floor"].append(_executemany(folder / f"floor-{number}.db", lines))
        rates["ours"].append(_append(folder / f"ours-{number}.db", lines))
    yield Figure(
        what="bulk load, verified and folded, lines a second", floor="`executemany` of the rows",
        ratio=ratio(rates["ours"], rates["floor"]), goal=0.4, more=True,
        note=f"{max(rates['ours']) / 1e3:.0f} k against {max(rates['floor']) / 1e3:.0f} k",
    )  # fmt: skip


def _executemany(path: Path, lines: Sequence[Entry]) -> float:
    create(path, "Z")
    raw = sqlite3.connect(path, isolation_level=None)
    raw.execute("PRAGMA synchronous = FULL")
    rows = [tuple(line) for line in lines]
    began = time.perf_counter()
    raw.execute("BEGIN IMMEDIATE")
    raw.executemany(statements.ADD_ENTRY, rows)
    raw.execute("COMMIT")
    took = time.perf_counter() - began
    raw.close()
    path.unlink()
    return len(lines) / took


def _append(path: Path, lines: Sequence[Entry]) -> float:
    create(path, "Z")
    journal = SqlJournal(path)
    last = lines[-1]
    began = time.perf_counter()
    end = {last.device: Head(last.seq, last.digest, last.tick)}
    assert lines[0].prev == ZERO
    assert list(verify(lines, end)) == []
    with journal.write() as writing:
        writing.append(lines)
    took = time.perf_counter() - began
    journal.close()
    path.unlink()
    return len(lines) / took


def sizing(_: Path, record: Path) -> Iterator[Figure]:
    """The file against its lines as JSON, `prev` left out as it is the line before."""
    journal = SqlJournal(record)
    lines = sum(head.seq for head in journal.heads().values())
    sample = [entry for n, entry in enumerate(journal.chains()) if n % 97 == 0]
    with journal.reading() as connection:
        pages = connection.exec_driver_sql("PRAGMA page_count").scalar()
        free = connection.exec_driver_sql("PRAGMA freelist_count").scalar()
    journal.close()
    size = ((pages or 0) - (free or 0)) * 4096 / lines
    plain = sum(len(_json(entry)) for entry in sample) / len(sample)
    yield Figure(
        what="size of the record", floor="its lines as canonical JSON", ratio=size / plain,
        goal=1.6, note=f"{size:.0f} against {plain:.0f} bytes a line",
    )  # fmt: skip


def _json(entry: Entry) -> bytes:
    plain = {
        "airframe": entry.airframe, "at": entry.at, "author": entry.author, "body": "",
        "device": entry.device, "digest": entry.digest.hex(), "kind": entry.kind,
        "seq": entry.seq, "tick": entry.tick, "version": entry.version, "walk": entry.walk,
    }  # fmt: skip
    text = json.dumps(plain, separators=(",", ":"), sort_keys=True)
    return text.encode().replace(b'"body":""', b'"body":' + entry.body) + b"\n"


def backing_up(folder: Path, record: Path) -> Iterator[Figure]:
    """A verified backup against cp and fsync."""
    SqlJournal(record).close()

    def floor() -> None:
        shutil.copyfile(record, folder / "plain")
        handle = os.open(folder / "plain", os.O_RDONLY)
        os.fsync(handle)
        os.close(handle)
        (folder / "plain").unlink()

    def ours() -> None:
        copy(record, folder / "backup.db")
        (folder / "backup.db").unlink()

    times = _rounds({"floor": floor, "ours": ours}, record.stat().st_size // 300)
    yield Figure(
        what=f"verified backup of {record.stat().st_size / 1e6:.0f} MB", floor="`cp` and fsync",
        ratio=ratio(times["ours"], times["floor"]), goal=7,
        note=f"{milliseconds(times['ours'])} against {milliseconds(times['floor'])}",
    )  # fmt: skip


def reading(_: Path, record: Path, tail: str) -> Iterator[Figure]:
    """The facts of one airframe, in process, at that length of the record."""
    journal = SqlJournal(record, read_only=True)

    def read() -> None:
        journal._kept.forget()
        journal.facts(tail)

    times = rounds({"read": read}, 50)["read"]
    with journal.reading() as connection:
        whole = rounds({"fleet": lambda: kept.whole(connection)}, 3)["fleet"]
    journal.close()
    yield Figure(
        what="the facts of one airframe, in process", floor="", unit="ms", goal=10,
        ratio=sorted(times)[len(times) // 2] * 1e3,
        note=f"the whole record's own facts, on a change of it only: {milliseconds(whole)}",
    )  # fmt: skip
