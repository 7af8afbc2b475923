"""How much is said around a step: a level for each person and zone, which changes words only. Pure.

Source: human-factors LRN-02, PLC-12: help fades with skill; place, cautions, gates and ledger
never do.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from hardstand.domain.bodies_walk import Guided

Level = Literal["learner", "normal", "brief"]
LEVELS: tuple[Level, ...] = ("normal", "brief", "learner")
"""In the order in which the key turns them."""

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
