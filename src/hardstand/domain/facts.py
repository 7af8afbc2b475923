"""What is true of one airframe, folded from its entries: types only, light to import.

Facts are cached per airframe and can be dropped; a verdict is computed from facts and now, and
is never stored. Fields at their default are not written to the cache.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from hardstand.domain.dated import DatedFit
from hardstand.domain.quantity import Instant

EntryState = Literal["open", "ruled", "deferred", "action_recorded"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Act:
    """One line of the record about an item, for saying why: its ref, when, by whom, what."""

    ref: str
    at: Instant
    by: str
    what: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenEntry:
    """An entry of the defect log that is still open.

    `heads` are digests of the item's last acts that no later act had seen; more than one is a
    disagreement. `doers` did or recorded work on it. `untested` is what the dash still waits for.
    """

    number: str
    symbol: str
    text: str
    found_at: Instant
    found_by: str
    state: EntryState
    takes: tuple[str, ...] = ()
    weakens: tuple[str, ...] = ()
    untested: tuple[str, ...] = ()
    unit: str = ""
    serial: str = ""
    zone: str = ""
    step: str = ""
    walk: str = ""
    stub: bool = False
    doers: tuple[str, ...] = ()
    again: tuple[Instant, ...] = ()
    joined: tuple[str, ...] = ()
    acts: tuple[Act, ...] = ()
    heads: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """An open line of the put-back ledger: something of the aircraft away from its home."""

    item: str
    title: str
    kind: str
    home: str
    value: str
    since: Instant
    by: str
    ref: str
    walk: str = ""
    words: str = ""
    heads: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenWalk:
    """A walk that was started and not closed; `broken` means left on purpose for a while."""

    walk: str
    device: str
    checklist: str
    revision: str
    digest: str
    started: Instant
    by: str
    ref: str
    broken: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Finished:
    """The last finished preflight walk, and what ended it, if anything did."""

    walk: str
    checklist: str
    revision: str
    at: Instant
    by: str
    ref: str
    gaps: int = 0
    ended: Act | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """A function was last proved good: when, by which line."""

    at: Instant
    ref: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AirframeFacts:
    """All that a verdict needs of one airframe. `raised` counts entries per device, ever."""

    tail: str
    type: str
    fits: tuple[DatedFit, ...]
    short: str
    serials: Mapping[str, str] | None = None
    open: tuple[OpenEntry, ...] = ()
    lines: tuple[Line, ...] = ()
    walks: tuple[OpenWalk, ...] = ()
    finished: Finished | None = None
    proved: Mapping[str, Proof] | None = None
    raised: Mapping[str, int] | None = None
    unknown: tuple[str, ...] = ()

    def fit_on(self, day: str) -> str:
        """The fit carried on a local day, `YYYY-MM-DD`; empty before the first."""
        since = [f.fit for f in self.fits if f.since <= day]
        return since[-1] if since else ""

    def entry(self, number: str) -> OpenEntry | None:
        """The open entry of that number, or None."""
        return next((e for e in self.open if e.number == number), None)

    def line(self, item: str) -> Line | None:
        """The open line of that item, or None when it is home."""
        return next((line for line in self.lines if line.item == item), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Folded:
    """A fold that can be gone on with: its facts, and the last acts on each ledger item ever."""

    facts: AirframeFacts
    line_heads: Mapping[str, tuple[str, ...]]


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordFacts:
    """What is true of the whole record: its kind, settings in force, who flies what."""

    demo: bool = False
    operator: str = ""
    time_zone: str = "UTC"
    tails: tuple[str, ...] = ()
    preflight_hours: int = 24
    walk_alive_min: int = 15
    adopted: tuple[Act, ...] = ()
