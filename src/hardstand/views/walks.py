"""Where open walks stand."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import tzinfo
from typing import TYPE_CHECKING

from hardstand.domain.quantity import day_time, short_time, zone
from hardstand.domain.words import visible
from hardstand.flows.open_walks import Standing
from hardstand.views.output import prose

if TYPE_CHECKING:
    from hardstand.flows.closing_up import Away


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
            f"{walk.revision}, begun {day_time(walk.started, where)} by {walk.by}, {state}"
        )
        if stand.last:
            lines.append(f"  last line {day_time(stand.last, where)}")
        lines += [visible(f"  {line}") for line in _place(stand, where)]
        for said, found_so in (("not put back", stand.lines), ("to stay on", stand.staying)):
            lines += [
                visible(f"  {said}: {x.title}, recorded {x.value} by {x.by}") for x in found_so
            ]
        lines.append(f"  go on with: hardstand walk {stand.tail}")
    return "\n".join(lines)


def _place(stand: Standing, where: tzinfo) -> Iterator[str]:
    """The last answer, what comes next, what is held; as reports, never as what is so."""
    at = stand.place
    if at.last is not None:
        seen = at.last.body.get("state") or at.last.body.get("value") or ""
        answer = " ".join(p for p in (seen, at.last.body["answer"]) if p)
        when = short_time(at.last.at, stand.last or at.last.at, where)
        yield f"last answer {at.last_step}: recorded {answer} {when} by {at.last.author}"
    yield from (f"held {step}" for step in at.held)
    if at.next_step:
        half = ", half done: it starts again from its first word" if at.half else ""
        yield f"goes on at {at.next_step}{half}"
    elif at.answered:
        yield "goes on at its close"


def close_up_text(found: Sequence[Away]) -> str:
    """What is away on each airframe, in the order to put it back."""
    lines = list[str]()
    for one in found:
        count = f"{one.count} not put back" if one.count else "nothing is away from home"
        lines.append(f"{one.tail}  {count}")
        lines += [visible(f"  {line}") for line in one.lines]
    return prose("\n".join(lines)) or "Nothing is away from home on any aircraft."
