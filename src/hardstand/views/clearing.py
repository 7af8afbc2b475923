"""What waits for an inspector, and everything about one entry on one screen. No decisions."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import tzinfo

from hardstand.domain.facts import Act, OpenEntry, Retested
from hardstand.domain.quantity import Instant, date_time, day_time, zone
from hardstand.domain.words import visible
from hardstand.flows.clearing import Evidence, ToSign
from hardstand.views.symbols import symbol_words
from hardstand.views.tables import table

MEANING = (
    "Clearing says: I looked at this work myself; it is done, proved and closed up as written.",
    "It is one step of the record and does not release the aircraft.",
)
OUTCOMES = {
    "rectified": "rectified",
    "could_not_duplicate": "could not duplicate; a look-after period begins, and it counts as a "
    "report",
    "temporary": "temporary repair; clearing opens the entry that follows it",
}


def queue_text(found: Sequence[ToSign], person: str, time_zone: str, *, plain: bool) -> str:
    """The entries a person may clear now, and nothing else."""
    where = zone(time_zone)
    if not found:
        return f"Nothing waits for {person} to clear."
    rows = [
        [x.entry.number, symbol_words(x.entry.symbol), x.tail, x.entry.text, _done_by(x, where)]
        for x in found
    ]
    heads = ("entry", "symbol", "tail", "what was found", "done")
    foot = f"{person} looks at each: hardstand clear ENTRY"
    return "\n".join([table(heads, rows, plain=plain), foot])


def _done_by(waiting: ToSign, where: tzinfo) -> str:
    work = waiting.entry.work
    return f"{work.by} {day_time(work.at, where)}" if work else ""


def screen(shown: Evidence) -> tuple[str, ...]:
    """Everything for one signature: found, done, units, tests against limits, put back."""
    return tuple(visible(line) for line in _screen(shown, zone(shown.record.time_zone)))


def _screen(shown: Evidence, where: tzinfo) -> Iterator[str]:
    entry = shown.entry
    yield f"{entry.number} on {shown.tail}: {symbol_words(entry.symbol)}"
    yield f"FOUND {date_time(entry.found_at, where)} by {entry.found_by}: {entry.text}"
    yield from _facts(entry)
    yield from (f"WORDS {day_time(a.at, where)} {a.by}: {a.what}" for a in _between(entry))
    yield from _work(entry, where)
    yield from (f"TESTED {_retest(r, where)}" for r in entry.retested)
    for function, at in shown.proved:
        when = f"last proved good {date_time(Instant(at), where)}" if at else "not proved"
        yield f"FUNCTION {function}: {when}{_before(entry, at)}"
    yield from (
        f"PUT BACK {m.title}: {m.to}, {day_time(m.at, where)} by {m.by}" for m in shown.home
    )
    yield from (
        f"NOT PUT BACK {line.title}: recorded {line.value}, home is {line.home}"
        for line in shown.away
    )
    if not shown.away:
        yield "NOT PUT BACK nothing on this aircraft"
    if shown.placard is not None:
        yield f"PLACARD {shown.placard.value}: {shown.placard.words}"
    yield from MEANING


def _facts(entry: OpenEntry) -> Iterator[str]:
    names = {
        "TAKES": ", ".join(entry.takes),
        "WEAKENS": ", ".join(entry.weakens),
        "WAITS FOR A TEST OF": ", ".join(entry.untested),
        "CONDITIONS": entry.conditions,
        "UNIT": f"{entry.unit} {entry.serial}".strip(),
        "RULED": entry.ruled,
    }
    yield from (f"{name} {value}" for name, value in names.items() if value)


def _between(entry: OpenEntry) -> list[Act]:
    """The acts that are neither the finding nor the work shown by itself."""
    work = entry.work.ref if entry.work else ""
    tests = {r.ref for r in entry.retested}
    return [a for a in entry.acts[1:] if a.ref != work and a.ref not in tests]


def _work(entry: OpenEntry, where: tzinfo) -> Iterator[str]:
    work = entry.work
    if work is None:
        yield "DONE nothing recorded"
        return
    hands = ", ".join(d for d in entry.doers if d != work.by)
    beside = f" with {hands}" if hands else ""
    yield f"DONE {date_time(work.at, where)} by {work.by}{beside}: {work.text}"
    yield f"OUTCOME {OUTCOMES.get(work.outcome, work.outcome)}"
    out, fitted = ", ".join(work.units_out), ", ".join(work.units_in)
    yield f"OUT {out or 'no unit'}; IN {fitted or 'no unit'}"
    yield f"REFERENCE {work.reference or 'none given'}"


def _retest(done: Retested, where: tzinfo) -> str:
    value = f" {done.value} {done.unit}".rstrip()
    limits = f", must be {done.low} to {done.high} {done.unit}".rstrip() if done.low else ""
    words = f" ({done.words})" if done.words else ""
    return (
        f"{day_time(done.at, where)} {done.by}: step {done.step} of {done.revision}, {done.title}: "
        f"{done.answer}{value}{limits}{words}"
    )


def _before(entry: OpenEntry, at: str) -> str:
    """Said where a function was last proved before the work, or before the fault."""
    if not at or entry.work is None or at >= entry.work.at:
        return ""
    return ", before this work"
