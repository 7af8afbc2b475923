"""A demo record of the tiny set with the Quennock people in it, and pens that sign for them."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

from builders import Watch, opened, papers
from hardstand.domain.bodies import By
from hardstand.domain.entry import Entry
from hardstand.domain.quantity import Instant, parse_instant
from hardstand.flows.adopting import adopt, begin_record
from hardstand.flows.demo_people import enrol_demo_people
from hardstand.flows.logging_defects import Told, raise_defect
from hardstand.flows.pen import Pen
from hardstand.ports import Journal
from hardstand.store.journal import create
from hardstand.system.keys import DemoKeys
from memory import MemoryJournal

TAIL = "QM-161"
BEGIN = Instant("2026-11-01T12:00:00Z")


def founded(journal: Journal | None = None) -> Pen:
    """A pen on a record in which everybody of the demo is enrolled, on all fits; nobody's yet."""
    if journal is None:
        return _pen(MemoryJournal("S", _lines()))
    pen = _pen(journal)
    begin_record(pen, demo=True, program="test")
    enrol_demo_people(pen, DemoKeys(), fits=("T",))
    adopt(pen, papers())
    return pen


def _pen(journal: Journal) -> Pen:
    clock = Watch(at=BEGIN, step=0)
    return Pen(journal=journal, clock=clock, author="ÅL", signer=DemoKeys())


@cache
def _lines() -> tuple[Entry, ...]:
    """What such a record begins with, the same each time; signing it takes longest."""
    return tuple(founded(MemoryJournal("S")).journal.chains())


def founded_on_disk(folder: Path) -> Pen:
    """The same on a new SQLite record in a folder."""
    path = folder / "record.db"
    create(path, "S")
    return founded(opened(path))


def hand(pen: Pen, who: str, when: str, **more: object) -> Pen:
    """The pen in somebody's hand at a time, `2027-03-08T05:09-03:00`."""
    at = parse_instant(when)
    assert at is not None
    return replace(pen, author=who, clock=Watch(at=at, step=0), **more)  # type: ignore[arg-type]  # key or signer


def raised(pen: Pen, who: str, when: str, symbol: str = "X", words: str = "hum") -> str:
    """A new entry on QM-161; its number."""
    told = Told(words=words, symbol=symbol)
    said = raise_defect(hand(pen, who, when), TAIL, told, by=By(doer=who))
    return said.split(" ")[0]
