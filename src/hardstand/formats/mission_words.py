"""The words of a mission's `needs`: names joined by `and`, `or`, `atleast k of (…)`.

`and` binds closer than `or`; brackets say otherwise. Knows no fit: names are only names here.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]*")
RESERVED = frozenset({"and", "or", "atleast", "of", "not"})
"""Words that cannot name a function or a mission."""

_TOKEN = re.compile(rf"\s*(?:(?P<name>{NAME.pattern})|(?P<sign>[(),])|(?P<other>\S))")
_DEEPEST = 20


@dataclass(frozen=True, slots=True)
class Name:
    """A function or another mission."""

    name: str


@dataclass(frozen=True, slots=True)
class AtLeast:
    """At least `k` of the parts; all of them for `and`, one for `or`."""

    k: int
    parts: tuple[Needs, ...]


Needs = Name | AtLeast


class Unreadable(Exception):
    """Why a text is not the needs of a mission."""


def needs(text: str) -> Needs | str:
    """The needs as a tree, or what stands where it cannot, in words."""
    try:
        return _Reader(text).whole()
    except Unreadable as why:
        return str(why)


def names(tree: Needs) -> tuple[str, ...]:
    """Every name in it, once, in the order written."""
    if isinstance(tree, Name):
        return (tree.name,)
    return tuple(dict.fromkeys(n for part in tree.parts for n in names(part)))


class _Reader:
    """Recursive descent over the words of one text."""

    def __init__(self, text: str) -> None:
        self._words = [(m["name"] or m["sign"] or m["other"]) for m in _TOKEN.finditer(text)]
        self._at = 0
        self._depth = 0

    def whole(self) -> Needs:
        tree = self._either()
        if self._next:
            raise Unreadable(f"'{self._next}' stands where 'and', 'or' or the end is expected")
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
        return parts[0] if len(parts) == 1 else AtLeast(1, tuple(parts))

    def _both(self) -> Needs:
        parts = [self._one()]
        while self._next == "and":
            self._take()
            parts.append(self._one())
        return parts[0] if len(parts) == 1 else AtLeast(len(parts), tuple(parts))

    def _one(self) -> Needs:
        word = self._take()
        if word == "atleast":
            return self._at_least()
        if word == "(":
            return self._bracketed()[0]
        if word and NAME.fullmatch(word) and word not in RESERVED:
            return Name(word)
        found = f"'{word}' stands" if word else "the text ends"
        raise Unreadable(f"{found} where a function or a mission is expected")

    def _at_least(self) -> Needs:
        count, of = self._take(), self._take()
        if not re.fullmatch(r"[1-9][0-9]?", count) or of != "of" or self._take() != "(":
            raise Unreadable("'atleast' needs a number, 'of' and a list in brackets")
        parts = self._bracketed(listed=True)
        if int(count) > len(parts):
            raise Unreadable(f"'atleast {count}' of a list of {len(parts)} can never be met")
        return AtLeast(int(count), parts)

    def _bracketed(self, *, listed: bool = False) -> tuple[Needs, ...]:
        self._depth += 1
        if self._depth > _DEEPEST:
            raise Unreadable(f"brackets stand deeper than {_DEEPEST}")
        parts = [self._either()]
        while listed and self._next == ",":
            self._take()
            parts.append(self._either())
        if self._take() != ")":
            raise Unreadable("a bracket is opened and not closed")
        self._depth -= 1
        return tuple(parts)
