"""Keep the record: back it up, put a backup back, save what verifies of a damaged one."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path

from hardstand.domain.chain import Head
from hardstand.domain.quantity import Instant
from hardstand.errors import Damaged, NoRecord, Refusal, Usage
from hardstand.flows.letters import refuse_no_letter, refuse_used_letter
from hardstand.flows.records import ends, verified
from hardstand.ports import Journal

Heads = Mapping[str, Head]
Opened = Callable[[Path], Journal]


def back_up(copy: Callable[[Path, Path], Heads], record: Path, to: Path, now: Instant) -> str:
    """Copy the record and check the copy; the sentence that says what it holds.

    Args:
        copy: copies one file to another, which must not exist, and checks the copy.
        record: the record, which may be in use.
        to: a new file, or a folder, which gets a file named by the time.
        now: the present instant.
    """
    stamp = now.translate(str.maketrans("", "", "-:"))
    place = to / f"{record.stem}-{stamp}.db" if to.is_dir() else to
    heads = copy(record, place)
    lines = sum(head.seq for head in heads.values())
    return f"Backed up {lines} lines to {place}: {ends(heads)}"


def restore(
    put_back: Callable[[Path, Path, str, Heads], None],
    opened: Opened,
    backup: Path,
    record: Path,
    device: str,
) -> str:
    """Put a backup where the record is to be, unless that would lose a line; what was done.

    The copy put back writes under a letter of its own: the device that wrote before may have
    written on after the backup was made, and no line may be written twice.

    Args:
        put_back: copies, checks, and replaces what stands there, given its heads.
        opened: opens a record for reading.
        backup: the backup.
        record: where it goes.
        device: the letter that the copy writes under.

    Raises:
        Damaged: the backup does not hold.
        Refusal: the letter has written already; or what stands there has lines the backup lacks.
    """
    refuse_no_letter(device)
    _refuse_no_backup(backup, record)
    saved = opened(backup)
    verified(saved)
    refuse_used_letter(device, saved.heads(), safe="Nothing was changed.")
    standing = _standing(opened, record)
    held = standing.heads() if standing else {}
    if standing:
        _refuse_loss(standing, saved, record)
        standing.close()
    put_back(backup, record, device, held)
    return f"Restored {record}, which writes as device {device} from now on: {ends(saved.heads())}"


def _refuse_no_backup(backup: Path, record: Path) -> None:
    if backup.resolve() == record.resolve():
        raise Usage(f"{backup} is the record itself.", hint="Name the backup.")
    if not backup.exists():
        raise NoRecord(
            f"There is no backup at {backup}.",
            safe="Nothing was changed.",
            hint="Name a file that `hardstand record backup` made.",
        )


def _standing(opened: Opened, record: Path) -> Journal | None:
    if not record.exists():
        return None
    try:
        return opened(record)
    except (Damaged, NoRecord) as error:
        raise Refusal(
            f"What stands at {record} cannot be compared with the backup: {error.what}",
            rule="a backup never replaces lines it does not hold",
            safe="Nothing was changed.",
            hint=f"Move {record.name} with everything named {record.name}-… to another folder, "
            "keep it for `record salvage`, then restore again.",
        ) from error


def _refuse_loss(standing: Journal, saved: Journal, record: Path) -> None:
    lacking = list(beyond(standing, saved))
    if lacking:
        raise Refusal(
            f"{record} has lines the backup lacks: {'; '.join(lacking)}.",
            rule="a backup never replaces lines it does not hold",
            safe="Nothing was changed.",
            hint="Keep what stands there; look at the backup with --record.",
        )
    if standing.heads() == saved.heads():
        raise Refusal(
            f"{record} holds the same lines as the backup.",
            safe="Nothing was changed.",
            hint="There is nothing to restore.",
        )


def beyond(one: Journal, other: Journal) -> Iterator[str]:
    """Where one record's chains go beyond another's or part from them, in words."""
    others = other.heads()
    for device, head in sorted(one.heads().items()):
        end = others.get(device, Head())
        shared = min(head.seq, end.seq)
        if shared and one.digest(device, shared) != other.digest(device, shared):
            yield f"device {device} parts from it at or before line {device}-{shared}"
        elif head.seq > end.seq:
            yield f"device {device} from line {device}-{end.seq + 1} to {device}-{head.seq}"


def against(record: Journal, other: Journal) -> str:
    """The sentence that says a record still holds all that another copy of it held.

    Raises:
        Damaged: it does not; a tail was cut off, or the two parted.
    """
    lacking = list(beyond(other, record))
    if lacking:
        raise Damaged(
            "The record lacks lines that the other copy holds:\n  " + "\n  ".join(lacking),
            safe="Nothing was changed; both files were only read.",
            hint="Keep both files. A record put back from an old copy, or cut short, looks so.",
        )
    return f"It holds every line of the other copy: {ends(other.heads())}"


Save = Callable[[Path, Path, str], tuple[Heads, Sequence[str]]]


def salvage(save: Save, record: Path, to: Path, device: str) -> str:
    """Write what verifies of a damaged record into a new one; what was saved and what was not.

    Args:
        save: reads what it can of one file and writes it into another, new one; gives the heads
            of the new one and what is missing, in words.
        record: the damaged record, which is only read.
        to: the new file.
        device: the letter that the new record writes under.
    """
    refuse_no_letter(device)
    heads, missing = save(record, to, device)
    lines = [f"Saved into {to}, which writes as device {device}: {ends(heads)}"]
    lines += [f"missing: {words}" for words in missing] or ["Nothing is missing up to these ends."]
    return "\n".join(lines)
