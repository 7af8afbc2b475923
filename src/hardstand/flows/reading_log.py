"""The log first: the open list as it stands, lines left open, each grave entry by its own key."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence

from hardstand.domain import bodies as b
from hardstand.domain.facts import OpenEntry
from hardstand.domain.quantity import date_time
from hardstand.domain.symbols import ORDER
from hardstand.flows import questions as q
from hardstand.flows.seat import Walking, put_back


def read_log(walking: Walking) -> None:
    """Read the log before anything is touched: the list as it stands, each grave entry by key.

    Lines that somebody left open at this aircraft are looked at first.
    """
    for line in q.safe_order(walking.facts):
        put_back(walking, line.item)
    facts = walking.facts
    standing = in_log_order(facts.open)
    as_of = date_time(walking.pen.clock.now(), walking.where)
    blocks = q.log_blocks(facts, standing, f"{as_of}, device {walking.pen.device}")
    walking.ask(q.confirm_ask(blocks, "I have read it", keys="CBR"))
    taken = list[str]()
    for entry in (e for e in standing if e.symbol != "/"):
        walking.ask(q.take_ask(entry, walking.where))
        taken.append(entry.number)
    note_log(walking, standing, taken)


def note_log(walking: Walking, standing: Sequence[OpenEntry], taken: Sequence[str]) -> None:
    """Write which list was shown, by digest, and which entries were taken by key."""
    text = tuple(q.entry_line(entry) for entry in standing)
    body = b.LogRead(
        listed=tuple(entry.number for entry in standing),
        digest=as_seen(text),
        taken=tuple(taken),
        by=walking.by,
    )
    walking.write(lambda _: (body,))


def in_log_order(entries: Iterable[OpenEntry]) -> list[OpenEntry]:
    """Entries worst first, then oldest first."""
    return sorted(entries, key=lambda e: (ORDER.index(e.symbol), e.found_at, e.number))


def as_seen(lines: Sequence[str]) -> str:
    """The digest of a list as shown: SHA-256 of its lines, hex."""
    return hashlib.sha256("\n".join(lines).encode("utf-8")).hexdigest()
