"""Let an entry wait: defer by the permitted list, extend once, circle an X within limits."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from datetime import date, timedelta, tzinfo

from hardstand.domain import putting_off
from hardstand.domain.bodies import By
from hardstand.domain.checklist import Fit
from hardstand.domain.defects import Refused
from hardstand.domain.deferral import conditions, runs_out
from hardstand.domain.putting_off import PutOff, Within
from hardstand.domain.quantity import Instant, date_time, parse_instant, zone
from hardstand.domain.verdict import fit_of
from hardstand.errors import Usage
from hardstand.flows.adopting import lists
from hardstand.flows.logging_defects import on_entry, refuse_text, tail_of
from hardstand.flows.pen import Pen
from hardstand.flows.questions import words_ask
from hardstand.flows.signing import case_on
from hardstand.ports import Prompter


def defer(
    pen: Pen, number: str, asked: PutOff, *, by: By, prompter: Callable[[], Prompter] | None = None
) -> str:
    """Put an entry off by an item of the list; conditions not answered yet are asked one by one.

    Raises:
        Refusal: by rule or authority, with who could.
        NotThere: no open entry has that number.
    """
    refuse_text(asked.reason)
    name = number.strip().upper()
    fit = _fit(pen, name)
    put_off = replace(asked, item=asked.item.strip().upper())
    if prompter is not None and (wanted := _wanted(pen, name, put_off, fit, by)):
        put_off = replace(put_off, met=(*put_off.met, *_answered(put_off, wanted, prompter())))
    done = on_entry(
        pen, name,
        lambda facts, case: putting_off.defer(facts, name, put_off, fit, by, case),
        "deferred",
    )  # fmt: skip
    return f"{done} {_until(pen, name)}".rstrip()


def _fit(pen: Pen, number: str) -> Fit | None:
    """The fit of the aircraft an entry stands on."""
    facts = pen.journal.facts(tail_of(pen, number))
    return lists(pen.journal).fits.get(fit_of(facts, pen.now(), pen.journal.record()))


def _wanted(pen: Pen, number: str, asked: PutOff, fit: Fit | None, by: By) -> tuple[str, ...]:
    """The conditions not answered yet; none where it is refused however they are met."""
    permitted = ((fit.permitted or {}) if fit else {}).get(asked.item)
    wanted = conditions(permitted.condition)[len(asked.met) :] if permitted else ()
    facts = pen.journal.facts(tail_of(pen, number))
    case = case_on(pen, pen.journal.record(), facts, number)
    met = replace(asked, met=(*asked.met, *wanted))
    refused = isinstance(putting_off.defer(facts, number, met, fit, by, case), Refused)
    return () if refused else wanted


def _answered(asked: PutOff, wanted: Sequence[str], prompter: Prompter) -> Iterator[str]:
    for condition in wanted:
        text = f"{asked.item}: {condition}. How is it met? (Enter = it is not)"
        yield prompter.ask(words_ask(text)).strip()


def _until(pen: Pen, number: str) -> str:
    """Until when the entry waits, in the record's day basis and in UTC."""
    item = pen.journal.facts(tail_of(pen, number)).entry(number)
    record = pen.journal.record()
    if item is None or item.deferral is None:
        return ""
    basis = "UTC" if record.settings.day_basis == "utc" else record.time_zone
    logged = Instant(item.logged_at or item.found_at)
    at = date_time(logged, zone(record.time_zone))
    found = "" if logged == item.found_at else (
        f" (found {date_time(item.found_at, zone(record.time_zone))})"
    )  # fmt: skip
    return (
        f"Logged {at}{found}, category {item.deferral.category}: last day "
        f"{item.deferral.last_day} by {basis} days; runs out {item.deferral.runs_out}."
    )


def extend(pen: Pen, number: str, days: int, reason: str, *, by: By) -> str:
    """Extend a deferral once, by a higher authority; what was written, in words.

    Raises:
        Refusal: by rule or authority, with who could.
        NotThere: no open entry has that number.
    """
    refuse_text(reason)
    name = number.strip().upper()
    done = on_entry(
        pen, name,
        lambda facts, case: putting_off.extend(facts, name, days, reason, by, case),
        f"extended by {days} days",
    )  # fmt: skip
    return f"{done} {_until(pen, name)}".rstrip()


def limit(pen: Pen, number: str, within: Within, *, by: By) -> str:
    """Circle an X: limits in words and an end, after which it reads X again.

    Raises:
        Refusal: by rule or authority, with who could.
        NotThere: no open entry has that number.
    """
    refuse_text(within.reason)
    name = number.strip().upper()
    return on_entry(
        pen, name,
        lambda facts, case: putting_off.limit(facts, name, within, by, case),
        f"circled until {date_time(within.ends, zone(pen.journal.record().time_zone))}",
    )  # fmt: skip


def time_of(pen: Pen, text: str, *, end: bool) -> Instant:
    """A time typed with its offset, or a day: its beginning, or with `end` its 24:00.

    Days are those of the record's own zone.

    Raises:
        Usage: it is neither.
    """
    found = parse_instant(text) or _day(text, zone(pen.journal.record().time_zone), end=end)
    if found is None:
        raise Usage(
            f"{text!r} is no day and no time with an offset.",
            hint="Such as 2027-03-18 or 2027-03-18T17:00-03:00",
        )
    return found


def _day(text: str, where: tzinfo, *, end: bool) -> Instant | None:
    try:
        day = date.fromisoformat(text.strip())
    except ValueError:
        return None
    return runs_out(day if end else day - timedelta(days=1), where)
