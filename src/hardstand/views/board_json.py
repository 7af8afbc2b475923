"""The lead's board as `board/1`: everything the text says, for another program; times in UTC."""

from __future__ import annotations

import json
from typing import Any

from hardstand.domain.board import BoardLine
from hardstand.domain.quantity import local_day, zone
from hardstand.domain.shift_facts import Sheet
from hardstand.flows.leading import LeadBoard


def json_text(found: LeadBoard) -> str:
    """The board as `board/1`."""
    return json.dumps(tree(found), ensure_ascii=False, indent=1)


def tree(found: LeadBoard) -> dict[str, Any]:
    """The board as plain values."""
    return {
        "schema": "board/1",
        "as_of": found.as_of,
        "idle_since": found.idle_since or None,
        "shift": _shift(found.sheet),
        "missions": {v.tail: {f.mission: f.word for f in v.missions}
                     for v in found.stand.verdicts},
        "lines": [_line(x, found) for x in found.lines],
        "in_hand": [_line(x, found) for x in found.busy],
        "accepted": [
            {"tail": tail, "mission": x.mission, "pilot": x.pilot, "at": x.at,
             "undone": x.undone or None}
            for tail, x in found.accepted
        ],
        "in_the_air": [
            {"tail": tail, "mission": x.mission, "pilot": x.pilot, "off": x.off}
            for tail, x in found.aloft
        ],
        "batteries": [
            {"tail": x.tail, "drawn_ah": f"{x.ah:.3f}", "usable_ah": f"{x.usable:.3f}",
             "minutes_left": x.minutes_left}
            for x in found.banks
        ],
        **_lists(found),
    }  # fmt: skip


def _lists(found: LeadBoard) -> dict[str, Any]:
    return {
        "repeats": [
            {"tail": tail, "what": r.what, "reports": [x.number for x in r.reports],
             "flights": r.flights, "did_not_hold": [cleared for cleared, _ in r.did_not_hold]}
            for tail, r in found.repeats
        ],
        "did_not_hold": [{"tail": t, "cleared": was, "again": now} for t, was, now in found.failed],
        "rogues": [
            {"part": r.removals[0].part, "serial": r.serial, "symptom": r.symptom, "days": r.days,
             "removals": [{"tail": x.tail, "at": x.at, "bench": x.bench} for x in r.removals]}
            for r in found.rogues
        ],
        "irregularities": [
            {"tail": tail, "mission": i.mission, "pilot": i.pilot, "off": i.off,
             "texts": list(i.texts), "entries": list(i.entries)}
            for tail, i in found.irregular
        ],
        "irregularities_before": found.irregular_before,
        "disagreements": [x.key for x in found.lines if x.next == "a third person settles it"],
        "not_heard": [{"device": device, "since": at} for device, at in found.silent],
        "authority_ends": [{"initials": who, "at": at} for who, at in found.ending],
    }  # fmt: skip


def _shift(sheet: Sheet | None) -> dict[str, Any] | None:
    """Who has the shift, and whether a sheet waits to be taken."""
    if sheet is None:
        return None
    return {
        "by": sheet.taken_by or sheet.by,
        "since": sheet.taken_at or None,
        "mark": sheet.mark,
        "waits": not sheet.taken_by,
    }


def _line(line: BoardLine, found: LeadBoard) -> dict[str, Any]:
    where = zone(found.record.time_zone)
    return {
        "class": line.cls,
        "tail": line.tail,
        "entry": line.key if line.key == line.ref else None,
        "symbol": line.symbol or None,
        "what": line.what,
        "since": line.since,
        "age_days": (local_day(found.as_of, where) - local_day(line.since, where)).days,
        "runs_out": line.until or None,
        "next": line.next,
        "owner": line.owner,
    }
