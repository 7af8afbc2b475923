"""What a walk's end says."""

from __future__ import annotations

from hardstand.domain.closing import OUTCOMES
from hardstand.domain.walk import WalkState
from hardstand.flows.questions import NO_RELEASE


def told(state: WalkState) -> str:
    """How the walk ended, what was not OK, what is left, and what to do next."""
    name = f"Walk {state.walk}, {state.airframe}, {state.plan.checklist.id} "
    name += state.plan.checklist.revision
    if state.plan.practice:
        return f"PRACTICE {name}: {len(state.given)} answered. It counts for nothing."
    if state.outcome == "finished":
        return f"{name}: FINISHED, {len(state.not_ok)} not OK. {NO_RELEASE}"
    if state.outcome:
        ended = OUTCOMES[next(o for o in OUTCOMES if o == state.outcome)]
        return f"{name}: ended, {ended}. See `hardstand why {state.airframe}`."
    step = state.next_step()
    at = f"step {state.plan.checklist.number(step.id)}" if step else "its close"
    order = f"\nTo put back, in order: hardstand walks {state.airframe} --close-up"
    left = f"{name}: left at {at}.{order if state.away() else ''}"
    return f"{left}\nGo on with: hardstand walk {state.airframe}"
