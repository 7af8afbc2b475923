"""A fit and a checklist as values: what an author wrote, checked and frozen.

These dataclasses are the one definition: formats/ validates YAML against them, adopted lists are
read back into them from canonical JSON, the walk and every proof works on them. Field meanings are
in docs/reference/checklist-format.md.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from typing import Literal

StepKind = Literal[
    "look", "listen", "state", "reading", "set", "record", "count", "gate", "transmit"
]
ItemKind = Literal["access", "removed", "disconnected", "energy", "placed", "tag", "count", "proof"]
Symbol = Literal["X", "(X)", "-", "/"]
SecondLook = Literal["witness", "independent", "concurrent"]

COUNTED = "counted"
"""In `sets` of a count step: the item takes the number the person gives."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Peril:
    """One warning (people) or caution (equipment), in its three parts; none is empty."""

    hazard: str
    consequence: str
    avoid: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """A likely cause of a fault found at a step, and what would confirm it.

    A cause in the test `gear`, not in the aircraft, is tried before a unit is blamed.
    """

    cause: str
    confirm: str
    gear: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Bounds:
    """Two numbers in the unit of the step, both inclusive; `example` bars it from a live record."""

    low: Decimal
    high: Decimal
    example: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Answered:
    """The author's reason why a finding stands, written where the finding is.

    `about` are words of the finding's message; needed only where one code is found there twice.
    """

    code: str
    reason: str
    about: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class OnFault:
    """What a FAULT at a step means: functions lost or weakened, symbol, words to start from."""

    takes: tuple[str, ...] = ()
    weakens: tuple[str, ...] = ()
    symbol: Symbol = "/"
    symptoms: tuple[str, ...] = ()
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One thing to do and answer at one place.

    `zone` names a zone of the list. `do`, `place`, `good`, `bad` and `expect` may hold
    `{place.part}` marks, filled from the airframe type. Order inside a zone is the order of work.
    """

    id: str
    zone: str
    place: str
    do: str
    kind: StepKind
    why: str
    good: str
    bad: str
    ref: str
    touch: str = ""
    critical: bool = False
    minutes: Decimal = Decimal(1)
    wait_s: int = 0
    applies_if: str = ""
    sounds_good: str = ""
    sounds_bad: str = ""
    causes: tuple[Cause, ...] = ()
    warning: tuple[Peril, ...] = ()
    caution: tuple[Peril, ...] = ()
    note: tuple[str, ...] = ()
    evidence: str = ""
    stale_after_min: int = 0
    no_break: bool = False
    after: tuple[str, ...] = ()
    must_be: Mapping[str, str] | None = None
    sets: Mapping[str, str] | None = None
    if_fault: str = "go_on"
    beside: tuple[str, ...] = ()
    repeat_at_end: bool = False
    states: tuple[str, ...] = ()
    expect: str = ""
    unit: str = ""
    meter: str = ""
    graduation: Decimal | None = None
    accept: Bounds | None = None
    possible: Bounds | None = None
    read_first: bool = False
    judge: Mapping[str, str] | None = None
    proves: tuple[str, ...] = ()
    on_fault: OnFault = OnFault()
    verify: SecondLook | None = None
    hold: bool = False
    shows: Literal["", "open", "walk"] = ""
    answered: tuple[Answered, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Zone:
    """A part of the walk with a place of its own; general perils stand here once.

    With `ask_tail` the tail is typed again, from the aircraft, on entering the zone.
    """

    id: str
    title: str
    ask_tail: bool = False
    warning: tuple[Peril, ...] = ()
    caution: tuple[Peril, ...] = ()
    note: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Manual:
    """The approved book that governs the list."""

    title: str
    revision: str


@dataclass(frozen=True, kw_only=True)
class Checklist:
    """A whole list for one fit: zones in order, steps in order inside their zone.

    `revision_reason` says why this revision asks more than the last, where it does by over a tenth.
    """

    id: str
    title: str
    fit: str
    purpose: str
    revision: str
    manual: Manual
    zones: tuple[Zone, ...]
    steps: tuple[Step, ...]
    draft: bool = False
    tools: tuple[str, ...] = ()
    answered: tuple[Answered, ...] = ()
    revision_reason: str = ""

    @cached_property
    def _by_id(self) -> Mapping[str, Step]:
        return {s.id: s for s in reversed(self.steps)}

    @cached_property
    def _numbers(self) -> Mapping[str, str]:
        found = dict[str, str]()
        for place, zone in enumerate(self.zones, 1):
            here = dict.fromkeys(s.id for s in self.steps if s.zone == zone.id)
            found |= {name: f"{place}.{n:02d}" for n, name in enumerate(here, 1)}
        return found

    def step(self, step_id: str) -> Step:
        """The step of that id.

        Raises:
            KeyError: the list has no such step.
        """
        return self._by_id[step_id]

    def number(self, step_id: str) -> str:
        """The step's sayable number: zone, point, place in the zone, as `3.04`.

        Raises:
            KeyError: the list has no such step.
        """
        return self._numbers[step_id]


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """A box that comes out whole, by the position it sits in."""

    title: str
    zone: str = ""
    part: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Function:
    """What the set can do, and the units that feed it (all of them are needed)."""

    title: str
    fed_by: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Action:
    """A way to move an item from one value to another, at a zone, while others stand so."""

    from_: str
    to: str
    only_with: Mapping[str, str] | None = None
    zone: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """Something a walk disturbs and must bring back to `home`.

    `hazard` items are made safe first. `draws` is the load in amperes while away from home.
    """

    title: str
    kind: ItemKind
    home: str
    actions: tuple[Action, ...] = ()
    hazard: bool = False
    draws: Decimal | None = None

    @property
    def values(self) -> tuple[str, ...]:
        """Every value the item can have, home first; a count takes any whole number."""
        named = [v for a in self.actions for v in (a.from_, a.to)]
        return tuple(dict.fromkeys((self.home, *named)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Permitted:
    """An item of the permitted-defects list: what may be put off, in which category, on what.

    `interval` is a category A item's own, such as `90 calendar days`. `master` is the category
    that the master list gives it: an operator's list may be stricter, never looser.
    """

    what: str
    category: Literal["A", "B", "C", "D"]
    condition: str
    interval: str = ""
    master: Literal["", "A", "B", "C", "D"] = ""
    example: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Mission:
    """Functions a mission needs, as `and` / `or` / `atleast k of`; weak ones that limit it.

    Without `needs` it asks nothing of the set and says under `with_limits` what takes its place;
    these limits always stand. `by_day`: from sunrise to sunset only. `never`: why this fit cannot.
    What a mission named in `needs` is bound by binds this one too.
    """

    needs: str = ""
    limited_by: tuple[str, ...] = ()
    by_day: bool = False
    with_limits: tuple[str, ...] = ()
    never: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Control:
    """A control by the plate's own words, and its positions in panel order."""

    plate: str
    positions: tuple[str, ...] = ()
    unit: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """One equipment fit: units, functions, items to put back, missions, permitted defects."""

    id: str
    title: str
    units: Mapping[str, Unit]
    functions: Mapping[str, Function]
    items: Mapping[str, Item]
    controls: Mapping[str, Control]
    never: tuple[Mapping[str, str], ...] = ()
    missions: Mapping[str, Mission] | None = None
    permitted: Mapping[str, Permitted] | None = None
    facts: tuple[str, ...] = ()
    answered: tuple[Answered, ...] = ()

    def named(self, item: str) -> str:
        """An item by its title less its `{place.part}` marks, for whoever stands at no aircraft."""
        return " ".join(re.sub(r"\{[^}]*\}", "", self.items[item].title).split()) or item
