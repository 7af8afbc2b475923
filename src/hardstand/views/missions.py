"""What each airframe can fly, in words: as a grid, in one line, and to say out loud."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from hardstand.domain.verdict import Standing, Verdict
from hardstand.domain.words import brief, visible
from hardstand.views.tables import table

if TYPE_CHECKING:
    from hardstand.domain.recurrence import Repeat

SHORT = {"CAN WITH LIMITS": "LIMITS"}
LEGEND = "LIMITS: can with limits. `why TAIL` says which, and why not."
_DIGITS = ("oh", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
_COUNTS = ("Nothing", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine")


def grid(verdicts: Sequence[Verdict], *, plain: bool) -> str:
    """Airframes by missions, those that ask least first; empty where no fit has missions."""
    names = columns(verdicts)
    if not names:
        return ""
    rows = []
    for v in verdicts:
        said = {f.mission: SHORT.get(f.word, f.word) for f in v.missions}
        rows.append([v.tail, *(said.get(name, "-") for name in names)])
    return "\n".join([table(("tail", *names), rows, plain=plain), LEGEND])


def columns(verdicts: Iterable[Verdict]) -> tuple[str, ...]:
    """Every mission of the fits carried, those that ask least of any fit first."""
    asks: dict[str, int] = {}
    for v in verdicts:
        for name, task in v.known.book.tasks.items() if v.known else ():
            asks[name] = max(asks.get(name, 0), task.asks)
    return tuple(sorted(asks, key=lambda name: (asks[name], name)))


def grouped(v: Verdict) -> str:
    """What one airframe can fly in one line: `CAN MAIL-D; CAN WITH LIMITS MAIL-N`."""
    words: dict[str, list[str]] = {}
    for said in v.missions:
        words.setdefault(said.word, []).append(said.mission)
    order = ("CAN", "CAN WITH LIMITS", "UNKNOWN", "CANNOT", "BARRED")
    return "; ".join(f"{word} {', '.join(words[word])}" for word in order if word in words)


def out_loud(v: Verdict, repeats: Sequence[Repeat] = ()) -> str:
    """How an airframe stands, as a sentence to say on the telephone."""
    said = _name(v.tail)
    if v.symbol == "X":
        head = "stands at red X, no flight."
    elif v.missions:
        head = f"{_flights(v)}."
    else:
        head = "no missions on record."
    return visible(f"{said}: {head} {_open(v.open, repeats)}")


def _name(tail: str) -> str:
    """The last three signs of a tail as spoken: `One-oh-seven`."""
    last = tail.replace("-", "")[-3:]
    spoken = "-".join(_DIGITS[int(c)] if c.isdecimal() and c.isascii() else c for c in last)
    return spoken[:1].upper() + spoken[1:]


def _flights(v: Verdict) -> str:
    words: dict[str, list[str]] = {}
    for said in v.missions:
        words.setdefault(said.word, []).append(said.mission)
    told = []
    if "CAN" in words:
        told.append(f"can fly {_and(words['CAN'])}")
    if "CAN WITH LIMITS" in words:
        begin = "" if told else "can fly "
        told.append(f"{begin}{_and(words['CAN WITH LIMITS'])} with limits")
    if "CANNOT" in words:
        told.append(f"cannot fly {_and(words['CANNOT'])}")
    if "UNKNOWN" in words:
        told.append(f"not known whether {_and(words['UNKNOWN'])}")
    return "; ".join(told)


def _open(standing: Sequence[Standing], repeats: Sequence[Repeat]) -> str:
    count = len(standing)
    number = _COUNTS[count] if count < len(_COUNTS) else str(count)
    if not standing:
        return "Nothing open."
    return f"{number} open: {'; '.join(_entry(s, repeats) for s in standing)}."


def _entry(standing: Standing, repeats: Sequence[Repeat]) -> str:
    entry = standing.entry
    met = f", {', '.join(entry.deferral.met)}" if entry.deferral else ""
    limits = f", within limits: {entry.limits.text}" if entry.limits else ""
    times = next((len(r.reports) for r in repeats if _in(r, entry.number)), 0)
    again = f", report {times} of the same" if times else ""
    ran_out = ", ran out" if standing.symbol == "X" and entry.symbol != "X" else ""
    return f"{brief(entry.text)}{ran_out}{limits or met}{again}"


def _in(repeat: Repeat, number: str) -> bool:
    return any(report.number == number for report in repeat.reports)


def _and(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
