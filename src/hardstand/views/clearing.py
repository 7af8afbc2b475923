"""What waits for an inspector, and everything about one entry on one screen. No decisions."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import tzinfo

from hardstand.domain.facts import Act, OpenEntry, Retested
from hardstand.domain.quantity import Instant, date_time, day_time, zone
from hardstand.domain.words import brief, visible
from hardstand.flows.clearing import Evidence, ToSign
from hardstand.views.symbols import symbol_words
from hardstand.views.tables import table

MEANING = "Clearing says: I looked myself; done, proved, closed up; no release."
"""One line of what the signature means; the whole of it stands before the passphrase."""

MOST_WORDS, WORDS_LONG = 5, 42
"""Earlier acts that stand on the screen, and how much of each: the rest is in `defect show`."""
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
    """As few lines as hold it: eighteen of seventy-two columns stand above the keys."""
    entry = shown.entry
    yield f"{entry.number} on {shown.tail}: {symbol_words(entry.symbol)}"
    yield f"FOUND {date_time(entry.found_at, where)} by {entry.found_by}: {entry.text}"
    yield from _together(_facts(entry))
    yield from _words(entry, where)
    yield from _work(entry, where)
    yield from (f"TESTED {_retest(r, where)}" for r in entry.retested)
    yield from _together(f"FUNCTION {f} {_proved(entry, at, where)}" for f, at in shown.proved)
    yield from _together(
        f"PUT BACK {m.title} {m.to}, {day_time(m.at, where)} by {m.by}" for m in shown.home
    )
    away = [f"{a.title}: recorded {a.value}, home is {a.home}" for a in shown.away]
    yield f"NOT PUT BACK {'; '.join(away) or 'nothing on this aircraft'}"
    if shown.placard is not None:
        yield f"PLACARD {shown.placard.value}: {shown.placard.words}"
    yield MEANING


def _together(parts: Iterable[str]) -> Iterator[str]:
    """Short parts as one line; none where there are none."""
    said = "; ".join(parts)
    if said:
        yield said


def _facts(entry: OpenEntry) -> Iterator[str]:
    names = {
        "TAKES": ", ".join(entry.takes),
        "WEAKENS": ", ".join(entry.weakens),
        "WAITS FOR A TEST OF": ", ".join(entry.untested),
        "CONDITIONS": entry.conditions,
        "UNIT": f"{entry.unit} {entry.serial}".strip(),
        "HANDS": ", ".join(entry.doers) if len(entry.doers) > 1 else "",
        "TAUGHT BY": ", ".join(entry.taught),
    }
    yield from (f"{name} {value}" for name, value in names.items() if value)


def _words(entry: OpenEntry, where: tzinfo) -> Iterator[str]:
    """What else was done about it, the newest of it where there is much."""
    acts = _between(entry)
    if len(acts) > MOST_WORDS:
        left = len(acts) - MOST_WORDS
        yield f"WORDS {left} earlier: hardstand defect show {entry.number}"
    for act in acts[-MOST_WORDS:]:
        yield f"WORDS {day_time(act.at, where)} {act.by}: {brief(act.what, WORDS_LONG)}"


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
    yield f"DONE {date_time(work.at, where)} by {work.by}: {work.text}"
    out, fitted = ", ".join(work.units_out), ", ".join(work.units_in)
    yield (
        f"OUTCOME {OUTCOMES.get(work.outcome, work.outcome)}; OUT {out or 'no unit'}; "
        f"IN {fitted or 'no unit'}; REFERENCE {work.reference or 'none given'}"
    )


def _retest(done: Retested, where: tzinfo) -> str:
    read = ", ".join(part.strip() for part in done.value.split("|") if part.strip())
    value = f" {read} {done.unit}".rstrip()
    limits = f", must be {done.low} to {done.high} {done.unit}".rstrip() if done.low else ""
    words = f" ({done.words})" if done.words else ""
    step = f"{done.step} of {done.revision.rpartition(' ')[2]}"
    return (
        f"{day_time(done.at, where)} {done.by}: {step}, {brief(done.title).rstrip('.')}: "
        f"{done.answer}{value}{limits}{words}"
    )


def _proved(entry: OpenEntry, at: str, where: tzinfo) -> str:
    if not at:
        return "not proved"
    return f"last proved good {date_time(Instant(at), where)[:16]}{_before(entry, at)}"


def _before(entry: OpenEntry, at: str) -> str:
    """Said where a function was last proved before the work, or before the fault."""
    if not at or entry.work is None or at >= entry.work.at:
        return ""
    return ", before this work"
