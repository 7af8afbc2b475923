"""LRN-07: a trainee's own record of supervised work: step, date, who countersigned it then."""

from __future__ import annotations

from pathlib import Path

from builders import close_all, lines
from hardstand.domain.bodies import By
from hardstand.flows.pen import Pen
from hardstand.flows.starting import walk
from hardstand.flows.supervised import supervised
from quennock_record import founded, founded_on_disk, hand
from scenarios.stage import hardstand
from scripted import Scripted

MONDAY = "2027-03-08T05:00-03:00"


def _walked(pen: Pen, by: By) -> None:
    walk(hand(pen, by.doer, MONDAY), Scripted(lines()), by=by)


def test_lrn_07_a_finished_walk_names_its_day_its_steps_and_who_countersigned() -> None:
    pen = founded()
    _walked(pen, By(doer="IO", with_=("BT",)))
    (one,) = supervised(pen.journal, "IO")
    assert (one.at, one.tail, one.by, one.signed) == ("2027-03-08T08:00:00Z", "QM-161", "BT", True)
    assert one.revision == "T-PRE 1"
    assert (one.done[1].step, one.done[1].answer) == ("1.02 Do safe", "OFF OK")
    assert len(one.done) == 14


def test_work_that_nobody_countersigned_is_none_of_it() -> None:
    pen = founded()
    _walked(pen, By(doer="NH"))
    assert supervised(pen.journal, "NH") == ()
    assert supervised(pen.journal, "BT") == ()


def test_the_command_prints_it_for_the_trainee_and_gives_no_authority(tmp_path: Path) -> None:
    pen = founded_on_disk(tmp_path)
    _walked(pen, By(doer="IO", with_=("BT",)))
    close_all()
    record = tmp_path / "record.db"
    told = hardstand(record, "people", "work", "io", "--steps").out.splitlines()
    assert told[0] == "SUPERVISED WORK of IO"
    assert told[1] == (
        "2027-03-08 05:00 -03:00  QM-161  T-PRE 1  walk S1  14 steps  BT countersigned, "
        "signature kept"
    )
    assert told[3] == "  did 1.02 Do safe: OFF OK"
    assert "It gives no authority" in " ".join(told)
    none = hardstand(record, "people", "work", "NH").out
    assert none == "NH finished no walk under supervision.\n"
