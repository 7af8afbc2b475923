"""may: the one place that says who may do what, with the rule and who could instead.

Today it knows one bar, that nobody clears their own work, and that lowering waits for people to
be enrolled. Dated roles and fits come with the register of people.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from hardstand.domain.facts import AirframeFacts, OpenEntry

Deed = Literal["clear", "reject", "raise_symbol", "lower_symbol", "void", "act", "prove", "join"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Barred:
    """A refusal: the rule in words, and who could do it."""

    rule: str
    who_could: str


def may(deed: Deed, person: str, item: OpenEntry, facts: AirframeFacts) -> Barred | None:
    """None if the person may do it to that entry; else the rule that bars them.

    Args:
        deed: what is to be done.
        person: initials of whoever wants to.
        item: the entry concerned.
        facts: the airframe it stands on.

    Source: one navy's quality-assurance manual, nobody inspects his own work; AMC4 145.A.48(b).
    """
    hands = {*item.doers}
    if deed == "clear" and person in hands:
        return Barred(
            rule=f"nobody clears their own work; {', '.join(item.doers)} did it",
            who_could="anyone but " + ", ".join(sorted(hands)),
        )
    if deed == "clear" and item.state != "action_recorded":
        return Barred(
            rule=f"{item.number} on {facts.tail} has no action recorded; "
            "an entry is cleared over work done",
            who_could="anyone, once `hardstand defect action` says what was done",
        )
    if deed == "lower_symbol":
        return Barred(
            rule="symbols go up freely and come down only by authority; "
            "this record has no people enrolled yet",
            who_could="nobody yet; record the action and have the entry cleared",
        )
    if deed == "void" and item.symbol == "X" and person == item.found_by:
        return Barred(
            rule="an X entered in error needs a second person",
            who_could=f"anyone but {item.found_by}",
        )
    return None
