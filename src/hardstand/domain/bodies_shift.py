"""What a shift says to the next, as bodies: past-tense facts."""

from __future__ import annotations

from dataclasses import dataclass

from hardstand.domain.hands import By


@dataclass(frozen=True, slots=True, kw_only=True)
class HandoverGiven:
    """A sheet was made and given: its lines as read out, by their keys, and the giver's words.

    `digest` is the SHA-256 of the canonical JSON of `lines`, hex; `mark` the daybook mark at its
    foot.
    """

    lines: tuple[str, ...]
    keys: tuple[str, ...]
    digest: str
    mark: str
    words: tuple[str, ...] = ()
    by: By


@dataclass(frozen=True, slots=True, kw_only=True)
class HandoverTaken:
    """The sheet of that line was read back, line by line, and is the taker's from now on."""

    given: str
    read: tuple[str, ...]
    by: By


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryTaken:
    """Somebody said that an open entry is theirs to see to."""

    number: str
    words: str = ""
    by: By
    seen: tuple[str, ...]
