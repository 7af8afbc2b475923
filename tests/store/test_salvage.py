"""Salvage goes on past a line that verifies and that no fold can take; the others have a status."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from builders import IO, MORNING, TAIL, close_all, on_disk, opened
from hardstand.domain import bodies as b
from hardstand.domain.chain import seal
from hardstand.domain.codec import encode
from hardstand.domain.entry import Entry
from hardstand.errors import NotThere
from hardstand.flows.keeping import salvage
from hardstand.flows.recording import Pen
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
