"""Opening: files that are no record of ours are refused in three lines and left as they are."""

from __future__ import annotations

import shutil
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest

from builders import IO, MORNING, TAIL, Watch, close_all, on_disk, opened
from hardstand.domain import bodies as b
from hardstand.domain.quantity import later
from hardstand.errors import HardstandError, NoRecord
from hardstand.flows.pen import Pen
from hardstand.flows.recording import record
from hardstand.flows.records import verified
from hardstand.store.reads import Reads

Opened = Callable[[Path], object]
OPENINGS: list[Opened] = [Reads, opened, lambda path: opened(path, read_only=True)]
each_way = pytest.mark.parametrize("opens", OPENINGS, ids=["hot read", "write", "read"])


KEEP = (
    "Keep this file. Go on with a verified backup, or with what `hardstand record salvage` can "
    "still read of it."
)


def _beside(path: Path) -> list[str]:
    """What lies in the folder; a reader of SQLite leaves an empty log and its index there."""
    log = path.with_name(path.name + "-wal")
    assert not log.exists() or log.stat().st_size == 0
    names = (p.name for p in path.parent.iterdir())
    return sorted(name for name in names if not name.endswith(("-wal", "-shm")))


def _refused(opens: Opened, path: Path) -> tuple[int, tuple[str, ...]]:
    """The exit status and lines with which a path is refused; the file is left to the byte."""
    before = path.read_bytes() if path.is_file() else None
    beside = _beside(path)
    with pytest.raises(HardstandError) as raised:
        opens(path)
    assert (path.read_bytes() if path.is_file() else None) == before
    assert _beside(path) == beside
    return raised.value.exit_status, raised.value.lines()


@pytest.fixture
def record_file(tmp_path: Path) -> Path:
    """A record that nobody has open."""
    pen = on_disk(tmp_path)
    raised = b.DefectRaised(number="161-A01", symbol="X", text="burnt", by=IO)
    record(pen, TAIL, lambda _: (raised,))
    close_all()
    return tmp_path / "record.db"


def _marked(path: Path, pragma: str) -> None:
    raw = sqlite3.connect(path)
    raw.execute(f"PRAGMA {pragma}")
    raw.commit()
    raw.close()


@each_way
def test_where_nothing_stands_there_is_no_record(opens: Opened, tmp_path: Path) -> None:
    path = tmp_path / "record.db"
    assert _refused(opens, path) == (11, (
        f"There is no record at {path}.",
        "Nothing was written.",
        "Make one with `hardstand --record PATH record new --device A`.",
    ))  # fmt: skip


@each_way
def test_a_folder_is_no_record(opens: Opened, tmp_path: Path) -> None:
    path = tmp_path / "folder"
    path.mkdir()
    assert _refused(opens, path) == (11, (
        f"{path} is a folder, not a record.",
        "It was left as it is.",
        "Name the record file with --record PATH.",
    ))  # fmt: skip


@each_way
def test_an_empty_file_is_no_record(opens: Opened, tmp_path: Path) -> None:
    path = tmp_path / "record.db"
    path.touch()
    assert _refused(opens, path) == (11, (
        f"{path} is an empty file, not a record.",
        "It was left as it is.",
        "Name the record file with --record PATH.",
    ))  # fmt: skip


@each_way
def test_scenario_54_a_file_of_something_else_is_refused(opens: Opened, tmp_path: Path) -> None:
    path = tmp_path / "notes.txt"
    path.write_text("QM-161 hums on channel 3\n" * 100, encoding="utf-8")
    assert _refused(opens, path) == (12, (
        f"{path} is damaged or is no record: file is not a database.",
        "It was left as it is; nothing was repaired in place.",
        KEEP,
    ))  # fmt: skip


@each_way
@pytest.mark.parametrize("journal_mode", ["delete", "wal"])
def test_the_database_of_another_program_is_refused(
    opens: Opened, journal_mode: str, tmp_path: Path
) -> None:
    path = tmp_path / "other.db"
    raw = sqlite3.connect(path)
    raw.execute(f"PRAGMA journal_mode = {journal_mode}")
    raw.execute("CREATE TABLE entry (id INTEGER)")
    raw.commit()
    raw.close()
    assert _refused(opens, path) == (11, (
        f"{path} is a SQLite file of another program, not a hardstand record.",
        "It was left as it is.",
        "Name the record file with --record PATH.",
    ))  # fmt: skip


@each_way
def test_a_form_that_no_record_has_is_refused(opens: Opened, record_file: Path) -> None:
    _marked(record_file, "user_version = 0")
    assert _refused(opens, record_file)[0] == 11


@each_way
def test_scenario_52_a_record_of_a_newer_form_is_refused(opens: Opened, record_file: Path) -> None:
    _marked(record_file, "user_version = 99")
    status, said = _refused(opens, record_file)
    assert status == 14
    assert said[0].startswith(
        f"{record_file} was made by a newer hardstand: form 99; this one knows form "
    )
    assert said[1:] == (
        "The file was left as it is, to the byte.",
        "Use the newer hardstand that made it.",
    )


@each_way
@pytest.mark.parametrize("kept", [100, 1000, 4096])
def test_a_record_cut_short_is_damaged(opens: Opened, kept: int, record_file: Path) -> None:
    record_file.write_bytes(record_file.read_bytes()[:kept])
    before = record_file.read_bytes()
    with pytest.raises(HardstandError) as raised:
        verify_or_read(opens(record_file))
    assert raised.value.exit_status == 12
    assert raised.value.lines()[0].startswith(f"{record_file} is damaged or is no record: ")
    assert raised.value.lines()[1:] == (
        "It was left as it is; nothing was repaired in place.",
        KEEP,
    )
    assert record_file.read_bytes() == before


def verify_or_read(found: object) -> None:
    """Look at all that was opened."""
    if isinstance(found, Reads):
        try:
            found.all_facts()
        finally:
            found.close()
    else:
        verified(found)  # type: ignore[arg-type]  # the journal


@pytest.mark.parametrize("page", range(1, 12))
def test_scenario_54_a_page_overwritten_is_told_with_exit_12_or_no_line_is_touched(
    page: int, record_file: Path
) -> None:
    whole = bytearray(record_file.read_bytes())
    assert len(whole) >= 12 * 4096
    good = list(opened(record_file, read_only=True).chains())
    close_all()
    whole[page * 4096 : page * 4096 + 4096] = bytes(range(256)) * 16
    record_file.write_bytes(whole)
    told: HardstandError | None = None
    try:
        verified(opened(record_file, read_only=True))
    except HardstandError as error:
        told = error
    if told is None:
        assert list(opened(record_file, read_only=True).chains()) == good
    else:
        assert told.exit_status == 12
        assert len(told.lines()) >= 3
    assert record_file.read_bytes() == bytes(whole)


@each_way
def test_a_name_too_long_or_below_a_file_is_no_record(opens: Opened, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x", encoding="utf-8")
    below, long = tmp_path / "file" / "record.db", tmp_path / ("x" * 300)
    for path, said in (
        (below, f"There is no record at {below}."),
        (long, f"{long} cannot be looked at: File name too long."),
    ):
        with pytest.raises(NoRecord) as raised:
            opens(path)
        assert raised.value.lines()[0] == said


def test_what_was_not_copied_back_into_the_file_yet_is_read_too(
    record_file: Path, tmp_path: Path
) -> None:
    journal = opened(record_file)
    pen = Pen(journal=journal, clock=Watch(later(MORNING, hours=1)), author="BT")
    raised = b.DefectRaised(number="161-A02", symbol="/", text="hum", by=IO)
    record(pen, TAIL, lambda _: (raised,))
    assert (tmp_path / "record.db-wal").stat().st_size > 0
    found = Reads(record_file)
    assert [e.number for e in found.facts(TAIL).open] == ["161-A01", "161-A02"]
    found.close()


def test_a_copy_of_all_three_files_of_a_record_in_use_is_the_record(
    record_file: Path, tmp_path: Path
) -> None:
    journal = opened(record_file)
    pen = Pen(journal=journal, clock=Watch(later(MORNING, hours=1)), author="BT")
    raised = b.DefectRaised(number="161-A02", symbol="/", text="hum", by=IO)
    record(pen, TAIL, lambda _: (raised,))
    copy = tmp_path / "copy"
    copy.mkdir()
    for file in tmp_path.glob("record.db*"):
        shutil.copy(file, copy)
    assert list(opened(copy / "record.db").chains()) == list(journal.chains())


def test_no_record_is_an_error_with_exit_11(tmp_path: Path) -> None:
    with pytest.raises(NoRecord) as raised:
        opened(tmp_path / "none.db")
    assert (raised.value.exit_status, raised.value.code) == (11, "no_record")
