"""Where open walks stand."""

from __future__ import annotations

from collections.abc import Sequence

from hardstand.domain.quantity import day_time, zone
from hardstand.domain.words import visible
from hardstand.flows.queries import Standing


def walks_text(found: Sequence[Standing]) -> str:
    """Each open walk in a few lines: aircraft, where it stands, what is not put back."""
    if not found:
        return "No walk is open."
    lines = list[str]()
    for stand in found:
        where = zone(stand.time_zone)
        walk = stand.walk
        state = "left for a while" if walk.broken else "not closed"
        lines.append(
            f"{stand.tail}  walk {walk.walk} on device {walk.device}, {walk.checklist} "
            f"{walk.revision}, {state}, by {walk.by}, started {day_time(walk.started, where)}"
        )
        if stand.last:
            lines.append(f"  last line {day_time(stand.last, where)}")
        lines += [
            visible(f"  not put back: {x.title}, recorded {x.value} by {x.by}") for x in stand.lines
        ]
        lines.append(f"  go on with: hardstand walk {stand.tail}")
    return "\n".join(lines)
