"""Entries like a new one, against printed scores and the formula written out plainly."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.readings.blocks import block
from hardstand.domain.seen_before import most_like, scores

_NOTES = (
    "hf receiver weak on all channels, noisy; cured by replacing output valve",
    "hf receiver dead, no noise; fuse in power unit open",
    "interphone crackle when seat moved; headset lead chafed, lead replaced",
    "vhf channel B no side tone; crystal changed",
    "hf transmitter no aerial current; aerial relay contacts dirty, cleaned",
    "hf receiver crackle in rain; aerial lead-in insulator cracked",
)


@pytest.mark.parametrize("row", block("seen_before")[1], ids=lambda r: r["query"] or "nothing")
def test_notes_are_ranked_and_scored_as_printed(row: dict[str, str]) -> None:
    found = scores(row["query"], _NOTES)
    ranked = most_like(row["query"], _NOTES, most=6)
    assert "|".join(f"{i + 1}: {found[i]:.4f}" for i in ranked) == row["best_first"]


_TEXTS = st.lists(st.text("abc ", max_size=12), min_size=1, max_size=6)


@given(st.text("abc ", max_size=8), _TEXTS)
def test_scores_are_those_of_the_formula_written_out(query: str, texts: list[str]) -> None:
    """Reference: Robertson's weighting, term by term, from memory."""
    split = [t.split() for t in texts]
    mean = sum(map(len, split)) / len(split) or 1.0
    for i, score in enumerate(scores(query, texts)):
        plain = 0.0
        for word in set(query.split()):
            n = sum(word in words for words in split)
            f = split[i].count(word)
            idf = math.log(1 + (len(texts) - n + 0.5) / (n + 0.5))
            plain += idf * f * 2.2 / (f + 1.2 * (0.25 + 0.75 * len(split[i]) / mean))
        assert math.isclose(score, plain, abs_tol=1e-12)


def test_only_the_most_alike_are_told() -> None:
    assert most_like("hf", _NOTES, most=2) == (1, 4)
