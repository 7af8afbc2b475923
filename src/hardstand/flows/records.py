"""Make a record, and say whether it holds together."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from hardstand import __version__
from hardstand.domain.chain import verify
from hardstand.domain.ids import is_device
from hardstand.errors import Damaged, Usage
from hardstand.flows.adopting import begin_record
from hardstand.flows.recording import Pen
from hardstand.ports import Clock, Journal

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
    if not is_device(device):
        raise Usage(f"--device {device!r} is no device.", hint="One letter, A to Z.")
    create(path, device)
    begin_record(Pen(journal=opened(), clock=clock, author=author), demo=demo, program=__version__)


def verified(journal: Journal) -> str:
    """The sentence that says the record holds.

    Raises:
        Damaged: it does not; each place is named by device and seq.
    """
    breaks = [str(found) for found in verify(journal.lines(), journal.heads())]
    guards = [f"the guard {name} is missing or changed" for name in journal.guards()]
    stale = (
        [] if breaks else [f"kept facts of {n} differ from its entries" for n in journal.stale()]
    )
    wrong = [*breaks, *guards, *stale]
    if wrong:
        more = [f"and {len(wrong) - MOST_SHOWN} more"] if len(wrong) > MOST_SHOWN else []
        raise Damaged(
            "The record does not hold:\n  " + "\n  ".join([*wrong[:MOST_SHOWN], *more]),
            safe="Nothing was changed; lines before the first break of a device still hold.",
            hint="Keep this file, compare with the other devices, go on with a verified backup.",
        )
    heads = journal.heads()
    lines = sum(head.seq for head in heads.values())
    ends = ", ".join(f"{d} {h.seq} {h.digest.hex()[:12]}" for d, h in sorted(heads.items()))
    return f"{lines} lines hold, {len(heads)} devices: {ends}"
