"""The one way into the record: facts → decide → sign → seal → append, in one transaction."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

from hardstand.domain.attesting import message
from hardstand.domain.bodies import AttemptRefused, Body, By, ClockJumped
from hardstand.domain.chain import Head, seal
from hardstand.domain.codec import encode, kind_of
from hardstand.domain.defects import Refused
from hardstand.domain.entry import Entry
from hardstand.domain.facts import AirframeFacts
from hardstand.domain.quantity import Instant
from hardstand.errors import Refusal, WrongPassphrase
from hardstand.flows.pen import Pen
from hardstand.flows.signing import deed_of, refuse_unentitled, signs, unlocked
from hardstand.ports import Writing

Decide = Callable[[AirframeFacts], Sequence[Body] | Refused]
DecideIn = Callable[[Writing], Sequence[Body] | Refused]


class Recorded(NamedTuple):
    """What was written, each line with what it says, and the facts of its airframe with it."""

    entries: tuple[Entry, ...]
    bodies: Sequence[Body]
    facts: AirframeFacts


def record(pen: Pen, tail: str, decide: Decide, *, walk: str | None = None) -> tuple[Entry, ...]:
    """Decide on the facts of one airframe and write what comes out, durably; see `recorded`."""
    return recorded(pen, tail, lambda writing: decide(writing.facts(tail)), walk).entries


def recorded(pen: Pen, tail: str, decide: DecideIn, walk: str | None = None) -> Recorded:
    """Decide inside the write and write what comes out, durably.

    What attests something is signed first, outside the write, and written only if the decision
    still comes out the same: nobody signs what they have not seen.

    Raises:
        Refusal: the decision was a refusal, or what was to be signed changed meanwhile; nothing
            was written but, once people are enrolled, the attempt.
        WrongPassphrase: nothing was signed; the attempt is in the record.
        NotThere: no such airframe.
    """
    shown: tuple[Body, ...] | None = None
    while True:
        with pen.journal.write() as writing:
            bodies = decide(writing)
            if not isinstance(bodies, Refused):
                ready = pen.key is not None or not _to_sign(writing, bodies)
                if shown is not None and tuple(bodies) != shown:
                    raise _changed(tail)
                if ready:
                    entries = write(pen, writing, bodies, tail=tail, walk=walk)
                    return Recorded(entries, bodies, writing.facts(tail))
        if isinstance(bodies, Refused):
            raise refused_attempt(pen, tail, bodies)
        shown = tuple(bodies)
        pen = _signing(pen, tail, shown)


def _to_sign(writing: Writing, bodies: Sequence[Body]) -> bool:
    return writing.record().founded is not None and bool(signs(bodies))


def _signing(pen: Pen, tail: str, bodies: Sequence[Body]) -> Pen:
    """The pen of whoever signs, their passphrase asked for; a mistyped one twice more.

    Every wrong one is kept as an attempt.
    """
    again = ""
    for left in (2, 1, 0):
        try:
            return unlocked(pen, pen.journal.record(), bodies, again=again)
        except WrongPassphrase as wrong:
            note_attempt(pen, "sign", rule=wrong.what, tail=tail)
            if not (left and wrong.again):
                raise
            again = f"{wrong.what} Nothing was signed; tries left: {left}."
    raise AssertionError(tail)


def refused_attempt(pen: Pen, tail: str, refused: Refused) -> Refusal:
    """The error of a refused decision; where people are enrolled the attempt is kept."""
    error = refusal(refused)
    if not refused.deed or pen.journal.record().founded is None:
        return error
    note_attempt(pen, refused.deed, number=refused.number, rule=refused.rule, tail=tail)
    error.safe = "Nothing was changed; the attempt is in the record."
    return error


def note_attempt(
    pen: Pen, deed: str, *, rule: str, number: str = "", tail: str | None = None
) -> None:
    """Keep in the record that somebody tried what the rules refuse."""
    attempt = AttemptRefused(deed=deed, number=number, rule=rule, by=By(doer=pen.author))
    with pen.journal.write() as writing:
        write(pen, writing, (attempt,), tail=tail)


def _changed(tail: str) -> Refusal:
    return Refusal(
        f"Something was added to {tail} while you were signing.",
        rule="nobody signs what they have not seen",
        safe="Nothing was written.",
        hint="Look again and sign again.",
    )


def write(
    pen: Pen,
    writing: Writing,
    bodies: Sequence[Body],
    *,
    tail: str | None = None,
    walk: str | None = None,
    adopted: str = "",
) -> tuple[Entry, ...]:
    """Seal bodies onto the device's chain inside an open write, and append them.

    Raises:
        Refusal: one of them attests something and no key was unlocked for it; or a walk is begun,
            gone on with or finished by somebody who may not.
    """
    watched = pen.watched
    moved = watched.slipped() if watched is not None else 0
    if moved:
        write(pen, writing, (ClockJumped(seconds=moved, by=By(doer=pen.author)),))
    for body in bodies:
        if tail and deed_of(body) is not None:
            refuse_unentitled(pen, writing.record(), writing.facts(tail), body)
    at, tick, head = pen.clock.now(), writing.tick(), writing.head(pen.device)
    attesting = signs(bodies, adopted)
    if attesting and pen.key is None and writing.record().founded is not None:
        raise Refusal("This is signed, and nobody has.", safe="Nothing was written.")
    entries = []
    for body in bodies:
        tick += 1
        entry = _sealed(pen, body, head, tick, at, (tail, walk, adopted))
        if pen.key is not None and body in attesting:
            entry = entry._replace(signature=pen.key.sign(message(entry.digest)))
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
        who_could=refused.who_could or ("nobody, as it stands" if refused.rule else ""),
        hint=refused.hint,
        safe="Nothing was written.",
    )
