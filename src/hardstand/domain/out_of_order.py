"""Why a flight should not have left when it did: what the record said of off-block. Pure.

Source: whole-job M-34; where a flight leaves with what, it is told and the flight is not altered.
"""

from __future__ import annotations

from collections.abc import Iterable

from hardstand.domain.facts import Finished, Line, OpenEntry
from hardstand.domain.quantity import Instant, later, seconds_between, span
from hardstand.domain.verdict import effective, runs_out

LEFT_OPEN = frozenset({"access", "energy"})
"""Kinds of line that no flight leaves with."""


def against(
    off: Instant,
    entries: Iterable[OpenEntry],
    lines: Iterable[Line],
    walked: Finished | None,
    *,
    hours: int,
    uses_radio: bool,
) -> dict[str, str]:
    """Each reason, with the entry number or line behind it; empty where there is none.

    Args:
        off: off-block.
        entries: what was open then.
        lines: what was not put back then.
        walked: the last preflight finished by then.
        hours: for how many hours a preflight counts.
        uses_radio: whether the mission needs the set, and so a preflight.
    """
    found = {text: e.number for e in entries if (text := _x(e, off))}
    for line in lines:
        if line.kind in LEFT_OPEN:
            found[f"{line.title} recorded {line.value}, not put back"] = line.ref
    if uses_radio:
        late = _no_preflight(off, walked, hours)
        if late:
            found[late] = walked.ref if walked else ""
    return found


def _x(entry: OpenEntry, off: Instant) -> str:
    if effective(entry, off) != "X":
        return ""
    until = runs_out(entry)
    if not until or off < until:
        return f"{entry.number} stood at X"
    after = span(seconds_between(Instant(until), off))
    return f"off-block {after} after the run-out of {entry.number}"


def _no_preflight(off: Instant, walked: Finished | None, hours: int) -> str:
    if walked is None:
        return "no preflight"
    if walked.ended is not None and walked.ended.at <= off:
        return f"preflight ended by: {walked.ended.what}"
    until = later(walked.at, hours=hours)
    return "" if off < until else f"preflight ran out {span(seconds_between(until, off))} before"
