"""What a step asks of the items before it may be done, in one state of the ledger.

A step asks what its `must_be` says, and what the fit's own action for the same move says, so that
an author writes "the stand goes only with the cover fitted" once, on the item. Knows nothing of
walks or searches; both ask here, so that a walk is as strict as the proof of its list.

Source: computations 2.2, "write it once".
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from hardstand.domain.checklist import Fit, Step
from hardstand.domain.close_up import moves_from


def needs(step: Step, fit: Fit) -> dict[str, set[str]]:
    """Every item a step may ask about, with the values it may ask for, whatever stands now."""
    found = {name: {value} for name, value in (step.must_be or {}).items()}
    for name, to in (step.sets or {}).items():
        for value in fit.items[name].values:
            for move in moves_from(name, fit.items[name], value):
                for other, wanted in move.needs.items() if move.to == to else ():
                    found.setdefault(other, set()).add(wanted)
    return found


def unmet(step: Step, fit: Fit, state: Mapping[str, str]) -> tuple[str, str] | None:
    """The first item that does not stand as the step asks, with the value asked; None if all do.

    An item that the state does not name is at home.
    """
    if not step.must_be and not step.sets:
        return None
    now = {name: state.get(name, item.home) for name, item in fit.items.items()}
    for name, value in (step.must_be or {}).items():
        if now[name] != value:
            return name, value
    for name, to in (step.sets or {}).items():
        ways = [m.needs for m in moves_from(name, fit.items[name], now[name]) if m.to == to]
        lacking = [[(n, v) for n, v in way.items() if now[n] != v] for way in ways]
        if lacking and all(lacking):
            return lacking[0][0]
    return None


def count_of(steps: Sequence[Step], index: int) -> Step | None:
    """The step that counts what fastens what this one closes: itself, or a later one at its place.

    A place is the same by its words, or by a mark of the airframe type in both.
    """
    here = steps[index]
    found = (
        s for s in steps[index:]
        if s.kind == "count" and (s.place == here.place or _marks(s) & _marks(here))
    )  # fmt: skip
    return next(found, None)


def _marks(step: Step) -> set[str]:
    return set(re.findall(r"\{([^.}]+)[.}]", f"{step.do} {step.place} {step.expect}"))


def is_guarded(step: Step, fit: Fit) -> bool:
    """Whether a step stands behind a gate: it transmits, or brings power or another hazard."""
    moves = (step.sets or {}).items()
    return step.kind == "transmit" or any(
        fit.items[n].hazard and v != fit.items[n].home for n, v in moves
    )


def gates_of(steps: Sequence[Step], index: int, fit: Fit) -> tuple[Step, ...]:
    """The gates a step stands behind: those it comes after by name, and the last one before it."""
    gates = [s for s in steps[:index] if s.kind == "gate"]
    named = [g for g in gates if g.id in steps[index].after]
    last = gates[-1:] if is_guarded(steps[index], fit) else []
    return tuple({g.id: g for g in (*named, *last)}.values())


def forbidden_after(step: Step, fit: Fit, state: Mapping[str, str]) -> Mapping[str, str] | None:
    """The combination the fit forbids that a step would newly bring about; None if none."""
    if not step.sets:
        return None
    now = {name: state.get(name, item.home) for name, item in fit.items.items()}
    after = {**now, **step.sets}
    for combination in fit.never:
        stands = all(after[n] == v for n, v in combination.items())
        if stands and any(now[n] != v for n, v in combination.items()):
            return combination
    return None
