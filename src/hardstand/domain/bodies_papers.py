"""What is said of fits and lists besides their text, as bodies: past-tense facts."""

from __future__ import annotations

from dataclasses import dataclass

from hardstand.domain.hands import By


@dataclass(frozen=True, slots=True, kw_only=True)
class Seconded:
    """A second person read a fit or list that its author put in force; `digest` is the text's."""

    id: str
    revision: str
    digest: str
    by: By


@dataclass(frozen=True, slots=True, kw_only=True)
class NotTouched:
    """An airframe that a withdrawal does not concern, and how the author knows."""

    tail: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Withdrawn:
    """A revision of a list may not be walked any more.

    `steps` are those that were wrong; empty: all of it.
    """

    id: str
    revision: str
    digest: str
    reason: str
    steps: tuple[str, ...] = ()
    not_touched: tuple[NotTouched, ...] = ()
    by: By
