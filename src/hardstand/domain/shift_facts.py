"""What is true of the last handover, as the record's fold keeps it: types only, light to import."""

from __future__ import annotations

from typing import NamedTuple

from hardstand.domain.facts import RecordFacts
from hardstand.domain.plain import from_plain
from hardstand.domain.quantity import Instant


class Sheet(NamedTuple):
    """The last handover sheet given; until it is taken, whoever gave it still has the shift.

    `lines` are as read out, `keys` name what each is about. `digest` is of the line that gave it.
    """

    ref: str
    digest: str
    by: str
    at: Instant
    lines: tuple[str, ...]
    keys: tuple[str, ...]
    mark: str
    words: tuple[str, ...] = ()
    taken_by: str = ""
    taken_at: str = ""


def sheet_of(record: RecordFacts) -> Sheet | None:
    """The last sheet given, read from what the record's facts keep."""
    return from_plain(Sheet, record.sheet) if record.sheet else None
