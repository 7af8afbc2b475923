"""Every change to a stored line is found and named: a record of fifty lines, at every position.

The record is a copy whose triggers were taken off, as somebody with the file and a SQLite shell
could do; `record verify` must name device and seq and leave with 12.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from builders import IO, close_all, lines, on_disk, opened
from command import command
from hardstand.domain import bodies as b
from hardstand.domain.chain import seal
from hardstand.domain.defects import Report, raised
from hardstand.domain.facts import AirframeFacts
from hardstand.errors import Damaged
from hardstand.flows.pen import Pen
from hardstand.flows.recording import record
from hardstand.flows.records import verified
from hardstand.store import ddl
from hardstand.store.rows import COLUMNS, entry
from scripted import Scripted

LENGTH = 50
HASHED = tuple(name for name in COLUMNS if name != "signature")
Row = tuple[Any, ...]


def _raised(facts: AirframeFacts, device: str) -> b.DefectRaised:
    return raised(facts, Report(symbol="/", text=f"lamp {facts.tail}"), device=device, by=IO)


def _fifty(folder: Path) -> Path:
    """Fifty lines of device A, a walk among them, and three of device B between."""
    pen = on_disk(folder)
    Scripted.until_left(pen, lines(plugs=("f", "turns by hand"), tune=("s", "6")))
    other = Pen(journal=opened(folder / "record.db", "B"), clock=pen.clock, author="BT")
    for _ in range(3):
        record(other, "QM-164", lambda facts: (_raised(facts, "B"),))
    while pen.journal.heads()["A"].seq < LENGTH:
        record(pen, "QM-116", lambda facts: (_raised(facts, "A"),))
    assert pen.journal.heads()["A"].seq == LENGTH
    close_all()
    return folder / "record.db"


@dataclass
class Copy:
    """An open copy of the record without its triggers, and the ways to change and restore it."""

    path: Path
    raw: sqlite3.Connection
    rows: list[Row]

    def rewrite(self, rows: list[Row]) -> None:
        """Put these rows in place of the whole table."""
        self.raw.execute("BEGIN")
        self.raw.execute("DELETE FROM entry")
        marks = ", ".join("?" * len(COLUMNS))
        columns = ", ".join(COLUMNS)
        self.raw.executemany(f"INSERT INTO entry ({columns}) VALUES ({marks})", rows)  # noqa: S608  columns of ours
        self.raw.execute("COMMIT")

    def verdict(self) -> str:
        """What verify says of it: the first line of the damage, or that it holds."""
        journal = opened(self.path, read_only=True)
        try:
            return verified(journal)
        except Damaged as damage:
            return damage.what
        finally:
            close_all()


@pytest.fixture(scope="module")
def fifty(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return _fifty(tmp_path_factory.mktemp("fifty"))


@pytest.fixture
def copy(fifty: Path, tmp_path: Path) -> Iterator[Copy]:
    path = tmp_path / "copy.db"
    path.write_bytes(fifty.read_bytes())
    raw = sqlite3.connect(path, isolation_level=None)
    raw.execute("PRAGMA synchronous = OFF")
    for name in ddl.TRIGGERS:
        raw.execute(f"DROP TRIGGER {name}")
    fields = ", ".join(COLUMNS)
    rows = raw.execute(f"SELECT {fields} FROM entry ORDER BY device, seq").fetchall()  # noqa: S608  columns of ours
    yield Copy(path, raw, rows)
    raw.close()


def _own(rows: list[Row]) -> list[int]:
    """Where the fifty lines of device A stand."""
    return [i for i, row in enumerate(rows) if row[0] == "A"]


def _with(row: Row, field: str, value: object) -> Row:
    place = COLUMNS.index(field)
    return (*row[:place], value, *row[place + 1 :])


def _other(row: Row, field: str) -> object:
    """Another value for a field, as small a change as there is."""
    value = row[COLUMNS.index(field)]
    if isinstance(value, bytes):
        return value[:-1] + bytes([value[-1] ^ 1])
    if isinstance(value, int):
        return value + 1
    if value is None:
        return "QM-161" if field == "airframe" else "A1"
    return value[:-1] + chr(ord(value[-1]) ^ 1)


def test_the_copy_without_triggers_names_them_and_nothing_else(copy: Copy) -> None:
    assert len(_own(copy.rows)) == LENGTH
    assert copy.verdict() == (
        "The record does not hold:\n"
        "  the guard entry_no_update is missing or changed\n"
        "  the guard entry_no_delete is missing or changed\n"
        "  the guard entry_no_replace is missing or changed"
    )


def test_triggers_dropped_and_made_again_are_no_damage(copy: Copy) -> None:
    for sql in ddl.TRIGGERS.values():
        copy.raw.execute(sql)
    assert copy.verdict().startswith("53 lines hold, 2 devices: A 50 ")


@pytest.mark.parametrize("field", [name for name in HASHED if name not in {"device", "seq"}])
def test_scenario_72_a_change_to_a_field_is_named_at_its_line(copy: Copy, field: str) -> None:
    for i in _own(copy.rows):
        row = copy.rows[i]
        copy.rewrite([*copy.rows[:i], _with(row, field, _other(row, field)), *copy.rows[i + 1 :]])
        named = f"\n  device A, seq {row[1]}: "
        first = copy.verdict().splitlines()[1]
        assert first.startswith(named.strip("\n")), (field, row[1], first)


def test_a_line_given_to_another_device_is_named_where_it_is_missing_and_where_it_came(
    copy: Copy,
) -> None:
    for i in _own(copy.rows):
        row = copy.rows[i]
        copy.rewrite([*copy.rows[:i], _with(row, "device", "Q"), *copy.rows[i + 1 :]])
        said = copy.verdict()
        after = min(row[1] + 1, LENGTH)
        assert f"\n  device A, seq {after}: " in said
        assert f"\n  device Q, seq {row[1]}: " in said


def test_a_line_given_another_number_is_named(copy: Copy) -> None:
    for i in _own(copy.rows):
        row = copy.rows[i]
        copy.rewrite([*copy.rows[:i], _with(row, "seq", 1000), *copy.rows[i + 1 :]])
        said = copy.verdict()
        assert "\n  device A, seq 1000: " in said
        if row[1] < LENGTH:
            assert f"\n  device A, seq {row[1] + 1}: expected seq {row[1]} here; " in said


def test_a_dropped_line_is_named_by_the_place_it_is_missing_from(copy: Copy) -> None:
    for i in _own(copy.rows)[:-1]:
        seq = copy.rows[i][1]
        copy.rewrite([*copy.rows[:i], *copy.rows[i + 1 :]])
        assert copy.verdict().splitlines()[1] == (
            f"  device A, seq {seq + 1}: expected seq {seq} here; a line is missing or out of place"
        )


def test_the_loss_of_the_last_lines_is_named_against_what_the_record_remembers(
    copy: Copy,
) -> None:
    own = _own(copy.rows)
    for lost in (1, 2, 10, LENGTH):
        gone = set(own[-lost:])
        copy.rewrite([row for i, row in enumerate(copy.rows) if i not in gone])
        assert copy.verdict().splitlines()[1] == (
            f"  device A, seq {LENGTH}: the chain ends at seq {LENGTH - lost}, "
            f"the record remembers seq {LENGTH}"
        )


def test_two_neighbours_that_change_places_are_named(copy: Copy) -> None:
    for i in _own(copy.rows)[:-1]:
        one, two = copy.rows[i], copy.rows[i + 1]
        swapped = [_with(two, "seq", one[1]), _with(one, "seq", two[1])]
        copy.rewrite([*copy.rows[:i], *swapped, *copy.rows[i + 2 :]])
        assert copy.verdict().splitlines()[1].startswith(f"  device A, seq {one[1]}: ")


def test_a_line_put_between_is_named(copy: Copy) -> None:
    for i in _own(copy.rows):
        moved = [_with(row, "seq", row[1] + 1) for row in copy.rows[i:] if row[0] == "A"]
        others = [row for row in copy.rows if row[0] != "A"]
        copy.rewrite([*copy.rows[:i], copy.rows[i], *moved, *others])
        assert copy.verdict().splitlines()[1].startswith(f"  device A, seq {copy.rows[i][1] + 1}: ")


def test_a_line_put_at_the_end_does_not_match_what_the_record_remembers(copy: Copy) -> None:
    last = entry(copy.rows[_own(copy.rows)[-1]])
    forged = seal(
        type(last)(
            "A", LENGTH + 1, last.tick + 9, last.at, "XX", last.airframe, None, last.kind, 1,
            last.body, last.digest, b"",
        )
    )  # fmt: skip
    row: Row = tuple(getattr(forged, name) for name in COLUMNS)
    copy.rewrite([*copy.rows, row])
    assert copy.verdict().splitlines()[1] == (
        "  device A, seq 51: the record remembers another end of this chain"
    )


def test_scenario_72_a_line_made_anew_with_a_right_digest_breaks_the_line_after_it(
    copy: Copy,
) -> None:
    for i in _own(copy.rows):
        forged = seal(entry(copy.rows[i])._replace(author="XX"))
        row: Row = tuple(getattr(forged, name) for name in COLUMNS)
        copy.rewrite([*copy.rows[:i], row, *copy.rows[i + 1 :]])
        after = min(forged.seq + 1, LENGTH)
        assert copy.verdict().splitlines()[1].startswith(f"  device A, seq {after}: ")


ODD: dict[str, str] = {
    "text that is no UTF-8": "UPDATE entry SET author = CAST(x'49ff' AS TEXT)",
    "text with a NUL": "UPDATE entry SET author = 'I' || char(0) || 'O'",
    "text with a line end": "UPDATE entry SET author = 'I' || char(10) || 'O'",
    "empty text for nothing": "UPDATE entry SET walk = ''",
    "nothing for a text": "UPDATE entry SET airframe = NULL",
    "an empty body": "UPDATE entry SET body = x''",
    "a body that is no JSON": "UPDATE entry SET body = x'7b'",
    "a huge number": "UPDATE entry SET version = 9223372036854775807",
    "another kind": "UPDATE entry SET kind = 'record.made'",
    "a kind of the future": "UPDATE entry SET kind = 'moon.landed'",
}


@pytest.mark.parametrize("change", ODD.values(), ids=ODD.keys())
@pytest.mark.parametrize("seq", [5, 25, LENGTH])
def test_odd_values_are_named_at_their_line_too(copy: Copy, seq: int, change: str) -> None:
    where = f"{change} WHERE device = 'A' AND seq = {seq}"
    copy.raw.execute(where)
    said = copy.verdict()
    assert f"\n  device A, seq {seq}: " in said, said


def test_a_tampered_line_is_told_on_the_command_line_with_exit_12(
    copy: Copy, capfd: pytest.CaptureFixture[str]
) -> None:
    copy.raw.execute("UPDATE entry SET author = 'XX' WHERE device = 'A' AND seq = 25")
    for sql in ddl.TRIGGERS.values():
        copy.raw.execute(sql)
    assert command("--record", copy.path, "record", "verify") == 12
    printed = capfd.readouterr()
    assert printed.out == ""
    assert printed.err == (
        "The record does not hold:\n"
        "  device A, seq 25: was changed after it was written\n"
        "Nothing was changed; lines before the first break of a device still hold.\n"
        "Keep this file, compare with the other devices, go on with a verified backup.\n"
    )


def test_verify_of_the_whole_record_leaves_with_0(
    fifty: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    before = fifty.read_bytes()
    assert command("--record", fifty, "record", "verify") == 0
    assert capfd.readouterr().out.startswith("53 lines hold, 2 devices: A 50 ")
    assert fifty.read_bytes() == before


def test_more_breaks_than_a_screen_holds_are_counted(copy: Copy) -> None:
    copy.raw.execute("UPDATE entry SET author = 'XX' WHERE device = 'A'")
    said = copy.verdict().splitlines()
    assert len(said) == 22
    assert said[-1] == "  and 33 more"
