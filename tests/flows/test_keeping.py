"""Backup, restore, comparison and salvage over real files, and what each refuses, word by word."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from builders import IO, MORNING, TAIL, begun, on_disk, opened
from hardstand.domain import bodies as b
from hardstand.domain.entry import Entry
from hardstand.errors import Busy, Damaged, HardstandError, NoRecord, Refusal, Usage
from hardstand.flows import keeping
from hardstand.flows.pen import Pen
from hardstand.flows.recording import record
from hardstand.flows.records import verified
from hardstand.store.copies import copy, put_back
from hardstand.store.journal import SqlJournal, create
from hardstand.store.logs import LOG_ENDINGS
from hardstand.store.salvage import save


def _raise(pen: Pen, n: int) -> tuple[Entry, ...]:
    body = b.DefectRaised(number=f"161-A{n:02d}", symbol="/", text=f"fault {n} {'x' * n}", by=IO)
    return record(pen, TAIL, lambda _: (body,))


def _reader(path: Path) -> SqlJournal:
    return opened(path, read_only=True)


def _restore(folder: Path, *, device: str = "E") -> str:
    return keeping.restore(put_back, _reader, folder / "backup.db", folder / "record.db", device)


@pytest.fixture
def pen(tmp_path: Path) -> Pen:
    """A record with three entries, open for writing."""
    made = on_disk(tmp_path)
    for n in (1, 2, 3):
        _raise(made, n)
    return made


def _backed_up(folder: Path) -> Path:
    keeping.back_up(copy, folder / "record.db", folder / "backup.db", MORNING)
    return folder / "backup.db"


def test_a_backup_of_a_record_in_use_is_one_file_with_every_line(pen: Pen, tmp_path: Path) -> None:
    made = tmp_path / "kept"
    made.mkdir()
    said = keeping.back_up(copy, tmp_path / "record.db", made, MORNING)
    place = made / "record-20270308T080000Z.db"
    assert [p.name for p in made.iterdir()] == [place.name]
    heads = pen.journal.heads()
    assert said == f"Backed up 7 lines to {place}: A 7 {heads['A'].digest.hex()[:12]}"
    saved = _reader(place)
    assert list(saved.chains()) == list(pen.journal.chains())
    assert verified(saved, full=True).startswith("7 lines hold, 1 devices: A 7 ")


def test_a_backup_never_goes_over_a_file_that_is_there(pen: Pen, tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("mine")
    with pytest.raises(Refusal) as raised:
        copy(tmp_path / "record.db", tmp_path / "taken")
    assert raised.value.lines() == (
        f"{tmp_path / 'taken'} exists already.",
        "It was left as it is; the record was only read.",
        "Name another file.",
    )
    assert (tmp_path / "taken").read_text() == "mine"


def test_a_backup_to_a_folder_that_is_not_there_leaves_nothing(pen: Pen, tmp_path: Path) -> None:
    nowhere = tmp_path / "gone" / "backup.db"
    with pytest.raises(Refusal) as raised:
        copy(tmp_path / "record.db", nowhere)
    assert raised.value.lines() == (
        f"No copy was made at {nowhere}: there is no folder {tmp_path / 'gone'}.",
        "The record was only read.",
        "Name a place on a sound disk that can be written and has room.",
    )


def test_a_record_with_a_broken_page_gives_no_backup(pen: Pen, tmp_path: Path) -> None:
    pen.journal.close()
    _spoil_inner_page(tmp_path / "record.db")
    with pytest.raises(Damaged) as raised:
        _backed_up(tmp_path)
    assert raised.value.what.startswith("The copy does not hold: ")
    assert "\n" not in raised.value.what
    assert raised.value.safe == "The record was only read; the copy was thrown away."
    assert [p.name for p in tmp_path.glob("backup*")] == []


def test_a_lost_record_comes_back_and_writes_under_a_new_letter(pen: Pen, tmp_path: Path) -> None:
    _backed_up(tmp_path)
    before = list(pen.journal.chains())
    pen.journal.close()
    (tmp_path / "record.db").unlink()
    said = _restore(tmp_path)
    assert said.startswith(
        f"Restored {tmp_path / 'record.db'}, which writes as device E from now on: A 7 "
    )
    back = opened(tmp_path / "record.db")
    assert back.device == "E"
    assert list(back.chains()) == before
    _raise(Pen(journal=back, clock=pen.clock, author="IO"), 4)
    assert verified(back).startswith("8 lines hold, 2 devices: A 7 ")


def test_a_newer_backup_goes_over_an_older_copy_of_itself(pen: Pen, tmp_path: Path) -> None:
    old = tmp_path / "old.db"
    copy(tmp_path / "record.db", old)
    _raise(pen, 4)
    _backed_up(tmp_path)
    newest = list(pen.journal.chains())
    pen.journal.close()
    old.replace(tmp_path / "record.db")
    _restore(tmp_path)
    assert list(_reader(tmp_path / "record.db").chains()) == newest


def test_scenario_75_a_backup_never_goes_over_a_newer_chain(pen: Pen, tmp_path: Path) -> None:
    _backed_up(tmp_path)
    _raise(pen, 4)
    _raise(pen, 5)
    before = list(pen.journal.chains())
    with pytest.raises(Refusal) as raised:
        _restore(tmp_path)
    assert raised.value.lines() == (
        f"{tmp_path / 'record.db'} has lines the backup lacks: device A from line A-8 to A-9.",
        "Rule: a backup never replaces lines it does not hold",
        "Nothing was changed.",
        "Keep what stands there; look at the backup with --record.",
    )
    assert list(pen.journal.chains()) == before


def test_a_backup_never_goes_over_another_history(pen: Pen, tmp_path: Path) -> None:
    _backed_up(tmp_path)
    pen.journal.close()
    (tmp_path / "record.db").unlink()
    create(tmp_path / "record.db", "A")
    begun(opened(tmp_path / "record.db"), demo=True)
    with pytest.raises(Refusal) as raised:
        _restore(tmp_path)
    assert raised.value.what == (
        f"{tmp_path / 'record.db'} has lines the backup lacks: "
        "device A parts from it at or before line A-4."
    )


def test_a_backup_is_not_restored_over_the_same_lines_or_over_itself(
    pen: Pen, tmp_path: Path
) -> None:
    _backed_up(tmp_path)
    with pytest.raises(Refusal, match=r"holds the same lines as the backup\.$"):
        _restore(tmp_path)
    with pytest.raises(Usage, match=r"is the record itself\.$"):
        keeping.restore(put_back, _reader, tmp_path / "record.db", tmp_path / "record.db", "E")


LETTER = "a record put back or saved goes on under a letter that no device of the operator has used"


@pytest.mark.parametrize(
    ("device", "said"),
    [
        ("A", ("Device A has written in this record already.", f"Rule: {LETTER}",
               "Nothing was changed.", "Used here: A. Choose another letter.")),
        ("e", ("--device 'e' is no device.", "One letter, A to Z.")),
        ("", ("--device '' is no device.", "One letter, A to Z.")),
        ("EE", ("--device 'EE' is no device.", "One letter, A to Z.")),
    ],
)  # fmt: skip
def test_a_restored_record_needs_a_letter_nobody_used(
    pen: Pen, tmp_path: Path, device: str, said: tuple[str, ...]
) -> None:
    _backed_up(tmp_path)
    with pytest.raises((Refusal, Usage)) as refused:
        _restore(tmp_path, device=device)
    assert refused.value.lines() == said


def test_a_restore_waits_for_the_program_that_has_the_old_copy_open(
    pen: Pen, tmp_path: Path
) -> None:
    old = tmp_path / "old.db"
    copy(tmp_path / "record.db", old)
    _raise(pen, 4)
    _backed_up(tmp_path)
    pen.journal.close()
    old.replace(tmp_path / "record.db")
    other = _reader(tmp_path / "record.db")
    with other.reading() as connection:
        connection.exec_driver_sql("SELECT count(*) FROM entry").all()
        with pytest.raises(Busy) as raised:
            _restore(tmp_path)
    assert raised.value.lines() == (
        f"Another program has {tmp_path / 'record.db'} open.",
        "Nothing was changed.",
        "Close the other program, then restore again.",
    )
    assert not (tmp_path / "record.db.new").exists()


def test_a_restore_refuses_the_log_of_a_record_that_is_gone(pen: Pen, tmp_path: Path) -> None:
    _backed_up(tmp_path)
    pen.journal.close()
    (tmp_path / "record.db").unlink()
    log = tmp_path / "record.db-wal"
    log.write_bytes(b"the last lines of somebody")
    with pytest.raises(Refusal) as raised:
        _restore(tmp_path)
    assert raised.value.lines() == (
        f"{log} belongs to a record that is gone, and would spoil the one restored.",
        "Nothing was changed.",
        "It may hold the last lines of that record: move it to another folder, keep it.",
    )
    assert log.read_bytes() == b"the last lines of somebody"


def test_a_damaged_record_is_not_restored_over_but_moved_by_a_person(
    pen: Pen, tmp_path: Path
) -> None:
    _backed_up(tmp_path)
    pen.journal.close()
    (tmp_path / "record.db").write_bytes(b"half a page, written when the power went" * 200)
    with pytest.raises(Refusal) as raised:
        _restore(tmp_path)
    assert raised.value.what.startswith(
        f"What stands at {tmp_path / 'record.db'} cannot be compared with the backup: "
    )
    assert raised.value.hint == (
        "Move record.db with everything named record.db-… to another folder, keep it for "
        "`record salvage`, then restore again."
    )


def test_a_backup_that_does_not_hold_is_not_restored(pen: Pen, tmp_path: Path) -> None:
    raw = sqlite3.connect(_backed_up(tmp_path))
    raw.execute("DROP TRIGGER entry_no_update")
    raw.execute("UPDATE entry SET author = 'BT' WHERE seq = 6")
    raw.commit()
    raw.close()
    with pytest.raises(Damaged, match=r"device A, seq 6: was changed after it was written"):
        _restore(tmp_path)


def test_scenario_75_a_record_put_back_from_an_old_copy_is_seen_against_a_newer_one(
    pen: Pen, tmp_path: Path
) -> None:
    old = tmp_path / "old.db"
    copy(tmp_path / "record.db", old)
    _raise(pen, 4)
    newer = pen.journal
    assert keeping.against(newer, _reader(old)).startswith(
        "It holds every line of the other copy: A 7 "
    )
    with pytest.raises(Damaged) as raised:
        keeping.against(_reader(old), newer)
    assert raised.value.lines() == (
        "The record lacks lines that the other copy holds:\n  device A from line A-8 to A-8",
        "Nothing was changed; both files were only read.",
        "Keep both files. A record put back from an old copy, or cut short, looks so.",
    )
    _raise(Pen(journal=opened(old), clock=pen.clock, author="BT"), 4)
    with pytest.raises(Damaged, match=r"device A parts from it at or before line A-8$"):
        keeping.against(_reader(old), newer)


# -- salvage ---------------------------------------------------------------------------------------

PAGE = 4096


def _spoil_inner_page(path: Path) -> None:
    """Overwrite the page that holds most of the entries."""
    data = bytearray(path.read_bytes())
    pages = range(0, len(data), PAGE)
    worst = max(pages, key=lambda at: data[at : at + PAGE].count(b"hardstand/entry") or
                data[at : at + PAGE].count(b"defect.raised"))  # fmt: skip
    data[worst : worst + PAGE] = b"\xa5" * PAGE
    path.write_bytes(bytes(data))


def _salvaged(folder: Path) -> tuple[list[str], list[Entry]]:
    said = keeping.salvage(save, folder / "record.db", folder / "saved.db", "F")
    return said.splitlines(), list(_reader(folder / "saved.db").chains())


def _closed(pen: Pen) -> list[Entry]:
    lines = list(pen.journal.chains())
    pen.journal.close()
    return lines


def test_salvage_of_a_sound_record_takes_every_line(pen: Pen, tmp_path: Path) -> None:
    facts = pen.journal.facts(TAIL)
    lines = _closed(pen)
    said, saved = _salvaged(tmp_path)
    assert said[0].startswith(f"Saved into {tmp_path / 'saved.db'}, which writes as device F: A 7 ")
    assert said[1:] == ["Nothing is missing up to these ends."]
    assert saved == lines
    assert _reader(tmp_path / "saved.db").facts(TAIL) == facts
    assert verified(_reader(tmp_path / "saved.db"), full=True)


def test_salvage_reads_what_only_the_log_holds(pen: Pen, tmp_path: Path) -> None:
    for n in range(4, 40):
        _raise(pen, n)
    lines = list(pen.journal.chains())
    assert (tmp_path / "record.db-wal").stat().st_size > 0
    assert _salvaged(tmp_path) == (_salvaged_words(tmp_path, lines), lines)


def _salvaged_words(folder: Path, lines: list[Entry]) -> list[str]:
    end = lines[-1]
    where = f"Saved into {folder / 'saved.db'}, which writes as device F"
    return [f"{where}: A {end.seq} {end.digest.hex()[:12]}", "Nothing is missing up to these ends."]


def test_salvage_needs_no_first_page(pen: Pen, tmp_path: Path) -> None:
    lines = _closed(pen)
    path = tmp_path / "record.db"
    path.write_bytes(b"\0" * PAGE + path.read_bytes()[PAGE:])
    with pytest.raises((NoRecord, Damaged)):
        _reader(path)
    assert _salvaged(tmp_path) == (_salvaged_words(tmp_path, lines), lines)


def test_scenario_54_salvage_names_the_lines_it_cannot_read(pen: Pen, tmp_path: Path) -> None:
    for n in range(4, 60):
        _raise(pen, n)
    lines = _closed(pen)
    _spoil_inner_page(tmp_path / "record.db")
    said, saved = _salvaged(tmp_path)
    lost = [e.seq for e in lines if e not in saved]
    assert lost == list(range(lost[0], lost[-1] + 1))
    assert said[1:] == [f"missing: A-{lost[0]} to A-{lost[-1]}: cannot be read"]
    assert [e for e in lines if e.seq not in lost] == saved


def test_salvage_leaves_a_changed_line_out_and_names_it(pen: Pen, tmp_path: Path) -> None:
    lines = _closed(pen)
    raw = sqlite3.connect(tmp_path / "record.db")
    raw.execute("DROP TRIGGER entry_no_update")
    raw.execute("UPDATE entry SET body = CAST(replace(body, '/', 'X') AS BLOB) WHERE seq = 6")
    raw.commit()
    raw.close()
    said, saved = _salvaged(tmp_path)
    assert said[1:] == ["missing: A-6: changed after it was written"]
    assert saved == [*lines[:5], lines[6]]


def test_salvage_takes_neither_of_two_lines_that_claim_one_place(pen: Pen, tmp_path: Path) -> None:
    copy(tmp_path / "record.db", tmp_path / "twin.db")
    _raise(pen, 4)
    _raise(Pen(journal=opened(tmp_path / "twin.db"), clock=pen.clock, author="BT"), 4)
    lines = _closed(pen)
    opened(tmp_path / "twin.db").close()
    other = list(_reader(tmp_path / "twin.db").chains())[-1]
    raw = sqlite3.connect(tmp_path / "record.db")
    raw.execute("DROP TRIGGER entry_no_replace")
    raw.execute("DROP INDEX entry_walk")
    raw.execute("CREATE TABLE other AS SELECT * FROM entry WHERE 0")
    raw.execute("INSERT INTO other VALUES (NULL, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)", [*other])
    raw.commit()
    raw.close()
    said, saved = _salvaged(tmp_path)
    assert said[1:] == ["missing: A-8: two lines claim this place"]
    assert saved == lines[:7]


def test_salvage_only_reads_the_damaged_files(pen: Pen, tmp_path: Path) -> None:
    before = {p.name: p.read_bytes() for p in tmp_path.glob("record.db*") if "-shm" not in p.name}
    _salvaged(tmp_path)
    after = {p.name: p.read_bytes() for p in tmp_path.glob("record.db*") if "-shm" not in p.name}
    assert before == after
    assert set(before) == {"record.db", f"record.db{LOG_ENDINGS[0]}"}


@pytest.mark.parametrize("error", [Usage])
def test_salvage_needs_a_letter(tmp_path: Path, error: type[HardstandError]) -> None:
    with pytest.raises(error, match=r"^--device 'ff' is no device\.$"):
        keeping.salvage(save, tmp_path / "record.db", tmp_path / "saved.db", "ff")
