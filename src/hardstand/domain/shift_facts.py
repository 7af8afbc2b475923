"""What is true of the last handover, as the record's fold keeps it: types only, light to import."""

from __future__ import annotations

from dataclasses import dataclass

from hardstand.domain.quantity import Instant


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
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
