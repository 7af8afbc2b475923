"""Decisions that let an aircraft fly with an entry open: deferral, extension, a circled X. Pure.

Source: whole-job C-8 and M-14, M-15; OD1610 as quoted (circled X: written limits, an end at most
one week after it was given); 14 CFR 43.11(b) (placard).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from hardstand.domain import bodies as b
from hardstand.domain.authority import Case
from hardstand.domain.bodies import By
from hardstand.domain.checklist import Fit, Permitted
from hardstand.domain.defects import Refused, act_on, refused_by
from hardstand.domain.deferral import (
    NotYet,
    conditions,
    days_of,
    granted,
    is_placard,
    last_day,
    most_extension,
    most_longer,
    runs_out,
)
from hardstand.domain.facts import AirframeFacts, Deferral, OpenEntry, placard_of, shortest
from hardstand.domain.quantity import Instant, later, local_day, parse_instant

MOST_DAYS_CIRCLED = 7
"""No setting lets a circled X stand for longer."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PutOff:
    """A deferral as asked for: the list item, how each condition was met, and why."""

    item: str
    met: tuple[str, ...]
    reason: str


def defer(
    facts: AirframeFacts, number: str, asked: PutOff, fit: Fit | None, by: By, case: Case
) -> tuple[b.Body, ...] | Refused:
    """Put an entry off by an item of the permitted-defects list of the aircraft's fit.

    Every condition of the item is answered; a placard becomes a line of the ledger. Deferring
    again never gains a day: the day the entry was logged counts for ever.

    Args:
        facts: the airframe.
        number: the entry.
        asked: item, conditions met, reason.
        fit: the fit the airframe carries; None if it is not in the record.
        by: who defers.
        case: circumstances.
    """
    item = act_on(facts, number, "defer", by, case)
    if isinstance(item, Refused):
        return item
    permitted = _on_the_list(asked.item, fit)
    if isinstance(permitted, Refused):
        return permitted
    barred = refused_by(item, "defer", by, case, category=permitted.category)
    if barred is not None:
        return barred
    days = days_of(permitted.category, permitted.interval or permitted.condition)
    if isinstance(days, NotYet):
        return Refused(
            what=f"{asked.item} is category A, and its interval is not in calendar days: "
            f"{days.interval or 'none given'}",
            rule="not yet: flights, flight days and hours are not counted by this hardstand",
            hint="Mend it, or defer it on paper.",
        )
    refused = _cannot_now(item, permitted.category, days, case) or _unanswered(asked, permitted)
    return refused or _put_off(facts, item, asked, permitted, days, by)


def _on_the_list(name: str, fit: Fit | None) -> Permitted | Refused:
    """The item of the permitted-defects list of the fit, or that there is none."""
    listed = (fit.permitted or {}) if fit else {}
    return listed.get(name) or Refused(
        what=f"{name or 'nothing'} is no item of the permitted-defects list of fit "
        f"{fit.id if fit else 'unknown'}",
        rule="only what the list names is put off",
        hint=f"Items: {', '.join(listed) or 'none'}. Otherwise mend it, raise it to X, or a "
        "chief circles an X within limits.",
    )


def _cannot_now(item: OpenEntry, category: str, days: int, case: Case) -> Refused | None:
    """Why this deferral would be over already, or longer than the defect had before."""
    least = shortest(item.put_off)
    if least is not None and days > least.days:
        return _for_longer(item, least, days)
    logged, where = Instant(item.logged_at or item.found_at), case.where
    most, extended = granted(category, days, item.put_off)
    day = last_day(logged, most + extended, where)
    if case.at < runs_out(day, where):
        return None
    return Refused(
        what=f"{item.number} was logged {local_day(logged, where)}; the item gives {days} days, "
        f"which ended {day}",
        rule="a deferral counts from the day the entry was logged, and never starts afresh",
        hint="Mend it, or raise it to X.",
    )


def _for_longer(item: OpenEntry, least: Deferral, days: int) -> Refused:
    """The refusal of more days than the defect had before."""
    if item.deferral is not None:
        return Refused(
            what=f"{item.number} is deferred to {item.deferral.last_day} already",
            rule="deferring again never gains a day; one extension by a chief may",
            hint="`hardstand defect extend`.",
        )
    return Refused(
        what=f"{item.number}: the item gives {days} days; the same defect was put off before, "
        f"by {least.item} to {least.last_day}",
        rule="what was put off once gains no day, neither by a temporary repair nor by joining",
        hint=f"Put it off by an item of at most {least.days} days, mend it, or raise it to X.",
    )


def _unanswered(asked: PutOff, permitted: Permitted) -> Refused | None:
    wanted = conditions(permitted.condition)
    answered = [m for m in asked.met if m.strip()]
    if len(answered) < len(wanted):
        return Refused(
            what=f"not deferred: not answered how this was met: {wanted[len(answered)]}",
            rule="every condition of the item is met before the aircraft flies with it",
            hint="Say how, once for each condition in order: --met WORDS",
        )
    if len(asked.met) > len(wanted):
        return Refused(
            what=f"conditions of the item: {len(wanted)}; answers given: {len(asked.met)}",
            hint=f"Conditions: {'; '.join(wanted) or 'none'}.",
        )
    return None


def _put_off(
    facts: AirframeFacts, item: OpenEntry, asked: PutOff, permitted: Permitted, days: int, by: By
) -> tuple[b.Body, ...]:
    wanted = conditions(permitted.condition)
    met = tuple(b.Condition(condition=c, met=m) for c, m in zip(wanted, asked.met, strict=True))
    deferred = b.DefectDeferred(
        number=item.number, item=asked.item, category=permitted.category,
        days=days if permitted.category == "A" else 0, what=permitted.what, conditions=met,
        reason=asked.reason, by=by, seen=item.seen,
    )  # fmt: skip
    name = placard_of(item.number)
    if facts.line(name) is not None or not any(is_placard(c) for c in wanted):
        return (deferred,)
    words = "; ".join(f"{c.condition}: {c.met}" for c in met if is_placard(c.condition))
    placard = b.LineMoved(
        item=name, title=f"placard for {item.number}", item_kind="tag", home="OFF", from_="OFF",
        to="ON", words=words, by=by, seen=(),
    )  # fmt: skip
    return (deferred, placard)


def extend(
    facts: AirframeFacts, number: str, days: int, reason: str, by: By, case: Case
) -> tuple[b.Body, ...] | Refused:
    """Extend a deferral once, by a higher authority, for at most its own interval."""
    item = act_on(facts, number, "extend", by, case)
    if isinstance(item, Refused):
        return item
    put_off = item.deferral
    if put_off is None:
        return Refused(what=f"{number} is not deferred")
    rule = not_extended(put_off, item.put_off, days, case)
    if rule:
        return Refused(
            what=f"{number}, category {put_off.category}, was not extended by {days} days",
            rule=rule,
            who_could="nobody; mend it before it runs out",
        )
    return (b.DefectProlonged(number=number, days=days, reason=reason, by=by, seen=item.seen),)


def not_extended(now: Deferral, put_off: Iterable[Deferral], days: int, case: Case) -> str:
    """The rule by which a deferral is not extended by so many days; empty if it may be.

    Args:
        now: the deferral.
        put_off: all that the defect was put off by, this one among them.
        days: how many more are asked for.
        case: circumstances.
    """
    profile = case.settings.extensions
    most = most_longer(put_off, now, profile)
    if 1 <= days <= most:
        return ""
    allowed = f"1 to {most} days" if most else "no extension"
    before = "" if most == most_extension(now.category, now.days, profile) else (
        ", after what the defect was put off by before"
    )  # fmt: skip
    return f"by the rule `{profile}` category {now.category} takes {allowed}{before}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Within:
    """Written limits of a circled X as asked for, and why."""

    limits: str
    ends: Instant
    one_operation: bool = False
    reason: str


def limit(
    facts: AirframeFacts, number: str, asked: Within, by: By, case: Case
) -> tuple[b.Body, ...] | Refused:
    """Circle an X: flying within written limits until an end, then it reads X again."""
    item = act_on(facts, number, "limit", by, case)
    if isinstance(item, Refused):
        return item
    if not asked.limits.strip():
        return Refused(
            what=f"{number} was not circled: no limits are written",
            rule=NEEDS_LIMITS,
            who_could="a chief, with LIMITS in words",
            hint="Speed, mission, distance, weather, time: whatever bounds the flight.",
        )
    most = min(case.settings.circled_x_days, MOST_DAYS_CIRCLED)
    rule = not_circled(asked.limits, asked.ends, case, most)
    if rule or asked.ends <= case.at:
        return Refused(
            what=f"{number} was not circled: its end {asked.ends} is not within {most} days",
            rule=rule or ENDS_BY.format(most),
            who_could="nobody for longer; a chief until then",
            hint="--until DAY or a time with its offset",
        )
    return (
        b.SymbolLimited(
            number=number, limits=asked.limits, ends=asked.ends,
            one_operation=asked.one_operation, reason=asked.reason, by=by, seen=item.seen,
        ),
    )  # fmt: skip


NEEDS_LIMITS = "a circled X needs written limits"
ENDS_BY = "a circled X ends at most {} days after it was given, then it reads X again"


def not_circled(limits: str, ends: str, case: Case, most: int = MOST_DAYS_CIRCLED) -> str:
    """The rule by which an X is not circled within these limits; empty if it may be."""
    if not limits.strip():
        return NEEDS_LIMITS
    end = parse_instant(ends)
    if end is None:
        return "a circled X needs an end that reads as a time"
    last = local_day(later(end, seconds=-1), case.where)
    return ENDS_BY.format(most) if (last - local_day(case.at, case.where)).days > most else ""


def operation_closed(
    facts: AirframeFacts, what: str, off: Instant, by: By
) -> tuple[b.SymbolRaised, ...]:
    """What the end of a flight writes: each X circled for one operation before it reads X again."""
    return tuple(
        b.SymbolRaised(
            number=e.number, symbol="X", reason=f"one operation, over: {what}", by=by, seen=e.seen
        )
        for e in facts.open
        if e.limits is not None and e.limits.one_operation and e.symbol == "(X)"
        if any(act.ref == e.limits.ref and act.at <= off for act in e.acts)
    )
