"""A list in force made ready to print: filled for one airframe, or with its marks left to fill."""

from __future__ import annotations

import re
from dataclasses import dataclass

from hardstand.domain.checklist import Checklist, Step
from hardstand.domain.codec import content
from hardstand.domain.walk import Plan
from hardstand.errors import NotThere, Refusal
from hardstand.flows import questions as q
from hardstand.flows.adopting import lists, shown, the_fleet
from hardstand.flows.queries import whole_tail
from hardstand.ports import Journal

BLANK = "______"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A whole list to be printed; `tail` is empty where it is for any airframe."""

    plan: Plan
    tail: str
    demo: bool

    def fill(self, text: str) -> str:
        """The text with its place marks filled, or left blank for the pencil."""
        return re.sub(r"\{[^}]*\}", BLANK, self.plan.fill(text))

    def is_for(self, step: Step) -> str:
        """Where a step applies, in words; empty if it applies here or everywhere."""
        if self.tail:
            return "" if self.plan.applies(step) else "not for this aircraft"
        return f"only where {step.applies_if}" if step.applies_if else ""


def sheet(journal: Journal, list_id: str, tail: str = "") -> Sheet:
    """The newest revision of a list, for one airframe if a tail is given.

    Raises:
        NotThere: no such list or tail.
        Refusal: the newest revision was withdrawn.
    """
    known = lists(journal)
    record = journal.record()
    whole = whole_tail(record, tail) if tail else ""
    found = shown(journal, list_id)
    facts = journal.facts(whole) if whole else None
    carried = {f.fit for f in facts.fits} if facts else {a.fit for a in found}
    paper = next((a for a in found if a.fit in carried), None)
    if paper is None:
        raise NotThere(
            f"{whole} never carried fit {found[0].fit}, which {list_id} is for.",
            hint="`hardstand fleet show` lists what each airframe carries.",
        )
    gone = known.withdrawn.get(paper.digest)
    if gone is not None:
        raise Refusal(
            f"{q.withdrawn(gone)}",
            rule="a withdrawn list is not walked, on paper either",
            safe="Nothing was printed.",
        )
    kind = the_fleet(journal).types[facts.type] if facts else None
    plan = Plan(
        checklist=content(Checklist, paper.value),
        fit=known.fits[paper.fit],
        digest=paper.digest,
        places=kind.places if kind else {},
        facts=frozenset(kind.facts) if kind else frozenset(),
    )
    return Sheet(plan=plan, tail=whole, demo=record.demo)
