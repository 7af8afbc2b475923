"""Puts the folder of all tests on the path; builds the Quennock week once."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

_TESTS = str(Path(__file__).parents[1])
if _TESTS not in sys.path:
    sys.path.insert(0, _TESTS)


@pytest.fixture(scope="session")
def week(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The whole week, built as the command builds it. Nothing writes to it."""
    from scenarios.stage import hardstand

    path = tmp_path_factory.mktemp("week") / "quennock.db"
    built = hardstand(None, "demo", str(path))
    assert built.status == 0, built.err
    return path
