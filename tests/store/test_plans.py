"""No statement of every day goes through every line, whatever is asked of the journal.

What does on purpose is not here: `record verify`, `record history INITIALS`, `board --at`, and the
past of one box.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest

from builders import IO, MORNING, TAIL, close_all, on_disk, opened
from hardstand.cli.front import run
from hardstand.domain import bodies as b
from hardstand.domain.entry import OWN_WORK
from hardstand.domain.quantity import later
from hardstand.flows.logging_defects import act
from hardstand.flows.recording import record
from hardstand.store import journal as journals
from hardstand.store import reads
from hardstand.store.journal import SqlJournal

ASKED: dict[str, Callable[[SqlJournal], object]] = {
    "entries of an airframe": lambda j: list(j.entries(airframe=TAIL)),
    "entries of an airframe by then": lambda j: list(
        j.entries(airframe=TAIL, until=later(MORNING, hours=1))
    ),
    "entries of a walk": lambda j: list(j.entries(walk="A1")),
    "lists adopted": lambda j: list(j.entries(kind="checklist.adopted")),
    "somebody's own walks": lambda j: list(j.newest_own("IO", "walk.started", 9)),
    "somebody's own levels": lambda j: list(j.newest_own("IO", "person.guided", 9)),
    "somebody's own practices": lambda j: list(j.newest_own("IO", "walk.practised", 9)),
    "what was found of late": lambda j: list(j.found_among(9)),
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


@pytest.mark.parametrize("kind", OWN_WORK)
def test_what_somebody_did_is_found_by_who_wrote_it(journal: SqlJournal, kind: str) -> None:
    plans = _statements(journal, lambda j: list(j.newest_own("IO", kind, 9)))
    assert plans[0] == "SEARCH entry USING INDEX entry_own (author=? AND kind=?)"


def test_an_act_on_an_entry_goes_through_no_more_than_its_airframe(tmp_path: Path) -> None:
    pen = on_disk(tmp_path)
    body = b.DefectRaised(number="161-A01", symbol="/", text="hum", by=IO)
    record(pen, TAIL, lambda _: (body,))
    assert isinstance(pen.journal, SqlJournal)
    plans = _statements(pen.journal, lambda _: act(pen, "161-A01", "action", ("done",), by=IO))
    assert plans
    assert not [plan for plan in plans if plan.startswith("SCAN entry")], plans


EVERY_DAY = (
    "status", f"status {TAIL}", f"status {TAIL} --at 2027-03-08T09:00:00Z", "open", f"open {TAIL}",
    f"open {TAIL} --at 2027-03-08T09:00:00Z", f"why {TAIL}", "why 161-A01",
    f"why {TAIL} --at 2027-03-08T09:00:00Z", "walks", "board", f"board {TAIL}",
    f"defect raise {TAIL} hum --by BT", "defect show 161-A01",
    "defect action 161-A01 dried --by BT", "clear --by DQ", f"record history {TAIL}",
    "record history 161-A01", "fleet show",
)  # fmt: skip


@pytest.mark.parametrize("command", EVERY_DAY)
def test_a_command_of_every_day_finds_its_lines_by_an_index(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, command: str
) -> None:
    pen = on_disk(tmp_path, demo=True)
    raised = b.DefectRaised(number="161-A01", symbol="/", text="hum", by=IO)
    record(pen, TAIL, lambda _: (raised,))
    close_all()
    seen = list[str]()
    for module, name in ((reads, "connect_reader"), (journals, "connect_reader"),
                         (journals, "connect_writer")):  # fmt: skip
        monkeypatch.setattr(module, name, _watched(getattr(module, name), seen))
    place = str(tmp_path / "record.db")
    assert run(["--record", place, *command.split()]) in {0, 1}
    raw = sqlite3.connect(place)
    asked = [sql for sql in seen if sql.split()[0] in {"SELECT", "INSERT", "UPDATE", "DELETE"}]
    plans = [row[-1] for sql in asked for row in raw.execute(f"EXPLAIN QUERY PLAN {sql}")]
    raw.close()
    assert plans
    assert not [plan for plan in plans if plan.startswith("SCAN entry")], plans


def _watched(
    connect: Callable[..., sqlite3.Connection], seen: list[str]
) -> Callable[..., sqlite3.Connection]:
    def connected(*given: Path, **how: bool) -> sqlite3.Connection:
        connection = connect(*given, **how)
        connection.set_trace_callback(seen.append)
        return connection

    return connected
