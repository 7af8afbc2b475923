"""docs/reference/scenarios.md names, for each nasty scenario, its tests or what is missing."""

from __future__ import annotations

import re
from pathlib import Path

TESTS = Path(__file__).parents[1]
PAGE = TESTS.parent / "docs" / "reference" / "scenarios.md"
MUST = [*range(1, 39), *range(56, 63)]
ROW = re.compile(r"\| (\d+) \| (.+?) \| (.*?) \|")


def named() -> dict[int, set[str]]:
    """Scenario numbers with the test functions that carry them."""
    found: dict[int, set[str]] = {}
    for file in TESTS.rglob("test_*.py"):
        for name in re.findall(r"def (test_scenario_(?:\d+_)+\w*)", file.read_text("utf-8")):
            for number in re.findall(r"_(\d+)(?=_)", name)[:1]:
                found.setdefault(int(number), set()).add(file.stem)
    return found


def rows() -> dict[int, tuple[str, str]]:
    return {int(n): (tests, missing) for n, tests, missing in ROW.findall(PAGE.read_text("utf-8"))}


def test_each_scenario_of_the_walk_and_of_files_has_a_row() -> None:
    assert sorted(set(MUST) - rows().keys()) == []


def test_a_row_names_the_files_whose_tests_carry_its_number() -> None:
    carried = named()
    for number, (tests, _) in rows().items():
        assert set(re.findall(r"`(\w+)`", tests)) <= carried.get(number, set()), number


def test_a_scenario_without_a_test_says_what_is_missing() -> None:
    for number, (tests, missing) in rows().items():
        assert "`" in tests or len(missing) > 20, number
