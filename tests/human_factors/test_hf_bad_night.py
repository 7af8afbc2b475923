"""The bad night of human-factors 11, word for word: nothing is lost and nothing is left on."""

from __future__ import annotations

import difflib

import pytest

from human_factors.bad_night import GOLDEN, transcript


@pytest.fixture(scope="module")
def night() -> str:
    return transcript()


def test_the_bad_night_reads_as_it_did(night: str) -> None:
    kept = GOLDEN.read_text(encoding="utf-8")
    told = difflib.unified_diff(kept.splitlines(), night.splitlines(), "kept", "now", lineterm="")
    assert night == kept, "\n".join([*told, "renew it: tests/human_factors/bad_night.py --renew"])


@pytest.mark.hf("PLC-04", "PLC-06")
def test_after_each_of_the_four_interruptions_the_card_comes_first(night: str) -> None:
    sittings = night.split("\n=== ")[2:]
    assert len(sittings) == 4
    for sitting in sittings:
        first = sitting.split("\n> ")[1]
        assert "Back at walk A1, QM-107." in first
    idle = night.split("(16 minutes go by)")[1]
    assert "Back at walk A1, QM-107." in idle.split("\n> ")[1]


@pytest.mark.hf("ANS-06", "LED-03", "LED-09", "WCN-14")
def test_the_night_ends_with_everything_home_and_everything_found_told(night: str) -> None:
    assert "239 kHz is noted. Look at the meter again" in night
    assert "fuel truck drew up alongside" in night
    assert "tool not accounted for" in night
    *_, last = night.split("\n=== ")
    assert "NOT PUT BACK: 0" in last
    assert night.count("FINISHED, 9 not OK.") == 1
