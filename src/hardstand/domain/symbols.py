"""The symbols of the log and their order.

Source: US Army and Air Force status-symbol practice as published in TM 1-1520-240-BD (dash and
diagonal); X and circled X from training cards, from memory. Rank: whole-job C-9.
"""

from __future__ import annotations

from collections.abc import Iterable

ORDER = ("X", "(X)", "-", "/", "clear")
"""Worst first."""

WORDS = {
    "X": "red X",
    "(X)": "circled red X",
    "-": "red dash",
    "/": "red diagonal",
    "clear": "clear",
}

MEANING = {
    "X": "not to fly until cleared",
    "(X)": "may fly only within the written limits",
    "-": "inspection or test due, or condition unknown",
    "/": "defect, not enough to ground",
    "clear": "nothing open",
}


def worst(symbols: Iterable[str]) -> str:
    """The gravest of the symbols; `clear` when there is none."""
    return min(symbols, key=ORDER.index, default="clear")


def is_graver(one: str, other: str) -> bool:
    """Whether one symbol is more serious than the other."""
    return ORDER.index(one) < ORDER.index(other)
