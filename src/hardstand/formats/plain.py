"""A located tree as the plain values a dataclass is made of.

Every scalar of the tree is text. Where the dataclass wants a number or a truth, the text must
follow a strict grammar, so that `1_000`, `yes`, ` 12` or `1e3` never pass for something else.
Shapes and missing keys are judged later, by whoever makes the dataclass.
"""

from __future__ import annotations

import functools
import re
import types
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Union, get_args, get_origin, get_type_hints

from hardstand.domain.diagnostic import Diagnostic
from hardstand.domain.plain import NEEDED, defaults_of, has_fields
from hardstand.formats.located import Hole, Items, Keys, Mark, Node, Path, Words, named
from hardstand.formats.text_source import finding
from hardstand.formats.wording import accepted, quoted

_WHOLE = re.compile(r"0|-?[1-9][0-9]{0,14}")
_DECIMAL = re.compile(r"-?(?:0|[1-9][0-9]{0,14})(?:\.[0-9]{1,15})?")


def _whole(text: str) -> int | None:
    return int(text) if _WHOLE.fullmatch(text) else None


def _decimal(text: str) -> Decimal | None:
    if not _DECIMAL.fullmatch(text) or (text.startswith("-") and Decimal(text) == 0):
        return None
    return Decimal(text)


def _truth(text: str) -> bool | None:
    return {"true": True, "false": False}.get(text)


_TYPED: dict[object, tuple[Callable[[str], object], str, str, str]] = {
    int: (
        _whole,
        "HS119",
        "a whole number",
        "digits only, as 0, 7 or 120; no leading zero, at most 15 digits",
    ),
    Decimal: (
        _decimal,
        "HS120",
        "a decimal number",
        "digits with at most one point, as 0, 7.5 or 120; no leading zero",
    ),
    bool: (_truth, "HS121", "true or false", "accepted: true, false"),
}


@dataclass(frozen=True, slots=True)
class Plain:
    """Plain values for a dataclass; `spoiled` paths are reported and not to be judged again."""

    value: object
    found: tuple[Diagnostic, ...]
    spoiled: frozenset[Path]


def plain(root: Node, model: type[Any]) -> Plain:
    """Dicts, tuples, texts, numbers and truths for `model`, and what was wrong with the scalars.

    A field `from_` is spelled `from`. Unknown keys are reported and left out.
    """
    flattener = _Flattener(root)
    value = flattener.value(root, model, ())
    return Plain(value, tuple(flattener.found), frozenset(flattener.spoiled))


@functools.cache
def _field_hints(model: type[Any]) -> dict[str, tuple[str, Any, bool]]:
    """By spelling in the file: field name, type, and whether its text may be empty."""
    hints = get_type_hints(model)
    return {
        name.removesuffix("_"): (name, hints[name], default is not NEEDED)
        for name, default in defaults_of(model).items()
    }


class _Flattener:
    def __init__(self, root: Node) -> None:
        self.found: list[Diagnostic] = []
        self.spoiled: set[Path] = set()
        self._root = root

    def value(self, node: Node, hint: Any, path: Path, *, may_be_empty: bool = False) -> object:
        """The plain value of a node that should be a `hint`; of another shape if it is not one."""
        hint = _without_none(hint)
        if has_fields(hint) and isinstance(node, Words | Items):
            self._no_keys(node, path)
            return None
        match node:
            case Words():
                return self._scalar(node, hint, path, may_be_empty=may_be_empty)
            case Items():
                inner = get_args(hint)[0] if get_origin(hint) is tuple else str
                return tuple(self.value(n, inner, (*path, i)) for i, n in enumerate(node.nodes))
            case Keys() if has_fields(hint):
                return self._fields(node, hint, path)
            case Keys():
                inner = get_args(hint)[1] if get_origin(hint) is Mapping else str
                named_nodes = node.entries.items()
                return {k: self.value(e.node, inner, (*path, k)) for k, e in named_nodes}
            case Hole():
                self.spoiled.add(path)
                return None

    def _no_keys(self, node: Words | Items, path: Path) -> None:
        self.spoiled.add(path)
        found = "a text" if isinstance(node, Words) else "a list"
        said = f"{named(self._root, path)}: expected keys with values, found {found}"
        self._say("HS118", said, "write `key: value`, one a line", node.mark)

    def _fields(self, node: Keys, model: Any, path: Path) -> dict[str, object]:
        hints = _field_hints(model)
        values: dict[str, object] = {}
        for key, entry in node.entries.items():
            if key not in hints:
                inside = f" in {named(self._root, path)}" if path else ""
                self._say(
                    "HS104", f"unknown key {quoted(key)}{inside}", accepted(key, hints), entry.mark
                )
                continue
            name, hint, may_be_empty = hints[key]
            below = (*path, key)
            value = self.value(entry.node, hint, below, may_be_empty=may_be_empty)
            if below in self.spoiled:
                continue
            values[name] = value
        if node.partial:
            self.spoiled.update((*path, key) for key in hints if key not in node.entries)
        return values

    def _scalar(self, node: Words, hint: Any, path: Path, *, may_be_empty: bool) -> object:
        if hint is str:
            if may_be_empty or node.text.strip():
                return node.text
            self.spoiled.add(path)
            said = f"{named(self._root, path)} is an empty text"
            self._say("HS122", said, "say it in words, or take it out", node.mark)
            return None
        if hint not in _TYPED:
            return node.text
        read, code, expected, how = _TYPED[hint]
        value = read(node.text)
        if value is None:
            self.spoiled.add(path)
            self._say(code, f"{quoted(node.text)} is not {expected}", how, node.mark)
        return value

    def _say(self, code: str, message: str, hint: str, mark: Mark) -> None:
        self.found.append(finding(code, message, hint, line=mark.line, column=mark.column))


def _without_none(hint: Any) -> Any:
    if get_origin(hint) in {Union, types.UnionType}:
        return next(a for a in get_args(hint) if a is not type(None))
    return hint
