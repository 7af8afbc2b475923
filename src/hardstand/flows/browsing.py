"""Looking through the list from a step: ahead and back, without moving the working place.

Source: human-factors PLC-09.
"""

from __future__ import annotations

from hardstand.domain.asking import Ask, Block
from hardstand.domain.checklist import Step
from hardstand.flows import questions as q
from hardstand.flows.seat import Walking

BACK, AHEAD = "the step before", "the step after"


def browse(walking: Walking, step: Step) -> None:
    """Show other steps until the key that opened it is pressed again; nothing is answered."""
    steps = walking.state.plan.steps
    at = steps.index(step)
    while (reply := walking.ask(_card(walking, step, at))) != "V":
        at += 1 if _ways(at, len(steps))[int(reply) - 1] == AHEAD else -1


def _ways(at: int, count: int) -> tuple[str, ...]:
    return ((BACK,) if at > 0 else ()) + ((AHEAD,) if at + 1 < count else ())


def _card(walking: Walking, step: Step, at: int) -> Ask:
    state = walking.state
    shown, number = state.plan.steps[at], state.plan.checklist.number
    given = state.given.get(shown.id)
    held = "held, not answered yet" if shown.id in state.held else "not answered yet"
    told = q.told(state, given, walking.where) if given else f"{number(shown.id)}: {held}."
    fill = state.plan.fill
    return Ask(
        strip=q.strip(state, walking.facts, step, walking.where),
        blocks=(
            Block(kind="card", text=f"Only looking. You are at {number(step.id)}."),
            Block(kind="do", text=f"{number(shown.id)}  {fill(shown.do)}"),
            Block(kind="detail", text=f"Place: {fill(shown.place)}."),
            Block(kind="detail", text=told),
        ),
        choices=_ways(at, len(state.plan.steps)),
        keys="VBR",
        whole=True,
        words=(("V", f"back to {number(step.id)}"),),
    )
