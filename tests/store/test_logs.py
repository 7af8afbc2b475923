"""A log lies beside a file whose it is not: nothing is taken into anything, and it is said.

Why it must be: sqlite.org/howtocorrupt.html, 1.4, "Unlinking or renaming a database file", and the
note there on a journal that is paired with the wrong file.
"""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest

from builders import IO, TAIL, close_all, on_disk, opened
from hardstand.domain import bodies as b
from hardstand.errors import Damaged, Refusal
from hardstand.flows.pen import Pen
from hardstand.flows.recording import record
from hardstand.flows.records import verified
from hardstand.store import logs
from hardstand.store.copies import copy
from hardstand.store.journal import anew, create
from hardstand.store.reads import Reads

HINT = (
    "Keep copies of both. `hardstand record verify` names what is wrong; if the log is another "
    "file's, move it to another folder."
)
LEFT = "Both were left as they are; neither was taken into the other."


def _raise(pen: Pen, numbers: range) -> None:
    for n in numbers:
        raised = b.DefectRaised(number=f"161-A{n:02d}", symbol="/", text=f"hum {n}", by=IO)
        record(pen, TAIL, lambda _, raised=raised: (raised,))  # type: ignore[misc]  # bound early


def _crashed(folder: Path, entries: int) -> Path:
    """What a crash leaves of a record with so many entries, the last three in its log alone."""
    work, left = folder / "work", folder / "left"
    work.mkdir(parents=True)
    left.mkdir()
    pen = on_disk(work)
    _raise(pen, range(1, entries - 2))
    close_all()
    _raise(Pen(journal=opened(work / "record.db"), clock=pen.clock, author="IO"),
           range(entries - 2, entries + 1))  # fmt: skip
    for name in ("record.db", "record.db-wal"):
        shutil.copyfile(work / name, left / name)
    close_all()
    return left / "record.db"


def _contents(folder: Path) -> dict[str, bytes]:
    return {p.name: p.read_bytes() for p in folder.iterdir() if not p.name.endswith("-shm")}


MAKES: dict[str, tuple[Callable[[Path], object], str]] = {
    "record new": (lambda path: create(path, "B"), "the one made"),
    "demo": (anew, "the one made"),
    "backup": (lambda path: copy(path.parent.parent / "whole.db", path), "the copy"),
}


@pytest.mark.parametrize(("makes", "what"), MAKES.values(), ids=MAKES.keys())
def test_no_file_is_put_where_a_log_lies(
    tmp_path: Path, makes: Callable[[Path], object], what: str
) -> None:
    left = _crashed(tmp_path, 6)
    create(tmp_path / "whole.db", "A")
    left.unlink()
    before = _contents(left.parent)
    with pytest.raises(Refusal) as raised:
        makes(left)
    assert raised.value.lines() == (
        f"{left}-wal belongs to a record that is gone, and would spoil {what}.",
        "Nothing was changed.",
        "It may hold the last lines of that record: move it to another folder, keep it.",
    )
    assert _contents(left.parent) == before


@pytest.mark.parametrize("opens", [Reads, opened], ids=["hot read", "write"])
def test_the_log_of_another_record_is_not_taken_in(
    tmp_path: Path, opens: Callable[[Path], object]
) -> None:
    one = _crashed(tmp_path / "one", 6)
    other = tmp_path / "other"
    other.mkdir()
    pen = on_disk(other)
    _raise(pen, range(20, 22))
    close_all()
    shutil.copyfile(f"{one}-wal", other / "record.db-wal")
    before = _contents(other)
    with pytest.raises(Damaged) as raised:
        opens(other / "record.db")
    what, *rest = raised.value.lines()
    assert what.startswith(
        f"{other / 'record.db'} and the log beside it, record.db-wal, do not belong together: "
    )
    assert rest == [LEFT, HINT]
    assert _contents(other) == before


def test_a_backup_put_by_hand_beside_a_later_log_is_not_written_to(tmp_path: Path) -> None:
    pen = on_disk(tmp_path)
    copy(tmp_path / "record.db", tmp_path / "backup.db")
    _raise(pen, range(1, 60))
    close_all()
    later = Pen(journal=opened(tmp_path / "record.db"), clock=pen.clock, author="IO")
    _raise(later, range(60, 62))
    place = tmp_path / "by-hand"
    place.mkdir()
    shutil.copyfile(tmp_path / "backup.db", place / "record.db")
    shutil.copyfile(tmp_path / "record.db-wal", place / "record.db-wal")
    before = _contents(place)
    with pytest.raises(Damaged, match="do not belong together"):
        opened(place / "record.db")
    assert _contents(place) == before


def test_lines_missing_between_a_large_file_and_its_log_are_seen_without_its_pages(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(logs, "SMALL", 0)
    test_a_backup_put_by_hand_beside_a_later_log_is_not_written_to(tmp_path)


def test_the_log_that_a_crash_left_is_taken_in(tmp_path: Path) -> None:
    left = _crashed(tmp_path, 6)
    assert verified(opened(left, read_only=True)).startswith("10 lines hold, 1 devices: A 10 ")
    assert verified(opened(left)).startswith("10 lines hold, 1 devices: A 10 ")


def test_a_file_half_brought_up_to_date_by_a_power_cut_is_mended_by_its_log(tmp_path: Path) -> None:
    left = _crashed(tmp_path, 6)
    pen = opened(left, read_only=True)
    with pen.reading() as connection:
        sql = "SELECT rootpage FROM sqlite_schema WHERE name = 'head'"
        page = connection.exec_driver_sql(sql).scalar() or 0
    close_all()
    with left.open("r+b") as file:
        file.seek((page - 1) * 4096 + 2048)
        file.write(b"\xa5" * 2048)
    assert verified(opened(left)).startswith("10 lines hold, 1 devices: A 10 ")


def test_an_empty_log_and_an_index_alone_stop_nothing(tmp_path: Path) -> None:
    for name in ("record.db-wal", "record.db-shm"):
        (tmp_path / name).write_bytes(b"")
    create(tmp_path / "record.db", "A")
    assert verified(opened(tmp_path / "record.db")) == "0 lines hold, 0 devices: "


@pytest.mark.parametrize("opens", [Reads, opened], ids=["hot read", "write"])
def test_a_journal_to_roll_back_from_is_none_of_a_record_s(
    tmp_path: Path, opens: Callable[[Path], object]
) -> None:
    """SQLite would write the pages of a hot journal over those of the file it lies beside."""
    on_disk(tmp_path)
    close_all()
    record_file, other = tmp_path / "record.db", tmp_path / "other.db"
    raw = sqlite3.connect(other, isolation_level=None)
    raw.executescript("PRAGMA cache_size = 1; CREATE TABLE t (x); INSERT INTO t VALUES (0);")
    raw.execute("BEGIN IMMEDIATE")
    raw.execute("INSERT INTO t SELECT randomblob(9000) FROM pragma_function_list LIMIT 40")
    shutil.copyfile(tmp_path / "other.db-journal", tmp_path / "record.db-journal")
    raw.close()
    before = _contents(tmp_path)
    with pytest.raises(Damaged) as raised:
        opens(record_file)
    assert raised.value.lines() == (
        (
            f"{record_file} and the log beside it, record.db-journal, do not belong together: "
            "a record never has such a log."
        ),
        LEFT,
        HINT,
    )
    assert _contents(tmp_path) == before
