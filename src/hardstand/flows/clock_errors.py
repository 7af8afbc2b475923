"""A device's clock held against a better one: written down, and read by everything dated."""

from __future__ import annotations

from dataclasses import dataclass

from hardstand.domain import bodies as b
from hardstand.domain.authority import may
from hardstand.domain.bodies import By
from hardstand.domain.ids import is_device
from hardstand.domain.quantity import parse_instant, seconds_between, span
from hardstand.errors import NotThere, Refusal, Usage, WrongPassphrase
from hardstand.flows.pen import Pen
from hardstand.flows.recording import note_attempt, write
from hardstand.flows.signing import case_of, unlocked


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """A clock's error as typed; see bodies ClockObserved. `seq` 0 means its last line so far."""

    device: str
    showed: str
    true: str
    words: str
    seq: int = 0
    jumped_after: int = -1
    put_right: bool = False


def observe(pen: Pen, seen: Seen) -> str:
    """Write what a device's clock showed and what it was; what follows, in words.

    Raises:
        Usage: a time or the device does not read.
        Refusal: by authority, with who could.
        NotThere: the device has written nothing.
    """
    showed, true = parse_instant(seen.showed), parse_instant(seen.true)
    if showed is None or true is None or not is_device(seen.device):
        raise Usage(
            "A clock's error is a device and two times with offsets.",
            hint="Such as: record clock C 2027-03-08T09:07:20-03:00 2027-03-08T09:00-03:00 WORDS",
        )
    head = pen.journal.heads().get(seen.device)
    if head is None:
        raise NotThere(f"Device {seen.device} has written nothing.", safe="Nothing was written.")
    record = pen.journal.record()
    barred = may("clock", pen.author, case_of(pen, record)) if record.people else None
    if barred is not None:
        note_attempt(pen, "clock", rule=barred.rule)
        raise Refusal(
            "The clock's error was not taken.", rule=barred.rule, who_could=barred.who_could,
            safe="Nothing was changed; the attempt is in the record.",
        )  # fmt: skip
    body = b.ClockObserved(
        device=seen.device, seq=seen.seq or head.seq, stamped=showed,
        offset_s=seconds_between(true, showed), jumped_after=seen.jumped_after,
        put_right=seen.put_right, words=seen.words, by=By(doer=pen.author),
    )  # fmt: skip
    try:
        signing = unlocked(pen, record, (body,))
    except WrongPassphrase as wrong:
        note_attempt(pen, "sign", rule=wrong.what)
        raise
    with pen.journal.write() as writing:
        write(signing, writing, (body,))
    way = "fast" if body.offset_s > 0 else "slow"
    said = f"Device {seen.device} was {span(body.offset_s)} {way}; its lines are dated by that."
    return said if body.put_right or not body.offset_s else f"{said}\n{_until_compared(body)}"


def _until_compared(body: b.ClockObserved) -> str:
    """What else is dated by an error that nobody says was put right, and how to say so."""
    return (
        f"So is all it writes after {body.device}-{body.seq}, until it is compared again. If it "
        f"was put right then, say the same again with --line {body.seq} --put-right."
    )
