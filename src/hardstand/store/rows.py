"""Entry to row and back."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from hardstand.domain.entry import Entry
from hardstand.domain.quantity import Instant

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
