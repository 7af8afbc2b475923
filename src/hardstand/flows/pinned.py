"""The list a walk is pinned to with all that fills it in, and where an open walk stands on it."""

from __future__ import annotations

import json
from dataclasses import replace

from hardstand.domain import bodies as b
from hardstand.domain.codec import decode
from hardstand.domain.facts import AirframeFacts, OpenWalk
from hardstand.domain.walk import Plan, WalkState, begin, replay
from hardstand.flows.adopting import Lists, type_and_gear
from hardstand.flows.pen import Pen
from hardstand.ports import Journal


def plan_of(pen: Pen, facts: AirframeFacts, known: Lists, digest: str) -> Plan:
    """The pinned list of that digest, with its fit and what the airframe type fills in."""
    checklist = known.by_digest[digest]
    kind, gear = type_and_gear(pen.journal, facts.type)
    return Plan(
        checklist=checklist,
        fit=known.fits[checklist.fit],
        digest=digest,
        places=kind.places,
        facts=frozenset(kind.facts),
        due={name: one.due for name, one in gear.items()},
    )


def resumed_state(pen: Pen, facts: AirframeFacts, known: Lists, own: OpenWalk) -> WalkState:
    """The state of an open walk, folded from its lines."""
    plan = plan_of(pen, facts, known, own.digest)
    entries = tuple(pen.journal.entries(walk=own.walk))
    begun = decode(entries[0])
    if isinstance(begun, b.WalkStarted) and begun.only:
        plan = replace(plan, only=frozenset(begun.only))
    moved = {e for entry in entries if (e := _moved_item(entry.kind, entry.body))}
    items = {line.item: line.value for line in facts.lines if line.item not in moved}
    return replay(begin(plan, walk=own.walk, airframe=facts.tail, items=items), entries)


def fit_walked(journal: Journal, walk: str | None) -> str:
    """The fit whose list a walk is walked by; empty for no walk of the record."""
    started = journal.entries(walk=walk, kind="walk.started") if walk else ()
    begun = next(map(decode, started), None)
    return begun.fit if isinstance(begun, b.WalkStarted) else ""


def _moved_item(kind: str, body: bytes) -> str:
    """The item of a line of the ledger; one field of one kind, no need of the whole body."""
    return str(json.loads(body)["item"]) if kind == "ledger.moved" else ""
