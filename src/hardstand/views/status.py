"""The board of airframes as text and JSON: three answers, each with its word."""

from __future__ import annotations

import json
from datetime import tzinfo
from typing import Any

from hardstand.domain.facts import Line, placard_of
from hardstand.domain.quantity import date_time, day_time, zone
from hardstand.domain.verdict import Preflight, Verdict
from hardstand.domain.words import visible
from hardstand.flows.queries import Board
from hardstand.views.missions import grid, grouped
from hardstand.views.output import prose
from hardstand.views.symbols import symbol_words
from hardstand.views.tables import table

HEADING = "Status (from the record)"
FOOT = "A record of checks answered by the people named; it does not release an aircraft."


def text(board: Board, *, one: bool, plain: bool) -> str:
    """The board as a table, or one airframe in lines to read out on a telephone."""
    where = zone(board.record.time_zone)
    banner = ["DEMO RECORD — example limits, its own clock."] if board.record.demo else []
    if board.clock_behind is not None:
        newest = date_time(board.clock_behind, where)
        banner.append(f"CANNOT TELL what ran out: this clock is before the newest line, {newest}.")
    if one:
        return prose("\n".join([*banner, *spoken(board.verdicts[0], where), FOOT]))
    head = f"{HEADING}, as of {date_time(board.as_of, where)}"
    if not board.verdicts:
        return "\n".join([*banner, head, "No airframe yet: hardstand fleet load FLEET.yaml"])
    rows = [_row(v, where) for v in board.verdicts]
    drawn = table(("tail", "fit", "symbol", "preflight", "open"), rows, plain=plain)
    missions = grid(board.verdicts, plain=plain)
    return "\n".join([*banner, head, drawn, *([missions] if missions else []), prose(FOOT)])


def _row(v: Verdict, where: tzinfo) -> list[str]:
    numbers = [s.entry.number for s in v.open]
    lines, placards = _away(v)
    away = [f"{len(lines)} not put back"] if lines else []
    away += [_count(len(placards), "placard")] if placards else []
    away += [f"walk {v.in_progress} in progress"] if v.in_progress else []
    return [
        v.tail, v.fit, symbol_words(v.symbol), preflight_words(v.preflight, where),
        "; ".join([*numbers, *away]),
    ]  # fmt: skip


def _away(v: Verdict) -> tuple[tuple[Line, ...], tuple[Line, ...]]:
    """Open lines to bring home, and placards that belong there while their entries are open."""
    belong = {placard_of(s.entry.number) for s in v.open}
    return (
        tuple(x for x in v.lines if x.item not in belong),
        tuple(x for x in v.lines if x.item in belong),
    )


def _count(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"


def preflight_words(preflight: Preflight, where: tzinfo) -> str:
    """The preflight column: none, in date to when, ran out when, ended."""
    if preflight.state == "none" or preflight.until is None:
        return "none"
    until = day_time(preflight.until, where)
    if preflight.state == "in_date":
        return f"in date to {until}"
    return f"ran out {until}" if preflight.state == "ran_out" else "ended"


def spoken(v: Verdict, where: tzinfo) -> list[str]:
    """One airframe in four lines, each a sentence that can be read out."""
    symbols = "; ".join(r.text for r in v.reasons if r.column == "symbol")
    preflight = "; ".join(r.text for r in v.reasons if r.column == "preflight")
    until = v.preflight.until
    to = "to " if v.preflight.state == "in_date" else ""
    when = f" ({to}{day_time(until, where)})" if until else ""
    lines, placards = _away(v)
    away = "; ".join(line_words(line, where) for line in lines)
    there = "; ".join(line_words(line, where) for line in placards)
    flies = [f"Mission fit: {missions}."] if (missions := grouped(v)) else []
    why = [r.text for r in v.reasons if r.column == "missions"]
    return [
        f"{v.tail}, fit {v.fit}, as of {date_time(v.as_of, where)}: {symbol_words(v.symbol)}.",
        visible(f"Symbol: {symbols}."),
        visible(f"Preflight: {preflight}{when}."),
        *flies,
        *(visible(f"  {text}") for text in why),
        *([visible(f"Not put back: {away}.")] if lines else []),
        *([visible(f"To stay on: {there}.")] if placards else []),
    ]


def line_words(line: Line, where: tzinfo) -> str:
    """An open line as a report: what, recorded how, when and by whom."""
    return f"{line.title}, recorded {line.value} {day_time(line.since, where)} by {line.by}"


def json_text(board: Board) -> str:
    """The board as `status/1`; times in UTC."""
    tree = {
        "schema": "status/1",
        "as_of": board.as_of,
        "airframes": [_plain(v) for v in board.verdicts],
    }
    return json.dumps(tree, ensure_ascii=False, indent=1)


def _plain(v: Verdict) -> dict[str, Any]:
    return {
        "tail": v.tail,
        "fit": v.fit,
        "symbol": v.symbol,
        "preflight": {
            "state": v.preflight.state, "until": v.preflight.until, "by": v.preflight.by or None,
        },
        **({"missions": {f.mission: f.word for f in v.missions}} if v.missions else {}),
        "open": [s.entry.number for s in v.open],
        "lines": [
            {"item": x.item, "title": x.title, "kind": x.kind, "home": x.home, "value": x.value,
             "since": x.since, "by": x.by, "entry": x.ref}
            for x in v.lines
        ],
        "reasons": [{"text": r.text, "entries": list(r.entries)} for r in v.reasons],
    }  # fmt: skip
