"""The lead's board as text: its first block is read in a minute, and nothing is left out below."""

from __future__ import annotations

import re
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builders import MORNING
from hardstand.domain.board import ORDER, BoardLine
from hardstand.domain.facts import RecordFacts
from hardstand.domain.quantity import later
from hardstand.flows.leading import LeadBoard
from hardstand.flows.queries import Board
from hardstand.views.board import AGAIN, HEADS, first_block, text

WORDS_A_MINUTE = 175
"""A slow reader's. Source: Brysbaert 2019, as read."""

MOST_LINES = 12
"""Source: human-factors 9, at most 12 lines of 14 words on average."""


def _seeded(count: int, words: int = 14) -> list[BoardLine]:
    return [
        BoardLine(
            cls=ORDER[n % len(ORDER)], tail=f"QM-{100 + n}", key=f"{n}-A01", symbol="/",
            what=" ".join(f"word{w}" for w in range(words)), since=later(MORNING, hours=-n),
        )
        for n in range(count)
    ]  # fmt: skip


@pytest.mark.parametrize("count", [0, 1, 5, 50, 500])
def test_the_first_block_is_read_in_a_minute(count: int) -> None:
    """Source: human-factors BRD-01, on seeded sets of 5, 50 and 500."""
    block = first_block(_seeded(count))
    assert sum(len(line.split()) for line in block) <= WORDS_A_MINUTE
    assert 0 < len(block) <= MOST_LINES


@given(st.integers(1, 60), st.integers(1, 40))
def test_every_thing_is_named_or_counted(count: int, words: int) -> None:
    """Law: what a class line does not name it counts."""
    lines = _seeded(count, words)
    for cls, said in zip([c for c in ORDER if any(x.cls == c for x in lines)], first_block(lines),
                         strict=True):  # fmt: skip
        here = [x for x in lines if x.cls == cls]
        assert said.startswith(f"{HEADS[cls]} {len(here)}:")
        more = re.search(r"and (\d+) more below", said)
        named = sum(f" {x.tail[3:]} " in said for x in here)
        assert named + (int(more[1]) if more else 0) == len(here)


def test_with_nothing_open_it_says_so() -> None:
    assert first_block([]) == ["Nothing is open, away or half done."]


def test_words_are_cut_after_eight_and_never_inside_a_bracket() -> None:
    what = "no sidetone on either transmitter (ran out) (2 dates)"
    line = BoardLine(cls="GROUNDS", tail="QM-104", what=what, since=MORNING, key="104-S01")
    assert first_block([line]) == ["GROUNDED 1: 104 no sidetone on either transmitter (ran out)…"]


@pytest.mark.parametrize(("rows", "again"), [("20", True), ("24", True), ("200", False)])
def test_on_a_low_screen_the_first_block_comes_once_more_at_the_end(
    monkeypatch: pytest.MonkeyPatch, rows: str, again: bool
) -> None:
    """What a lead with a telephone in one hand sees without scrolling."""
    monkeypatch.setattr(sys.stdout, "isatty", lambda: True, raising=False)
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setenv("LINES", rows)
    stand = Board(as_of=MORNING, record=RecordFacts(), verdicts=())
    said = text(LeadBoard(stand=stand, lines=tuple(_seeded(21, 2)))).split("\n")
    block = first_block(_seeded(21, 2))
    assert sum(line == block[0] for line in said) == 1 + again
    assert (said[-len(block) :] == block) == again
    assert (AGAIN in said) == again


def test_in_a_pipe_nothing_comes_twice() -> None:
    stand = Board(as_of=MORNING, record=RecordFacts(), verdicts=())
    assert AGAIN not in text(LeadBoard(stand=stand, lines=tuple(_seeded(90, 4))))
