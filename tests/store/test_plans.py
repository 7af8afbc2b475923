"""No statement of every day goes through every line, whatever is asked of the journal."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest

from builders import IO, MORNING, TAIL, on_disk, opened
from hardstand.domain import bodies as b
from hardstand.domain.quantity import later
from hardstand.flows.logging_defects import act
from hardstand.flows.recording import record
from hardstand.store.journal import SqlJournal

ASKED: dict[str, Callable[[SqlJournal], object]] = {
    "entries of an airframe": lambda j: list(j.entries(airframe=TAIL)),
    "entries of an airframe by then": lambda j: list(
        j.entries(airframe=TAIL, until=later(MORNING, hours=1))
    ),
    "entries of a walk": lambda j: list(j.entries(walk="A1")),
    "lists adopted": lambda j: list(j.entries(kind="checklist.adopted")),
    "one line": lambda j: j.digest("A", 2),
    "ends of the chains": lambda j: j.heads(),
    "facts": lambda j: j.facts("QM-116"),
    "the record": lambda j: j.record(),
}


def _statements(journal: SqlJournal, asked: Callable[[SqlJournal], object]) -> list[str]:
    seen = list[str]()
    with journal.reading() as connection:
        raw = connection.connection.driver_connection
    assert isinstance(raw, sqlite3.Connection)
    raw.set_trace_callback(seen.append)
    asked(journal)
    raw.set_trace_callback(None)
    told = [sql for sql in seen if sql.split()[0] in {"SELECT", "INSERT", "UPDATE", "DELETE"}]
    return [row[-1] for sql in told for row in raw.execute(f"EXPLAIN QUERY PLAN {sql}")]


@pytest.fixture
def journal(tmp_path: Path) -> SqlJournal:
    pen = on_disk(tmp_path)
    raised = [b.DefectRaised(number=f"161-A{n:02d}", symbol="/", text="hum", by=IO) for n in (1, 2)]
    record(pen, TAIL, lambda _: raised)
    return opened(tmp_path / "record.db")


@pytest.mark.parametrize("asked", ASKED.values(), ids=ASKED.keys())
def test_what_is_asked_every_day_is_found_by_an_index(
    journal: SqlJournal, asked: Callable[[SqlJournal], object]
) -> None:
    plans = _statements(journal, asked)
    assert plans
    assert not [plan for plan in plans if plan.startswith("SCAN entry")], plans


def test_an_act_on_an_entry_goes_through_no_more_than_its_airframe(tmp_path: Path) -> None:
    pen = on_disk(tmp_path)
    body = b.DefectRaised(number="161-A01", symbol="/", text="hum", by=IO)
    record(pen, TAIL, lambda _: (body,))
    assert isinstance(pen.journal, SqlJournal)
    plans = _statements(pen.journal, lambda _: act(pen, "161-A01", "action", ("done",), by=IO))
    assert plans
    assert not [plan for plan in plans if plan.startswith("SCAN entry")], plans
