"""Puts the folder of all tests on the path, so that the small files are found from each test."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import pytest

_TESTS = str(Path(__file__).parents[1])
if _TESTS not in sys.path:
    sys.path.insert(0, _TESTS)


@pytest.fixture(scope="session")
def _monday(once: Callable[[str, Callable[[Path], object]], Path]) -> Path:
    from quennock_morning import built

    return once("monday", lambda path: built(path, "Mon 05:45"))


@pytest.fixture
def monday(_monday: Path, tmp_path: Path) -> Path:
    """The Quennock record on Monday at 05:45, one's own to write in."""
    from quennock_morning import copied

    return copied(_monday, tmp_path / "quennock.db")
