"""What happens to boxes, as bodies: past-tense facts. A box is its part and serial number.

Serials are as read off the box. `functions` are those the position feeds: nothing is known of
them after the move until a step proves them. `seen` lists the digests of the position's last
lines that the author had in front of them, in hex.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from hardstand.domain.hands import By

Store = Literal["serviceable store", "unserviceable store"]
Tag = Literal["serviceable", "unserviceable"]
BenchResult = Literal["in", "rectified", "no_fault_found", "scrapped"]


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitFitted:
    """A box went into a position; `source` is the store, or `TAIL POSITION` it came out of."""

    position: str
    part: str
    serial: str
    source: str
    reason: str
    entry: str = ""
    ordered_by: str = ""
    functions: tuple[str, ...] = ()
    by: By
    seen: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitRemoved:
    """A box came out of a position; `goes_to` is a store, or `TAIL POSITION` it goes into."""

    position: str
    part: str
    serial: str
    goes_to: str
    reason: str
    symptom: str = ""
    entry: str = ""
    ordered_by: str = ""
    functions: tuple[str, ...] = ()
    by: By
    seen: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitRead:
    """The serial was read off the box in a position, and is what the record now goes by."""

    position: str
    part: str
    serial: str
    before: str = ""
    functions: tuple[str, ...] = ()
    by: By
    seen: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitCarded:
    """What a box's paper card says of its time in this aircraft before the record began.

    Days are `YYYY-MM-DD`.
    """

    position: str
    part: str
    serial: str
    fitted: str = ""
    removed: str = ""
    symptom: str = ""
    bench: str = ""
    benched: str = ""
    by: By


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitReceived:
    """A box came into a store."""

    part: str
    serial: str
    place: Store
    words: str = ""
    by: By


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitTagged:
    """A tag was tied to a box that is in no aircraft."""

    part: str
    serial: str
    tag: Tag
    words: str = ""
    by: By


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitBenched:
    """A box went to the bench, or the bench said what it found."""

    part: str
    serial: str
    result: BenchResult
    words: str = ""
    by: By


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitLost:
    """Nobody knows where a box is."""

    part: str
    serial: str
    words: str
    by: By
