"""Who sees to an entry: somebody says that it is theirs."""

from __future__ import annotations

from collections.abc import Sequence

from hardstand.domain import bodies as b
from hardstand.domain.authority import Case, may
from hardstand.domain.bodies import By
from hardstand.domain.defects import Refused, act_on
from hardstand.domain.facts import AirframeFacts
from hardstand.flows.logging_defects import on_entry
from hardstand.flows.pen import Pen


def own(pen: Pen, number: str, words: str = "", *, by: By) -> str:
    """Take an open entry to see to; what was written, in words.

    Raises:
        Refusal: by authority, with who could.
        NotThere: no open entry has that number.
    """
    name = number.strip().upper()

    def decide(facts: AirframeFacts, case: Case) -> Sequence[b.Body] | Refused:
        item = facts.entry(name)
        if item is None:
            found = act_on(facts, name, "raise", by, case)
            return found if isinstance(found, Refused) else ()
        barred = may("raise", by.doer, case)
        if barred is not None:
            return Refused(
                what=f"{name} is not {by.doer}'s", rule=barred.rule, who_could=barred.who_could
            )
        return (b.EntryTaken(number=name, words=words, by=by, seen=item.seen),)

    return on_entry(pen, name, decide, f"{by.doer} has it")
