"""Boxes and positions as text: where each is, and every line about it, oldest first."""

from __future__ import annotations

from datetime import tzinfo

from hardstand.domain import bodies as b
from hardstand.domain.boxes import Moving, words
from hardstand.domain.quantity import date_time, zone
from hardstand.domain.words import visible
from hardstand.flows.units import Shown, UnitLine
from hardstand.views.history import stamped
from hardstand.views.tables import table


def text(shown: Shown, *, plain: bool) -> str:
    """A box with its history, an aircraft's positions with theirs, or every box."""
    where = zone(shown.time_zone)
    rows = [[w.part, w.serial, w.place] for w in shown.boxes]
    rows += [["", "EMPTY", f"{shown.what} {position}"] for position in shown.empty]
    found = [table(("part", "serial", "where"), rows, plain=plain)] if rows else []
    found += [visible(line(x, where)) for x in shown.lines]
    found += [
        visible(f"IN DOUBT: {name} stands in {' and in '.join(places)}; read each off the box")
        for name, places in shown.doubles
    ]
    found += [
        visible(
            f"ROGUE: {r.serial} removed {len(r.removals)} times in {r.days} days for "
            f"{r.symptom}: {', '.join(_removal(x.tail, x.bench) for x in r.removals)}"
        )
        for r in shown.rogues
    ]
    return "\n".join(found) or f"Nothing is recorded of {visible(shown.what)}."


def _removal(tail: str, bench: str) -> str:
    return f"{tail} (bench: {bench})" if bench else tail


def line(told: UnitLine, where: tzinfo) -> str:
    """One line of a box's or a position's life."""
    entry = told.entry
    at = f"{date_time(told.at, where)}  {entry.author}"
    return f"{at}  {_says(told)}  [{entry.ref}{stamped(entry.at, told.at, where)}]"


def _says(told: UnitLine) -> str:
    body = told.body
    if isinstance(body, Moving):
        return f"{told.tail} {words(body)}{_why(body)}"
    if isinstance(body, b.UnitCarded):
        bench = f"; bench {body.benched}: {body.bench}" if body.bench else ""
        for_ = f" for {body.symptom}" if body.symptom else ""
        return (
            f"from its card: {told.tail} {body.position} {body.fitted or '?'} to "
            f"{body.removed or 'now'}{for_}{bench}"
        )
    name = f"{getattr(body, 'part', '')} {getattr(body, 'serial', '')}"
    said = getattr(body, "words", "")
    return f"{name}: {_state(body)}{f', {said}' if said else ''}"


def _why(body: Moving) -> str:
    if isinstance(body, b.UnitRead):
        return f", the record had {body.before}" if body.before != body.serial else ""
    entry = f", for {body.entry}" if body.entry else ""
    ordered = f", ordered by {body.ordered_by}" if body.ordered_by else ""
    return f": {body.reason}{entry}{ordered}"


def _state(body: object) -> str:
    match body:
        case b.UnitReceived():
            return f"received into the {body.place}"
        case b.UnitTagged():
            return f"{body.tag} tag"
        case b.UnitBenched():
            return f"bench: {body.result.replace('_', ' ')}"
        case _:
            return "lost"
