"""The words of a mission's `needs`: names joined by `and`, `or`, `atleast k of (…)`.

`and` binds closer than `or`; brackets say otherwise. Knows no fit: names are only names here. A
tree is made of texts and pairs, so that it goes into canonical JSON and comes back as it was.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]*")
RESERVED = frozenset({"and", "or", "atleast", "of", "not"})
"""Words that cannot name a function or a mission."""

_TOKEN = re.compile(rf"\s*(?:(?P<name>{NAME.pattern})|(?P<sign>[(),])|(?P<other>\S))")
_DEEPEST = 20


class AtLeast(NamedTuple):
    """At least `k` of the parts; all of them for `and`, one for `or`."""

    k: int
    parts: Sequence[Needs]


Needs = str | AtLeast
"""The name of a function or another mission, or so many of several needs."""

ALWAYS = AtLeast(0, ())
NEVER = AtLeast(1, ())


@dataclass(frozen=True, slots=True)
class Unreadable:
    """Why a text is not the needs of a mission: what stands where it cannot."""

    why: str


class _Stuck(Exception):
    """The reader cannot go on."""


def needs(text: str) -> Needs | Unreadable:
    """The needs as a tree, or what stands where it cannot, in words."""
    try:
        return _Reader(text).whole()
    except _Stuck as why:
        return Unreadable(str(why))


def names(tree: Needs) -> tuple[str, ...]:
    """Every name in it, once, in the order written."""
    if isinstance(tree, str):
        return (tree,)
    _, parts = tree
    return tuple(dict.fromkeys(n for part in parts for n in names(part)))


def all_of(parts: Sequence[Needs]) -> Needs:
    """Every one of the parts."""
    return parts[0] if len(parts) == 1 else AtLeast(len(parts), tuple(parts))


def one_of(parts: Sequence[Needs]) -> Needs:
    """Any one of the parts; never, if there is none."""
    return parts[0] if len(parts) == 1 else AtLeast(1, tuple(parts))


class _Reader:
    """Recursive descent over the words of one text."""

    def __init__(self, text: str) -> None:
        self._words = [(m["name"] or m["sign"] or m["other"]) for m in _TOKEN.finditer(text)]
        self._at = 0
        self._depth = 0

    def whole(self) -> Needs:
        tree = self._either()
        if self._next:
            raise _Stuck(f"'{self._next}' stands where 'and', 'or' or the end is expected")
        return tree

    @property
    def _next(self) -> str:
        return self._words[self._at] if self._at < len(self._words) else ""

    def _take(self) -> str:
        word = self._next
        self._at += 1
        return word

    def _either(self) -> Needs:
        parts = [self._both()]
        while self._next == "or":
            self._take()
            parts.append(self._both())
        return one_of(parts)

    def _both(self) -> Needs:
        parts = [self._one()]
        while self._next == "and":
            self._take()
            parts.append(self._one())
        return all_of(parts)

    def _one(self) -> Needs:
        word = self._take()
        if word == "atleast":
            return self._at_least()
        if word == "(":
            return self._bracketed()[0]
        if word and NAME.fullmatch(word) and word not in RESERVED:
            return word
        found = f"'{word}' stands" if word else "the text ends"
        raise _Stuck(f"{found} where a function or a mission is expected")

    def _at_least(self) -> Needs:
        count, of = self._take(), self._take()
        if not re.fullmatch(r"[1-9][0-9]?", count) or of != "of" or self._take() != "(":
            raise _Stuck("'atleast' needs a number, 'of' and a list in brackets")
        parts = self._bracketed(listed=True)
        if int(count) > len(parts):
            raise _Stuck(f"'atleast {count}' of a list of {len(parts)} can never be met")
        return AtLeast(int(count), parts)

    def _bracketed(self, *, listed: bool = False) -> tuple[Needs, ...]:
        self._depth += 1
        if self._depth > _DEEPEST:
            raise _Stuck(f"brackets stand deeper than {_DEEPEST}")
        parts = [self._either()]
        while listed and self._next == ",":
            self._take()
            parts.append(self._either())
        if self._take() != ")":
            raise _Stuck("a bracket is opened and not closed")
        self._depth -= 1
        return tuple(parts)
