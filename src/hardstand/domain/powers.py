"""What each deed needs, and under which circumstances it is judged: authority's tables."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, tzinfo
from typing import Literal

from hardstand.domain.people import LINE, REGISTRARS, ROLES, People, Role
from hardstand.domain.quantity import Instant
from hardstand.domain.settings import DEFAULTS, Settings

Deed = Literal[
    "answer", "finish", "raise", "raise_symbol", "lower_symbol", "limit", "defer", "extend",
    "rule", "act", "retest", "prove", "clear", "reject", "clear_own", "order_again", "join", "void",
    "confirm_void", "settle", "adopt", "second", "load_fleet", "settings", "withdraw", "register",
    "witness", "clock", "mark", "accept", "order_move",
]  # fmt: skip

_WORKERS: tuple[Role, ...] = ("technician", "crew_lead")
ON_THE_LINE: tuple[Role, ...] = tuple(r for r in ROLES if r != "auditor")

NEEDS: Mapping[Deed, tuple[Role, ...]] = {
    "answer": _WORKERS,
    "finish": _WORKERS,
    "raise": ON_THE_LINE,
    "raise_symbol": ON_THE_LINE,
    "lower_symbol": ("shift_lead", "inspector", "chief"),
    "limit": ("chief",),
    "defer": ("shift_lead",),
    "extend": ("chief",),
    "rule": ("shift_lead", "chief"),
    "act": _WORKERS,
    "retest": _WORKERS,
    "prove": _WORKERS,
    "clear": ("inspector",),
    "reject": ("inspector",),
    "clear_own": ("inspector",),
    "order_again": ("chief",),
    "join": ("shift_lead", "inspector", "chief"),
    "void": ON_THE_LINE,
    "confirm_void": ("inspector", "shift_lead", "chief"),
    "settle": ("chief", "inspector"),
    "adopt": ("author", "chief"),
    "second": ("author", "chief", "inspector", "crew_lead"),
    "load_fleet": ("author", "administrator", "chief"),
    "settings": ("chief",),
    "withdraw": ("author", "chief"),
    "register": REGISTRARS,
    "witness": LINE,
    "clock": ("administrator", "shift_lead", "chief"),
    "mark": ROLES,
    "accept": ("pilot",),
    "order_move": ("shift_lead",),
}
"""The roles of which one is needed for each deed; the one table."""

ANYWHERE: frozenset[Deed] = frozenset({
    "raise", "raise_symbol", "void", "adopt", "second", "load_fleet", "settings", "withdraw",
    "register", "witness", "clock", "mark", "accept", "order_move", "defer", "limit", "extend",
    "rule", "order_again",
})  # fmt: skip
"""Deeds for which it does not matter which fit the aircraft carries."""

UNDER_SUPERVISION: frozenset[Deed] = frozenset({
    "answer", "finish", "act", "retest", "prove",
})  # fmt: skip
"""Deeds that a trainee does beside a supervisor, who signs for them."""

OFFICE: frozenset[Deed] = frozenset({"load_fleet", "register", "clock", "mark", "raise",
                                      "raise_symbol"})  # fmt: skip
"""What an administrator does; everything else signs maintenance."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Barred:
    """A refusal: the rule in words, and who could do it."""

    rule: str
    who_could: str


NEVER = Instant("9999-12-31T23:59:59Z")
"""After everything that is dated."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """Under which circumstances an act is judged: register, settings, when, on which fit.

    `trusted` is False when the clock cannot date anything: authority with an end then counts as
    ended. `where` is the zone whose midnight ends a day. `cnd_before` counts earlier closings of
    the same thing as could not duplicate. `disowned`: whoever is named as the author says the
    line is not theirs.
    """

    people: People = ()
    settings: Settings = DEFAULTS
    at: Instant = NEVER
    trusted: bool = True
    fit: str = ""
    where: tzinfo = UTC
    cnd_before: int = 0
    disowned: bool = False


NOBODY_ENROLLED = Case()
"""A record without people: only the bars that need no register stand."""
