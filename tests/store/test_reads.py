"""The hot reads: the SQL that Core compiles, no way through all lines, the journal's facts."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import bindparam, case, func, select
from sqlalchemy.dialects import sqlite
from sqlalchemy.sql import Select

from builders import IO, MORNING, TAIL, Watch, lines, on_disk, opened
from hardstand.domain import bodies as b
from hardstand.domain.quantity import later
from hardstand.errors import Damaged, NotThere
from hardstand.flows.pen import Pen
from hardstand.flows.recording import record
from hardstand.flows.starting import walk
from hardstand.store import ddl, reads
from hardstand.store.journal import create
from hardstand.store.reads import Reads
from scripted import Scripted

KEPT, HEAD, LINE, META = ddl.now.c, ddl.head.c, ddl.entry.c, ddl.meta.c


@pytest.mark.parametrize(
    ("text", "query"),
    [
        (reads.FACTS_OF_ALL, select(KEPT.tail, KEPT.facts).order_by(KEPT.tail)),
        (reads.FACTS_OF_ONE, select(KEPT.facts).where(KEPT.tail == bindparam("tail"))),
        (reads.DEVICES, select(HEAD.device, HEAD.seq, HEAD.at)),
        (
            reads.CLOCKS,
            select(
                case((func.instr(KEPT.facts, "x") > 0, func.json_extract(KEPT.facts, "y"))).label(
                    "clocks"
                )
            ).where(KEPT.tail == bindparam("tail")),
        ),
        (
            reads.LAST_LINE,
            select(LINE.at).where(LINE.device == bindparam("device"), LINE.seq == bindparam("seq")),
        ),
        (reads.DEVICE, select(META.value).where(META.name == bindparam("name"))),
        (
            reads.LAST_OF_WALK,
            select(LINE.device, LINE.seq, LINE.at)
            .where(LINE.walk == bindparam("walk"))
            .order_by(LINE.id.desc())
            .limit(bindparam("most"))
            .offset(bindparam("after")),
        ),
        (
            reads.LINES_OF_WALK,
            select(LINE.kind, LINE.body, LINE.at, LINE.author)
            .where(LINE.walk == bindparam("walk"))
            .order_by(LINE.id),
        ),
        (
            reads.LISTS,
            select(LINE.body)
            .where(LINE.airframe.is_(None), LINE.kind == bindparam("kind"))
            .order_by(LINE.tick.desc()),
        ),
    ],
)
def test_the_text_of_each_hot_read_is_what_core_compiles(text: str, query: Select[str]) -> None:
    assert text == str(query.compile(dialect=sqlite.dialect()))


@pytest.fixture
def walked(tmp_path: Path) -> Path:
    """A record with one finished walk, one open one and an entry."""
    pen = on_disk(tmp_path)
    walk(pen, Scripted(lines()), by=IO)
    raised = b.DefectRaised(number="116-A01", symbol="/", text="lamp out", by=IO)
    record(pen, "QM-116", lambda _: (raised,))
    Scripted.until_left(pen, lines("QM-164", until="volts"))
    return tmp_path / "record.db"


@pytest.fixture
def reading(walked: Path) -> Iterator[Reads]:
    found = Reads(walked)
    yield found
    found.close()


def _plans(connection: sqlite3.Connection, statements: list[str]) -> list[str]:
    rows = (
        row[-1]
        for sql in statements
        if sql.lstrip().upper().startswith(("SELECT", "INSERT", "DELETE", "UPDATE"))
        for row in connection.execute(f"EXPLAIN QUERY PLAN {sql}")
    )
    return [str(row) for row in rows]


def _through_every_line(plans: list[str]) -> list[str]:
    """Plans that look at each line; `entry_whole` holds only the few lines of no airframe."""
    few = "SCAN entry USING INDEX entry_whole"
    return [plan for plan in plans if plan.startswith("SCAN entry") and plan != few]


def test_no_hot_read_goes_through_every_line(reading: Reads) -> None:
    seen = list[str]()
    reading._connection.set_trace_callback(seen.append)
    reading.record()
    reading.facts(TAIL)
    reading.all_facts()
    reading.newest()
    reading.last_of_walk("A1")
    reading._connection.set_trace_callback(None)
    plans = _plans(reading._connection, seen)
    assert len(seen) == 7
    assert _through_every_line(plans) == []
    assert any("USING INDEX entry_walk" in plan for plan in plans)


def test_nothing_a_walk_does_goes_through_every_line(walked: Path) -> None:
    journal = opened(walked)
    seen = list[str]()
    with journal.reading() as connection:
        raw = connection.connection.driver_connection
    assert isinstance(raw, sqlite3.Connection)
    raw.set_trace_callback(seen.append)
    pen = Pen(journal=journal, clock=Watch(later(MORNING, hours=1)), author="IO")
    Scripted.until_left(pen, ["QM-164", "c", "24.5", "s", "1", "o", "b"])
    raw.set_trace_callback(None)
    plans = _plans(raw, seen)
    assert any("entry" in plan for plan in plans)
    assert _through_every_line(plans) == []


def test_hot_reads_say_what_the_journal_says(walked: Path, reading: Reads) -> None:
    journal = opened(walked, read_only=True)
    assert reading.record() == journal.record()
    assert [f.tail for f in reading.all_facts()] == ["QM-116", "QM-161", "QM-164"]
    for facts in reading.all_facts():
        assert facts == journal.facts(facts.tail) == reading.facts(facts.tail)
    every = list(journal.entries())
    assert reading.newest() == max(e.at for e in every)
    assert reading.last_of_walk("A2") == [e.at for e in every if e.walk == "A2"][-1]


def test_what_is_not_in_the_record_is_not_there(reading: Reads) -> None:
    assert reading.last_of_walk("Z9") is None
    for tail in ("", "QM-999"):
        with pytest.raises(NotThere, match=r"^There is no airframe "):
            reading.facts(tail)


def test_an_empty_record_answers_too(tmp_path: Path) -> None:
    create(tmp_path / "new.db", "A")
    found = Reads(tmp_path / "new.db")
    assert found.newest() is None
    assert found.all_facts() == ()
    assert found.record().tails == ()
    found.close()


def test_kept_facts_that_do_not_read_are_damage_and_verify_names_them(
    walked: Path, reading: Reads
) -> None:
    raw = sqlite3.connect(walked)
    raw.execute("UPDATE now SET facts = '{\"tail\": \"QM-161\"}' WHERE tail = 'QM-161'")
    raw.commit()
    raw.close()
    said = (
        "The facts kept of QM-161 do not read: AirframeFacts does not read: fits, short, type.",
        "The lines of the record are kept apart from them and were left as they are.",
        "Run `hardstand record verify`; keep this file.",
    )
    with pytest.raises(Damaged) as raised:
        reading.facts(TAIL)
    assert raised.value.lines() == said
    journal = opened(walked, read_only=True)
    with pytest.raises(Damaged) as raised:
        journal.facts(TAIL)
    assert raised.value.lines() == said
    assert journal.stale() == ("QM-161",)
