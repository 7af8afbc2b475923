"""Every line of an entry, an airframe, a box or a person, as it was written."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from hardstand.domain import bodies as b
from hardstand.domain.codec import decode
from hardstand.domain.entry import Entry
from hardstand.domain.ground import corrected
from hardstand.domain.ids import bearers, find_tail, is_initials
from hardstand.domain.quantity import Instant
from hardstand.errors import NotThere
from hardstand.ports import Journal


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """One line of the record with what it says.

    `at` is when it was made by all that is known of its device's clock; the entry keeps what that
    clock showed. `unseen_by` names the inspector who cleared an entry without having seen these
    words on it.
    """

    entry: Entry
    body: b.Body | b.Unknown
    at: Instant
    unseen_by: str = ""


def history(journal: Journal, what: str) -> tuple[Told, ...]:
    """The lines about an entry number, a tail, a serial or a person's initials, oldest first.

    Raises:
        NotThere: the record holds none.
    """
    record = journal.record()
    tail, clocks = find_tail(what, record.tails), record.clocks or {}
    said = _of_airframe(journal, tail) if tail else _naming(journal, what.strip().upper())
    found = tuple(replace(told, at=corrected(told.entry, clocks)) for told in said)
    if not found:
        raise NotThere(
            f"The record holds no line about {what!r}.",
            hint="Name a tail, an entry number such as 107-A01, a serial, or initials.",
        )
    return _with_unseen(found)


def _with_unseen(lines: tuple[Told, ...]) -> tuple[Told, ...]:
    """The lines, with words marked that whoever cleared the entry had not seen (C-13)."""
    cleared = [(t.entry.author, t.body) for t in lines if isinstance(t.body, b.DefectCleared)]

    def unseen(told: Told) -> str:
        body = told.body
        if not isinstance(body, b.DefectNoted):
            return ""
        digest = told.entry.digest.hex()
        return next(
            (by for by, x in cleared if x.number == body.number and digest not in x.seen), ""
        )

    return tuple(replace(t, unseen_by=unseen(t)) for t in lines)


def _of_airframe(journal: Journal, tail: str) -> Iterator[Told]:
    return map(_told, journal.entries(airframe=tail))


def _told(entry: Entry) -> Told:
    return Told(entry=entry, body=decode(entry), at=entry.at)


def _naming(journal: Journal, name: str) -> Iterator[Told]:
    """The lines about an entry, sought where it can be; or of a person, sought everywhere."""
    tails = bearers(name, journal.record().tails)
    near = [told for tail in tails for told in _of_airframe(journal, tail) if _is_about(told, name)]
    yield from near or sorted(
        (told for told in map(_told, journal.chains()) if _is_about(told, name)),
        key=lambda told: (told.entry.tick, told.entry.device, told.entry.seq),
    )


def _is_about(told: Told, name: str) -> bool:
    if is_initials(name):
        by, about = getattr(told.body, "by", None), getattr(told.body, "initials", "")
        hands = {by.doer, *by.with_} if by is not None else set[str]()
        return name in {told.entry.author, about, *hands}
    named = {getattr(told.body, field, "") for field in ("number", "other", "serial")}
    return name in named - {""}
