"""A walk on a disk that runs full: it ends at that step, and goes on with it when there is room."""

from __future__ import annotations

from pathlib import Path

import pytest

from builders import IO, TAIL, checklist, on_disk, step, steps
from good_hands import GoodHands
from hardstand.domain import bodies as b
from hardstand.domain.codec import decode
from hardstand.errors import Damaged
from hardstand.flows.records import verified
from hardstand.flows.starting import walk
from hardstand.store.journal import SqlJournal

MORE = (step(f"look-{n:02d}", "test") for n in range(40))
LIST = checklist(listed=(*steps()[:12], *MORE, *steps()[12:]))


def _room(journal: SqlJournal, pages: int) -> None:
    """Let the file grow by so many pages and no more, as a disk does that is nearly full."""
    with journal.reading() as connection:
        now = connection.exec_driver_sql("PRAGMA page_count").scalar() or 0
        connection.exec_driver_sql(f"PRAGMA max_page_count = {now + pages}")


@pytest.mark.parametrize("pages", [0, 1, 2])
def test_scenario_49_a_walk_goes_no_further_than_the_last_saved_answer(
    tmp_path: Path, pages: int
) -> None:
    pen = on_disk(tmp_path, listed=LIST)
    journal = pen.journal
    assert isinstance(journal, SqlJournal)
    _room(journal, pages)
    with pytest.raises(Damaged) as raised:
        walk(pen, GoodHands(LIST, {}), planned=TAIL, by=IO)
    assert raised.value.lines() == (
        f"NOT SAVED: the disk with {tmp_path / 'record.db'} is full.",
        "Everything acknowledged before is in the record, and the record is whole.",
        "Free some space on that disk, then give the answer again.",
    )
    assert " lines hold, " in verified(journal)
    _room(journal, 1000)
    assert walk(pen, GoodHands(LIST, {}), planned=TAIL, by=IO).outcome == "finished"
    bodies = [decode(entry) for entry in journal.entries(kind="step.answered")]
    given = [body.step for body in bodies if isinstance(body, b.StepAnswered)]
    again = [step for step in given if given.count(step) > 1]
    assert set(again) <= {"gate"}, "but for a gate, which is asked anew when a walk is gone on with"
    assert " lines hold, " in verified(journal, full=True)
