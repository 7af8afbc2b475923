"""Supervised work as text, to be printed and kept in a trainee's own logbook."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from hardstand.domain.quantity import date_time, zone
from hardstand.domain.words import visible
from hardstand.flows.supervised import Supervised

WIDE = 72
FOOT = (
    "A record of steps answered and of who countersigned them. It gives no authority, and it is no "
    "release of an aircraft."
)


def text(initials: str, found: Sequence[Supervised], time_zone: str, *, steps: bool) -> str:
    """Each walk with who countersigned it; with `steps` also what was done in it."""
    if not found:
        return f"{initials} finished no walk under supervision."
    where = zone(time_zone)
    lines = [f"SUPERVISED WORK of {initials}"]
    for one in found:
        signed = "countersigned, signature kept" if one.signed else "countersigned, not signed"
        lines.append(
            f"{date_time(one.at, where)}  {one.tail}  {one.revision}  walk {one.walk}  "
            f"{len(one.done)} steps  {one.by} {signed}"
        )
        if steps:
            lines += [visible(f"  did {x.step}: {x.answer}") for x in one.done]
    return "\n".join([*lines, *textwrap.wrap(FOOT, WIDE)])
