"""Puts the folder of all tests on the path; builds one demo morning for all scenarios."""

from __future__ import annotations

import sqlite3
import sys
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest

from hardstand import __version__
from hardstand.domain.bodies import By
from hardstand.domain.quantity import Instant
from hardstand.flows.adopting import adopt, begin_record
from hardstand.flows.logging_defects import Told, raise_defect
from hardstand.flows.papers import papers
from hardstand.flows.pen import Pen
from hardstand.store.journal import SqlJournal, create
from hardstand.system.clock import ScriptClock
from hardstand.system.demo_files import demo_texts

_TESTS = str(Path(__file__).parents[1])
if _TESTS not in sys.path:
    sys.path.insert(0, _TESTS)


@pytest.fixture(scope="session")
def _dawn(once: Callable[[str, Callable[[Path], object]], Path]) -> Path:
    """The Quennock fleet and lists before Monday's first walk, with nobody enrolled yet.

    Who may walk alone is not what these scenarios are about; the people of the demo are in
    tests/demo.
    """
    return once("dawn", _before_the_walks)


def _before_the_walks(path: Path) -> None:
    create(path, "S")
    begin = ScriptClock(Instant("2026-11-01T12:00:00Z"))
    pen = Pen(journal=SqlJournal(path, "S"), clock=begin, author="ÅL")
    begin_record(pen, demo=True, program=__version__)
    adopt(pen, papers(pen.journal, demo_texts()))
    for at, by, tail, told in (
        ("2027-01-20T12:00:00Z", "BTR", "QM-110",
         Told(words="LF receiver dial lamp out", unit="RX-LF")),
        ("2027-02-19T17:00:00Z", "MS", "QM-170",
         Told(words="in work, not radio: wing tip repair", symbol="X")),
        ("2027-03-02T19:00:00Z", "YB", "QM-164",
         Told(words="channel 4 crystals not fitted", unit="TR-V", takes="ch4")),
    ):  # fmt: skip
        then = replace(pen, clock=ScriptClock(Instant(at)), author=by)
        raise_defect(then, tail, told, by=By(doer=by))


@pytest.fixture
def quennock(_dawn: Path, tmp_path: Path) -> Path:
    """A record of its own with both shipped lists and the ten airframes, before Monday's walks."""
    path = tmp_path / "quennock.db"
    with closing(sqlite3.connect(_dawn)) as dawn, closing(sqlite3.connect(path)) as own:
        dawn.backup(own)
    return path
