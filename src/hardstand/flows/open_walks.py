"""Where was I: every walk that is not closed. Writes nothing."""

from __future__ import annotations

from dataclasses import dataclass

from hardstand.domain.facts import Line, OpenWalk, safe_order
from hardstand.domain.quantity import Instant
from hardstand.domain.walk_lines import Place, place
from hardstand.flows.queries import Reading, the_airframe


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """An open walk: its airframe, its last line, where it stands, what is not put back there.

    `lines` are in the order to make safe. `staying` are the placards of entries still open, which
    no walk takes off.
    """

    tail: str
    walk: OpenWalk
    last: Instant | None
    lines: tuple[Line, ...]
    staying: tuple[Line, ...]
    time_zone: str
    place: Place


def open_walks(reading: Reading, tail: str = "") -> tuple[Standing, ...]:
    """Every walk that is not closed, or those of one airframe, newest last line first."""
    record = reading.record()
    found = (the_airframe(reading, record, tail),) if tail else reading.all_facts()
    standing = [
        Standing(
            tail=facts.tail, walk=walk, last=reading.last_of_walk(walk.walk),
            lines=tuple(safe_order(facts.due_home)), staying=facts.staying,
            time_zone=record.time_zone,
            place=place(reading.lines_of_walk(walk.walk), reading.steps_of_list(walk.digest)),
        )
        for facts in found
        for walk in facts.walks
    ]  # fmt: skip
    return tuple(sorted(standing, key=lambda s: s.last or s.walk.started, reverse=True))
