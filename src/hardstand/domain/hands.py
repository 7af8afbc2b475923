"""Whose hands: who did it, with whom, and whether it was written down afterwards."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Late:
    """An act written down afterwards: when it was done, and who typed it."""

    made_at: str
    typist: str


@dataclass(frozen=True, slots=True, kw_only=True)
class By:
    """Whose hands did it, with whom, and whether it was typed in afterwards."""

    doer: str
    with_: tuple[str, ...] = ()
    late: Late | None = None
