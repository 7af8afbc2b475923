"""A hardstand at work, for as long as it is let: walks, entries, acts, by a clock that jumps.

Every write that returned is acknowledged on a pipe, as `DEVICE SEQ DIGEST`. What was acknowledged
must be in the record whatever happens next; `checked` says whether it is.
"""

from __future__ import annotations

import os
import random
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from builders import IO, MORNING, TAIL, begun, steps
from hardstand.domain import bodies as b
from hardstand.domain.codec import decode
from hardstand.domain.quantity import Instant, later
from hardstand.errors import HardstandError, Refusal
from hardstand.flows.answer_file import Script
from hardstand.flows.logging_defects import Told, act, raise_defect
from hardstand.flows.pen import Pen
from hardstand.flows.playing import play
from hardstand.flows.records import verified
from hardstand.store.journal import SqlJournal, create
from hardstand.store.writing import SqlWriting

TAILS = (TAIL, "QM-116", "QM-164")
WORDS = ("hum in the receiver", "sidetone comes and goes", "a lamp is out å ø 中文", "x" * 900)


def dice(seed: int) -> random.Random:
    """Chance that falls the same way each time."""
    return random.Random(seed)  # noqa: S311  no secret is made of it


class Jumpy:
    """A clock that mostly goes on, and now and then jumps by days either way."""

    def __init__(self, rng: random.Random) -> None:
        self._rng = rng
        self._at = MORNING

    def now(self) -> Instant:
        """The present instant, as far as it can be trusted."""
        jump = self._rng.choice([1, 1, 1, 1, 7, 90, -30, 86_400 * 3, -86_400 * 2])
        self._at = later(self._at, seconds=jump)
        return self._at


class Acknowledging(SqlJournal):
    """A record whose every finished write is told on a pipe."""

    told = 1

    @contextmanager
    def write(self) -> Iterator[SqlWriting]:
        """As ever; the end of the chain is told when the write is durable."""
        with super().write() as writing:
            yield writing
            head = writing.head(self.device)
        os.write(self.told, f"{self.device} {head.seq} {head.digest.hex()}\n".encode())


def new_record(path: Path) -> None:
    """A demo record with the tiny fleet, fit and list in it."""
    create(path, "A")
    journal = SqlJournal(path)
    begun(journal, demo=True)
    journal.close()


def work_on(path: Path, device: str, told: int, seed: int, most: int = 1_000_000) -> None:
    """Do one deed after another, until stopped or `most` are done."""
    rng = dice(seed)
    journal = Acknowledging(path, device)
    journal.told = told
    pen = Pen(journal=journal, clock=Jumpy(rng), author="IO")
    for _ in range(most):
        one_deed(pen, rng)
    journal.close()


def one_deed(pen: Pen, rng: random.Random) -> None:
    """Do one deed, or none where the state of the record does not allow it."""
    try:
        rng.choice(DEEDS)(pen, rng)
    except HardstandError as refused:
        if refused.exit_status not in {1, 2, 10}:
            raise


def walk_one(pen: Pen, rng: random.Random) -> None:
    """Play a walk, good but for a step or two, sometimes left unfinished."""
    tail = rng.choice(TAILS)
    answers = dict.fromkeys((s.id for s in steps()), ("OK", ""))
    for step in steps():
        if step.kind == "state":
            answers[step.id] = (step.expect, "")
        elif step.kind in {"count", "reading"}:
            answers[step.id] = ("9" if step.kind == "count" else "24.5", "")
        elif step.evidence:
            answers[step.id] = ("OK", "BT at the wing tip")
        elif rng.random() < 0.1:
            answers[step.id] = rng.choice([("FAULT", "loose"), ("SKIPPED dark", "")])
    taken = tuple(e.number for e in pen.journal.facts(tail).open if e.symbol != "/")
    cut = rng.randrange(len(answers) + 4)
    kept = dict(list(answers.items())[:cut])
    done = cut >= len(answers)
    script = Script(
        tail=tail, taken=taken, answers=kept, end=None if done else "left_unfinished",
        end_words="called away",
    )  # fmt: skip
    with suppress(Refusal):  # another program walks it at this moment
        play(pen, script, by=IO)


def _raise(pen: Pen, rng: random.Random) -> None:
    told = Told(words=rng.choice(WORDS), symbol=rng.choice(["X", "-", "/"]))
    raise_defect(pen, rng.choice(TAILS), told, by=IO)


def _act(pen: Pen, rng: random.Random) -> None:
    """Record work on an open entry, or clear it as somebody else."""
    entries = pen.journal.facts(rng.choice(TAILS)).open
    if not entries:
        return
    number = rng.choice(entries).number
    act(pen, number, "action", ("made good",), by=IO)
    if rng.random() < 0.7:
        other = Pen(journal=pen.journal, clock=pen.clock, author="DQ")
        act(other, number, "clear", ("seen",), by=b.By(doer="DQ"))


DEEDS = (walk_one, _raise, _raise, _act)


# -- what must be true afterwards ------------------------------------------------------------------

Ack = tuple[str, int, str]


def acks(text: bytes) -> list[Ack]:
    """The acknowledgements of a pipe; a half-written last one counts for nothing."""
    lines = text.split(b"\n")[:-1]
    return [(d, int(seq), digest) for d, seq, digest in (n.decode().split(" ") for n in lines)]


def checked(path: Path, acknowledged: Iterable[Ack]) -> int:
    """Assert that nothing acknowledged is lost, doubled or broken; how many lines there are."""
    journal = SqlJournal(path, read_only=True)
    try:
        verified(journal)
        lost = [a for a in acknowledged if (journal.digest(a[0], a[1]) or b"").hex() != a[2]]
        assert lost == [], f"acknowledged and gone: {lost}"
        nothing_twice(journal)
        return sum(head.seq for head in journal.heads().values())
    finally:
        journal.close()


def nothing_twice(journal: SqlJournal) -> None:
    """Assert that no step was answered twice in one walk."""
    answered = set[tuple[str, str]]()
    for entry in journal.entries(kind="step.answered"):
        body = decode(entry)
        assert isinstance(body, b.StepAnswered)
        place = (entry.walk or "", body.step)
        assert place not in answered, f"answered twice: {place}"
        answered.add(place)
