"""The record on SQLite: it only grows, its settings are read back, its facts can be rebuilt."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from builders import IO, TAIL, close_all, lines, on_disk, opened
from hardstand.domain import bodies as b
from hardstand.errors import Busy, Damaged, HardstandError, Refusal
from hardstand.flows.pen import Pen
from hardstand.flows.recording import record
from hardstand.flows.records import rebuild, verified
from hardstand.store import sqlite as opening
from hardstand.store.journal import SqlJournal, anew, create
from scripted import Scripted


def _raise(pen: Pen, number: str) -> None:
    record(pen, TAIL, lambda _: (b.DefectRaised(number=number, symbol="/", text="x", by=IO),))


def _raw(path: Path) -> sqlite3.Connection:
    return sqlite3.connect(path, isolation_level=None)


NEW = (
    "entry (device, seq, tick, at, author, kind, version, body, prev, digest) "
    "VALUES ('A', 2, 99, 't', 'XX', 'k', 1, x'', x'', x'')"
)
"""Another line in the place of one that stands."""


# -- append only -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("sql", "message"),
    [
        ("UPDATE entry SET author = 'XX'", "the record only grows: no line is ever changed"),
        ("UPDATE entry SET signature = x'00' WHERE seq = 2",
         "the record only grows: no line is ever changed"),
        ("UPDATE OR IGNORE entry SET author = 'XX'",
         "the record only grows: no line is ever changed"),
        ("DELETE FROM entry WHERE seq = 3", "the record only grows: no line is ever removed"),
        ("DELETE FROM entry", "the record only grows: no line is ever removed"),
        ("INSERT OR REPLACE INTO entry SELECT * FROM entry WHERE seq = 2",
         "the record only grows: this line exists already"),
        (f"REPLACE INTO {NEW}", "the record only grows: this line exists already"),
        ("INSERT OR IGNORE INTO entry SELECT * FROM entry WHERE seq = 2",
         "the record only grows: this line exists already"),
        (f"INSERT INTO {NEW} ON CONFLICT (device, seq) DO UPDATE SET author = 'XX'",
         "the record only grows: this line exists already"),
    ],
)  # fmt: skip
def test_no_statement_changes_a_line_that_stands(tmp_path: Path, sql: str, message: str) -> None:
    pen = on_disk(tmp_path)
    before = list(pen.journal.chains())
    raw = _raw(tmp_path / "record.db")
    with pytest.raises(sqlite3.IntegrityError, match=f"^{message}$"):
        raw.execute(sql)
    raw.close()
    assert list(pen.journal.chains()) == before


@pytest.mark.parametrize(
    ("column", "value"),
    [("seq", "'two'"), ("tick", "1.5"), ("body", "'text'"), ("digest", "7"), ("at", "NULL"),
     ("author", "x'00'")],
)  # fmt: skip
def test_a_value_of_another_type_is_refused_by_the_table(
    tmp_path: Path, column: str, value: str
) -> None:
    on_disk(tmp_path)
    raw = _raw(tmp_path / "record.db")
    columns = ["device", "seq", "tick", "at", "author", "kind", "version", "body", "prev", "digest"]
    given = ["'B'", "1", "9", "'t'", "'IO'", "'k'", "1", "x''", "x''", "x''"]
    given[columns.index(column)] = value
    with pytest.raises(sqlite3.IntegrityError):
        raw.execute(f"INSERT INTO entry ({', '.join(columns)}) VALUES ({', '.join(given)})")  # noqa: S608  words of this test
    raw.close()


# -- settings --------------------------------------------------------------------------------------


def test_every_setting_of_a_writer_holds_when_it_is_read_back(tmp_path: Path) -> None:
    on_disk(tmp_path)
    connection = opening.connect_writer(tmp_path / "record.db")
    held = {name: connection.execute(f"PRAGMA {name}").fetchone()[0] for name in opening._WRITER}
    assert held == {
        "journal_mode": "wal", "synchronous": 2, "foreign_keys": 1, "busy_timeout": 5000,
        "recursive_triggers": 1, "trusted_schema": 0, "cell_size_check": 1, "mmap_size": 0,
    }  # fmt: skip
    connection.close()


def test_a_reader_cannot_write(tmp_path: Path) -> None:
    on_disk(tmp_path)
    connection = opening.connect_reader(tmp_path / "record.db")
    assert connection.execute("PRAGMA query_only").fetchone()[0] == 1
    with pytest.raises(sqlite3.OperationalError, match=r"^attempt to write a readonly database$"):
        connection.execute("DELETE FROM now")
    connection.close()
    journal = opened(tmp_path / "record.db", read_only=True)
    made = list(journal.entries(kind="record.made"))
    with pytest.raises(Refusal), journal.write() as writing:
        writing.append([made[0]._replace(device="B")])


def test_a_setting_that_does_not_hold_stops_before_anything_is_written() -> None:
    memory = sqlite3.connect(":memory:")
    with pytest.raises(Damaged) as raised:
        opening._apply(memory, {"journal_mode": "wal"})
    assert raised.value.lines() == (
        "SQLite will not hold journal_mode = wal; it says memory.",
        "Nothing was written.",
        "Move the record to a local disk that can lock files.",
    )
    memory.close()


def test_a_record_carries_its_marks_and_its_device(tmp_path: Path) -> None:
    create(tmp_path / "b.db", "B")
    raw = _raw(tmp_path / "b.db")
    assert raw.execute("PRAGMA application_id").fetchone()[0] == int.from_bytes(b"HSTD")
    assert raw.execute("PRAGMA user_version").fetchone()[0] == 1
    raw.close()
    assert opened(tmp_path / "b.db").device == "B"
    assert opened(tmp_path / "b.db", "C").device == "C"


def test_a_write_holds_the_record_from_its_beginning(tmp_path: Path) -> None:
    pen = on_disk(tmp_path)
    with pen.journal.write():
        raw = sqlite3.connect(tmp_path / "record.db", isolation_level=None, timeout=0)
        with pytest.raises(sqlite3.OperationalError, match=r"^database is locked$"):
            raw.execute("BEGIN IMMEDIATE")
        raw.close()


def test_two_programs_write_in_turn_and_lose_nothing(tmp_path: Path) -> None:
    pen = on_disk(tmp_path)
    other = Pen(journal=opened(tmp_path / "record.db"), clock=pen.clock, author="BT")
    for n in range(1, 7):
        _raise(pen if n % 2 else other, f"161-A{n:02d}")
    assert [e.number for e in pen.journal.facts(TAIL).open] == [
        f"161-A{n:02d}" for n in range(1, 7)
    ]
    assert verified(pen.journal).startswith("10 lines hold, 1 devices: A 10 ")


# -- derived tables --------------------------------------------------------------------------------


def test_kept_facts_can_be_dropped_and_come_back_the_same(tmp_path: Path) -> None:
    pen = on_disk(tmp_path)
    Scripted.until_left(pen, lines(plugs=("f", "turns by hand"), volts=("21", "")))
    raw = _raw(tmp_path / "record.db")
    before = raw.execute("SELECT * FROM now ORDER BY tail").fetchall()
    raw.execute("DELETE FROM now")
    journal = pen.journal
    assert journal.stale() == ("QM-116", "QM-161", "QM-164", "the whole record")
    assert isinstance(journal, SqlJournal)
    with journal.write() as writing:
        writing.rebuild()
    assert raw.execute("SELECT * FROM now ORDER BY tail").fetchall() == before
    assert journal.stale() == ()
    raw.close()


@pytest.mark.parametrize(
    ("sql", "named"),
    [
        ("UPDATE now SET facts = replace(facts, 'Quennock', 'Fennoway') WHERE tail = ''",
         "the whole record"),
        ("UPDATE now SET facts = replace(facts, '\"symbol\":\"/\"', '\"symbol\":\"-\"')", "QM-161"),
        ("INSERT INTO now VALUES ('QM-999', '{}', '{}')", "QM-999"),
        ("DELETE FROM now WHERE tail = 'QM-116'", "QM-116"),
    ],
)  # fmt: skip
def test_kept_facts_that_differ_from_the_lines_are_named_by_verify(
    tmp_path: Path, sql: str, named: str
) -> None:
    pen = on_disk(tmp_path)
    _raise(pen, "161-A01")
    raw = _raw(tmp_path / "record.db")
    raw.execute(sql)
    raw.close()
    with pytest.raises(Damaged) as raised:
        verified(pen.journal)
    assert raised.value.lines()[0] == (
        f"The record does not hold:\n  kept facts of {named} differ from its entries"
    )


@pytest.mark.parametrize(
    "sql", ["DROP INDEX entry_own", "DROP INDEX entry_own; CREATE INDEX entry_own ON entry (kind)"]
)
def test_a_record_with_the_indexes_of_another_version_holds_and_gets_ours(
    tmp_path: Path, sql: str
) -> None:
    pen = on_disk(tmp_path)
    Scripted.until_left(pen, lines(until="plugs"))
    raw = _raw(tmp_path / "record.db")
    raw.executescript(sql)
    raw.close()
    assert [e.walk for e in pen.journal.newest_own("IO", "walk.started", 9)] == ["A1"]
    assert verified(pen.journal)
    with pytest.raises(Damaged) as raised:
        verified(pen.journal, full=True)
    assert raised.value.lines() == (
        "The record does not hold:\n  the index entry_own is missing or another",
        "Every line holds; only what is kept beside them differs.",
        "Keep a copy of this file, then run `hardstand record rebuild`.",
    )
    rebuild(pen.journal)
    assert verified(pen.journal, full=True)


# -- making a record -------------------------------------------------------------------------------


def test_a_record_is_not_made_where_something_stands(tmp_path: Path) -> None:
    there = tmp_path / "record.db"
    there.write_bytes(b"my shopping list")
    with pytest.raises(Refusal) as raised:
        create(there, "A")
    assert raised.value.lines() == (
        f"{there} exists already.",
        "It was left as it is.",
        "Name another place, or use the record that is there.",
    )
    assert there.read_bytes() == b"my shopping list"


def test_a_record_whose_making_was_cut_short_is_made_anew(tmp_path: Path) -> None:
    for ending in ("", "-wal", "-shm"):
        (tmp_path / f"record.db.new{ending}").write_bytes(b"half")
    create(tmp_path / "record.db", "A")
    assert sorted(p.name for p in tmp_path.iterdir()) == ["record.db"]
    assert opened(tmp_path / "record.db").guards() == ()


def test_a_demo_record_is_made_anew_and_a_live_one_is_never_touched(tmp_path: Path) -> None:
    demo, live = tmp_path / "demo", tmp_path / "live"
    demo.mkdir()
    live.mkdir()
    on_disk(demo, demo=True)
    on_disk(live)
    close_all()
    anew(demo / "record.db")
    assert list(opened(demo / "record.db").chains()) == []
    before = (live / "record.db").read_bytes()
    with pytest.raises(Refusal) as raised:
        anew(live / "record.db")
    assert raised.value.lines() == (
        f"{live / 'record.db'} is a live record.",
        "Rule: the demo never touches a live record",
        "It was left as it is.",
        "Name another place for the demo.",
    )
    assert (live / "record.db").read_bytes() == before


# -- what SQLite says, in our words ----------------------------------------------------------------


def _busy(path: Path) -> None:
    holder = _raw(path)
    holder.execute("BEGIN IMMEDIATE")
    try:
        _raise_in(path)
    finally:
        holder.close()


def _raise_in(path: Path) -> None:
    journal = opened(path)
    with journal.write():
        pass


def _full(path: Path) -> None:
    journal = opened(path)
    with journal.write() as writing:
        pages = writing._connection.exec_driver_sql("PRAGMA page_count").scalar()
        writing._connection.exec_driver_sql(f"PRAGMA max_page_count = {pages}")
        writing._connection.exec_driver_sql("INSERT INTO meta VALUES ('big', hex(zeroblob(50000)))")


def test_a_record_held_by_another_program_is_busy_and_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "record.db"
    pen = on_disk(tmp_path)
    before = list(pen.journal.chains())
    monkeypatch.setattr(opening, "_WRITER", {**opening._WRITER, "busy_timeout": 20})
    with pytest.raises(Busy) as raised:
        _busy(path)
    assert raised.value.lines() == (
        f"Another program has held {path} for more than 5 seconds.",
        "The record is whole; this was not written.",
        "Close the other program, or try again.",
    )
    assert raised.value.exit_status == 13
    assert list(pen.journal.chains()) == before


def test_a_full_disk_says_not_saved_and_what_is_safe(tmp_path: Path) -> None:
    path = tmp_path / "record.db"
    pen = on_disk(tmp_path)
    before = list(pen.journal.chains())
    with pytest.raises(Damaged) as raised:
        _full(path)
    assert raised.value.lines() == (
        f"NOT SAVED: the disk with {path} is full.",
        "Everything acknowledged before is in the record, and the record is whole.",
        "Free some space on that disk, then give the answer again.",
    )
    assert list(pen.journal.chains()) == before
    _raise(pen, "161-A01")


def test_a_disk_that_fails_as_a_write_is_taken_back_is_told_in_our_words(tmp_path: Path) -> None:
    class Failing(sqlite3.Connection):
        fails = False

        def rollback(self) -> None:
            super().rollback()
            if self.fails:
                raise sqlite3.OperationalError("disk I/O error")

    path = tmp_path / "record.db"
    on_disk(tmp_path).journal.close()
    with pytest.MonkeyPatch.context() as patched:
        real = sqlite3.connect
        patched.setattr(sqlite3, "connect", lambda *a, **k: real(*a, factory=Failing, **k))
        journal = SqlJournal(path)
    Failing.fails = True
    with pytest.raises(HardstandError) as raised, journal.write():
        raise ValueError("something else went wrong first")
    assert "disk I/O error" in " ".join(raised.value.lines())
