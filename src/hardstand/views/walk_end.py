"""What a walk's end says, and where open walks stand."""

from __future__ import annotations

from collections.abc import Sequence

from hardstand.domain.closing import OUTCOMES
from hardstand.domain.quantity import day_time, zone
from hardstand.domain.walk import WalkState
from hardstand.domain.words import visible
from hardstand.flows.queries import Standing
from hardstand.flows.questions import NO_RELEASE


def told(state: WalkState) -> str:
    """How the walk ended, what was not OK, what is left, and what to do next."""
    name = f"Walk {state.walk}, {state.airframe}, {state.plan.checklist.id} "
    name += state.plan.checklist.revision
    not_ok = len([s for s in state.plan.steps if state.answer(s.id) != "OK"])
    if state.outcome == "finished":
        return f"{name}: FINISHED, {not_ok} steps not OK. {NO_RELEASE}"
    if state.outcome:
        ended = OUTCOMES[next(o for o in OUTCOMES if o == state.outcome)]
        return f"{name}: ended, {ended}. See `hardstand why {state.airframe}`."
    step = state.next_step()
    at = f"step {state.plan.checklist.number(step.id)}" if step else "its close"
    return f"{name}: left at {at}. Go on with: hardstand walk {state.airframe}"


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
