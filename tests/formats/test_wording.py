"""What a finding says is accepted: all of a few words, the most alike of many."""

from __future__ import annotations

from hardstand.formats.wording import MOST_NAMED, accepted


def test_a_few_words_are_all_named_with_the_nearest_first() -> None:
    assert accepted("betery", ("battery", "panel")) == "nearest: battery; accepted: battery, panel"
    assert accepted("x", ()) == "none is declared"


def test_of_many_words_the_most_alike_are_named() -> None:
    words = [f"look-{n}" for n in range(MOST_NAMED)] + ["op-gate", "op-call-1"]
    said = accepted("op-gato", words)
    assert said.startswith("nearest: op-gate; the most alike of 47: op-gate, ")
    assert said.count(",") == 7
    assert accepted("zzz", words).startswith("the most alike of 47: ")
