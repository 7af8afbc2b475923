"""Two programs on one record under one letter: who gets which number, and who waits for whom."""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from builders import IO, TAIL, Watch, on_disk, opened
from faults.deeds import checked, new_record
from faults.limits import environment
from hardstand.domain import bodies as b
from hardstand.domain.codec import decode
from hardstand.errors import Busy
from hardstand.flows.logging_defects import Told, raise_defect
from hardstand.flows.pen import Pen
from hardstand.store.journal import SqlJournal
from hardstand.store.writing import SqlWriting

RAISES = """
import sys
from hardstand.cli.front import run
for n in range(int(sys.argv[2])):
    run(["--record", sys.argv[1], "defect", "raise", "QM-161", f"hum {n}", "--by", "IO"])
"""


class Overtaken(SqlJournal):
    """A record to which another program writes as soon as this one has."""

    def __init__(self, path: Path, other: Pen) -> None:
        super().__init__(path)
        self.other = other

    @contextmanager
    def write(self) -> Iterator[SqlWriting]:
        """As ever, and then the other one raises an entry."""
        with super().write() as writing:
            yield writing
        raise_defect(self.other, TAIL, Told(words="of the other", symbol="X"), by=IO)


def test_a_program_tells_the_number_it_wrote_and_not_the_newest(tmp_path: Path) -> None:
    other = on_disk(tmp_path)
    overtaken = Overtaken(tmp_path / "record.db", other)
    pen = Pen(journal=overtaken, clock=Watch(), author="IO")
    said = raise_defect(pen, TAIL, Told(words="hum"), by=IO)
    overtaken.close()
    assert said.startswith("161-A01 raised on QM-161: / red diagonal.")
    found = {e.number: e.text for e in other.journal.facts(TAIL).open}
    assert found == {"161-A01": "hum", "161-A02": "of the other"}


def test_two_programs_under_one_letter_give_no_number_twice(tmp_path: Path) -> None:
    record = tmp_path / "record.db"
    new_record(record)
    running = [
        subprocess.Popen([sys.executable, "-c", RAISES, str(record), "8"], env=environment(),
                         stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
        for _ in range(2)
    ]  # fmt: skip
    told = [re.findall(r"161-A\d+(?= raised)", process.communicate()[0]) for process in running]
    assert [len(numbers) for numbers in told] == [8, 8]
    assert sorted(told[0] + told[1]) == [f"161-A{n:02d}" for n in range(1, 17)]
    checked(record, ())
    journal = opened(record, read_only=True)
    raised = [(decode(e), e.author) for e in journal.entries(kind="defect.raised")]
    numbers = [body.number for body, _ in raised if isinstance(body, b.DefectRaised)]
    assert numbers == [f"161-A{n:02d}" for n in range(1, 17)]


def test_scenario_55_a_program_that_waits_too_long_says_who_is_in_the_way(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("hardstand.store.turn.BUSY_MS", 20)
    pen = on_disk(tmp_path)
    record = tmp_path / "record.db"
    waiting = Pen(journal=opened(record), clock=pen.clock, author="BT")
    with pen.journal.write(), pytest.raises(Busy) as raised:
        raise_defect(waiting, TAIL, Told(words="hum"), by=IO)
    assert raised.value.exit_status == 13
    assert raised.value.lines() == (
        f"Another program has held {record} for more than 5 seconds.",
        "The record is whole; this was not written.",
        "Close the other program, or try again.",
    )
    assert pen.journal.facts(TAIL).open == ()
