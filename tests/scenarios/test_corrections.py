"""What cannot be taken back, and how a wrong entry is put right with both on view.

Outside source: the correction cases of the records paper, TV 1.10, 1.11, 4.7; 21 CFR 11.10(e), a
change does not obscure what was recorded before; closing a wrong line and entering it again is
from memory (DA PAM 738-751 para 1-8, TO 00-20-1).
"""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from hardstand.domain.bodies import By
from hardstand.errors import NotThere, Refusal
from hardstand.flows.history import history
from hardstand.flows.logging_defects import Told, act, raise_defect
from hardstand.views.history import text
from quennock_record import founded, founded_on_disk, hand, raised
from scenarios.stage import hardstand


@pytest.mark.parametrize("verb", ["delete", "edit", "change", "remove"])
def test_tv_1_10_no_command_deletes_or_edits_and_void_is_what_is_offered(
    tmp_path: Path, verb: str
) -> None:
    assert hardstand(tmp_path / "none.db", "defect", verb, "161-A01").status == 2
    offered = hardstand(tmp_path / "none.db", "defect", "--help").out
    assert "void     Mark an entry as entered in error; it stays readable." in offered


@pytest.mark.parametrize("sql", ["DELETE FROM entry", "UPDATE entry SET author = 'ZZ'"])
def test_tv_1_10_nor_does_the_file_take_it(tmp_path: Path, sql: str) -> None:
    pen = founded_on_disk(tmp_path)
    raised(pen, "IO", "2027-03-08T05:00-03:00")
    raw = sqlite3.connect(tmp_path / "record.db")
    with pytest.raises(sqlite3.IntegrityError, match=r"^the record only grows"):
        raw.execute(sql)
    raw.close()


def test_tv_4_7_a_wrong_tail_is_put_right_with_old_new_who_when_and_why_on_view() -> None:
    pen = founded()
    wrong = raised(pen, "BT", "2027-03-08T05:00-03:00", "/", "hum")
    told = Told(words="hum", symbol="/")
    said = raise_defect(hand(pen, "BT", "2027-03-08T05:10-03:00"), "QM-164", told,
                        by=By(doer="BT"))  # fmt: skip
    right = said.split(" ")[0]
    act(hand(pen, "BT", "2027-03-08T05:11-03:00"), wrong, "void", (right, "it was QM-164"),
        by=By(doer="BT"))  # fmt: skip
    assert pen.journal.facts("QM-161").open == ()
    assert [e.number for e in pen.journal.facts("QM-164").open] == [right]
    line = f"entered in error: number {wrong}, reason it was QM-164, other {right}, by BT"
    first, last = text(history(pen.journal, wrong), "Etc/GMT+3").splitlines()
    assert "raised: number 161-S01" in first
    assert last.startswith("2027-03-08 05:11 -03:00  BT  QM-161")
    assert line in last


def test_a_defect_put_on_the_right_aircraft_days_later_keeps_its_day() -> None:
    """Outside source: AMC M.A.403(d), what is entered again keeps its original date."""
    pen, bt = founded(), By(doer="BT")
    wrong = raised(pen, "BT", "2027-03-08T05:00-03:00", "/", "hum")
    thursday = hand(pen, "BT", "2027-03-11T05:00-03:00")
    late = raise_defect(thursday, "QM-164", Told(words="hum"), by=bt).split(" ")[0]
    with pytest.raises(Refusal) as told:
        act(thursday, wrong, "void", (late, "it was QM-164"), by=bt)
    assert told.value.lines() == (
        "164-S01 counts from 2027-03-11, and 161-S01 from 2027-03-08",
        "Rule: what is entered again keeps its day, on another aircraft too",
        "Who could: nobody, as it stands",
        "Nothing was written.",
        "Name one made by `hardstand defect raise --instead-of 161-S01`.",
    )
    again = Told(words="hum", instead_of=wrong)
    right = raise_defect(thursday, "QM-164", again, by=bt).split(" ")[0]
    act(thursday, wrong, "void", (right, "it was QM-164"), by=bt)
    assert pen.journal.facts("QM-161").open == ()
    kept = pen.journal.facts("QM-164").entry(right)
    assert kept is not None
    assert (kept.found_at, kept.logged_at) == ("2027-03-08T08:00:00Z", "2027-03-08T08:00:00Z")


def test_tv_1_11_an_entry_that_stands_instead_must_be_there() -> None:
    pen = founded()
    wrong = raised(pen, "BT", "2027-03-08T05:00-03:00", "/", "hum")
    with pytest.raises(NotThere) as told:
        act(hand(pen, "BT", "2027-03-08T05:11-03:00"), wrong, "void", ("161-S09", "x"),
            by=By(doer="BT"))  # fmt: skip
    assert told.value.what == "No open entry has the number 161-S09."
