"""The part of a list to walk again after a repair: every check it could have touched, set up whole.

Never the fewest tests. The steps keep their order, and everything they open, connect or switch on
is put back by the part as it is by the whole.

Source: computations 10b.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from hardstand.domain.checklist import Checklist, Fit, Step
from hardstand.domain.disturbance import count_of, gates_of, needs


@dataclass(frozen=True, slots=True, kw_only=True)
class Retest:
    """Steps to walk again, in order, and what was repaired that no such step proves.

    `left_out` are proving steps that do not apply to the airframe.
    """

    steps: tuple[str, ...]
    unproved: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()


def affected(fit: Fit, name: str) -> tuple[str, ...]:
    """The functions that a unit or function bears on, transitively, in the fit's order."""
    found = {name}
    grown = True
    while grown:
        more = {f for f, known in fit.functions.items() if found & set(known.fed_by)} - found
        found |= more
        grown = bool(more)
    return tuple(f for f in fit.functions if f in found and f != name)


def sublist(checklist: Checklist, fit: Fit, seed: Iterable[str]) -> tuple[str, ...]:
    """The steps of the seed with all they come after, their gates, and what moves their items.

    In the order of the list. An item that a step needs away from home, or moves, has in the part
    the value it has in the whole. Who opens something counts what they bring, and what closes it,
    and looks first whether each hazard is off.
    """
    steps = {step.id: step for step in checklist.steps}
    kept: set[str] = set()
    todo = list(seed)
    while todo:
        step = steps[todo.pop()]
        if step.id in kept:
            continue
        kept.add(step.id)
        todo += step.after
        todo += [g.id for g in gates_of(checklist.steps, checklist.steps.index(step), fit)]
        items = set(step.sets or ())
        items |= {n for n, values in needs(step, fit).items() if values != {fit.items[n].home}}
        items |= _kept_from_home(items, fit)
        items |= _counted_with(items, fit)
        todo += [s.id for s in checklist.steps if items & set(s.sets or ())]
        todo += _fastened(checklist, step, fit)
    kept |= _looked_at_first(checklist, fit, kept)
    return tuple(s.id for s in checklist.steps if s.id in kept)


def _looked_at_first(checklist: Checklist, fit: Fit, kept: set[str]) -> set[str]:
    """The steps that find each hazard at home before hands go on, where none kept moves it.

    Source: human-factors 12, W-MULTI; as the whole list is held to by HS414.
    """
    steps = [s for s in checklist.steps if s.id in kept]
    hands_on = next((s for s in steps if _goes_on(s, fit)), None)
    if hands_on is None:
        return set()
    moved = {name for s in steps for name in s.sets or {}}
    found: dict[str, str] = {}
    for step in checklist.steps[: checklist.steps.index(hands_on)]:
        for name, value in (step.sets or {}).items():
            safe = fit.items[name].hazard and value == fit.items[name].home
            if safe and name not in moved and not step.after and _asks_nothing_away(step, fit):
                found.setdefault(name, step.id)
    return set(found.values())


def _goes_on(step: Step, fit: Fit) -> bool:
    kinds = {"access", "removed", "disconnected", "placed"}
    return any(
        fit.items[n].kind in kinds and v != fit.items[n].home for n, v in (step.sets or {}).items()
    )


def _asks_nothing_away(step: Step, fit: Fit) -> bool:
    return len(step.sets or {}) == 1 and all(
        values == {fit.items[n].home} for n, values in needs(step, fit).items()
    )


def _counted_with(items: set[str], fit: Fit) -> set[str]:
    """The counts that belong to opening something: tools, and what else is brought."""
    opened = any(fit.items[name].kind == "access" for name in items)
    return {n for n, item in fit.items.items() if item.kind == "count"} if opened else set()


def _fastened(checklist: Checklist, step: Step, fit: Fit) -> tuple[str, ...]:
    """The step that counts what fastens what this one closes."""
    moves = (step.sets or {}).items()
    if not any(fit.items[n].kind == "access" and v == fit.items[n].home for n, v in moves):
        return ()
    counts = count_of(checklist.steps, checklist.steps.index(step))
    return (counts.id,) if counts else ()


def _kept_from_home(items: set[str], fit: Fit) -> set[str]:
    """Items that may not be at home while one of these stands somewhere, by the fit's `never`."""
    return {
        name
        for combination in fit.never
        if items & set(combination)
        for name, value in combination.items()
        if value == fit.items[name].home
    }


def retest(
    checklist: Checklist,
    fit: Fit,
    *,
    repaired: Iterable[str],
    disturbed: Iterable[str] = (),
    facts: Mapping[str, bool] | None = None,
) -> Retest:
    """What to walk again after a repair of units, functions or controls.

    `disturbed` names items of kind proof that the repair left unproved. `facts` are those known of
    the airframe; a step whose condition they make false is left out.
    """
    known = facts or {}
    names = tuple(dict.fromkeys(repaired))
    homes = {name: {name: fit.items[name].home} for name in disturbed}
    seed: dict[str, None] = {}
    shown: set[str] = set()
    left_out = []
    for step in checklist.steps:
        near = tuple(n for n in names if bears_on(step, fit, n))
        proves = {n for n in near if borne_on(fit, n) & set(step.proves)}
        proves |= {n for n, home in homes.items() if home.items() <= (step.sets or {}).items()}
        fact = step.applies_if.removeprefix("not ")
        if (proves or near) and fact in known and known[fact] == step.applies_if.startswith("not "):
            left_out.append(step.id)
        elif proves or near:
            seed[step.id] = None
            shown |= proves
    return Retest(
        steps=sublist(checklist, fit, seed),
        unproved=tuple(n for n in (*names, *homes) if n not in shown),
        left_out=tuple(left_out),
    )


def borne_on(fit: Fit, name: str) -> set[str]:
    """What a repair bears on: the thing itself, the functions above it, its controls."""
    return {name, *affected(fit, name), *_controls(fit, name)}


def bears_on(step: Step, fit: Fit, name: str) -> bool:
    """Whether a step is to be done again after a repair of a unit, function or control.

    It proves something the repair bears on; or it is done at the unit by the words of its place;
    or it is done in the unit's zone and finds what the unit feeds. The last two are ours.
    """
    if borne_on(fit, name) & set(step.proves):
        return True
    unit = fit.units.get(name)
    if unit is None:
        return False
    at_it = re.search(rf"(?<![\w.-]){re.escape(name)}(?![\w-])", f"{step.do} {step.place}")
    found = {*(step.on_fault.takes), *(step.on_fault.weakens)} & set(affected(fit, name))
    return bool(at_it) or (step.zone == unit.zone and bool(found))


def _controls(fit: Fit, unit: str) -> set[str]:
    return {name for name, control in fit.controls.items() if control.unit == unit}


def part(checklist: Checklist, steps: Iterable[str]) -> Checklist:
    """The list with those steps only; a fault that led to a step left out leads to the next kept.

    The zones stay as they are, so that a fault that ends the walk keeps its meaning.
    """
    kept = set(steps)
    ids = [s.id for s in checklist.steps]
    changed = []
    for step in checklist.steps:
        if step.id not in kept:
            continue
        target = step.if_fault
        if target in ids and target not in kept:
            later = (i for i in ids[ids.index(target) :] if i in kept)
            target = next(later, "end")
        changed.append(replace(step, if_fault=target))
    return replace(checklist, steps=tuple(changed))
