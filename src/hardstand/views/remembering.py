"""Earlier entries like a new one, each in a line, with what was done."""

from __future__ import annotations

from collections.abc import Sequence

from hardstand.domain.quantity import date_time, zone
from hardstand.domain.words import visible
from hardstand.flows.remembering import Remembered
from hardstand.views.output import prose


def text(found: Sequence[Remembered], time_zone: str) -> str:
    """What was seen before and what was done; it says nothing of what this one is."""
    where = zone(time_zone)
    lines = [
        visible(
            f"{r.number} {r.tail} {date_time(r.at, where)[:10]}: {r.text}. "
            f"Done: {'; '.join(r.done) or 'nothing recorded'}."
        )
        for r in found
    ]
    return prose("\n".join(["Seen before:", *lines] if lines else ["Nothing like it on record."]))
