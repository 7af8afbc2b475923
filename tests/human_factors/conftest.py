"""Puts the folder of all tests on the path; builds the demo morning once, for all these tests."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import pytest

_TESTS = str(Path(__file__).parents[1])
if _TESTS not in sys.path:
    sys.path.insert(0, _TESTS)

from builders import Watch
from hardstand.domain.entry import Entry
from hardstand.flows.pen import Pen
from human_factors.watched import BOTH, DAWN, Whole, papers_adopted, planned, watched
from memory import MemoryJournal
from scenarios.conftest import _dawn, quennock

__all__ = ["_dawn", "quennock"]


@pytest.fixture(scope="session")
def papers_only() -> tuple[Entry, ...]:
    """The lines of a demo record with the shipped files in it, nobody enrolled."""
    return papers_adopted()


def _at_dawn(lines: tuple[Entry, ...]) -> Pen:
    return Pen(journal=MemoryJournal(lines=lines), clock=Watch(at=DAWN), author="IO")


@pytest.fixture
def fresh(papers_only: tuple[Entry, ...]) -> Callable[[], Pen]:
    """Gives a pen on a record of its own each time it is called, at dawn of the demo Monday."""
    return lambda: _at_dawn(papers_only)


@pytest.fixture(scope="session", params=BOTH)
def whole(request: pytest.FixtureRequest, papers_only: tuple[Entry, ...]) -> Whole:
    """A whole walk answered well, of each of the two aircraft; walked once, only to be read."""
    pen = _at_dawn(papers_only)
    plan = planned(pen, request.param)
    return Whole(pen=pen, plan=plan, seen=watched(pen, request.param))
