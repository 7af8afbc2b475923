"""Every page says what the program does today: commands are run, keys pressed, tables remade."""

from __future__ import annotations

from pathlib import Path

import pytest

from docs.acted import acted, settled
from docs.pages import blocks, name_of, pages, prose, regions
from docs.renewing import difference


@pytest.mark.parametrize("page", pages(), ids=name_of)
def test_a_page_reads_as_the_program_answers(page: Path, monday: Path) -> None:
    told = difference(page, monday)
    assert told == "", f"renew it with tests/docs/renew.py {name_of(page)}\n{told}"


def test_a_page_that_says_something_else_is_told(monday: Path, tmp_path: Path) -> None:
    page = "```console\n$ hardstand --version\nhardstand 9.9.9\n```\n"
    first = blocks(page)[0].first
    found = acted(page, tmp_path / "clone", monday)
    assert list(found) == [first]
    assert found[first][0] == "$ hardstand --version"
    assert found[first][1] != "hardstand 9.9.9"


def test_a_silent_command_that_fails_is_told(monday: Path, tmp_path: Path) -> None:
    page = "```console silent\n$ hardstand status QM-999\n```\n"
    with pytest.raises(AssertionError, match="exits 11"):
        acted(page, tmp_path / "clone", monday)


def test_only_what_the_clock_decides_is_passed_over() -> None:
    one = "Walk S1 started Mon 05:12, 2027-03-08 05:12 -03:00, digest 0123456789ab, 3 lines"
    other = "Walk S1 started Tue 21:19, 2026-11-24 21:19 +00:00, digest ba9876543210, 3 lines"
    assert settled(one) == settled(other)
    assert settled(one) != settled(other.replace("3 lines", "4 lines"))
    assert settled(one) != settled(other.replace("S1", "S2"))


def test_prose_leaves_out_blocks_and_generated_regions() -> None:
    page = (
        "one\n<!-- generated: keys -->\ntwo\n<!-- end of generated -->\n```sh\nthree\n```\nfour\n"
    )
    assert prose(page) == ("one", "four")
    assert regions(page) == (("keys", "two"),)
