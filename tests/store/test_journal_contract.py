"""What every journal holds: one suite for the record in memory and the record on disk."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from builders import IO, MORNING, TAIL, Watch, begun, opened
from hardstand.domain import bodies as b
from hardstand.domain.chain import Head, verify
from hardstand.domain.checklist import Symbol
from hardstand.domain.defects import Refused
from hardstand.domain.entry import Entry
from hardstand.domain.facts import RecordFacts
from hardstand.domain.quantity import later
from hardstand.errors import NotThere, Refusal
from hardstand.flows.adopting import adopted
from hardstand.flows.pen import Pen
from hardstand.flows.recording import record, write
from hardstand.ports import Journal
from hardstand.store.journal import create
from memory import MemoryJournal


def _in_memory(_: Path) -> Journal:
    return MemoryJournal()


def _on_disk(folder: Path) -> Journal:
    create(folder / "record.db", "A")
    return opened(folder / "record.db")


@pytest.fixture(params=[_in_memory, _on_disk], ids=["memory", "sqlite"])
def empty(request: pytest.FixtureRequest, tmp_path: Path) -> Journal:
    make: Callable[[Path], Journal] = request.param
    return make(tmp_path)


def _raised(n: int, symbol: Symbol = "/") -> b.DefectRaised:
    return b.DefectRaised(number=f"161-A{n:02d}", symbol=symbol, text=f"fault {n}", by=IO)


def _started() -> b.WalkStarted:
    return b.WalkStarted(
        checklist="T-PRE", revision="1", digest="d", purpose="preflight", fit="T", planned="",
        typed=TAIL, by=IO,
    )  # fmt: skip


def _raise(pen: Pen, *numbers: int) -> tuple[Entry, ...]:
    return record(pen, TAIL, lambda _: tuple(_raised(n) for n in numbers))


def test_an_empty_record_has_no_lines_no_heads_and_default_facts(empty: Journal) -> None:
    assert list(empty.chains()) == []
    assert empty.heads() == {}
    assert empty.record() == RecordFacts()
    with empty.write() as writing:
        assert writing.head("A") == Head()
        assert writing.tick() == 0
        assert writing.count_walks("A") == 0


def test_what_was_written_is_read_back_to_the_byte_and_in_order(empty: Journal) -> None:
    pen = begun(empty)
    written = _raise(pen, 1, 2)
    assert tuple(empty.entries(kind="defect.raised")) == written
    assert [e.seq for e in empty.chains()] == [1, 2, 3, 4, 5, 6]
    assert list(verify(empty.chains(), empty.heads())) == []


def test_heads_ticks_and_walk_counts_follow_the_lines(empty: Journal) -> None:
    pen = begun(empty)
    with empty.write() as writing:
        made = write(pen, writing, (_started(), _started()), tail=TAIL, walk="A1")
    with empty.write() as writing:
        assert writing.head("A") == Head(made[-1].seq, made[-1].digest, made[-1].tick)
        assert writing.tick() == made[-1].tick
        assert writing.count_walks("A") == 2
        assert writing.count_walks("B") == 0


def test_facts_follow_every_line_that_bears_on_status(empty: Journal) -> None:
    pen = begun(empty)
    _raise(pen, 1)
    assert [e.number for e in empty.facts(TAIL).open] == ["161-A01"]
    assert empty.facts("QM-116").open == ()
    with empty.write() as writing:
        write(pen, writing, (_raised(2),), tail=TAIL)
        assert [e.number for e in writing.facts(TAIL).open] == ["161-A01", "161-A02"]


def test_the_record_says_who_flies_what_and_which_lists_were_taken_in(empty: Journal) -> None:
    begun(empty, demo=True)
    known = empty.record()
    assert known.demo
    assert known.operator == "Quennock Mail & Survey Flight"
    assert known.tails == ("QM-116", "QM-161", "QM-164")
    assert [act.what for act in known.adopted] == [
        "fleet Quennock Mail & Survey Flight", "fit T", "checklist T-PRE 1",
    ]  # fmt: skip


@pytest.mark.parametrize("tail", ["", "QM-999", "qm-161"])
def test_an_airframe_that_is_not_in_the_fleet_is_not_there(empty: Journal, tail: str) -> None:
    begun(empty)
    with pytest.raises(NotThere) as raised:
        empty.facts(tail)
    assert raised.value.lines() == (
        f"There is no airframe {tail or '(no tail)'} in this record.",
        "`hardstand fleet show` lists the tails.",
    )


def test_an_error_inside_a_write_leaves_nothing_of_it(empty: Journal) -> None:
    pen = begun(empty)
    _raise(pen, 1)
    before = list(empty.chains())

    def broken() -> None:
        with empty.write() as writing:
            write(pen, writing, (_raised(2),), tail=TAIL)
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        broken()
    assert list(empty.chains()) == before
    assert [e.number for e in empty.facts(TAIL).open] == ["161-A01"]
    assert empty.heads()["A"].seq == len(before)


def test_a_refused_decision_writes_nothing_and_says_so(empty: Journal) -> None:
    pen = begun(empty)
    before = list(empty.chains())
    refused = Refused(what="no", rule="the rule", who_could="anyone else", hint="do this")
    with pytest.raises(Refusal) as raised:
        record(pen, TAIL, lambda _: refused)
    assert raised.value.lines() == (
        "no", "Rule: the rule", "Who could: anyone else", "Nothing was written.", "do this",
    )  # fmt: skip
    assert list(empty.chains()) == before


def test_the_newest_of_somebodys_own_are_found_by_who_wrote_them(empty: Journal) -> None:
    pen = begun(empty)
    for n, who in enumerate(("IO", "BT", "IO", "IO"), 1):
        with empty.write() as writing:
            write(replace(pen, author=who), writing, (_started(),), tail=TAIL, walk=f"A{n}")
    newest = empty.newest_own("IO", "walk.started", 2)
    assert [(e.walk, e.author) for e in newest] == [("A3", "IO"), ("A4", "IO")]
    assert [e.walk for e in empty.newest_own("BT", "walk.started", 2)] == ["A2"]
    assert list(empty.newest_own("IO", "walk.resumed", 2)) == []


def test_what_was_found_is_looked_for_among_so_many_lines_of_all(empty: Journal) -> None:
    pen = begun(empty)
    raised = _raise(pen, 1, 2)
    with empty.write() as writing:
        write(pen, writing, (_started(),), tail="QM-116", walk="A1")
    other = record(pen, "QM-116", lambda _: (_raised(9),))
    assert tuple(empty.found_among(4)) == (*raised, *other)
    assert tuple(empty.found_among(3)) == (raised[1], *other)
    assert tuple(empty.found_among(99)) == (*raised, *other)


def test_entries_are_narrowed_by_airframe_walk_kind_and_time(empty: Journal) -> None:
    pen = begun(empty)
    with empty.write() as writing:
        write(pen, writing, (_started(),), tail=TAIL, walk="A1")
    late = replace(pen, clock=Watch(at=later(MORNING, hours=5), step=0))
    with empty.write() as writing:
        write(late, writing, (_raised(1),), tail=TAIL, walk="A1")
        write(late, writing, (_raised(1),), tail="QM-116")
    assert [e.kind for e in empty.entries(airframe=TAIL)] == ["walk.started", "defect.raised"]
    assert [e.kind for e in empty.entries(walk="A1")] == ["walk.started", "defect.raised"]
    assert [e.airframe for e in empty.entries(kind="defect.raised")] == [TAIL, "QM-116"]
    assert [a.id for a in adopted(empty, "fit.adopted")] == ["T"]
    until = later(MORNING, hours=4)
    assert [e.kind for e in empty.entries(airframe=TAIL, until=until)] == ["walk.started"]
    assert [e.kind for e in empty.entries(walk="A1", kind="defect.raised", until=until)] == []


def test_two_devices_keep_two_chains_in_one_record(empty: Journal) -> None:
    pen = begun(empty)
    _raise(pen, 1)
    empty.device = "B"
    _raise(pen, 2)
    empty.device = "A"
    assert {d: h.seq for d, h in empty.heads().items()} == {"A": 5, "B": 1}
    ticks = [e.tick for e in empty.entries()]
    assert ticks == sorted(set(ticks))
    assert list(verify(empty.chains(), empty.heads())) == []


def test_a_fresh_record_has_nothing_stale_and_every_guard(empty: Journal) -> None:
    _raise(begun(empty), 1)
    assert empty.stale() == ()
    assert empty.guards() == ()
