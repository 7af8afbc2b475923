"""What to walk again on an airframe after a repair: every check the repair could have touched."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from hardstand.domain.checklist import Checklist, Fit
from hardstand.domain.retest import Retest, bears_on, retest
from hardstand.domain.verdict import fit_of
from hardstand.errors import NotThere
from hardstand.flows.adopting import lists
from hardstand.flows.pen import Pen
from hardstand.flows.pinned import plan_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Again:
    """The steps of one list to walk again at an airframe, and what no step of it proves.

    `words` say each step, its places filled for the airframe; `bearing` are the steps that look at
    or show what was repaired, the rest sets them up and puts back.
    """

    tail: str
    checklist: Checklist
    words: tuple[str, ...]
    bearing: frozenset[str]
    found: Retest
    repaired: tuple[str, ...]


def after_repair(pen: Pen, tail: str, repaired: Sequence[str]) -> Again:
    """The part of the list in force to walk after units, functions or controls were repaired.

    Raises:
        NotThere: the fit has none of that name, or no list is in force for it.
    """
    facts = pen.journal.facts(tail)
    known = lists(pen.journal)
    fit = fit_of(facts, pen.clock.now(), pen.journal.record())
    fitting = sorted(
        (c.purpose != "preflight", d) for d, c in known.current.items() if c.fit == fit
    )
    if not fitting:
        raise NotThere(
            f"No list is in force for fit {fit}, which {tail} carries.",
            hint="Adopt one: hardstand checklist adopt FOLDER",
        )
    plan = plan_of(pen, facts, known, fitting[0][1])
    names = tuple(_known(plan.fit, name) for name in repaired)
    here = {fact: fact in plan.facts for fact in plan.fit.facts}
    found = retest(plan.checklist, plan.fit, repaired=names, facts=here)
    steps = [plan.checklist.step(name) for name in found.steps]
    return Again(
        tail=tail, checklist=plan.checklist, found=found, repaired=names,
        words=tuple(plan.fill(s.do) for s in steps),
        bearing=frozenset(s.id for s in steps if any(bears_on(s, plan.fit, n) for n in names)),
    )  # fmt: skip


def _known(fit: Fit, typed: str) -> str:
    """The name as the fit spells it."""
    every = (*fit.units, *fit.functions, *fit.controls)
    for name in every:
        if name.casefold() == typed.strip().casefold():
            return name
    raise NotThere(
        f"Fit {fit.id} has no unit, function or control {typed!r}.",
        hint=f"Units: {', '.join(fit.units)}. Functions: {', '.join(fit.functions)}.",
    )
