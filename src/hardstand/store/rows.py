"""Entry to row and back; kept facts back from their text."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any, TypeVar

from hardstand.domain.entry import Entry
from hardstand.domain.plain import NOT_READ, from_plain
from hardstand.domain.quantity import Instant
from hardstand.errors import Damaged

T = TypeVar("T")

COLUMNS = (
    "device", "seq", "tick", "at", "author", "airframe", "walk", "kind", "version", "body", "prev",
    "digest", "signature",
)  # fmt: skip
"""The columns of an entry, in the order of its fields."""


def row(entry: Entry) -> dict[str, Any]:
    """The column values of an entry."""
    return {name: getattr(entry, name) for name in COLUMNS}


def entry(values: Sequence[Any]) -> Entry:
    """The entry of a row selected by COLUMNS."""
    device, seq, tick, at, *rest = values
    return Entry(device, seq, tick, Instant(at), *rest)


def kept(cls: type[T], text: str, tail: str) -> T:
    """The facts kept under a tail, read from their JSON text.

    Raises:
        Damaged: the text is not such facts.
    """
    try:
        return from_plain(cls, json.loads(text))
    except NOT_READ as error:
        raise Damaged(
            f"The facts kept of {tail or 'the whole record'} do not read: {error}.",
            safe="The lines of the record are kept apart from them and were left as they are.",
            hint="Run `hardstand record verify`; keep this file.",
        ) from error
