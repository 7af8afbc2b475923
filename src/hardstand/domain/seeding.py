"""At which steps of a practice something made up is seen or heard, a fault or not. Pure.

No chance: the steps follow from the list, the person and how often they practised it, and each step
comes up once in every four practices.

Source: human-factors LRN-06: frequent finds with feedback helped to detect rare ones (Wolfe 2013).
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence

ROUNDS = 4
"""Practices in which each step comes up once; ours."""

GOOD_EVERY = 3
"""Every third of them is good, so that it has to be read; ours."""


def seeded(steps: Sequence[str], checklist: str, person: str, practised: int) -> dict[str, bool]:
    """The steps of this practice at which something made up is shown, and whether it is a fault.

    Args:
        steps: those answered by look or by ear.
        checklist: the list, by its digest.
        person: their initials.
        practised: how often they practised this list before.
    """
    mixed = sorted(steps, key=lambda step: _mark(checklist, person, step))
    turn = practised % ROUNDS
    return {
        step: (place + practised) % GOOD_EVERY != GOOD_EVERY - 1
        for place, step in enumerate(mixed)
        if place % ROUNDS == turn
    }


def _mark(checklist: str, person: str, step: str) -> bytes:
    return hashlib.sha256("\0".join((checklist, person, step)).encode()).digest()
