"""Writes the rows of docs/reference/scenarios.md: `python tests/docs/scenario_rows.py`.

A row keeps what a person wrote in it, what happens and what is still missing; the tests in it are
those whose names carry its number.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

TESTS = Path(__file__).resolve().parents[1]
PAGE = TESTS.parent / "docs" / "reference" / "scenarios.md"
NAME = re.compile(r"def test_scenario_(\d+)_(\w+)")
ROW = re.compile(r"\| (\d+) \| (.*?) \| (.*?) \| (.*?) \|")
NONE = "none"


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One scenario: what happens, its tests in words, what is still missing."""

    happens: str
    tests: tuple[str, ...]
    missing: str


def named() -> dict[int, set[str]]:
    """The tests that carry each number, in words."""
    found: dict[int, set[str]] = {}
    for file in sorted(TESTS.rglob("test_*.py")):
        for number, words in NAME.findall(file.read_text("utf-8")):
            found.setdefault(int(number), set()).add(words.replace("_", " "))
    return found


def rows(text: str) -> dict[int, Row]:
    """The rows of a page by their numbers."""
    return {
        int(number): Row(
            happens=happens,
            tests=() if tests == NONE else tuple(tests.split("; ")),
            missing=missing,
        )
        for number, happens, tests, missing in ROW.findall(text)
    }


def renewed(text: str, found: Mapping[int, set[str]]) -> str:
    """The page with the tests of each row as they are named today."""

    def lines() -> Iterator[str]:
        known = rows(text)
        for line in text.splitlines():
            match = ROW.match(line)
            if match is None:
                yield line
                continue
            number, row = int(match[1]), known[int(match[1])]
            tests = "; ".join(sorted(found.get(number, ()))) or NONE
            yield f"| {number} | {row.happens} | {tests} | {row.missing} |"

    return "\n".join(lines()) + "\n"


if __name__ == "__main__":
    PAGE.write_text(renewed(PAGE.read_text("utf-8"), named()), "utf-8")
    sys.exit(0)
