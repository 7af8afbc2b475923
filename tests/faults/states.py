"""Two devices on one record, whatever happens to it: a state machine for hypothesis.

Both walk and write, by clocks that jump. Programs crash, reopen, copy the record, lose it and put
an old copy back. After every step what was acknowledged is there, no step is answered twice, the
chains hold, and what is kept of each airframe is the fold of its lines. At the end any one line
taken away is missed, so that nothing reads better by the loss of one.
"""

from __future__ import annotations

import contextlib
import itertools
import shutil
import tempfile
from pathlib import Path

import pytest
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from builders import IO, TAIL, Watch, begun
from faults.deeds import dice, nothing_twice, walk_one
from hardstand.domain.chain import verify
from hardstand.domain.facts import AirframeFacts
from hardstand.domain.quantity import later
from hardstand.domain.symbols import ORDER, worst
from hardstand.errors import Damaged, NotThere, Refusal, Usage
from hardstand.flows import keeping
from hardstand.flows.logging_defects import Told, act, raise_defect
from hardstand.flows.pen import Pen
from hardstand.flows.records import verified
from hardstand.store.copies import copy, put_back
from hardstand.store.journal import SqlJournal, create

HANDS = st.sampled_from([0, 1])
TAILS = st.sampled_from([TAIL, "QM-116"])
SYMBOLS = st.sampled_from(["X", "-", "/"])
JUMPS = st.sampled_from([-86_400 * 400, -86_400, -60, 3_600, 86_400 * 30])
CHANCE = st.randoms(use_true_random=False)
MEMORY = "/dev/shm" if Path("/dev/shm").is_dir() else None  # noqa: S108  quick; nothing is cut here
FILES = ("record.db", "record.db-wal")


class TwoDevices(RuleBasedStateMachine):
    """Two pens on one record; `told` are the lines whose write returned, by device and seq."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = Path(tempfile.mkdtemp(prefix="hardstand-states-", dir=MEMORY))
        self.letters = list("ZYXWVUTSRQPONMLKJIHGFEDC")
        self.numbers = itertools.count()
        self.places = (self.folder / f"place-{n}" for n in itertools.count())
        self.told: dict[tuple[str, int], bytes] = {}
        self.copies: list[Path] = []
        self.pens: list[Pen] = []

    @initialize()
    def begin(self) -> None:
        """A demo record with the tiny fleet; A and B open it."""
        self.place = next(self.places)
        self.place.mkdir()
        create(self.record, "A")
        journal = SqlJournal(self.record)
        begun(journal, demo=True)
        self._tell(journal)
        journal.close()
        clock = Watch()
        self.pens = [Pen(journal=self._open(d), clock=clock, author="IO") for d in "AB"]

    @property
    def record(self) -> Path:
        """The record where it now is."""
        return self.place / FILES[0]

    def _open(self, device: str) -> SqlJournal:
        return SqlJournal(self.record, device)

    def _tell(self, journal: SqlJournal) -> None:
        for device, seq, *_, digest, _ in journal.lines():
            self.told[device, seq] = digest

    # -- what people do ----------------------------------------------------------------------------

    @rule(hand=HANDS, tail=TAILS, symbol=SYMBOLS)
    def raise_an_entry(self, hand: int, tail: str, symbol: str) -> None:
        """Anyone writes a defect; the airframe never reads better for it."""
        before = _reads(self.pens[hand].journal.facts(tail))
        raise_defect(self.pens[hand], tail, Told(words="hum", symbol=symbol), by=IO)
        after = _reads(self.pens[hand].journal.facts(tail))
        assert ORDER.index(after) <= ORDER.index(before)
        self._tell(self._journal(hand))

    @rule(hand=HANDS, tail=TAILS, deed=st.sampled_from(["action", "void", "clear"]))
    def act_on_an_entry(self, hand: int, tail: str, deed: str) -> None:
        """Somebody acts on the oldest open entry, or is refused."""
        found = self.pens[hand].journal.facts(tail).open
        with contextlib.suppress(Refusal, NotThere, Usage):
            act(self.pens[hand], found[0].number if found else "161-A99", deed, ("done",), by=IO)
        self._tell(self._journal(hand))

    @precondition(lambda self: len(self.told) < 150)
    @rule(hand=HANDS, lots=st.integers(0, 2**16))
    def walk_an_aircraft(self, hand: int, lots: int) -> None:
        """Somebody walks, skips, finds faults, is called away; by lots."""
        pen = self.pens[hand]
        with contextlib.suppress(Refusal, NotThere, Usage):
            walk_one(pen, dice(lots))
        self._tell(self._journal(hand))

    # -- what happens to them ----------------------------------------------------------------------

    @rule(hand=HANDS, seconds=JUMPS)
    def the_clock_jumps(self, hand: int, seconds: int) -> None:
        """A device's clock is put elsewhere."""
        clock = self.pens[hand].clock
        assert isinstance(clock, Watch)
        clock.at = later(clock.at, seconds=seconds)

    @rule(hand=HANDS)
    def one_reopens(self, hand: int) -> None:
        """A program ends in good order and starts again."""
        device = self.pens[hand].journal.device
        self.pens[hand].journal.close()
        self._set(hand, device)

    @rule()
    def both_crash(self) -> None:
        """Both programs are gone in the middle; what stands in the files is what there is."""
        devices = [pen.journal.device for pen in self.pens]
        place = next(self.places)
        place.mkdir()
        for name in FILES:
            if (self.place / name).exists():
                shutil.copyfile(self.place / name, place / name)
        for pen in self.pens:
            pen.journal.close()
        self.place = place
        for hand, device in enumerate(devices):
            self._set(hand, device)

    @rule()
    def the_record_is_copied(self) -> None:
        """Somebody makes a backup while both have the record open."""
        to = self.folder / f"copy-{next(self.numbers)}.db"
        copy(self.record, to)
        self.copies.append(to)

    @precondition(lambda self: self.copies)
    @rule(chance=CHANCE)
    def an_old_copy_is_not_put_over_the_record(self, chance: st.DataObject) -> None:
        """While the record is there, no copy that lacks a line of it goes over it."""
        before = self._journal(0).heads()
        with pytest.raises(Refusal, match=r"lines the backup lacks|same lines as the backup"):
            keeping.restore(put_back, _reader, chance.choice(self.copies), self.record, "Z")  # type: ignore[attr-defined]  # a random.Random
        assert self._journal(0).heads() == before

    @precondition(lambda self: self.copies and len(self.told) < 80 and len(self.letters) > 1)
    @rule(chance=CHANCE)
    def the_record_is_lost_and_an_old_copy_put_back(self, chance: st.DataObject) -> None:
        """The tablet is gone: the copy writes under a new letter, and no line is written twice."""
        old = self.place
        for pen in self.pens:
            pen.journal.close()
        self.place = next(self.places)
        self.place.mkdir()
        letters = [self.letters.pop(), self.letters.pop()]
        last = chance.randrange(len(self.copies))  # type: ignore[attr-defined]  # a random.Random
        # A later copy holds lines that the record put back never had: it is another story's.
        del self.copies[last + 1 :]
        keeping.restore(put_back, _reader, self.copies[last], self.record, letters[0])
        for hand, device in enumerate(letters):
            self._set(hand, device)
        lost = self.told
        self.told = {}
        self._tell(self._journal(0))
        assert self.told.items() <= lost.items()
        found, gone = _reader(self.record), _reader(old / FILES[0])
        if len(self.told) < len(lost):
            with pytest.raises(Damaged, match="lacks lines"):
                keeping.against(found, gone)
        found.close()
        gone.close()

    def _set(self, hand: int, device: str) -> None:
        pen = self.pens[hand]
        self.pens[hand] = Pen(journal=self._open(device), clock=pen.clock, author=pen.author)

    def _journal(self, hand: int) -> SqlJournal:
        journal = self.pens[hand].journal
        assert isinstance(journal, SqlJournal)
        return journal

    # -- what is always true -----------------------------------------------------------------------

    @invariant()
    def nothing_told_is_gone_and_everything_holds(self) -> None:
        """Chains, guards, kept folds, and every line whose write returned."""
        if not self.pens:
            return
        nothing_twice(self._journal(0))
        for pen in self.pens:
            verified(pen.journal)
            for (device, seq), digest in self.told.items():
                assert pen.journal.digest(device, seq) == digest

    def teardown(self) -> None:
        """Any one line taken away would be missed."""
        if self.pens:
            lines, heads = list(self._journal(0).lines()), self.pens[0].journal.heads()
            for gone in range(len(lines)):
                assert list(verify([*lines[:gone], *lines[gone + 1 :]], heads)) != []
            for pen in self.pens:
                pen.journal.close()
        shutil.rmtree(self.folder)


def _reads(facts: AirframeFacts) -> str:
    return worst(entry.symbol for entry in facts.open)


def _reader(path: Path) -> SqlJournal:
    return SqlJournal(path, read_only=True)
