"""What is true of one airframe, folded from its entries: types only, light to import.

Facts are cached per airframe and can be dropped; a verdict is computed from facts and now, and
is never stored. Fields at their default are not written to the cache.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any, Literal, NamedTuple

from hardstand.domain.clocks import Observation
from hardstand.domain.dated import DatedFit
from hardstand.domain.daylight import Table
from hardstand.domain.people import Person
from hardstand.domain.quantity import Instant
from hardstand.domain.settings import DEFAULTS, Settings

FOLD = 2
"""Which fold it is. Raise it when the same lines come to other facts: what an earlier one kept is
then folded anew before anybody reads it.
"""

EntryState = Literal["open", "ruled", "deferred", "action_recorded"]


class Act(NamedTuple):
    """One line of the record about an item, for saying why: its ref, when, by whom, what."""

    ref: str
    at: Instant
    by: str
    what: str


class Work(NamedTuple):
    """The work recorded last about an entry, which an inspector has yet to look at."""

    ref: str
    digest: str
    at: Instant
    by: str
    text: str
    outcome: str = "rectified"
    units_out: tuple[str, ...] = ()
    units_in: tuple[str, ...] = ()
    reference: str = ""


class Retested(NamedTuple):
    """A proving step done again for a repair: what it read, against what it must read."""

    ref: str
    at: Instant
    by: str
    step: str
    title: str
    answer: str
    value: str = ""
    unit: str = ""
    low: str = ""
    high: str = ""
    revision: str = ""
    words: str = ""


class Deferral(NamedTuple):
    """What an entry was put off by; `runs_out` is when it counts as X, in no case later.

    `days` is the interval, `extended` the days added by the one extension. `ref` and `digest` are
    of the line that set it so.
    """

    item: str
    category: str
    days: int
    by: str
    ref: str
    digest: str
    extended: int = 0
    last_day: str = ""
    runs_out: str = ""
    met: tuple[str, ...] = ()


def shortest(put_off: Iterable[Deferral]) -> Deferral | None:
    """The shortest interval that a defect was put off by; None if it never was."""
    return min(put_off, key=lambda d: (d.days, -d.extended), default=None)


class Limits(NamedTuple):
    """The written limits of a circled X, and when they end."""

    text: str
    ends: str
    by: str
    ref: str
    digest: str
    one_operation: bool = False


class Dispute(NamedTuple):
    """Acts that had not seen each other and do not agree, or one that does not hold.

    `acts` are digests of the lines concerned, `parties` who wrote them.
    """

    text: str
    acts: tuple[str, ...]
    parties: tuple[str, ...]


class OpenEntry(NamedTuple):
    """An entry of the defect log that is still open.

    `found_at` is when it was found, `logged_at` when it was written in the log, from which a
    deferral counts. `heads` are digests of the item's last acts that no later act had seen,
    `notes` those of words that never stand against an act. `doers` did or recorded work on it,
    `taught` taught them. `untested` is what the dash still waits for. `voiders` said it was
    entered in error and wait for a second person. `ordered_by` is the chief who had the doer
    look at their own work again. `closed` says how it was closed, if it was. `put_off_before` is
    what the same defect was put off by earlier: under this entry, one it follows, or one joined.
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
    logged_at: str = ""
    symptom: str = ""
    conditions: str = ""
    successor_of: str = ""
    taught: tuple[str, ...] = ()
    work: Work | None = None
    retested: tuple[Retested, ...] = ()
    deferral: Deferral | None = None
    limits: Limits | None = None
    ruled: str = ""
    ordered_by: str = ""
    disputes: tuple[Dispute, ...] = ()
    voiders: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    closed: str = ""
    put_off_before: tuple[Deferral, ...] = ()

    @property
    def put_off(self) -> tuple[Deferral, ...]:
        """All that the defect was ever put off by, under whatever number; the last one last."""
        return self.put_off_before if self.deferral is None else (
            *self.put_off_before, self.deferral,
        )  # fmt: skip

    @property
    def waits_by(self) -> Deferral | None:
        """What ends its waiting: its own deferral, or the shortest the defect had before."""
        return self.deferral or shortest(self.put_off_before)

    @property
    def seen(self) -> tuple[str, ...]:
        """What an act of somebody who has this entry in front of them names as seen."""
        return (*self.heads, *self.notes)


class Watched(NamedTuple):
    """An entry closed as could not duplicate: which functions and unit it named, and when."""

    number: str
    at: Instant
    names: tuple[str, ...]
    look_after: int = 0


class Line(NamedTuple):
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


class OpenWalk(NamedTuple):
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


class Finished(NamedTuple):
    """The last finished preflight walk, and what ended it, if anything did."""

    walk: str
    checklist: str
    revision: str
    at: Instant
    by: str
    ref: str
    gaps: int = 0
    ended: Act | None = None
    started: str = ""


class Proof(NamedTuple):
    """A function was last proved good: when, by which line."""

    at: Instant
    ref: str


class AirframeFacts(NamedTuple):
    """All that a verdict needs of one airframe. `raised` counts entries per device, ever.

    `weaker` are entries cleared by the person who did the work, which no inspector has looked at.
    `doubts` are lines that do not hold, such as a walk finished by somebody not entitled to.
    `owners` maps entry numbers to whoever took them to see to.
    `touched` maps functions nothing is known of to what was done at them since they were proved;
    `empty` and `doubtful` map positions to what was done there and the line that says so. `boxes`
    and `flown` are plain trees: box_facts.boxes_of and flight_facts.flown_of read them, so that
    only what asks for them pays for their types. `fold` says which fold made them.
    """

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
    watched: tuple[Watched, ...] = ()
    weaker: tuple[str, ...] = ()
    doubts: tuple[Act, ...] = ()
    owners: Mapping[str, str] | None = None
    touched: Mapping[str, str] | None = None
    empty: Mapping[str, tuple[str, ...]] | None = None
    doubtful: Mapping[str, tuple[str, ...]] | None = None
    boxes: Mapping[str, Any] | None = None
    flown: Mapping[str, Any] | None = None
    fold: int = 0

    @property
    def outdated(self) -> bool:
        """Whether another fold made these facts, so that this one may say otherwise."""
        return self.fold != FOLD

    @property
    def in_hand(self) -> bool:
        """Whether anything about it waits for somebody: it is told even if it left the fleet."""
        return bool(
            self.open or self.lines or self.walks or self.unknown or self.empty or self.doubtful
        )

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

    @property
    def due_home(self) -> tuple[Line, ...]:
        """The lines that a walk has to bring home: all but placards of entries still open."""
        staying = self.staying
        return tuple(line for line in self.lines if line not in staying)

    @property
    def staying(self) -> tuple[Line, ...]:
        """The placards of entries still open, which no walk takes off."""
        placards = {placard_of(e.number) for e in self.open}
        return tuple(line for line in self.lines if line.item in placards)


SAFE_ORDER = ("energy", "placed", "disconnected", "removed", "access", "tag", "proof", "count")
"""Kinds of line in the order to make safe: energy, what can fall or be opened, then the rest."""


def safe_order(lines: Iterable[Line]) -> list[Line]:
    """Lines in the order to make safe, those of one kind as they were opened."""
    return sorted(lines, key=lambda line: (SAFE_ORDER.index(line.kind), line.since))


def placard_of(number: str) -> str:
    """The name of the ledger line that stands for the placard of a deferred entry."""
    return f"placard-{number}"


class Folded(NamedTuple):
    """A fold that can be gone on with: its facts, and the last acts on each ledger item ever."""

    facts: AirframeFacts
    line_heads: Mapping[str, tuple[str, ...]]


class RecordFacts(NamedTuple):
    """What is true of the whole record: its kind, settings in force, who may do what.

    `founded` maps each device to its last line before the first person was enrolled; None while
    nobody is. `clocks` maps devices to what is known of their errors, `disowned` are
    digests of lines whose author says they are not theirs. `batteries` maps airframe types to
    rated Ah and reserve, `walk_min` fits to the minutes their preflight takes by its list,
    `daylight` days to sunrise and sunset. `books`, `shelf` and `sheet` are
    plain trees: mission_book.book_in, box_facts.shelf_of and shift_facts.sheet_of read them.
    `left` are tails that the fleet file in force does not list any more.
    """

    demo: bool = False
    operator: str = ""
    time_zone: str = "UTC"
    tails: tuple[str, ...] = ()
    preflight_hours: int = 24
    walk_alive_min: int = 15
    adopted: tuple[Act, ...] = ()
    settings: Settings = DEFAULTS
    people: tuple[Person, ...] = ()
    founded: Mapping[str, int] | None = None
    clocks: Mapping[str, tuple[Observation, ...]] | None = None
    disowned: tuple[str, ...] = ()
    books: Mapping[str, Any] | None = None
    daylight: Table | None = None
    batteries: Mapping[str, tuple[Decimal, ...]] | None = None
    walk_min: Mapping[str, int] | None = None
    shelf: Mapping[str, Any] | None = None
    sheet: Mapping[str, Any] | None = None
    left: tuple[str, ...] = ()
