"""How much is said around a step: a level for each person and zone, which changes words only. Pure.

Source: human-factors LRN-02, LRN-03, PLC-12: help fades with skill shown and comes back after a
long gap, but only ever by the person's own key; place, cautions, gates and ledger never fade.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from hardstand.domain.bodies_walk import Guided
from hardstand.domain.quantity import Instant, seconds_between

Level = Literal["learner", "normal", "brief"]
LEVELS: tuple[Level, ...] = ("normal", "brief", "learner")
"""In the order in which the key turns them."""

FADES: tuple[Level, ...] = ("learner", "normal", "brief")
"""From the most words to the fewest."""

ENOUGH = 3
"""Supervised walks in a row that went clean in a zone before fewer words are suggested; ours."""

GAP_DAYS = 90
"""Days without a finished walk after which more words are suggested; ours."""

SAID: dict[Level, str] = {
    "learner": "why, good and bad are shown",
    "normal": "good and bad are shown",
    "brief": "only what bad is",
}


def after(level: Level) -> Level:
    """The level the key turns to."""
    return LEVELS[(LEVELS.index(level) + 1) % len(LEVELS)]


def level_of(said: Iterable[Guided], fit: str, zone: str, *, trainee: bool = False) -> Level:
    """The level last chosen for a zone of a fit; never changed by itself.

    Args:
        said: everything one person ever chose, oldest first.
        fit: the fit.
        zone: the zone.
        trainee: whether they still learn this fit, so that nothing is left unsaid at first.
    """
    chosen = [g.level for g in said if (g.fit, g.zone) == (fit, zone)]
    known = next((level for level in LEVELS if chosen and level == chosen[-1]), None)
    return known or ("learner" if trainee else "normal")


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """A walk somebody finished, and when; if another countersigned, whether each zone went clean.

    Clean is a zone in which everything was answered OK or FAULT by their own hands, and nothing
    was taken back.
    """

    at: Instant
    zones: Mapping[str, bool]


@dataclass(frozen=True, slots=True, kw_only=True)
class Suggestion:
    """Another level than the one chosen, and the last walk it is suggested from.

    `days` were without a walk since; None where it is suggested for clean walks.
    """

    level: Level
    last: Instant
    days: int | None = None


def suggestion(
    level: Level, zone: str, shown: Sequence[Shown], *, chosen: Instant | None, now: Instant
) -> Suggestion | None:
    """The level that suits the work shown in a zone better than the one in force, if one does.

    Args:
        level: the one in force.
        zone: the zone.
        shown: every walk of the fit that the person finished, oldest first.
        chosen: when they chose the level; what was before it suggests nothing any more.
        now: the time.
    """
    if not shown:
        return None
    place, last = FADES.index(level), shown[-1].at
    days = seconds_between(max(last, chosen or last), now) // 86_400
    if days >= GAP_DAYS:
        return Suggestion(level=FADES[place - 1], last=last, days=days) if place else None
    after_it = [s for s in shown if chosen is None or s.at > chosen]
    walked = [s for s in after_it if zone in s.zones][-ENOUGH:]
    if level == FADES[-1] or len(walked) < ENOUGH or not all(s.zones[zone] for s in walked):
        return None
    return Suggestion(level=FADES[place + 1], last=walked[-1].at)
