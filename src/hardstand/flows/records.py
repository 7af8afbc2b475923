"""Make a record, and say whether it holds together."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from pathlib import Path

from hardstand import __version__
from hardstand.domain.bodies import KINDS
from hardstand.domain.chain import Head, verify
from hardstand.domain.codec import decode
from hardstand.domain.entry import Entry, Line
from hardstand.domain.plain import canonical
from hardstand.errors import Damaged
from hardstand.flows.adopting import begin_record
from hardstand.flows.attested import attestations
from hardstand.flows.letters import refuse_no_letter
from hardstand.flows.pen import Pen
from hardstand.ports import Clock, Journal, Verifier

MOST_SHOWN = 20
"""Breaks listed before the rest are counted."""


def make(
    create: Callable[[Path, str], None],
    opened: Callable[[], Journal],
    path: Path,
    kind: tuple[str, bool],
    clock: Clock,
    author: str,
) -> None:
    """Make the file, then write its first line.

    Args:
        create: makes an empty record at a path for a device.
        opened: opens what was made.
        path: where.
        kind: the device letter, and whether it is a demo record.
        clock: for the first line.
        author: initials.
    """
    device, demo = kind
    refuse_no_letter(device)
    create(path, device)
    begin_record(Pen(journal=opened(), clock=clock, author=author), demo=demo, program=__version__)


def verified(journal: Journal, *, full: bool = False, verifier: Verifier | None = None) -> str:
    """The sentence that says the record holds.

    Args:
        journal: the record.
        full: read every body too, and what the indexes say, which takes several times as long.
        verifier: the check of signatures; without it they are not looked at.

    Raises:
        Damaged: it does not; each place is named by device and seq.
    """
    strange = list[str]()
    lines = [str(found) for found in verify(_noted(journal.lines(), strange), journal.heads())]
    lines += _unreadable(journal) if full and not lines else []
    lines += attestations(journal, verifier) if verifier and not lines else []
    guards = [f"the guard {name} is missing or changed" for name in journal.guards()]
    pages = list(journal.flaws(quick=not full))
    stale, misread = ([], []) if lines or pages else _stale(journal)
    lines += misread
    if full:
        stale += [f"the index {name} is missing or another" for name in journal.unmade()]
    wrong = [*lines, *guards, *pages, *stale]
    if wrong:
        raise _damaged(wrong, only_kept=not (lines or guards or pages))
    heads = journal.heads()
    count = sum(head.seq for head in heads.values())
    return f"{count} lines hold, {len(heads)} devices: {ends(heads)}{_needs_newer(strange)}"


def _noted(lines: Iterable[Line], strange: list[str]) -> Iterator[Line]:
    """The lines as they come; those that this version has no words for are noted."""
    for line in lines:
        if (line[7], line[8]) not in KINDS:
            entry = Entry(*line)
            strange.append(f"{entry.ref} {entry.kind} {entry.version}")
        yield line


def _needs_newer(strange: Sequence[str]) -> str:
    """The line that names what was kept and not understood; none where everything was."""
    if not strange:
        return ""
    more = f", and {len(strange) - MOST_SHOWN} more" if len(strange) > MOST_SHOWN else ""
    return f"\nKept, and needs a newer hardstand: {', '.join(strange[:MOST_SHOWN])}{more}"


def ends(heads: Mapping[str, Head]) -> str:
    """Where each chain ends, in words: device, seq, and the first of its digest."""
    return ", ".join(f"{d} {h.seq} {h.digest.hex()[:12]}" for d, h in sorted(heads.items()))


def _stale(journal: Journal) -> tuple[list[str], list[str]]:
    """What is kept and differs from the lines; and a line that no fold can take, in words."""
    try:
        stale = [f"kept facts of {name} differ from its entries" for name in journal.stale()]
    except Damaged as error:
        return [], [error.what]
    return stale, []


def _damaged(wrong: Sequence[str], *, only_kept: bool) -> Damaged:
    more = [f"and {len(wrong) - MOST_SHOWN} more"] if len(wrong) > MOST_SHOWN else []
    told = "The record does not hold:\n  " + "\n  ".join([*wrong[:MOST_SHOWN], *more])
    if only_kept:
        return Damaged(
            told,
            safe="Every line holds; only what is kept beside them differs.",
            hint="Keep a copy of this file, then run `hardstand record rebuild`.",
        )
    return Damaged(
        told,
        safe="Nothing was changed; lines before the first break of a device still hold.",
        hint="Keep this file, compare with the other devices, go on with a verified backup.",
    )


def _unreadable(journal: Journal) -> list[str]:
    """Lines whose body is not the one canonical form of what it says."""
    return [f"{entry.ref}: {why}" for entry in journal.chains() if (why := _wrong_body(entry))]


def _wrong_body(entry: Entry) -> str:
    try:
        decode(entry)
        same = canonical(json.loads(entry.body)) == entry.body
    except (Damaged, ValueError) as error:
        return str(error)
    return "" if same else "its body is not in canonical form"


def rebuild(journal: Journal) -> str:
    """Fold every airframe anew from the lines, which are first verified, and mend their indexes.

    Raises:
        Damaged: the lines do not hold.
    """
    breaks = [str(found) for found in verify(journal.lines(), journal.heads())]
    if breaks:
        raise _damaged(breaks, only_kept=False)
    with journal.write() as writing:
        writing.rebuild()
        return f"Folded anew: {len(writing.record().tails)} airframes."
