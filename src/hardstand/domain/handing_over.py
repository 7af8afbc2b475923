"""A shift handed on: given with a sheet, read back line by line, taken on the last of them. Pure.

Source: whole-job M-29; human-factors HND-01, HND-02 (ICAO COSCAP AC 020, FAA Operator's Manual
4.2, two-way handover).
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from hardstand.domain import bodies as b
from hardstand.domain.bodies import By
from hardstand.domain.defects import Refused
from hardstand.domain.entry import Entry
from hardstand.domain.plain import canonical
from hardstand.domain.quantity import Instant
from hardstand.domain.shift_facts import Sheet


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetLine:
    """One thing on a sheet: what it is about, and the words to read out."""

    key: str
    text: str


def given(
    lines: Sequence[SheetLine], mark: str, words: Iterable[str], by: By
) -> tuple[b.HandoverGiven, ...]:
    """The sheet as written down: made from the record, with words added and nothing left out."""
    texts = tuple(line.text for line in lines)
    digest = hashlib.sha256(canonical(list(texts))).hexdigest()
    return (
        b.HandoverGiven(
            lines=texts, keys=tuple(line.key for line in lines), digest=digest, mark=mark,
            words=tuple(words), by=by,
        ),
    )  # fmt: skip


def taken(
    sheet: Sheet | None, read: Sequence[str], by: By
) -> tuple[b.HandoverTaken, ...] | Refused:
    """The shift is the taker's once every line of the sheet was read back, and not before."""
    if sheet is None or sheet.taken_by:
        return Refused(
            what="no sheet waits to be taken",
            hint="The outgoing lead gives one: hardstand handover give",
        )
    if by.doer == sheet.by:
        return Refused(
            what=f"{by.doer} gave this sheet",
            rule="a shift is handed on between two people",
            who_could=f"anyone but {sheet.by}",
        )
    left = [text for key, text in zip(sheet.keys, sheet.lines, strict=True) if key not in read]
    if left:
        return Refused(
            what=f"{len(left)} of {len(sheet.lines)} lines are not read back, first: {left[0]}",
            rule="the shift moves on the last read-back",
            hint=f"Until then {sheet.by} has it.",
        )
    return (b.HandoverTaken(given=sheet.digest, read=tuple(read), by=by),)


def handed_over(known: Sheet | None, entry: Entry, body: object, at: Instant) -> Sheet | None:
    """The last sheet after one more line of the record."""
    if isinstance(body, b.HandoverGiven):
        return Sheet(
            ref=entry.ref, digest=entry.digest.hex(), by=body.by.doer, at=at, lines=body.lines,
            keys=body.keys, mark=body.mark, words=body.words,
        )  # fmt: skip
    if not isinstance(body, b.HandoverTaken) or known is None or known.taken_by:
        return known
    whole = body.given == known.digest and set(known.keys) <= set(body.read)
    if not whole or body.by.doer == known.by:
        return known
    return known._replace(taken_by=body.by.doer, taken_at=at)
