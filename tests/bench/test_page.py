"""The page of figures is written between its marks, with what was missed and why."""

from __future__ import annotations

from pathlib import Path

import pytest

from bench.page import put
from bench.reasons import REASONS, UNKNOWN, missed
from bench.timing import Figure

KEPT = Figure(what="verify 1 M lines", floor="sha256sum", ratio=1.5, goal=1.5)
SLOW = Figure(what="verify 1 M lines", floor="sha256sum", ratio=3.0, goal=1.5)
FEW = Figure(what="something new", floor="", ratio=0.2, goal=0.8, more=True)


def test_a_figure_that_keeps_its_goal_asks_for_no_reason() -> None:
    assert missed([KEPT]) == []


def test_a_goal_missed_says_by_how_much_and_why() -> None:
    assert missed([KEPT, SLOW, FEW]) == [
        (
            "- verify 1 M lines, against sha256sum: 3.00 × where ≤ 1.5 × was promised, "
            f"missed by a factor of 2.0.\n  {REASONS['verify'].replace('. ', '.' + chr(10) + '  ')}"
        ),
        (
            "- something new, against the goal: 0.20 × where ≥ 0.8 × was promised, "
            f"missed by a factor of 4.0.\n  {UNKNOWN}"
        ),
    ]


def test_a_table_takes_the_place_of_the_one_before(tmp_path: Path) -> None:
    page = tmp_path / "page.md"
    page.write_text("before\n<!-- bench -->\nold\n<!-- end of bench -->\nafter\n")
    put("bench", ("a", "b"), [("1", "2")], ["told", "", "- why"], page)
    put("bench", ("a", "b"), [("3", "4")], (), page)
    assert page.read_text() == (
        "before\n<!-- bench -->\n\n| a | b |\n| --- | --- |\n| 3 | 4 |\n\n"
        "<!-- end of bench -->\nafter\n"
    )
    put("bench", ("a", "b"), [("1", "2")], ["told", "", "- why"], page)
    assert "| 1 | 2 |\n\ntold\n\n- why\n\n<!-- end" in page.read_text()
    with pytest.raises(ValueError, match="no place for years"):
        put("years", ("a",), [("1",)], (), page)
