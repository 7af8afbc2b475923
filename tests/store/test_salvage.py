"""Salvage goes on past a line that verifies and that no fold can take; the others have a status."""

from __future__ import annotations

import resource
import signal
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from builders import IO, MORNING, TAIL, close_all, on_disk, opened
from hardstand.domain import bodies as b
from hardstand.domain.chain import seal
from hardstand.domain.codec import encode
from hardstand.domain.entry import Entry
from hardstand.errors import HardstandError, NoRecord, NotThere, Refusal
from hardstand.flows.keeping import salvage
from hardstand.flows.pen import Pen
from hardstand.store import statements
from hardstand.store.salvage import save


def _forge(pen: Pen, record: Path, kind: str, body: bytes, tail: str | None) -> Entry:
    """A line with a right digest at the end of the chain, put there by another program."""
    head = pen.journal.heads()["A"]
    forged = seal(Entry("A", head.seq + 1, head.tick + 1, MORNING, "IO", tail, None, kind, 1, body,
                        head.digest, b""))  # fmt: skip
    close_all()
    raw = sqlite3.connect(record, isolation_level=None)
    raw.execute(statements.ADD_ENTRY, forged)
    raw.close()
    return forged


def test_an_airframe_with_a_line_that_no_fold_can_take_has_no_status(tmp_path: Path) -> None:
    body = encode(b.DefectRaised(number="hum", symbol="/", text="hum", by=IO))
    record = tmp_path / "record.db"
    forged = _forge(on_disk(tmp_path), record, "defect.raised", body, TAIL)
    said = salvage(save, record, tmp_path / "saved.db", "E")
    why = "Line A-5 of the record does not read: 'hum' is no entry number, such as 161-A01."
    assert said.splitlines()[1:] == [f"missing: {TAIL} has no status: {why}"]
    saved = opened(tmp_path / "saved.db")
    assert list(saved.chains())[-1] == forged
    assert saved.facts("QM-116").open == ()
    with pytest.raises(NotThere):
        saved.facts(TAIL)


def test_every_line_is_saved_where_the_whole_record_does_not_fold(tmp_path: Path) -> None:
    record = tmp_path / "record.db"
    forged = _forge(on_disk(tmp_path), record, "fleet.loaded", b'{"made":"up"}', None)
    said = salvage(save, record, tmp_path / "saved.db", "E")
    (missing,) = said.splitlines()[1:]
    assert missing.startswith("missing: Line A-5 of the record does not read: ")
    assert list(opened(tmp_path / "saved.db").chains())[-1] == forged


@contextmanager
def _no_file_beyond(size: int) -> Iterator[None]:
    """A disk without room, as far as the process can tell: no file grows beyond that."""
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    handler = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, before[1]))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
        signal.signal(signal.SIGXFSZ, handler)


def _refused(folder: Path, device: str, error: type[HardstandError]) -> tuple[str, ...]:
    """The lines with which a salvage is refused; nothing of the new file is left."""
    with pytest.raises(error) as raised:
        salvage(save, folder / "record.db", folder / "saved.db", device)
    assert [p.name for p in folder.iterdir() if p.name.startswith("saved")] == []
    return raised.value.lines()


def test_where_there_is_no_line_no_record_is_made(tmp_path: Path) -> None:
    record = tmp_path / "record.db"
    record.write_bytes(bytes(range(256)) * 100)
    assert _refused(tmp_path, "E", NoRecord) == (
        f"{record} holds no line of a record.",
        "It was only read, and no new file was made.",
        "Go on with a verified backup.",
    )


def test_where_there_is_no_file_nothing_is_salvaged(tmp_path: Path) -> None:
    assert _refused(tmp_path, "E", NoRecord) == (
        f"{tmp_path / 'record.db'} cannot be read: No such file or directory.",
        "Nothing was written.",
        "Name the damaged record with --record PATH.",
    )


LETTER = "a record put back or saved goes on under a letter that no device of the operator has used"


@pytest.mark.parametrize("cut", [0, 4096])
def test_what_is_saved_never_goes_on_under_a_letter_that_wrote(tmp_path: Path, cut: int) -> None:
    """With a lost tail it would write lines of the same device and number a second time."""
    on_disk(tmp_path)
    close_all()
    record = tmp_path / "record.db"
    record.write_bytes(record.read_bytes()[: record.stat().st_size - cut])
    assert _refused(tmp_path, "A", Refusal) == (
        "Device A has written in this record already.",
        f"Rule: {LETTER}",
        "It was only read, and no new file was made.",
        "Used here: A. Choose another letter.",
    )


def test_a_log_whose_file_is_gone_gives_what_it_holds(tmp_path: Path) -> None:
    pen = on_disk(tmp_path)
    record = tmp_path / "record.db"
    alone = tmp_path / "alone"
    alone.mkdir()
    (alone / "record.db-wal").write_bytes((tmp_path / "record.db-wal").read_bytes())
    lines = list(pen.journal.chains())
    said = salvage(save, alone / "record.db", alone / "saved.db", "E")
    saved = list(opened(alone / "saved.db").chains())
    assert said.startswith(f"Saved into {alone / 'saved.db'}, which writes as device E: A ")
    assert saved == lines[-len(saved) :]
    assert record.exists()
    assert [p.name for p in alone.iterdir() if p.name == "record.db"] == []


def test_a_full_disk_is_told_as_one_of_the_new_file(tmp_path: Path) -> None:
    on_disk(tmp_path)
    close_all()
    with _no_file_beyond(32768):
        what, *rest = _refused(tmp_path, "E", Refusal)
    assert what.startswith(f"Nothing was saved into {tmp_path / 'saved.db'}: the disk with ")
    assert rest == [
        "The damaged record was only read.",
        "Name a place on a sound disk that has room for it.",
    ]
