"""The decision to clear an entry: by whom, as what, and what is written beside it. Pure."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal, get_args

from hardstand.domain import bodies as b
from hardstand.domain.authority import NOBODY_ENROLLED, Case
from hardstand.domain.bodies import By
from hardstand.domain.bodies_log import Outcome
from hardstand.domain.checklist import Symbol
from hardstand.domain.defects import Refused, Report, act_on, raised
from hardstand.domain.facts import AirframeFacts, Line, OpenEntry, placard_of
from hardstand.domain.verdict import effective


@dataclass(frozen=True, slots=True, kw_only=True)
class Looked:
    """How an inspector clears: in which words, and what the entry is cleared as.

    `outcome` is empty to take the work's own. `placard_off` says that the deferral's placard was
    seen taken off. `again_by_doer` is the reason why the doer looks at their own work, which a
    chief has ordered. `successor` is the symbol of the entry that follows a temporary repair.
    """

    text: str
    outcome: Outcome | Literal[""] = ""
    placard_off: bool = False
    again_by_doer: str = ""
    successor: Symbol | Literal[""] = ""


def clear(
    facts: AirframeFacts,
    number: str,
    looked: str | Looked,
    by: By,
    case: Case = NOBODY_ENROLLED,
    *,
    device: str = "",
) -> tuple[b.Body, ...] | Refused:
    """Clear an entry over the work recorded; never by whoever did it, but by a chief's order.

    A temporary repair is closed by the entry that follows it, which keeps the original days and
    what the entry counted as.
    """
    how = Looked(text=looked) if isinstance(looked, str) else looked
    item = act_on(facts, number, "clear_own" if how.again_by_doer else "clear", by, case)
    if isinstance(item, Refused):
        return item
    placard = facts.line(placard_of(number))
    if placard is not None and not how.placard_off:
        return Refused(
            what=f"{placard.title} is recorded {placard.value}",
            rule="a placard is counted off the aircraft when its entry is cleared",
            hint="Take it off, then say so: --placard-off",
        )
    outcome = how.outcome or _outcome(item)
    watch = case.settings.look_after_flights if outcome == "could_not_duplicate" else 0
    cleared = b.DefectCleared(
        number=number, text=how.text, outcome=outcome, look_after=watch,
        again_by_doer=how.again_by_doer, by=by, seen=item.seen,
    )  # fmt: skip
    off = () if placard is None else (_placard_off(placard, by),)
    if outcome != "temporary":
        return (*off, cleared)
    counts = effective(item, case.at, trusted=case.trusted)
    follows = _successor(facts, item, how.successor or counts, device=device, by=by)
    return _over(item, how, case) or (*off, follows, cleared)


def _over(item: OpenEntry, how: Looked, case: Case) -> Refused | None:
    """Why what follows cannot be given a milder symbol: its days are over; None if they are not."""
    waits = item.waits_by
    if how.successor in {"", "X"} or waits is None or case.at < waits.runs_out:
        return None
    return Refused(
        what=f"{item.number} was put off to {waits.last_day}, and that is over: what follows it "
        "counts as X",
        rule="what follows a temporary repair keeps the days of what it follows",
        who_could="nobody; a chief may circle what follows, within limits",
        hint="Clear it without --follow.",
    )


def _outcome(item: OpenEntry) -> Outcome:
    known: tuple[Outcome, ...] = ("could_not_duplicate", "temporary")
    return next((o for o in known if item.work and item.work.outcome == o), "rectified")


def _placard_off(line: Line, by: By) -> b.LineMoved:
    return b.LineMoved(
        item=line.item, title=line.title, item_kind="tag", home=line.home, from_=line.value,
        to=line.home, words="taken off at clearing", by=by, seen=line.heads,
    )  # fmt: skip


def _successor(
    facts: AirframeFacts, item: OpenEntry, symbol: Symbol | str, *, device: str, by: By
) -> b.DefectRaised:
    """The entry that goes on after a temporary repair, with the original's days."""
    report = Report(
        symbol=next(s for s in get_args(Symbol) if s == symbol),
        text=f"temporary repair of {item.number}: {item.text}",
        takes=item.takes, weakens=item.weakens, untested=item.untested, step=item.step,
        zone=item.zone, unit=item.unit, symptom=item.symptom, conditions=item.conditions,
        found_at=item.found_at, logged_at=item.logged_at,
    )  # fmt: skip
    return replace(raised(facts, report, device=device, by=by), successor_of=item.number)
