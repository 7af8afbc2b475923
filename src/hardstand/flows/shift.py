"""A shift handed on: the sheet made from the record, given, read back line by line, taken."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import tzinfo

from hardstand.domain import bodies as b
from hardstand.domain.asking import Ask, Block
from hardstand.domain.board import WALK, BoardLine, ordered
from hardstand.domain.bodies import By
from hardstand.domain.codec import decode
from hardstand.domain.daybook import mark_of, spelled
from hardstand.domain.defects import Refused
from hardstand.domain.handing_over import SheetLine, given, taken
from hardstand.domain.quantity import Instant, date_time, day_time, seconds_between, zone
from hardstand.domain.shift_facts import Sheet, sheet_of
from hardstand.domain.verdict import day_end
from hardstand.flows.leading import LeadBoard
from hardstand.flows.logging_defects import refuse_text
from hardstand.flows.pen import Pen
from hardstand.flows.recording import refusal, write
from hardstand.ports import Journal, Prompter

WORDS_A_MINUTE = 183
"""Read aloud. Source: Brysbaert 2019, as read."""

WEEK_S = 6 * 86_400
"""Within so long a day is told by its name alone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Prepared:
    """A sheet ready to be given: its lines as they are read out, and the mark at its foot."""

    lines: tuple[SheetLine, ...]
    mark: str

    @property
    def minutes(self) -> int:
        """How long it takes to read aloud, in whole minutes, never under one."""
        words = sum(len(line.text.split()) for line in self.lines)
        return max(1, -(-words // WORDS_A_MINUTE))


def prepared(journal: Journal, found: LeadBoard) -> Prepared:
    """The sheet of everything that stands, in the order of the board; nothing is left out."""
    telling = _Telling(journal=journal, where=zone(found.record.time_zone), now=found.as_of)
    lines = (
        *(_line(x, telling) for x in ordered((*found.lines, *found.busy))),
        *_rest(found, telling.where),
    )
    return Prepared(lines=tuple(lines), mark=mark_of(_ends(journal)))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Telling:
    """What the lines of a sheet are told by."""

    journal: Journal
    where: tzinfo
    now: Instant

    def since(self, at: Instant) -> str:
        """A day of this week by its name, an earlier one by its date."""
        if seconds_between(at, self.now) < WEEK_S:
            return day_time(at, self.where)
        return date_time(at, self.where)[:10]

    def at_step(self, line: BoardLine) -> str:
        """How far an open walk has come: its last answered step; empty for other lines."""
        walk = line.key.removeprefix(WALK)
        if walk == line.key:
            return ""
        answered = [decode(e) for e in self.journal.entries(walk=walk, kind="step.answered")]
        steps = dict.fromkeys(x.step for x in answered if isinstance(x, b.StepAnswered))
        if not steps:
            return ", no step answered"
        return f", {len(steps)} steps answered, the last {list(steps)[-1]}"


def _ends(journal: Journal) -> tuple[b.HeadSeen, ...]:
    found = sorted(journal.heads().items())
    return tuple(
        b.HeadSeen(device=device, seq=head.seq, digest=head.digest.hex()) for device, head in found
    )


def _line(line: BoardLine, telling: _Telling) -> SheetLine:
    until = f", to {day_end(Instant(line.until), telling.where)}" if line.until else ""
    symbol = f"{line.symbol} " if line.symbol else ""
    number = f"{line.key}: " if line.ref == line.key else ""
    then = f" Next: {line.next}." if line.next else ""
    text = (
        f"{line.cls}. {line.tail}, {number}{symbol}{line.what}{telling.at_step(line)}, since "
        f"{telling.since(line.since)}{until}.{then} {line.owner} has it."
    )
    return SheetLine(key=line.key, text=text)


def _rest(found: LeadBoard, where: tzinfo) -> Iterator[SheetLine]:
    for device, at in found.silent:
        yield SheetLine(
            key=f"device {device}", text=f"Device {device}: not heard since {day_time(at, where)}."
        )
    for tail, odd in found.irregular:
        yield SheetLine(
            key=f"irregular {odd.ref}",
            text=f"Irregularity. {tail}, {odd.mission} {odd.pilot}: {'; '.join(odd.texts)}.",
        )
    for rogue in found.rogues:
        yield SheetLine(
            key=f"rogue {rogue.serial}", text=f"Rogue unit {rogue.serial}, {rogue.symptom}."
        )


def give(pen: Pen, sheet: Prepared, words: Sequence[str] = (), *, by: By) -> str:
    """Give the sheet: it goes into the record with the mark; what to do next, in words."""
    for text in words:
        refuse_text(text)
    with pen.journal.write() as writing:
        ends = _ends(pen.journal)
        mark = mark_of(ends)
        marked = b.DaybookMarked(mark=mark, heads=ends, by=by)
        write(pen, writing, (marked, *given(sheet.lines, mark, words, by)))
    count = len(sheet.lines)
    return (
        f"Sheet of {count} lines given by {by.doer}; about {sheet.minutes} min to read aloud.\n"
        f"Daybook mark {mark}  {spelled(mark)}\n"
        "Until it is read back and taken you have the shift: hardstand handover take"
    )


def waiting(pen: Pen) -> Sheet | None:
    """The sheet that waits to be taken; None if none does."""
    sheet = sheet_of(pen.journal.record())
    return sheet if sheet is not None and not sheet.taken_by else None


def take(pen: Pen, read: Sequence[str], *, by: By) -> str:
    """Take the shift over the lines read back; what was written, in words.

    Raises:
        Refusal: a line is not read back, nothing waits, or the taker gave the sheet.
    """
    with pen.journal.write() as writing:
        bodies = taken(sheet_of(writing.record()), read, by)
        if isinstance(bodies, Refused):
            raise refusal(bodies)
        write(pen, writing, bodies)
    return f"{by.doer} has the shift; {len(read)} lines read back."


def ask_back(pen: Pen, prompter: Prompter, *, by: By) -> str:
    """Read the sheet back line by line, one key each; what was written, in words.

    Raises:
        Refusal: nothing waits, or the taker gave the sheet.
        Interrupted: the person left; the shift stays with whoever gave it.
    """
    sheet = waiting(pen)
    if sheet is None or sheet.by == by.doer:
        return take(pen, (), by=by)
    read = []
    for number, (key, text) in enumerate(zip(sheet.keys, sheet.lines, strict=True), 1):
        before = _opening(sheet) if number == 1 else ()
        prompter.ask(
            Ask(
                blocks=tuple(Block(kind="say", text=line) for line in (*before, text)), keys="C",
                whole=True, words=(("C", "read back"),), prompt=f"{number} of {len(sheet.lines)}:",
            )
        )  # fmt: skip
        read.append(key)
    return take(pen, read, by=by)


def _opening(sheet: Sheet) -> tuple[str, ...]:
    """What is read before the first line: whose sheet, its mark, and the words added to it."""
    mark = f"Sheet given by {sheet.by}. Daybook mark {sheet.mark}  {spelled(sheet.mark)}"
    return mark, *(f"Added by {sheet.by}: {words}" for words in sheet.words)
