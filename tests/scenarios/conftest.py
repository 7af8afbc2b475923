"""Puts the folder of all tests on the path; builds one demo morning for all scenarios."""

from __future__ import annotations

import sqlite3
import sys
from contextlib import closing
from pathlib import Path

import pytest

_TESTS = str(Path(__file__).parents[1])
if _TESTS not in sys.path:
    sys.path.insert(0, _TESTS)


@pytest.fixture(scope="session")
def _dawn(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The Quennock demo record as it stands before Monday's first walk."""
    from scenarios.stage import hardstand

    path = tmp_path_factory.mktemp("dawn") / "quennock.db"
    built = hardstand(None, "demo", str(path), "--until", "2027-03-08T04:00-03:00")
    assert built.status == 0, built.err
    return path


@pytest.fixture
def quennock(_dawn: Path, tmp_path: Path) -> Path:
    """A record of its own with both shipped lists and the ten airframes, before Monday's walks."""
    path = tmp_path / "quennock.db"
    with closing(sqlite3.connect(_dawn)) as dawn, closing(sqlite3.connect(path)) as own:
        dawn.backup(own)
    return path
