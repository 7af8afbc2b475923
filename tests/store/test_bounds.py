"""What a walk reads before its first step is no more where the fleet is larger, the record longer.

The work is counted, not timed: the instructions SQLite carries out, and the airframes whose facts
are asked for. How far back is looked is set low here, so that both records reach it.
"""

from __future__ import annotations

import sqlite3
from collections import Counter
from collections.abc import Callable
from pathlib import Path

import pytest

from bench.big import build_of
from builders import Watch, opened
from hardstand.domain.bodies import By
from hardstand.domain.facts import AirframeFacts
from hardstand.domain.quantity import Instant
from hardstand.errors import Interrupted, Refusal
from hardstand.flows import adopting, delta, practising, supervised, teaching
from hardstand.flows.pen import Pen
from hardstand.flows.starting import practise, walk
from hardstand.store.journal import SqlJournal
from scripted import Scripted

TAIL = "QM-1003"
LATER = Instant("2026-05-01T06:00:00Z")
"""More than ninety days after the last walk of such a record, with a fit in force."""

SPREAD = 1.1
"""A page more or less is turned at the end of a walk's lines; never one for each airframe."""

Walk = Callable[[Pen, Scripted, By], object]
WALKS: dict[str, tuple[Walk, list[str]]] = {
    "a walk": (lambda pen, who, by: walk(pen, who, by=by), ["c", "c", "o", "o", "o"]),
    "a practice": (
        lambda pen, who, by: practise(pen, who, by=by), ["c", "c", "good", "o", "good", "o"],
    ),
    "what changed": (lambda pen, who, by: walk(pen, who, by=by, changed=True), ["c"]),
}  # fmt: skip


@pytest.fixture(scope="module")
def records(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """Ten airframes with six walks and as many entries each; forty with twice as many each."""
    folder = tmp_path_factory.mktemp("years")
    for airframes, walks in ((10, 60), (40, 480)):
        build_of(folder / f"{airframes}.db", walks, walks, airframes)
    return folder / "10.db", folder / "40.db"


@pytest.fixture(autouse=True)
def _looks_back_little(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(teaching, "LOOKED_AT", 1000)
    monkeypatch.setattr(teaching, "CHOSEN", (3, 6))
    monkeypatch.setattr(supervised, "BEGUN", (5, 10))
    monkeypatch.setattr(supervised, "LOOKED_AT", 3)
    monkeypatch.setattr(delta, "LOOKED_AT", (40, 80))
    monkeypatch.setattr("hardstand.flows.starting.LOOKED_AT", 80)


def _work(path: Path, who: Walk, typed: list[str]) -> Counter[str]:
    """What SQLite does and which facts are read until the lines typed are used up."""
    journal, found = opened(path), Counter[str]()
    with journal.reading() as connection:
        raw = connection.connection.driver_connection
    assert isinstance(raw, sqlite3.Connection)
    asked, fleet = SqlJournal.facts, adopting.the_fleet

    def facts(self: SqlJournal, tail: str) -> AirframeFacts:
        found[f"facts of {tail}"] += 1
        return asked(self, tail)

    def the_fleet(journal: SqlJournal) -> object:
        found["the fleet"] += 1
        return fleet(journal)

    raw.set_progress_handler(lambda: found.update(instructions=1), 1)
    pen = Pen(journal=journal, clock=Watch(at=LATER), author="IO")
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(SqlJournal, "facts", facts)
        for module in (adopting, practising):
            patched.setattr(module, "the_fleet", the_fleet)
        with pytest.raises((Interrupted, Refusal)):
            who(pen, Scripted([TAIL, *typed]), By(doer="IO"))
    raw.set_progress_handler(None, 1)
    return found


@pytest.mark.parametrize(("who", "typed"), WALKS.values(), ids=WALKS.keys())
def test_a_larger_fleet_and_a_longer_record_are_no_more_work(
    records: tuple[Path, Path], who: Walk, typed: list[str]
) -> None:
    few, many = (_work(path, who, typed) for path in records)
    assert many.pop("instructions") <= SPREAD * few.pop("instructions")
    assert many == few, "the facts of the aircraft walked, and of no other"
    assert set(many) <= {f"facts of {TAIL}", "the fleet"}
