"""Which units would explain what does not work on an airframe, asked at a desk or by telephone.

Says "would explain", never "is". From the last walk there, or from what somebody tells: after a
flight the walk before it shows nothing any more.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from hardstand.domain.bodies import WalkStarted
from hardstand.domain.codec import decode
from hardstand.domain.coverage import Checks, checks_of, units_behind
from hardstand.domain.quantity import day_time, zone
from hardstand.domain.suspects import suspects
from hardstand.domain.verdict import fit_of
from hardstand.domain.walk import Plan, begin, replay
from hardstand.errors import NotThere, Usage
from hardstand.flows.adopting import Lists, lists
from hardstand.flows.pen import Pen
from hardstand.flows.pinned import plan_of
from hardstand.flows.suspecting import shows_a_function, would_explain


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspected:
    """What may be said of an airframe, and by what it is said."""

    tail: str
    by: str
    said: str


def suspected(pen: Pen, tail: str, *, bad: Sequence[str], good: Sequence[str]) -> Suspected:
    """What would explain the faults of an airframe, by its last walk or by what is told.

    Args:
        pen: whose record.
        tail: the whole tail.
        bad: functions, or steps by id or number, that did not work; none asks the last walk.
        good: those that did.

    Raises:
        NotThere: a name is neither; no list is in force; or nothing was walked there.
        Usage: one name is told as good and as bad, or only good ones are told.
    """
    known = lists(pen.journal)
    if bad or good:
        return _by_report(pen, tail, known, (bad, good))
    return _by_last_walk(pen, tail, known)


def _by_last_walk(pen: Pen, tail: str, known: Lists) -> Suspected:
    started = [
        (entry, body) for entry in pen.journal.entries(airframe=tail, kind="walk.started")
        if isinstance(body := decode(entry), WalkStarted) and body.digest in known.by_digest
    ]  # fmt: skip
    if not started:
        raise NotThere(
            f"{tail} was never walked in this record.",
            hint="Tell what does not work: --bad FUNCTION, and what does: --good FUNCTION",
        )
    entry, begun = started[-1]
    plan = plan_of(pen, pen.journal.facts(tail), known, begun.digest)
    walk = entry.walk or ""
    lines = pen.journal.entries(walk=walk)
    state = replay(begin(plan, walk=walk, airframe=tail, items={}), lines)
    when = day_time(entry.at, zone(pen.journal.record().time_zone))
    said = would_explain(state) or "Nothing that was tested there failed."
    return Suspected(tail=tail, by=f"walk {walk} of {when}", said=said)


def _by_report(
    pen: Pen, tail: str, known: Lists, told: tuple[Sequence[str], Sequence[str]]
) -> Suspected:
    facts = pen.journal.facts(tail)
    fit = fit_of(facts, pen.clock.now(), pen.journal.record())
    digest = next((d for d, c in sorted(known.current.items()) if c.fit == fit), "")
    if not digest:
        raise NotThere(
            f"No list is in force for fit {fit}, which {tail} carries.",
            hint="Adopt one: hardstand checklist adopt FOLDER",
        )
    plan = plan_of(pen, facts, known, digest)
    bad, good = ([_named(plan, word) for word in words] for words in told)
    if not bad or set(bad) & set(good):
        raise Usage(
            "Nothing is told as bad." if not bad else f"{bad[0]} is told as good and as bad.",
            hint="hardstand checklist suspects TAIL --bad FUNCTION --good FUNCTION",
        )
    return Suspected(
        tail=tail,
        by=f"what was told: {', '.join(bad)} bad{', ' if good else ''}"
        f"{', '.join(good)}{' good' if good else ''}",
        said=_explained(plan, {**dict.fromkeys(bad, False), **dict.fromkeys(good, True)}),
    )


def _named(plan: Plan, word: str) -> str:
    """The function or the step that a word means, as its file spells it."""
    wanted = word.strip().casefold()
    for name in plan.fit.functions:
        if name.casefold() == wanted:
            return name
    for step in plan.applicable:
        if wanted in {step.id.casefold(), plan.checklist.number(step.id)}:
            return step.id
    raise NotThere(
        f"{word!r} is neither a function of fit {plan.fit.id} nor a step of its list.",
        hint=f"Functions: {', '.join(plan.fit.functions)}.",
    )


def _explained(plan: Plan, seen: Mapping[str, bool]) -> str:
    """The suspects and the next best step; functions told are checks of their own."""
    fit = plan.fit
    steps = tuple(s for s in plan.applicable if shows_a_function(s, fit))
    tests = checks_of(replace(plan.checklist, steps=steps), fit)
    told = tuple(name for name in seen if name in fit.functions)
    behind = tuple(units_behind(name, fit) for name in told)

    def good(lost: frozenset[str]) -> tuple[bool, ...]:
        return (*tests.good(lost), *(not needed & lost for needed in behind))

    both = Checks(names=(*tests.names, *told), units=tests.units, good=good)
    found = suspects(both, seen)
    ask = found.next_check
    named = f"{plan.checklist.number(ask)} {plan.fill(plan.checklist.step(ask).do)}" if ask else ""
    return replace(found, next_check=named.rstrip(".")).sentence()
