"""How to put back what is away on an airframe, asked from anywhere: by a walk or after one."""

from __future__ import annotations

from dataclasses import dataclass

from hardstand.domain.facts import AirframeFacts
from hardstand.domain.quantity import zone
from hardstand.domain.verdict import fit_of
from hardstand.flows.adopting import Lists, lists
from hardstand.flows.pen import Pen
from hardstand.flows.pinned import plan_of, resumed_state
from hardstand.flows.putting_back import order_of_close_up
from hardstand.flows.questions import line_words, safe_order


@dataclass(frozen=True, slots=True, kw_only=True)
class Away:
    """An airframe and what is not put back there: one line each, in the order to do it."""

    tail: str
    count: int
    lines: tuple[str, ...]


def orders(pen: Pen, tail: str = "") -> tuple[Away, ...]:
    """The order of a close-up for one airframe by its whole tail, or for each with lines open."""
    record = pen.journal.record()
    known = lists(pen.journal)
    found = []
    for name in (tail,) if tail else record.tails:
        facts = pen.journal.facts(name)
        if tail or facts.due_home:
            lines = _order(pen, facts, known)
            found.append(Away(tail=name, count=len(facts.due_home), lines=lines))
    return tuple(found)


def _order(pen: Pen, facts: AirframeFacts, known: Lists) -> tuple[str, ...]:
    """By the list being walked there, else by one for the fit carried; unordered without any."""
    record = pen.journal.record()
    where = zone(record.time_zone)
    for walk in (w for w in facts.walks if w.digest in known.by_digest):
        state = resumed_state(pen, facts, known, walk)
        step = state.next_step()
        return order_of_close_up(state.plan, facts, where, at=step.zone if step else "")
    fit = fit_of(facts, pen.clock.now(), record)
    digest = next((d for d, c in sorted(known.current.items()) if c.fit == fit), "")
    if not digest:
        return tuple(line_words(line, where) for line in safe_order(facts))
    return order_of_close_up(plan_of(pen, facts, known, digest), facts, where)
