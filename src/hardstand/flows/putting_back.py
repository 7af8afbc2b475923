"""The safest order to put everything back, in words; and the card shown when a walk is left."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import tzinfo

from hardstand.domain.asking import Ask, Block
from hardstand.domain.close_up import CloseUp, Move, NoSafeWay, close_up
from hardstand.domain.closing import OUTCOMES
from hardstand.domain.facts import AirframeFacts, Line
from hardstand.domain.walk import Plan, WalkState
from hardstand.flows import questions as q

CAP = 20_000
"""Situations looked at while somebody waits to leave; ours. Nine items away need fewer."""


def order_of_close_up(
    plan: Plan, facts: AirframeFacts, where: tzinfo, *, at: str = ""
) -> tuple[str, ...]:
    """What is away, one line each, in the order that is least dangerous from the zone `at`.

    First a sentence, also where no safe order exists: then the lines have none. Empty when nothing
    is away. Lines that the fit does not know come after the plan, but for what holds energy.
    """
    lines = q.safe_order(facts)
    away = {line.item: line for line in lines}
    if not away:
        return ()
    fit = plan.fit
    found = close_up(
        {n: line.value for n, line in away.items() if n in fit.items}, fit, at=at, cap=CAP,
        rank=lambda move: _rank(move, plan),
    )  # fmt: skip
    if isinstance(found, NoSafeWay):
        said = found.sentence(lambda name: plan.fill(fit.items[name].title))
        return (said, *(q.line_words(line, where) for line in lines))
    others = [line for line in lines if line.item not in fit.items]
    return (
        *(f"first, {q.line_words(line, where)}" for line in others if line.kind == "energy"),
        *(["Put back in this order:"] if found.moves else []),
        *_moves(found, {n: line.value for n, line in away.items()}, plan),
        *(f"also {q.line_words(line, where)}" for line in others if line.kind != "energy"),
        *_untested(found, plan),
    )


def make_safe_first(plan: Plan, facts: AirframeFacts) -> tuple[Line, ...]:
    """The hazards that are away from home, in the order of the safest close-up."""
    items = plan.fit.items
    lines = [x for x in q.safe_order(facts) if x.item in items and items[x.item].hazard]
    found = close_up(
        {x.item: x.value for x in facts.due_home if x.item in items}, plan.fit, cap=CAP
    )
    if isinstance(found, NoSafeWay):
        return tuple(lines)
    order = [move.item for move in found.moves]
    return tuple(sorted(lines, key=lambda x: order.index(x.item)))


def _moves(found: CloseUp, away: Mapping[str, str], plan: Plan) -> Iterator[str]:
    """One line a move: what, from where to where, and the step of the list that makes it."""
    now = {name: away.get(name, item.home) for name, item in plan.fit.items.items()}
    for n, move in enumerate(found.moves, start=1):
        item, place = plan.fit.items[move.item], _place(move, plan)
        moved = f"{now[move.item]} to {move.to}"
        if item.kind == "count":
            moved = f"count {now[move.item]} back"
        yield f"{n}. {plan.fill(item.title)}: {moved}{f'; {place}' if place else ''}"
        now[move.item] = move.to


def _rank(move: Move, plan: Plan) -> int:
    """What comes first where nothing safer decides: energy, then as the list has it, tags, counts.

    A tag stays on until hands are out and panels shut; it is itself among what is counted.
    Source: human-factors LED-07; the tag by 29 CFR 1910.147(e).
    """
    kind = plan.fit.items[move.item].kind
    return {"energy": 0, "tag": 2, "count": 3}.get(kind, 1) * 10_000 + _step_of(move, plan)


def _step_of(move: Move, plan: Plan) -> int:
    """The last step of the list that makes a move, by its place; past the list if none does."""
    makes = {s.id for s in plan.applicable if (s.sets or {}).get(move.item) == move.to}
    steps = plan.checklist.steps
    return max((n for n, s in enumerate(steps) if s.id in makes), default=len(steps))


def _place(move: Move, plan: Plan) -> str:
    """Where a move is made: at the last step of the list that makes it, else in the fit's zone."""
    steps, at = plan.checklist.steps, _step_of(move, plan)
    if at < len(steps):
        return f"{plan.checklist.number(steps[at].id)}, {plan.fill(steps[at].place)}"
    return next((z.title for z in plan.checklist.zones if z.id == move.zone), "")


def _untested(found: CloseUp, plan: Plan) -> tuple[str, ...]:
    if not found.unproved:
        return ()
    titles = ", ".join(plan.fill(plan.fit.items[n].title) for n in found.unproved)
    return (f"still to be tested: {titles}",)


def leave_ask(state: WalkState, facts: AirframeFacts, by: str, where: tzinfo) -> Ask:
    """The leave card: where the walk stands, how to put everything back, the ways to end it."""
    step = state.next_step()
    here = (
        f"at {state.plan.checklist.number(step.id)} {q.short(state, step)}"
        if step
        else "at its end"
    )
    begun = " That step is half done: it starts again from its first word." if state.half else ""
    left = f"Walk {state.walk} at {state.airframe} is left {q.stop(here)}{begun}"
    blocks = [Block(kind="card", text=left)]
    lines = order_of_close_up(state.plan, facts, where, at=step.zone if step else "")
    blocks += [Block(kind="line", text=line) for line in lines]
    if lines:
        blocks.append(
            Block(
                kind="note",
                text=(
                    f"Leave a tag that anyone can read: {state.airframe} — radio check not "
                    f"finished, {len(facts.due_home)} not put back, ask {by}."
                ),
            )
        )
    return Ask(
        blocks=tuple(blocks),
        choices=("come back later", *(f"end this walk: {w}" for w in OUTCOMES.values())),
        keys="BR",
        prompt="It is recorded. What now?",
        whole=True,
        words=(("B", "come back later"),),
    )
