"""The lead's board as text: a first block to be read in a minute, then everything, in one order.

A slow reader takes a minute over 175 words. Source: Brysbaert 2019, reading rate, as read.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import tzinfo

from hardstand.domain.board import ORDER, RULE, WALK, BoardLine, Class
from hardstand.domain.quantity import (
    Instant,
    date_time,
    day_time,
    later,
    local_day,
    seconds_between,
    span,
    zone,
)
from hardstand.domain.recurrence import Removal
from hardstand.domain.verdict import Verdict, day_end
from hardstand.domain.words import visible
from hardstand.flows.leading import LeadBoard
from hardstand.flows.queries import whole_tail
from hardstand.views.missions import columns, out_loud
from hardstand.views.output import height, prose
from hardstand.views.status import FOOT

MOST_WORDS = 150
"""Words of the first block; the rest of a minute goes to its heading."""

DAY_S = 86_400
WEEK_S = 6 * DAY_S
AGAIN = "Once more, since the board is longer than this screen:"

HEADS: dict[Class, str] = {
    "HAZARD": "DO NOT POWER OR TOUCH",
    "GROUNDS": "GROUNDED",
    "UNKNOWN": "NOT KNOWN",
    "HALF DONE": "HALF DONE",
    "DUE": "RUNS OUT WITHIN A DAY",
    "REPEAT": "COMES BACK",
    "OPEN": "ALSO OPEN",
}


def text(found: LeadBoard) -> str:
    """The whole board, in lines: the same on a screen, in a pipe and read aloud.

    Where it is longer than the screen is high its first block comes once more at the end, so that
    what matters is in view with one command and nothing is hidden.
    """
    where = zone(found.record.time_zone)
    banner = ["DEMO RECORD — example limits, its own clock."] if found.record.demo else []
    if found.stand.clock_behind is not None:
        newest = date_time(found.stand.clock_behind, where)
        banner.append(f"CANNOT TELL what ran out: this clock is before the newest line, {newest}.")
    if found.idle_since:
        since = date_time(Instant(found.idle_since), where)
        banner.append(f"No entry since {since}: this board is a memory.")
    first = first_block(found.lines)
    missions = [visible(line) for line in _missions(found.stand.verdicts)]
    parts = [
        *banner,
        f"Board, as of {date_time(found.as_of, where)}. {_shift(found, where)}",
        *first,
        "",
        *missions,
        "",
        *(visible(line) for line in _lists(found, where)),
        "",
        *(visible(_line(x, found.as_of, where)) for x in found.lines),
        RULE,
        FOOT,
    ]
    whole = prose("\n".join(parts))
    low = 0 < height() <= whole.count("\n") + 1
    return "\n".join([whole, prose("\n".join(["", AGAIN, *missions, *first]))]) if low else whole


def first_block(lines: Sequence[BoardLine]) -> list[str]:
    """One line a class, worst first, cut to what is read in a minute, and how much is left out."""
    classes = [c for c in ORDER if any(x.cls == c for x in lines)]
    if not classes:
        return ["Nothing is open, away or half done."]
    share = MOST_WORDS // len(classes)
    return [visible(_class_line(c, [x for x in lines if x.cls == c], share)) for c in classes]


def _class_line(cls: Class, lines: Sequence[BoardLine], most: int) -> str:
    head = f"{HEADS[cls]} {len(lines)}:"
    left = most - len(head.split()) - 3
    said: list[str] = []
    for line in lines:
        short = cls == "HAZARD" or line.key.startswith(WALK)
        what = line.what.split(",")[0] if short else line.what
        words = f"{_short(line.tail)} {_few(what)}"
        left -= len(words.split())
        if left < 0:
            break
        said.append(words)
    more = len(lines) - len(said)
    told = "; ".join([*said, *([f"and {more} more below"] if more else [])])
    return f"{head} {told}{'' if told.endswith('…') else '.'}"


def _short(tail: str) -> str:
    return tail.rsplit("-", 1)[-1]


def _few(text: str, most: int = 8) -> str:
    words = text.split()
    cut = words[:most]
    while len(words) > most and cut[-1].startswith("("):
        cut.pop()
    return " ".join(cut).rstrip(":;,") + "…" if len(words) > len(cut) else text


def _shift(found: LeadBoard, where: tzinfo) -> str:
    sheet = found.sheet
    if sheet is None:
        return "No handover on record."
    if sheet.taken_by:
        return f"{sheet.taken_by} has the shift since {day_time(Instant(sheet.taken_at), where)}."
    return f"{sheet.by} has the shift; a sheet of {day_time(sheet.at, where)} is not taken yet."


def _missions(verdicts: Sequence[Verdict]) -> Iterable[str]:
    """For each mission, which aircraft can: `MAIL-N: CAN 101; LIMITS 107; UNKNOWN 110 113`."""
    words = {"CAN": "CAN", "CAN WITH LIMITS": "LIMITS", "UNKNOWN": "UNKNOWN", "CANNOT": "CANNOT",
             "BARRED": "BARRED"}  # fmt: skip
    for mission in columns(verdicts):
        said: dict[str, list[str]] = {}
        for v in verdicts:
            word = next((f.word for f in v.missions if f.mission == mission), None)
            if word:
                said.setdefault(word, []).append(_short(v.tail))
        told = (f"{w} {' '.join(said[word])}" for word, w in words.items() if word in said)
        yield f"{mission}: {'; '.join(told)}"


def _lists(found: LeadBoard, where: tzinfo) -> Iterable[str]:
    due = sorted((x for x in found.lines if x.until), key=lambda x: x.until)
    if due:
        told = "; ".join(f"{x.key} {day_end(Instant(x.until), where)}" for x in due)
        yield f"Runs out next: {told}."
    yield from _flying(found, where)
    for bank in found.banks:
        left = f"{bank.minutes_left} min left as it is" if bank.minutes_left else "reserve touched"
        yield (
            f"{bank.tail} battery: about {bank.ah:.1f} Ah drawn of {bank.usable:.1f} usable when "
            f"warm and full; {left}."
        )
    yield from _flags(found)
    for tail, odd in found.irregular:
        off = _when(odd.off, found.as_of, where)
        yield (
            f"IRREGULARITY {tail}: {odd.mission} {odd.pilot}, off {off}: {'; '.join(odd.texts)}."
        )
    if found.irregular_before:
        yield f"IRREGULARITY: {found.irregular_before} over 30 days old: hardstand flight list."
    disputes = [x.key for x in found.lines if x.next == "a third person settles it"]
    yield f"Disagreements: {', '.join(disputes) or 'none'}."
    if found.silent:
        told = "; ".join(f"{d} since {_when(at, found.as_of, where)}" for d, at in found.silent)
        yield f"Not heard: {told}."
    for device, error in _wrong_clocks(found):
        yield f"Clock of {device}: {error}; times shown are put right."
    for initials, when in found.ending:
        over = "ended" if when <= found.as_of else "ends"
        yield f"Authority of {initials} {over} {date_time(Instant(when), where)}."


def _when(at: Instant, now: Instant, where: tzinfo) -> str:
    """A day of this week by its name, an earlier one by its date."""
    near = seconds_between(at, now) < WEEK_S
    return day_time(at, where) if near else date_time(at, where)


def _flags(found: LeadBoard) -> Iterable[str]:
    """What came back, what did not hold, which box goes on failing."""
    for tail, repeat in found.repeats:
        numbers = ", ".join(r.number for r in repeat.reports)
        cures = "; ".join(dict.fromkeys(r.cure for r in repeat.reports if r.cure))
        failed = [cleared for cleared, _ in repeat.did_not_hold]
        held = f"; did not hold: {', '.join(failed)}" if failed else ""
        done = f". Done before: {cures}" if cures else ""
        yield (
            f"REPEAT {tail}: {repeat.what}, {len(repeat.reports)} reports in {repeat.flights} "
            f"flights ({numbers}){held}{done}."
        )
    told_above = {pair for _, r in found.repeats for pair in r.did_not_hold}
    for tail, cleared, again in found.failed:
        if (cleared, again) not in told_above:
            yield f"DID NOT HOLD {tail}: {cleared} was cleared, {again} reports it again."
    for rogue in found.rogues:
        tails = "; ".join(_removed(r) for r in rogue.removals)
        yield (
            f"ROGUE {rogue.serial}: removed {len(rogue.removals)} times in {rogue.days} days for "
            f"{rogue.symptom} ({tails})."
        )


def _flying(found: LeadBoard, where: tzinfo) -> Iterable[str]:
    """What is in the air, and what pilots have taken and not left with."""
    taken = [
        f"{_short(tail)} {x.mission} {x.pilot} {day_time(x.at, where)}"
        for tail, x in found.accepted
        if not x.undone
    ]
    gone = [
        f"{_short(tail)} {x.mission} {x.pilot} since {day_time(x.off, where)}"
        for tail, x in found.aloft
    ]
    if taken:
        yield f"Accepted: {'; '.join(taken)}."
    if gone:
        yield f"In the air: {'; '.join(gone)}."


def _wrong_clocks(found: LeadBoard) -> Iterable[tuple[str, str]]:
    """Devices whose clock is wrong, or was put right within a day, by how much."""
    for device, known in sorted((found.record.clocks or {}).items()):
        past = [(later(o.stamped, seconds=-o.offset_s), o) for o in known]
        last = next(((at, o) for at, o in reversed(past) if at <= found.as_of), None)
        if last is None or not last[1].offset_s:
            continue
        at, error = last
        if error.put_right and seconds_between(at, found.as_of) > DAY_S:
            continue
        way = "fast" if error.offset_s > 0 else "slow"
        was = ", put right since" if error.put_right else ""
        yield device, f"{_length(abs(error.offset_s))} {way}{was}"


def _length(seconds: int) -> str:
    if seconds >= 3600:
        return span(seconds)
    return f"{seconds // 60} min {seconds % 60:02d} s" if seconds >= 60 else f"{seconds} s"


def _removed(removal: Removal) -> str:
    return f"{removal.tail}, bench: {removal.bench}" if removal.bench else removal.tail


def _line(line: BoardLine, now: Instant, where: tzinfo) -> str:
    """One thing in one line: class, aircraft, entry, what, age, run-out, what next, whose."""
    days = (local_day(now, where) - local_day(line.since, where)).days
    age = f"{days} days" if days != 1 else "1 day"
    until = f"; to {day_end(Instant(line.until), where)}" if line.until else ""
    number = f"{line.key} " if line.ref == line.key else ""
    symbol = f"{line.symbol} " if line.symbol else ""
    then = f"; {line.next}" if line.next else ""
    head = f"{line.cls:<9} {line.tail} {number}{symbol}{line.what}"
    return f"{head}; {age}{until}{then}; {line.owner}"


def spoken(found: LeadBoard, tail: str = "") -> str:
    """A sentence for each aircraft, or for one, to say out loud.

    Raises:
        NotThere: no such tail.
    """
    one = whole_tail(found.record, tail) if tail else ""
    repeats = {tail: [r for t, r in found.repeats if t == tail] for tail, _ in found.repeats}
    asked = [v for v in found.stand.verdicts if one in {"", v.tail}]
    return "\n".join(out_loud(v, repeats.get(v.tail, ())) for v in asked)
