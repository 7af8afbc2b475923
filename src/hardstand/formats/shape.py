"""YAML bytes to a frozen dataclass, or everything that keeps them from being one.

Works for every dataclass built of text, whole numbers, decimals, truths, fixed words, tuples,
mappings and other such dataclasses. pydantic makes and judges the value; this module says in
words, and by place, what it found.
"""

from __future__ import annotations

import functools
import re
from collections.abc import Hashable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any, Generic, TypeVar, cast

from pydantic import TypeAdapter, ValidationError

from hardstand.domain.diagnostic import Diagnostic, in_order
from hardstand.formats.located import Hole, Items, Keys, Node, Path, Words, named, place, steps_down
from hardstand.formats.plain import plain
from hardstand.formats.text_source import FORMAT, finding
from hardstand.formats.wording import accepted, quoted
from hardstand.formats.yaml_source import read_tree

T = TypeVar("T")
T_co = TypeVar("T_co", covariant=True)

_EXPECTED = {
    "string_type": ("a text", "write one text; quotes help where it holds special signs"),
    "tuple_type": ("a list", "write `[one, two]`, or each entry on its own line after '- '"),
    "dict_type": ("keys with values", "write `key: value`, one a line"),
    "int_type": ("a whole number", "write digits, as 12"),
    "decimal_type": ("a decimal number", "write digits, as 12.5"),
    "bool_type": ("true or false", "write true or false"),
    "literal_error": ("one word", ""),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Loaded(Generic[T_co]):
    """What became of a file: the value (None if there is none), its tree, everything found."""

    name: str
    value: T_co | None
    root: Node | None
    findings: tuple[Diagnostic, ...]

    @property
    def usable(self) -> bool:
        """True if there is a value and no unanswered error."""
        return self.value is not None and not any(d.stops for d in self.findings)


def load(name: str, data: bytes, model: type[T]) -> Loaded[T]:
    """The file as a `model`; `name` is only what findings call it.

    With any error the value is None. The first key is `format: 1`.
    """
    root, found = read_tree(data)
    value: T | None = None
    if root is None:
        found = found or (finding("HS112", "the file is empty", f"begin with `format: {FORMAT}`"),)
    elif not isinstance(root, Keys):
        said = f"expected keys with values, found {_kind(root)}"
        found = (*found, finding("HS112", said, f"begin with `format: {FORMAT}`"))
    else:
        known, wrong_format = _without_format(root)
        value, wrong = _built(known, model)
        found = (*found, *wrong_format, *wrong)
    if found:
        value = None
    placed = in_order(replace(d, file=name) for d in found)
    return Loaded(name=name, value=value, root=root, findings=placed)


def _without_format(root: Keys) -> tuple[Keys, tuple[Diagnostic, ...]]:
    given = root.entries.get("format")
    rest = {key: entry for key, entry in root.entries.items() if key != "format"}
    known = Keys(rest, root.mark, root.partial)
    hint = f"the first line of the file is `format: {FORMAT}`"
    if given is None:
        return known, (finding("HS113", "'format' is missing", hint),)
    if next(iter(root.entries)) != "format":
        mark = given.mark
        said = "'format' is not the first key"
        return known, (finding("HS113", said, hint, line=mark.line, column=mark.column),)
    if isinstance(given.node, Hole) or given.node == Words(str(FORMAT), given.node.mark):
        return known, ()
    mark = given.node.mark
    told = quoted(given.node.text) if isinstance(given.node, Words) else _kind(given.node)
    said = f"the format {told} is not known"
    return known, (
        finding("HS115", said, f"accepted: {FORMAT}", line=mark.line, column=mark.column),
    )


def _built(root: Keys, model: type[T]) -> tuple[T | None, tuple[Diagnostic, ...]]:
    flat = plain(root, model)
    try:
        value: T = _adapter(cast(Hashable, model)).validate_python(flat.value)
    except ValidationError as error:
        errors = [(_path(root, e), e) for e in error.errors(include_url=False)]
        judged = [(p, e) for p, e in errors if not _under(p, flat.spoiled)]
        absent = [p for p, e in judged if e["type"] == "missing"]
        wrong = (_told(root, p, e) for p, e in judged if e["type"] != "missing")
        return None, (*flat.found, *_missing(root, absent), *wrong)
    return value, flat.found


@functools.cache
def _adapter(model: Any) -> TypeAdapter[Any]:
    return TypeAdapter(model)


def _path(root: Node, error: Mapping[str, Any]) -> Path:
    """The path of an error as spelled in the file: a field `from_` is `from` there."""
    path: Path = ()
    for part in error["loc"]:
        spelled = part
        if isinstance(part, str) and len(list(steps_down(root, (*path, part)))) <= len(path):
            spelled = part.removesuffix("_")
        path = (*path, spelled)
    if error["type"] == "missing":
        return (*path[:-1], str(path[-1]).removesuffix("_"))
    return path


def _under(path: Path, spoiled: frozenset[Path]) -> bool:
    return any(path[:length] in spoiled for length in range(len(path) + 1))


def _missing(root: Node, absent: Iterable[Path]) -> Iterator[Diagnostic]:
    """One finding for all the keys missing in one place."""
    by_place: dict[Path, list[str]] = {}
    for path in absent:
        by_place.setdefault(path[:-1], []).append(quoted(str(path[-1])))
    for path, keys in by_place.items():
        mark = place(root, path)
        verb = "is" if len(keys) == 1 else "are"
        inside = f" in {named(root, path)}" if path else ""
        said = f"{', '.join(keys)} {verb} missing{inside}"
        hint = "add the key" if len(keys) == 1 else "add the keys"
        yield finding("HS116", said, hint, line=mark.line, column=mark.column)


def _told(root: Node, path: Path, error: Mapping[str, Any]) -> Diagnostic:
    mark = place(root, path)
    node = [n for _, n in steps_down(root, path)][-1]
    where = named(root, path)
    expected, hint = _EXPECTED[error["type"]]
    code, said = "HS118", f"{where}: expected {expected}, found {_kind(node)}"
    if error["type"] == "literal_error":
        words = re.findall(r"'([^']*)'", error["ctx"]["expected"])
        hint = accepted("", words)
        if isinstance(node, Words):
            hint = accepted(node.text, words)
            code, said = "HS117", f"{quoted(node.text)} is not a word accepted for {where}"
    return finding(code, said, hint, line=mark.line, column=mark.column)


def _kind(node: Node) -> str:
    match node:
        case Items():
            return "a list"
        case Keys():
            return "keys with values"
        case Words() | Hole():
            return "a text"
