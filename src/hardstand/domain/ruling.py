"""Decisions beside mending: a lead's word, a test done again, a disagreement settled. Pure."""

from __future__ import annotations

from dataclasses import dataclass

from hardstand.domain import bodies as b
from hardstand.domain.authority import NOBODY_ENROLLED, Case
from hardstand.domain.bodies import By
from hardstand.domain.defects import Refused, act_on
from hardstand.domain.facts import AirframeFacts
from hardstand.domain.quantity import seconds_between


@dataclass(frozen=True, slots=True, kw_only=True)
class Tested:
    """A proving step done again for a repair; see bodies DefectRetested."""

    step: str
    title: str
    answer: str
    value: str = ""
    unit: str = ""
    low: str = ""
    high: str = ""
    revision: str = ""
    words: str = ""
    proved: tuple[str, ...] = ()


def rule(
    facts: AirframeFacts,
    number: str,
    text: str,
    by: By,
    case: Case = NOBODY_ENROLLED,
    *,
    again_by_doer: bool = False,
) -> tuple[b.Body, ...] | Refused:
    """A lead's word on what is to become of an entry; it changes no symbol.

    With `again_by_doer` a chief's order that the doer, alone for an unforeseen reason, looks at
    their own work again.
    """
    item = act_on(facts, number, "order_again" if again_by_doer else "rule", by, case)
    if isinstance(item, Refused):
        return item
    return (
        b.DefectRuled(number=number, text=text, again_by_doer=again_by_doer, by=by, seen=item.seen),
    )


def retest(
    facts: AirframeFacts, number: str, tested: Tested, by: By, case: Case = NOBODY_ENROLLED
) -> tuple[b.Body, ...] | Refused:
    """Record against an entry that a proving step was done again, and what it read."""
    item = act_on(facts, number, "retest", by, case)
    if isinstance(item, Refused):
        return item
    return (
        b.DefectRetested(
            number=number, step=tested.step, title=tested.title, answer=tested.answer,
            value=tested.value, unit=tested.unit, low=tested.low, high=tested.high,
            revision=tested.revision, words=tested.words, proved=tested.proved, by=by,
            seen=item.seen,
        ),
    )  # fmt: skip


def settle(
    facts: AirframeFacts, number: str, stands: str, words: str, by: By, case: Case
) -> tuple[b.Body, ...] | Refused:
    """A third person says which of the acts that disagree stands; the careful reading if none."""
    item = act_on(facts, number, "settle", by, case)
    if isinstance(item, Refused):
        return item
    named = {digest for d in item.disputes for digest in d.acts}
    if stands and stands not in named:
        return Refused(
            what=f"that line is none of those that disagree about {number}",
            hint="; ".join(d.text for d in item.disputes),
        )
    return (b.DefectSettled(number=number, stands=stands, words=words, by=by, seen=item.seen),)


def likely_same(facts: AirframeFacts, number: str, hours: int) -> tuple[str, ...]:
    """Open entries that may be the same thing as this one: a word of a function or unit in common.

    Offered, never joined by itself, not even at certainty. Source: whole-job S-03.
    """
    item = facts.entry(number)
    if item is None:
        return ()
    names = {*item.takes, *item.weakens, item.unit} - {""}
    return tuple(
        e.number
        for e in facts.open
        if e.number != number
        and names & {*e.takes, *e.weakens, e.unit}
        and abs(seconds_between(e.found_at, item.found_at)) <= hours * 3600
    )
