"""How findings quote what was typed and name what is accepted."""

from __future__ import annotations

import difflib
from collections.abc import Iterable

QUOTED = 60
"""Longest piece of an operator's text repeated in a message, in characters."""

MOST_NAMED, MOST_ALIKE = 45, 8
"""Accepted words that are all named; of more, so many that are most like the one typed."""


def quoted(text: str) -> str:
    """The text between single quotes, on one line, cut at `QUOTED` characters."""
    line = " ".join(text.split())
    return f"'{line}'" if len(line) <= QUOTED else f"'{line[: QUOTED - 1]}…'"


def nearest(word: str, known: Iterable[str]) -> str:
    """The known word most like the one typed, letter case aside; empty if none is like it."""
    by_lower = {k.lower(): k for k in known}
    match = difflib.get_close_matches(word.lower(), by_lower, n=1, cutoff=0.6)
    return by_lower[match[0]] if match else ""


def accepted(word: str, known: Iterable[str], *, none: str = "none is declared") -> str:
    """A hint: the nearest known word, if there is one, then every accepted word.

    Of more than `MOST_NAMED` the most alike are named.
    """
    words = tuple(known)
    if not words:
        return none
    near = nearest(word, words)
    listed = "accepted: " + ", ".join(words)
    if len(words) > MOST_NAMED:
        alike = difflib.get_close_matches(word, words, n=MOST_ALIKE, cutoff=0)
        listed = f"the most alike of {len(words)}: {', '.join(alike)}"
    return f"nearest: {near}; {listed}" if near else listed
