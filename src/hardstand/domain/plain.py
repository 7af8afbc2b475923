"""Values to plain trees and canonical bytes, and back. Light to import.

Canonical form: the RFC 8785 subset of strings, integers, booleans, null, arrays and objects.
Decimals are strings. Keys are ASCII, so code-point order is the RFC's UTF-16 order. A trailing
underscore in a field name (`from_`, `with_`) is not written.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Hashable, Mapping
from decimal import Decimal
from functools import cache
from types import NoneType, UnionType
from typing import Any, Literal, TypeVar, Union, cast, get_args, get_origin, get_type_hints

T = TypeVar("T")
_LARGEST = 2**53 - 1
_ENCODER = json.JSONEncoder(ensure_ascii=False, separators=(",", ":"), sort_keys=True)
NEEDED = object()
"""Stands for the default of a field that has none."""


def canonical(value: object) -> bytes:
    """The one byte form of a plain tree.

    Raises:
        ValueError: the tree holds a float, a too large integer, a key that is not ASCII, or half
            of a surrogate pair.

    Source: RFC 8785 (JSON Canonicalization Scheme), sections 3.2.2 and 3.2.3.
    """
    _check(value)
    return _ENCODER.encode(value).encode("utf-8")


def _check(value: object) -> None:
    if isinstance(value, str) or value is None or value is True or value is False:
        return
    if isinstance(value, int):
        if abs(value) > _LARGEST:
            raise ValueError(f"{value} is beyond the integers that JSON readers agree on")
    elif isinstance(value, list | tuple):
        for part in value:
            if type(part) is not str:
                _check(part)
    elif isinstance(value, dict):
        for key, part in value.items():
            if not isinstance(key, str) or not key.isascii():
                raise ValueError(f"{key!r} cannot be a key of the record: keys are ASCII")
            if type(part) is not str:
                _check(part)
    else:
        raise ValueError(f"{type(value).__name__} has no canonical form")


_AS_THEY_ARE = frozenset({str, int, bool, NoneType})


@cache
def _shape(kind: Hashable) -> tuple[tuple[str, str, Any], ...] | None:
    """The fields of such a type: name, as written, default; None where it has none."""
    if not has_fields(kind):
        return None
    return tuple((name, name.rstrip("_"), default) for name, default in defaults_of(kind).items())


def to_plain(value: object) -> Any:
    """The plain tree of a frozen dataclass or named tuple; fields at their default are left out."""
    kind: Any = type(value)
    if kind in _AS_THEY_ARE:
        return value
    shape = _shape(kind)
    if shape is not None:
        kept = {}
        for name, written, default in shape:
            given = getattr(value, name)
            if given != default:
                kept[written] = given if type(given) in _AS_THEY_ARE else to_plain(given)
        return kept
    if isinstance(value, Decimal):
        return format(value, "f")
    if isinstance(value, Mapping):
        return {str(k): to_plain(v) for k, v in value.items()}
    if isinstance(value, tuple | list | frozenset):
        return [to_plain(v) for v in value]
    return value


NOT_READ = (ValueError, TypeError, AttributeError, ArithmeticError, RecursionError)
"""What reading a tree raises that this program did not write so."""


def from_plain(cls: type[T], tree: Mapping[str, Any]) -> T:
    """The dataclass of a plain tree this program wrote.

    Raises:
        ValueError: a field is missing or unknown.
    """
    return cast(T, builder(cast(Hashable, cls))(tree))


Build = Callable[[Any], Any]


@cache
def builder(kind: Hashable) -> Build:
    """What makes a value of that type from its plain tree; made once for each type."""
    if has_fields(kind):
        return _fields_builder(kind)
    origin, args = get_origin(kind), get_args(kind)
    if origin in {Union, UnionType}:
        inner = next(a for a in args if a is not NoneType)
        build = builder(inner)
        return _same if build is _same else lambda v: None if v is None else build(v)
    if origin is tuple:
        build = builder(args[0])
        return tuple if build is _same else lambda v: tuple(build(part) for part in v)
    if origin is not None and origin is not Literal and issubclass(origin, Mapping):
        build = builder(args[1])
        return _same if build is _same else lambda v: {k: build(part) for k, part in v.items()}
    return Decimal if kind is Decimal else _same


def _same(value: Any) -> Any:
    return value


def has_fields(kind: object) -> bool:
    """Whether a type is a dataclass or a named tuple."""
    return isinstance(kind, type) and (
        hasattr(kind, "_field_defaults") or hasattr(kind, "__dataclass_fields__")
    )


def defaults_of(cls: Any) -> Mapping[str, Any]:
    """The fields of such a type by name, with what they hold if nothing is given, or NEEDED."""
    return _defaults(cls)


@cache
def _defaults(cls: Any) -> Mapping[str, Any]:
    if hasattr(cls, "_field_defaults"):
        return {name: cls._field_defaults.get(name, NEEDED) for name in cls._fields}
    from dataclasses import MISSING, fields  # noqa: PLC0415  6 ms that no quick question needs

    return {
        f.name: NEEDED
        if f.default is MISSING and f.default_factory is MISSING
        else f.default
        if f.default_factory is MISSING
        else f.default_factory
        for f in fields(cls)
    }


def _fields_builder(cls: Any) -> Build:
    hints = get_type_hints(cls)
    named = {name.rstrip("_"): name for name in defaults_of(cls)}
    convert = {n: b for n, f in named.items() if (b := builder(hints[f])) is not _same}
    needed = frozenset(n for n, f in named.items() if defaults_of(cls)[f] is NEEDED)

    def build(tree: Any) -> Any:
        if not needed <= tree.keys() <= named.keys():
            odd = sorted((needed - tree.keys()) | (tree.keys() - named.keys()))
            raise ValueError(f"{cls.__name__} does not read: {', '.join(odd)}")
        return cls(
            **{
                named[key]: convert[key](value) if key in convert else value
                for key, value in tree.items()
            }
        )

    return build
