"""The fleet as dated facts: a file loaded twice, a fit that changed, tails that look alike."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from builders import opened
from scenarios.stage import bodies, hardstand, lines_of, pen_at, sit

FLEET = Path(__file__).parents[2] / "demo" / "quennock" / "fleet.yaml"
DAY_BEFORE, DAY_AFTER = "2027-03-08T23:59-03:00", "2027-03-09T00:00-03:00"


def _load(record: Path, text: str) -> None:
    file = record.parent / "fleet.yaml"
    file.write_text(text, "utf-8")
    told = hardstand(record, "fleet", "load", str(file), "--by", "ÅL")
    assert told.status == 0, told.err


@pytest.fixture
def refitted(quennock: Path) -> Path:
    """QM-113 carries the VHF set from 9 March; the file says so beside what it carried before."""
    text = FLEET.read_text("utf-8")
    before, own, after = re.split(r"(?m)^(  QM-113:\n(?:    .*\n)+)", text, maxsplit=1)
    head = own.split("    serials:")[0]
    assert "fits: [{since: 2026-11-01, fit: H}]" in head
    refit = head.replace("fit: H}]", "fit: H}, {since: 2027-03-09, fit: V}]")
    _load(quennock, before + refit + after)
    return quennock


def test_a_changed_fit_is_true_from_its_day_and_not_before(refitted: Path) -> None:
    def fit(at: str) -> str:
        found: str = hardstand(refitted, "status", "QM-113", "--at", at, "--json").tree[
            "airframes"
        ][0]["fit"]
        return found

    assert [fit(DAY_BEFORE), fit(DAY_AFTER)] == ["H", "V"]
    assert "QM-113, fit H," in hardstand(refitted, "status", "113", "--at", DAY_BEFORE).out
    assert "QM-113, fit V," in hardstand(refitted, "status", "113", "--at", DAY_AFTER).out


def test_a_fleet_loaded_again_takes_nothing_back(refitted: Path) -> None:
    loaded = bodies(opened(refitted), "fleet.loaded")
    assert len(loaded) == 2
    assert "fit: H}, {since: 2027-03-09, fit: V}]" not in loaded[0].text, "as it was written"
    shown = hardstand(refitted, "fleet", "show").out
    (row,) = (line for line in shown.splitlines() if line.startswith("QM-113"))
    assert "H since 2026-11-01, V since 2027-03-09" in row
    assert hardstand(refitted, "record", "verify").status == 0


def test_a_walk_goes_by_the_fit_carried_that_day(refitted: Path) -> None:
    for at, listed in ((DAY_BEFORE, "H-PREFLIGHT"), ("2027-03-09T05:00-03:00", "V-PREFLIGHT")):
        pen = pen_at(refitted, at, device="A" if listed[0] == "H" else "B")
        sit(pen, "QM-113", until="log-gate")
        assert bodies(pen.journal, "walk.started")[-1].checklist == listed


def test_a_defect_goes_by_the_fit_carried_now(refitted: Path) -> None:
    pen = pen_at(refitted, DAY_AFTER)
    sit(pen, "QM-113", until="log-gate")
    dead = hardstand(refitted, "defect", "raise", "QM-113", "dead", "--unit", "TX-1", "--by", "NH")
    assert dead.status == 10
    assert "QM-113 carries fit V, which has no TX-1." in dead.err


def test_an_airframe_with_something_open_cannot_fall_out_of_the_file(quennock: Path) -> None:
    assert hardstand(quennock, "defect", "raise", "QM-170", "laid up", "--by", "MS").status == 0
    text = FLEET.read_text("utf-8")
    without = re.sub(r"(?m)^  QM-170:\n(?:    .*\n)+", "", text)
    file = quennock.parent / "fleet.yaml"
    file.write_text(without, "utf-8")
    told = hardstand(quennock, "fleet", "load", str(file), "--by", "ÅL")
    assert told.status == 10
    assert "QM-170: 170-" in told.err
    assert "QM-170" in hardstand(quennock, "status").out


def test_tails_easily_taken_for_each_other_are_named(quennock: Path) -> None:
    shown = hardstand(quennock, "fleet", "show").out
    rows = {line.split()[0]: line for line in lines_of(shown, "QM-", "since")}
    assert "QM-161" in rows["QM-116"].removeprefix("QM-116"), "two digits changed over"
    assert "QM-116" in rows["QM-161"].removeprefix("QM-161")
    assert "QM-107" not in rows["QM-170"].split("since")[0].removeprefix("QM-170")


@pytest.mark.parametrize("typed", ["116", "61", "161", "QM161 ", "qm 161"])
def test_at_the_aircraft_the_whole_tail_is_typed_and_no_end_of_it(
    quennock: Path, typed: str
) -> None:
    pen = pen_at(quennock, "2027-03-08T05:00-03:00")
    stop = sit(pen, typed, planned="QM-161")
    whole = typed.replace(" ", "").upper().startswith("QM")
    assert (stop.stopped is None) == whole
    note = stop.words.split("Easily taken for it: ")[1]
    assert "QM-116" in note.split(".")[0]
