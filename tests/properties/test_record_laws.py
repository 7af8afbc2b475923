"""The laws of the record on disk: what it keeps beside its lines is the fold of its lines."""

from __future__ import annotations

import contextlib
import random
import shutil
import sqlite3
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builders import IO, MORNING, TAIL, Watch, checklist, close_all, fleet, on_disk
from hardstand.domain.airframe import fold
from hardstand.domain.entry import Entry
from hardstand.domain.quantity import later
from hardstand.domain.record import ground
from hardstand.errors import Interrupted, NotThere, Refusal
from hardstand.flows.pen import Pen
from hardstand.flows.records import verified
from hardstand.flows.starting import walk
from hardstand.store.journal import SqlJournal
from monkey import Monkey
from strategies import histories


@pytest.fixture(scope="module")
def base(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A record of device S with the tiny papers in it, closed."""
    folder = tmp_path_factory.mktemp("base")
    on_disk(folder, device="S")
    close_all()
    return folder / "record.db"


@contextlib.contextmanager
def _copy(base: Path) -> Iterator[SqlJournal]:
    with tempfile.TemporaryDirectory(prefix="hardstand-law-") as folder:
        path = Path(folder) / "record.db"
        shutil.copy(base, path)
        journal = SqlJournal(path)
        try:
            yield journal
        finally:
            journal.close()


def _kept(journal: SqlJournal) -> list[tuple[object, ...]]:
    raw = sqlite3.connect(journal.path)
    try:
        return raw.execute("SELECT * FROM now ORDER BY tail").fetchall()
    finally:
        raw.close()


def _batches(entries: list[Entry], data: st.DataObject) -> Iterator[list[Entry]]:
    """The lines cut into batches and mixed, each device's own in their order."""
    waiting = {d: [e for e in entries if e.device == d] for d in "ABC"}
    for queue in waiting.values():
        queue.sort(key=lambda e: e.seq)
    while any(waiting.values()):
        device = data.draw(st.sampled_from([d for d, queue in waiting.items() if queue]))
        count = data.draw(st.integers(1, len(waiting[device])))
        yield waiting[device][:count]
        del waiting[device][:count]


@settings(max_examples=60)
@given(histories, st.data())
def test_kept_facts_are_the_fold_of_the_whole_in_whatever_batches_lines_arrive(
    base: Path, entries: list[Entry], data: st.DataObject
) -> None:
    with _copy(base) as journal:
        for batch in _batches(entries, data):
            with journal.write() as writing:
                writing.append(batch)
        described = ground(fleet(), TAIL, journal.record())
        assert journal.facts(TAIL) == fold(described, entries)
        assert journal.stale() == ()
        kept = _kept(journal)
        with journal.write() as writing:
            writing.rebuild()
        assert _kept(journal) == kept
        assert verified(journal).startswith(f"{len(entries) + 4} lines hold")


@pytest.mark.parametrize("seed", range(15))
def test_kept_facts_are_the_fold_of_the_lines_after_any_sitting(base: Path, seed: int) -> None:
    dice = random.Random(seed)  # noqa: S311  the same lots each time, no secret
    with _copy(base) as journal:
        for hour in (1, 2, 3):
            clock = Watch(later(MORNING, hours=hour))
            pen = Pen(journal=journal, clock=clock, author="IO")
            monkey = Monkey(
                dice, dice.randrange(40), sense=0.6, checklist=checklist(),
                look=lambda: len(list(journal.chains())),
            )  # fmt: skip
            with contextlib.suppress(Refusal, NotThere, Interrupted):
                walk(pen, monkey, by=IO)
            assert journal.stale() == ()
        assert " lines hold, 1 devices: S " in verified(journal)
