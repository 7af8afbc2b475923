"""docs/reference/scenarios.md names, for each nasty scenario, its tests or what is missing."""

from __future__ import annotations

from docs.scenario_rows import PAGE, named, renewed, rows

MUST = {*range(1, 39), *range(49, 63), *range(72, 81)}


def test_each_scenario_of_the_walk_and_of_files_has_a_row() -> None:
    assert sorted(MUST - rows(PAGE.read_text("utf-8")).keys()) == []


def test_a_row_names_tests_that_carry_its_number() -> None:
    carried = named()
    for number, row in rows(PAGE.read_text("utf-8")).items():
        gone = set(row.tests) - carried.get(number, set())
        assert not gone, f"{number}: {gone}; run python tests/docs/scenario_rows.py"


def test_a_scenario_without_a_test_says_what_is_missing() -> None:
    for number, row in rows(PAGE.read_text("utf-8")).items():
        assert row.tests or len(row.missing) > 20, number


def test_renewing_the_rows_keeps_what_a_person_wrote() -> None:
    page = "# x\n\n| 7 | wrong tail | stops | nothing |\n| 8 | wrong fit | none | all of it |\n"
    found = {7: {"stops and says so", "offers the right walk"}}
    assert renewed(page, found) == (
        "# x\n\n| 7 | wrong tail | offers the right walk; stops and says so | nothing |\n"
        "| 8 | wrong fit | none | all of it |\n"
    )
