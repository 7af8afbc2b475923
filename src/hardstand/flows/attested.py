"""Whether a record's attestations hold, and whether it is all there that was written on paper."""

from __future__ import annotations

from collections.abc import Iterator

from hardstand.domain import bodies as b
from hardstand.domain.attesting import wrong
from hardstand.domain.bodies import By
from hardstand.domain.codec import decode
from hardstand.domain.daybook import mark_in, mark_of, spelled
from hardstand.domain.entry import ATTESTING, Entry
from hardstand.domain.quantity import seconds_between, span
from hardstand.domain.record import WHOLE, fold_record
from hardstand.errors import Damaged, Usage
from hardstand.flows.enrolling import heads
from hardstand.flows.pen import Pen
from hardstand.flows.recording import write
from hardstand.ports import Journal, Verifier

_KIND, _SIGNATURE = 7, 12
"""Places of these fields in a line."""


def attestations(journal: Journal, verifier: Verifier) -> list[str]:
    """What is wrong with the signatures of a record, each line by device and seq; its marks too.

    The register is folded from the lines, never from what is kept beside them.
    """
    record, _ = fold_record(entry for kind in sorted(WHOLE) for entry in journal.entries(kind=kind))
    found = [str(x) for x in wrong(_attesting(journal), record, verifier.fits)]
    return [*found, *_marks(journal)]


def _attesting(journal: Journal) -> Iterator[Entry]:
    for line in journal.lines():
        if line[_SIGNATURE] is not None or line[_KIND] in ATTESTING:
            yield line if isinstance(line, Entry) else Entry(*line)


def _marks(journal: Journal) -> Iterator[str]:
    """Every daybook mark of the record that the chains no longer bear out."""
    for entry in journal.entries(kind="daybook.marked"):
        body = decode(entry)
        if isinstance(body, b.DaybookMarked):
            gone = _missing(journal, body.heads)
            yield from (f"{where}, which mark {body.mark} names, {what}" for where, what in gone)
            if mark_of(body.heads) != body.mark:
                yield f"mark {body.mark} at {entry.ref} is not of the chains it names"


def _missing(journal: Journal, ends: tuple[b.HeadSeen, ...]) -> Iterator[tuple[str, str]]:
    for end in ends:
        digest = journal.digest(end.device, end.seq)
        where = f"device {end.device}, seq {end.seq}"
        if digest is None:
            yield where, "is missing: the tail was cut"
        elif digest.hex() != end.digest:
            yield where, "is another line now"


def mark(pen: Pen) -> str:
    """Write a daybook mark over the ends of all chains; how it is said and written down."""
    ends = heads(pen)
    body = b.DaybookMarked(mark=mark_of(ends), heads=ends, by=By(doer=pen.author))
    with pen.journal.write() as writing:
        write(pen, writing, (body,))
    lines = sum(end.seq for end in ends)
    return f"{body.mark}  {spelled(body.mark)}\n{lines} lines, {len(ends)} devices"


def against(journal: Journal, typed: str) -> str:
    """Whether everything that was in the record when a mark was taken is in it still, unchanged.

    Raises:
        Damaged: the mark is not borne out; each place is named.
        Usage: it is no mark.
    """
    wanted = mark_in(typed)
    if not wanted:
        raise Usage(
            f"{typed!r} is no daybook mark, and no file of that name is there.",
            hint="A mark is ten characters, as `hardstand record mark` gives them; or name an "
            "older copy of the record.",
        )
    for entry in journal.entries(kind="daybook.marked"):
        body = decode(entry)
        if not isinstance(body, b.DaybookMarked) or body.mark != wanted:
            continue
        gone = [f"{where} {what}" for where, what in _missing(journal, body.heads)]
        if gone or mark_of(body.heads) != body.mark:
            raise Damaged(
                f"The record is not what mark {wanted} was taken over:\n  " + "\n  ".join(gone),
                safe="Nothing was changed.",
                hint="Keep this file; compare with the other devices and the last backup.",
            )
        lines = sum(end.seq for end in body.heads)
        return f"Mark {wanted} of {entry.at} holds: {lines} lines, {len(body.heads)} devices."
    raise Damaged(
        f"No line of this record bears the mark {wanted}.",
        safe="Nothing was changed.",
        hint="Either it was taken from another record, or lines were cut off at the end.",
    )


def clock_notes(journal: Journal) -> list[str]:
    """Lines stamped before the line above them, and those that say that a clock moved by itself.

    No damage: order never comes from a clock. Every such line is named.
    """
    grace = journal.record().settings.clock_grace_s
    last: dict[str, Entry] = {}
    found = []
    for entry in journal.chains():
        before = last.get(entry.device)
        if before is not None and seconds_between(entry.at, before.at) > grace:
            found.append(
                f"device {entry.device}, seq {entry.seq}: stamped {entry.at}, after a line stamped "
                f"{before.at}"
            )
        last[entry.device] = entry
        body = decode(entry) if entry.kind == "clock.jumped" else None
        if isinstance(body, b.ClockJumped):
            found.append(
                f"device {entry.device}, seq {entry.seq}: its clock moved by {span(body.seconds)} "
                "while it was used"
            )
    return found


SAME_SITTING_S = 60
"""Doer and inspector on one device within so many seconds; ours, from the whole-job paper, 67."""


def notes(journal: Journal) -> list[str]:
    """What an auditor looks at by hand: no damage, and no judgement of anybody."""
    return [*clock_notes(journal), *_one_sitting(journal)]


def _one_sitting(journal: Journal) -> Iterator[str]:
    """Work and its clearing signed on one device within a minute: one person may hold two keys."""
    work: dict[str, Entry] = {}
    for entry in journal.chains():
        if entry.kind not in {"defect.action", "defect.cleared"}:
            continue
        body = decode(entry)
        if isinstance(body, b.ActionRecorded):
            work[body.number] = entry
        before = work.get(body.number) if isinstance(body, b.DefectCleared) else None
        if before is None or before.device != entry.device:
            continue
        if seconds_between(before.at, entry.at) <= SAME_SITTING_S:
            yield (
                f"{entry.ref}: {entry.author} cleared {before.ref} of {before.author} on the same "
                "device within a minute"
            )
