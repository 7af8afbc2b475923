"""Lines of the record as text: when, who, on what, and what was written, whole."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import tzinfo
from typing import Any

from hardstand.domain import bodies as b
from hardstand.domain.plain import to_plain
from hardstand.domain.quantity import Instant, date_time, moment, parse_instant, zone
from hardstand.domain.words import visible
from hardstand.flows.history import Told
from hardstand.views.output import prose

_WORDS = {
    "walk.started": "walk started", "walk.refused": "walk refused", "log.read": "log read",
    "step.answered": "answered", "step.held": "held, an ear on it",
    "walk.practised": "PRACTICE walk", "person.guided": "guidance chosen",
    "checklist.proposed": "to the author", "checklist.answered": "to the proposer",
    "step.undone": "answer taken back", "walk.broken": "walk left",
    "walk.resumed": "walk gone on with", "walk.closed": "walk closed", "ledger.moved": "moved",
    "defect.raised": "raised", "defect.noted": "words added", "defect.extended": "again",
    "defect.symbol": "symbol raised", "defect.action": "action recorded",
    "defect.proved": "tested good", "defect.cleared": "cleared", "defect.rejected": "rejected",
    "defect.same_as": "joined", "defect.voided": "entered in error",
    "defect.lowered": "symbol lowered", "defect.limited": "circled within limits",
    "defect.deferred": "deferred", "defect.prolonged": "extended", "defect.ruled": "ruled",
    "defect.retested": "tested again", "defect.settled": "settled",
    "attempt.refused": "refused", "person.enrolled": "enrolled", "person.role": "role",
    "person.ended": "authority ended", "person.keyed": "new key", "person.witnessed": "witnessed",
    "person.disowned": "said not to be theirs", "clock.observed": "clock compared",
    "clock.jumped": "clock moved by itself",
    "daybook.marked": "daybook mark", "flight.accepted": "accepted",
    "flight.refused": "not accepted", "flight.begun": "off-block", "flight.ended": "back",
    "flight.reported": "pilot's report", "flight.told": "pilot told", "unit.fitted": "fitted",
    "unit.removed": "removed", "unit.read": "read off the box", "unit.carded": "from its card",
    "unit.received": "received", "unit.tagged": "tagged", "unit.benched": "bench",
    "unit.lost": "lost", "handover.given": "shift given", "handover.taken": "shift taken",
    "defect.taken": "taken to see to", "paper.seconded": "seconded",
    "checklist.withdrawn": "list withdrawn",
}  # fmt: skip


def text(lines: Sequence[Told], time_zone: str) -> str:
    """One line each, oldest first; voided entries are named struck through, never left out."""
    where = zone(time_zone)
    return prose("\n".join(line(told, where) for told in lines))


def line(told: Told, where: tzinfo) -> str:
    """One line of the record: time, author, airframe, kind, all that it says, its ref.

    Where the device's clock was wrong, what it showed stands beside the ref.
    """
    entry = told.entry
    who = f"{entry.author:<4}{entry.airframe or '—':<8}"
    what = _WORDS.get(entry.kind, entry.kind)
    late = " LATE" if getattr(getattr(told.body, "by", None), "late", None) else ""
    return visible(
        f"{date_time(told.at, where)}  {who}{what}{late}{_marks(told)}: {_says(told.body, where)}  "
        f"[{entry.ref}{stamped(entry.at, told.at, where)}]"
    )


def stamped(clock: Instant, made: Instant, where: tzinfo) -> str:
    """What a device's clock showed, if that was not when the line was made; else nothing."""
    if clock == made:
        return ""
    return f", its clock {moment(clock).astimezone(where):%Y-%m-%d %H:%M:%S}"


def _marks(told: Told) -> str:
    """What is said beside a line: who signed it, and who had not seen it."""
    signed = f", signed {told.entry.author}" if told.entry.signature is not None else ""
    unseen = f" (not seen by {told.unseen_by}, who cleared)" if told.unseen_by else ""
    return f"{unseen}{signed}"


def _says(body: object, where: tzinfo) -> str:
    if isinstance(body, b.Unknown):
        return f"kind {body.kind} version {body.version}: needs a newer hardstand"
    if isinstance(body, b.Adopted):
        return f"{body.id} {body.revision} digest {body.digest[:12]}".replace("  ", " ")
    tree: dict[str, Any] = to_plain(body)
    tree.pop("seen", None)
    tree["by"] = _hands(getattr(body, "by", None), where)
    return ", ".join(f"{key} {_value(value)}" for key, value in tree.items() if value != "")


def _hands(by: b.By | None, where: tzinfo) -> str:
    """Who did it, with whom; for a line typed in afterwards when it was done, and who typed it."""
    if by is None:
        return ""
    beside = f" with {' '.join(by.with_)}" if by.with_ else ""
    if by.late is None:
        return f"{by.doer}{beside}"
    made = parse_instant(by.late.made_at)
    when = date_time(made, where) if made else by.late.made_at
    return f"{by.doer}{beside}, done {when}, typed in by {by.late.typist}"


def _value(value: Any) -> str:
    if isinstance(value, dict):
        return " ".join(f"{_value(v)}" for v in value.values())
    if isinstance(value, list):
        return " ".join(_value(v) for v in value) or "none"
    return str(value)
