"""Looking while listening: which step can be held open with an ear on it, and what goes beside it.

Source: whole-job M-04; at most two are held, hands on the antenna and transmitting bar each other.
"""

from __future__ import annotations

from collections.abc import Sequence

from hardstand.domain.at_hand import VISUAL
from hardstand.domain.checklist import Checklist, Step

MOST_HELD = 2

ANTENNA = "antenna"
"""The id of the zone where hands are on the antenna, in every list that has one."""


def may_be_held(step: Step, held: Sequence[str]) -> bool:
    """Whether a step can be held: it listens, names what goes beside it, and two are not yet."""
    wanted = step.kind == "listen" and bool(step.beside)
    return wanted and step.id not in held and len(held) < MOST_HELD


def goes_beside(step: Step, held: Sequence[Step], checklist: Checklist) -> bool:
    """Whether a step may be answered while these are held.

    It looks and moves nothing, or listens and could be held itself; it stands in a zone that each
    of them names, not beyond their own, and comes after none of them.
    """
    looks = step.kind in VISUAL and not step.sets
    if not looks and not may_be_held(step, [h.id for h in held]):
        return False
    zones = [z.id for z in checklist.zones]
    return all(
        step.zone in h.beside
        and zones.index(step.zone) <= zones.index(h.zone)
        and h.id not in step.after
        for h in held
    )


def barred(step: Step, others: Sequence[Step]) -> str:
    """Why a step waits for what another walk at the aircraft is at; empty if it does not.

    Args:
        step: the step to be done.
        others: the step each other walk stands at.
    """
    if step.kind == "transmit" and any(o.zone == ANTENNA for o in others):
        return "another walk has hands on the antenna"
    if step.zone == ANTENNA and any(o.kind == "transmit" for o in others):
        return "another walk is transmitting"
    return ""
