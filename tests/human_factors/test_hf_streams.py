"""Random keys against both shipped lists; `python tests/human_factors/run.py` presses many more."""

from __future__ import annotations

import pytest

from hardstand.domain.entry import Entry
from human_factors.streams import pressed
from human_factors.watched import BOTH

SOME = 1_500
"""Keys of one stream here; a stream of the whole run has ten thousand."""


@pytest.mark.hf("ANS-01", "LED-03", "PLC-02")
@pytest.mark.parametrize("tail", BOTH)
@pytest.mark.parametrize("seed", [0, 7])
def test_no_stream_of_keys_breaks_a_law_or_loses_an_answer(
    papers_only: tuple[Entry, ...], tail: str, seed: int
) -> None:
    stream = pressed(papers_only, tail, seed, SOME)
    assert stream.count("step.answered") > SOME // 20
    assert stream.count("walk.broken") > 0
    assert stream.count("walk.closed", b'"finished"') > 0, "it comes through whole walks"


def test_a_stream_is_the_same_each_time(papers_only: tuple[Entry, ...]) -> None:
    one, other = (pressed(papers_only, "QM-161", 7, 300) for _ in range(2))
    assert [e.digest for e in one.journal.chains()] == [e.digest for e in other.journal.chains()]
