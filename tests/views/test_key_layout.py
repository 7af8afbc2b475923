"""KEY-03: no slip of the finger turns one answer into another, on three keyboards.

Neighbours are keys that touch: beside, above and below, with the rows' usual stagger. Layouts as
ISO/IEC 9995 names them by their first six letters.
"""

from __future__ import annotations

import pytest

from hardstand.domain.answering import KEYS
from hardstand.domain.asking import KEY_WORDS

LAYOUTS = {
    "QWERTY": ("1234567890", "QWERTYUIOP", "ASDFGHJKL", "ZXCVBNM"),
    "QWERTZ": ("1234567890", "QWERTZUIOP", "ASDFGHJKL", "YXCVBNM"),
    "AZERTY": ("1234567890", "AZERTYUIOP", "QSDFGHJKLM", "WXCVBN"),
}
REST_FOR_EVER = "IPKL90"


def touching(layout: tuple[str, ...], key: str) -> set[str]:
    """Keys that touch a key: a row is shifted to the right under the one above it."""
    row = next(i for i, keys in enumerate(layout) if key in keys)
    place = layout[row].index(key)
    near = {(row, place - 1), (row, place + 1)}
    near |= {(row - 1, place), (row - 1, place + 1), (row + 1, place - 1), (row + 1, place)}
    return {layout[r][p] for r, p in near if 0 <= r < len(layout) and 0 <= p < len(layout[r])}


@pytest.mark.parametrize("name", LAYOUTS)
def test_key_03_no_other_answer_touches_ok(name: str) -> None:
    assert not touching(LAYOUTS[name], "O") & (set(KEYS) - {"O"})


@pytest.mark.parametrize("name", LAYOUTS)
def test_key_03_what_touches_ok_has_no_meaning_for_ever(name: str) -> None:
    assert touching(LAYOUTS[name], "O") <= set(REST_FOR_EVER)
    assert not set(REST_FOR_EVER) & set(KEY_WORDS)


def test_key_03_the_pairs_that_fail_are_seen_to_fail() -> None:
    assert "G" in touching(LAYOUTS["QWERTY"], "F")
    assert "U" in touching(LAYOUTS["QWERTY"], "Y")


def test_key_05_a_key_means_one_thing_and_needs_no_shift() -> None:
    assert all(len(key) == 1 and key.isascii() and key.isalpha() for key in KEY_WORDS)
    assert len(set(KEY_WORDS.values())) == len(KEY_WORDS)


def test_ui_01_the_five_answers_differ_in_first_letter_and_length() -> None:
    words = list(KEYS.values())
    assert len({word[0] for word in words}) == 5
    assert len({len(word) for word in words}) == 5
