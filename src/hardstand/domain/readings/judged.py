"""What every sum gives back, and the plain verdict on a reading (low, in, high)."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """A reading with all that is kept about it.

    Attributes:
        figures: answer by column, as shown: rounded, halves away from zero.
        value: the principal figure, unrounded; None where the answer is a word.
        unit: the unit of `value`.
        limit: what it was held against, in words; empty where nothing judges it.
        verdict: one word, or empty for a sum that only converts.
        basis: where the sum and the limit come from, in words.
        look_at: what to look at next, nearest first; never a diagnosis.
    """

    figures: Mapping[str, str]
    value: Decimal | None = None
    unit: str = ""
    limit: str = ""
    verdict: str = ""
    basis: str = ""
    look_at: tuple[str, ...] = ()


def held(
    value: Decimal, accept: tuple[Decimal, Decimal], possible: tuple[Decimal, Decimal] | None
) -> str:
    """`low`, `in` or `high` against `accept`; `ask_again`, unjudged, outside `possible`.

    Both pairs are inclusive.
    """
    if possible and not possible[0] <= value <= possible[1]:
        return "ask_again"
    if value < accept[0]:
        return "low"
    return "high" if value > accept[1] else "in"


def asks_fresh_look(typed: str, good: Callable[[Decimal], bool]) -> bool:
    """Whether a number judged bad would be good with its point moved or two digits swapped.

    The person is then sent back to the meter without being told which number is suspected.
    `typed` has passed the number grammar and is not itself good.
    """
    return any(good(value) for value in _slips(typed))


def _slips(typed: str) -> tuple[Decimal, ...]:
    """Every number one common slip away: the point by one to three places, neighbours swapped."""
    moved = [Decimal(typed).scaleb(by) for by in (-3, -2, -1, 1, 2, 3)]
    swapped = [
        Decimal(typed[:i] + typed[i + 1] + typed[i] + typed[i + 2 :])
        for i in range(len(typed) - 1)
        if typed[i].isdigit() and typed[i + 1].isdigit() and typed[i] != typed[i + 1]
    ]
    return (*moved, *swapped)


def blind_entries(entries: tuple[Decimal, ...]) -> str:
    """What a critical reading needs next: `again`, `agreed`, or `apart` after three unlike ones.

    Each entry is made without sight of the others; any two that are equal settle it.
    """
    if len(set(entries)) < len(entries):
        return "agreed"
    return "again" if len(entries) < 3 else "apart"


def untrusted(judged: Judged, why: str) -> Judged:
    """The same reading, kept, with its verdict unknown: meter or calibrator out of date."""
    return replace(judged, verdict="unknown", look_at=(why, *judged.look_at))
