"""Puts the folder of all tests on the path, so that the rules are found from each test here."""

from __future__ import annotations

import sys
from pathlib import Path

_TESTS = str(Path(__file__).parents[1])
if _TESTS not in sys.path:
    sys.path.insert(0, _TESTS)
