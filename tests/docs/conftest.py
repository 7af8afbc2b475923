"""Puts the folder of all tests on the path, and builds one demo record for all pages."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import pytest

_TESTS = str(Path(__file__).parents[1])
if _TESTS not in sys.path:
    sys.path.insert(0, _TESTS)


@pytest.fixture(scope="session")
def monday(once: Callable[[str, Callable[[Path], object]], Path]) -> Path:
    """The Quennock record up to Monday night, as every page has it."""
    from docs.renewing import demo_record

    return once("pages", lambda path: demo_record(path.parent))
