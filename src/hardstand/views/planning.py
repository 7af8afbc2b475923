"""A morning's flights as text: what can be flown, what would help, by when to begin."""

from __future__ import annotations

from hardstand.domain.cover import RULE
from hardstand.domain.quantity import clock_time, date_time, zone
from hardstand.domain.start_by import MARGIN_MIN, trade
from hardstand.domain.words import visible
from hardstand.flows.planning import Help, Plan
from hardstand.views.output import prose
from hardstand.views.tables import table

MOST = 8
"""Ways to help that are told before the rest are counted."""


def text(found: Plan, *, plain: bool) -> str:
    """The answers in words and one table."""
    where = zone(found.record.time_zone)
    lines = [f"As of {date_time(found.as_of, where)}:"]
    if found.cover is not None:
        lines.append(visible(found.cover.sentence()))
        lines += [visible(f"  {_help(h)}") for h in found.helps[:MOST]]
        if len(found.helps) > MOST:
            lines.append(f"  and {len(found.helps) - MOST} more ways")
        lines.append(RULE)
    if found.slots:
        rows = [
            [s.tail, clock_time(s.begin, where), clock_time(s.due, where),
             clock_time(s.take_off, where), s.length.sentence()]
            for s in found.slots
        ]  # fmt: skip
        lines.append(table(("tail", "begin by", "done by", "off", "length"), rows, plain=plain))
        lines.append(f"Done by: {MARGIN_MIN} min before off-block, for acceptance and the way.")
    if found.best is not None and found.plain is not None and found.slots:
        hands = "1 pair of hands" if found.people == 1 else f"{found.people} pairs of hands"
        order = " ".join(job.tail for job in found.best.jobs)
        lines.append(f"With {hands}, beginning now: {trade(found.best, found.plain)}")
        lines.append(f"Order for fewest late: {order}. You choose.")
    if found.in_date:
        lines.append(f"Preflight in date at off-block: {', '.join(found.in_date)}.")
    return prose("\n".join(lines))


def _help(found: Help) -> str:
    names = " with ".join(found.names)
    more = f"{found.gained} more flight{'' if found.gained == 1 else 's'}"
    if found.deed == "walk":
        return f"{found.tail}: walk it ({names}); {found.mission}, {more} if all is good"
    return f"{found.tail}: {found.deed} {names}; {found.mission}, {more}"
