"""What a pilot reads: four lines in the pilot's own words, the list, what is read out; flights."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import tzinfo

from hardstand.domain.flight_facts import Flight, Flown, Irregularity
from hardstand.domain.quantity import Instant, date_time, day_time, zone
from hardstand.domain.verdict import Standing, day_end, runs_out
from hardstand.domain.words import brief, visible
from hardstand.flows.flights import FlightList, Offered
from hardstand.views.status import FOOT
from hardstand.views.symbols import symbol_words
from hardstand.views.tables import table

MOST_NAMED = 6
"""Things named one by one before they are counted."""


def screen(shown: Offered) -> list[str]:
    """The four lines, the list as it stands, what came of the pilot's reports."""
    where = zone(shown.record.time_zone)
    found = shown.verdict
    said = next((f.word for f in found.missions if f.mission == shown.mission), "")
    head = f"{found.tail} for {shown.mission}{f': {said}' if said else ''}. "
    lines = [
        f"{head}{symbol_words(found.symbol)}, as of {date_time(found.as_of, where)}.",
        f"Works: {_works(shown)}.",
        f"Does not: {_does_not(shown)}.",
        f"Instead: {_instead(shown)}.",
        f"Last trouble: {_last(shown.flown, where)}.",
    ]
    if shown.costs:
        lines.append(f"One more failure that ends {shown.mission}: {', '.join(shown.costs)}.")
    lines += [f"  {_entry(s, where)}" for s in found.open] or ["  Nothing is open."]
    lines += [f"You reported: {o.text}. Found: {o.found} ({o.by})." for o in shown.outcomes]
    return [visible(line) for line in (*lines, FOOT)]


def _title(shown: Offered, name: str) -> str:
    known = shown.fit.functions if shown.fit else {}
    return known[name].title if name in known else name


def _works(shown: Offered) -> str:
    about = shown.verdict.known
    if about is None:
        return "not known: no missions on record"
    touched = {name for t in about.things for name in t.caps}
    good = [f for f in about.book.fed_by if f not in about.unknown and f not in touched]
    if not good:
        return "nothing is proved now" + (f", {about.why_unknown}" if about.why_unknown else "")
    if len(good) == len(about.book.fed_by):
        return f"all {len(good)} functions"
    return _some(_title(shown, f) for f in good)


def _does_not(shown: Offered) -> str:
    about = shown.verdict.known
    open_ = [f"{brief(s.entry.text)} ({s.entry.number})" for s in shown.verdict.open]
    if about is None or about.why_unknown:
        return "; ".join(open_) or "nothing known"
    waiting = [_title(shown, f) for f in about.book.fed_by if f in about.unknown]
    told = [*open_, *([f"not tested: {_some(waiting)}"] if waiting else [])]
    return "; ".join(told) or "nothing known"


def _instead(shown: Offered) -> str:
    book = shown.verdict.known.book if shown.verdict.known else None
    limits = book.tasks[shown.mission].limits if book and shown.mission in book.tasks else ()
    told = [
        *(m for s in shown.verdict.open if s.entry.deferral for m in s.entry.deferral.met),
        *(s.entry.limits.text for s in shown.verdict.open if s.entry.limits),
        *limits,
    ]
    return "; ".join(told) or "nothing laid down"


def _last(flown: Flown, where: tzinfo) -> str:
    told = [r for r in flown.reports if r.at]
    if not told:
        return "none on record lately"
    last = max(told, key=lambda r: r.at)
    return f"{date_time(last.at, where)[:16]} {last.by}, {brief(last.text)}"


def _some(names: Iterable[str]) -> str:
    every = list(names)
    more = len(every) - MOST_NAMED
    return "; ".join(every[:MOST_NAMED]) + (f"; and {more} more" if more > 0 else "")


def _entry(standing: Standing, where: tzinfo) -> str:
    entry = standing.entry
    until = runs_out(entry)
    to = f", to {day_end(Instant(until), where)}" if until else ""
    return f"{entry.number}  {symbol_words(standing.symbol)}: {entry.text}{to}"


def text(found: FlightList, *, plain: bool) -> str:
    """The last flights of each airframe, then every flight that was out of order."""
    where = zone(found.time_zone)
    rows = [
        [tail, str(f.nth), f.mission, f.pilot, day_time(f.off, where), _on(f, where), _said(f)]
        for tail, flown in found.flights
        for f in flown.last
    ]
    heads = ("tail", "flight", "mission", "pilot", "off", "on", "report")
    lines = [table(heads, rows, plain=plain)] if rows else ["No flights on record."]
    lines += [
        visible(irregular(tail, i, where)) for tail, flown in found.flights for i in flown.irregular
    ]
    return "\n".join(lines)


def irregular(tail: str, found: Irregularity, where: tzinfo) -> str:
    """A flight that left when the record stood against it."""
    return (
        f"IRREGULARITY: {tail} {found.mission} {found.pilot}, off {day_time(found.off, where)}: "
        f"{'; '.join(found.texts)} [{found.ref}]"
    )


def _on(flight: Flight, where: tzinfo) -> str:
    return day_time(Instant(flight.on), where) if flight.on else "in the air"


def _said(flight: Flight) -> str:
    if not flight.on:
        return ""
    if flight.said == "reported":
        return ", ".join(flight.entries)
    return "REPORT OWED" if flight.said == "owed" else flight.said
