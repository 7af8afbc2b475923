"""Seen before, and what was done: earlier entries of the fleet most like a new one."""

from __future__ import annotations

from dataclasses import dataclass

from hardstand.domain import bodies as b
from hardstand.domain.codec import decode
from hardstand.domain.quantity import Instant
from hardstand.domain.seen_before import scores
from hardstand.errors import NotThere
from hardstand.ports import Journal

MOST = 5
"""Entries told; ours."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Remembered:
    """An earlier entry like the one asked about, and what was done about it, if anything was."""

    number: str
    tail: str
    at: Instant
    text: str
    done: tuple[str, ...]


def like(journal: Journal, what: str) -> tuple[Remembered, ...]:
    """Entries most like an entry, by its number, or like words; most alike first.

    Those of the same unit and symptom come before those that only share words.

    Raises:
        NotThere: it reads like an entry number, and no such entry was ever raised.
    """
    raised = {
        body.number: (entry, body)
        for entry in journal.entries(kind="defect.raised")
        if isinstance(body := decode(entry), b.DefectRaised)
    }
    number = what.strip().upper()
    asked = raised.get(number)
    if asked is None and number[:3].isalnum() and "-" in number and " " not in number:
        raise NotThere(f"No entry {number} was ever raised.", hint="Or give words, in quotes.")
    others = [(entry, body) for n, (entry, body) in raised.items() if n != number]
    words = asked[1].text if asked else what
    alike = scores(words, [f"{body.text} {body.symptom}" for _, body in others])
    ranked = sorted(
        (i for i, score in enumerate(alike) if score > 0 or _same(asked, others[i][1])),
        key=lambda i: (-_same(asked, others[i][1]), -alike[i], others[i][1].number),
    )
    done = _done(journal)
    return tuple(
        Remembered(
            number=body.number, tail=entry.airframe or "", at=entry.at, text=body.text,
            done=done.get(body.number, ()),
        )
        for entry, body in (others[i] for i in ranked[:MOST])
    )  # fmt: skip


def _same(asked: tuple[object, b.DefectRaised] | None, other: b.DefectRaised) -> int:
    """How much of unit and symptom two entries share."""
    if asked is None:
        return 0
    mine = asked[1]
    unit = bool(mine.unit) and mine.unit == other.unit
    symptom = bool(mine.symptom) and mine.symptom.casefold() == other.symptom.casefold()
    return unit + symptom


def _done(journal: Journal) -> dict[str, tuple[str, ...]]:
    """What was done about each entry, oldest first."""
    found: dict[str, tuple[str, ...]] = {}
    for entry in journal.entries(kind="defect.action"):
        body = decode(entry)
        if isinstance(body, b.ActionRecorded):
            found[body.number] = (*found.get(body.number, ()), body.text)
    return found
