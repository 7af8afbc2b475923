"""The open list as text, JSON and CSV: the same order every time, and what a filter hides."""

from __future__ import annotations

import json
from datetime import tzinfo
from typing import Any

from hardstand.domain.facts import OpenEntry
from hardstand.domain.quantity import Instant, date_time, day_time, local_day, zone
from hardstand.domain.symbols import WORDS
from hardstand.domain.verdict import day_end, runs_out
from hardstand.domain.words import brief, cell
from hardstand.flows.listing import OpenList
from hardstand.views.symbols import symbol_words
from hardstand.views.tables import table

COLUMNS = {
    "entry": "number of the entry, last three of the tail, device, count",
    "tail": "airframe",
    "symbol": "symbol it counts with now: X, (X), - or /",
    "word": "the symbol in words",
    "raised": "symbol it was given",
    "text": "what was found, in the finder's words",
    "found_at_utc": "when it was found, UTC",
    "found_at_local": "when it was found, local with offset",
    "found_by": "initials of the finder",
    "age_days": "local days since it was found",
    "state": "open, ruled, deferred, or action_recorded (done, not cleared)",
    "runs_out_utc": "when it begins to count as X by itself, UTC; empty if never",
    "unit": "position of the unit concerned, if named",
    "serial": "serial number in that position when it was raised",
}
"""What each CSV column holds."""


def render(found: OpenList, form: str, *, plain: bool) -> str:
    """The list in one of the forms text, json, csv, or the dictionary of CSV columns."""
    if form == "json":
        return json_text(found)
    if form == "csv":
        return csv_text(found)
    if form == "columns":
        return "\n".join(f"{name}: {meaning}" for name, meaning in COLUMNS.items())
    return text(found, plain=plain)


def text(found: OpenList, *, plain: bool) -> str:
    """The list as a table under its heading."""
    where = zone(found.record.time_zone)
    banner = ["DEMO RECORD — example limits, its own clock."] if found.record.demo else []
    count = len(found.items)
    hidden = f", {found.hidden} hidden by the filter" if found.hidden else ""
    head = f"Open, as of {date_time(found.as_of, where)}: {count}{hidden}"
    if not found.items:
        return "\n".join([*banner, head])
    rows = [
        [entry.number, symbol_words(symbol), tail, brief(entry.text), _since(entry, where),
         str(age(entry.found_at, found.as_of, where)), entry.found_by, _state(entry, where)]
        for tail, entry, symbol in found.items
    ]  # fmt: skip
    heads = ("entry", "symbol", "tail", "what", "since", "days", "by", "state")
    order = "Worst first, then oldest."
    return "\n".join([*banner, head, table(heads, rows, plain=plain), order])


def _since(entry: OpenEntry, where: tzinfo) -> str:
    return day_time(entry.found_at, where)


def _state(entry: OpenEntry, where: tzinfo) -> str:
    again = f", {len(entry.again) + 1} times" if entry.again else ""
    ends = runs_out(entry)
    until = f", runs out {day_end(Instant(ends), where)}" if ends else ""
    fork = ", disagreement" if entry.disputes else ""
    return entry.state.replace("_", " ") + until + fork + again


def age(found: Instant, now: Instant, where: tzinfo) -> int:
    """Whole local days from the day found to the day asked about."""
    return (local_day(now, where) - local_day(found, where)).days


def json_text(found: OpenList) -> str:
    """The list as `open/1`; times in UTC."""
    where = zone(found.record.time_zone)
    tree = {
        "schema": "open/1",
        "as_of": found.as_of,
        "hidden": found.hidden,
        "items": [_plain(tail, e, s, found.as_of, where) for tail, e, s in found.items],
    }
    return json.dumps(tree, ensure_ascii=False, indent=1)


def _plain(tail: str, entry: OpenEntry, symbol: str, now: Instant, where: tzinfo) -> dict[str, Any]:
    return {
        "entry": entry.number,
        "tail": tail,
        "symbol": symbol,
        "raised": entry.symbol,
        "text": entry.text,
        "found_at": entry.found_at,
        "found_by": entry.found_by,
        "age_days": age(entry.found_at, now, where),
        "state": entry.state,
        "runs_out": runs_out(entry) or None,
    }


def csv_text(found: OpenList) -> str:
    """The list as CSV, RFC 4180; no cell is taken for a formula."""
    import csv  # noqa: PLC0415  only for this form
    import io  # noqa: PLC0415  only for this form

    where = zone(found.record.time_zone)
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    for tail, entry, symbol in found.items:
        row = [
            entry.number, tail, symbol, WORDS[symbol], entry.symbol, entry.text,
            entry.found_at, date_time(entry.found_at, where), entry.found_by,
            str(age(entry.found_at, found.as_of, where)), entry.state, runs_out(entry), entry.unit,
            entry.serial,
        ]  # fmt: skip
        writer.writerow(value if i in {2, 4} else cell(value) for i, value in enumerate(row))
    return out.getvalue().rstrip("\n")
