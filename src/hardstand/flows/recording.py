"""The one way into the record: facts → decide → seal → append, in one transaction."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from hardstand.domain.bodies import Body
from hardstand.domain.chain import Head, seal
from hardstand.domain.codec import encode, kind_of
from hardstand.domain.defects import Refused
from hardstand.domain.entry import Entry
from hardstand.domain.facts import AirframeFacts
from hardstand.domain.quantity import Instant
from hardstand.errors import Refusal
from hardstand.ports import Clock, Journal, Writing


@dataclass(frozen=True, slots=True, kw_only=True)
class Pen:
    """Who writes where: record, clock, the person who answers for it, the device."""

    journal: Journal
    clock: Clock
    author: str

    @property
    def device(self) -> str:
        """The device whose chain is written."""
        return self.journal.device


def record(
    pen: Pen,
    tail: str,
    decide: Callable[[AirframeFacts], Sequence[Body] | Refused],
    *,
    walk: str | None = None,
) -> tuple[Entry, ...]:
    """Decide on the facts of one airframe and write what comes out, durably.

    Raises:
        Refusal: the decision was a refusal; nothing was written.
        NotThere: no such airframe.
    """
    with pen.journal.write() as writing:
        bodies = decide(writing.facts(tail))
        if isinstance(bodies, Refused):
            raise refusal(bodies)
        return write(pen, writing, bodies, tail=tail, walk=walk)


def write(
    pen: Pen,
    writing: Writing,
    bodies: Sequence[Body],
    *,
    tail: str | None = None,
    walk: str | None = None,
    adopted: str = "",
) -> tuple[Entry, ...]:
    """Seal bodies onto the device's chain inside an open write, and append them."""
    at, tick, head = pen.clock.now(), writing.tick(), writing.head(pen.device)
    entries = []
    for body in bodies:
        tick += 1
        entry = _sealed(pen, body, head, tick, at, (tail, walk, adopted))
        head = Head(entry.seq, entry.digest, tick)
        entries.append(entry)
    writing.append(entries)
    return tuple(entries)


def _sealed(
    pen: Pen,
    body: Body,
    head: Head,
    tick: int,
    at: Instant,
    where: tuple[str | None, str | None, str],
) -> Entry:
    tail, walk, adopted = where
    kind, version = kind_of(body, adopted)
    return seal(
        Entry(
            device=pen.device,
            seq=head.seq + 1,
            tick=tick,
            at=at,
            author=pen.author,
            airframe=tail,
            walk=walk,
            kind=kind,
            version=version,
            body=encode(body),
            prev=head.digest,
            digest=b"",
        )
    )


def refusal(refused: Refused) -> Refusal:
    """The error that tells a refused decision."""
    return Refusal(
        refused.what,
        rule=refused.rule,
        who_could=refused.who_could,
        hint=refused.hint,
        safe="Nothing was written.",
    )
