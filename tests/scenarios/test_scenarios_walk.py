"""Nasty scenarios 1 to 10: at the aircraft, called away, taken away, at the wrong one."""

from __future__ import annotations

import signal
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from builders import IO, TAIL, Watch, lines, on_disk, opened
from hardstand.domain import bodies as b
from hardstand.domain.bodies import By
from hardstand.flows.pen import Pen
from scenarios.stage import (
    answer_of,
    answers,
    bodies,
    entries,
    hardstand,
    lines_of,
    moved_on,
    pen_at,
    sit,
)
from scripted import Scripted

BT = By(doer="BT")


def test_scenario_01_called_away_in_mid_step(tmp_path: Path) -> None:
    pen = on_disk(tmp_path)
    left = sit(pen, TAIL, until="volts", then=["b", "b"])
    assert [body.step for body in bodies(pen.journal, "walk.broken")] == ["volts"]
    assert "is left at 3.02 Do volts" in left.words
    back = sit(pen, TAIL, until="hear")
    shown = list(lines_of(back.said, "recorded"))
    assert [line.split()[3] for line in shown if line.strip()[:1] in {"1", "2", "3"}] == [
        "plugs", "shut", "power",
    ]  # fmt: skip
    assert "Go on at 3.02 Do volts, from its first word." in back.words
    assert answer_of(pen.journal, TAIL, "volts").answer == "OK"


def test_scenario_02_another_person_goes_on_three_hours_later(tmp_path: Path) -> None:
    pen = on_disk(tmp_path)
    sit(pen, TAIL, until="volts", then=["b", "b"])
    moved_on(pen, minutes=180)
    back = sit(replace(pen, author="BT"), TAIL, until="hear", by=BT)
    assert "not put back: BATTERY switch — recorded ON" in back.words, "the open ledger is read out"
    energy = "BATTERY switch: recorded ON"
    assert back.said.index(energy) < back.said.index("3.02  Do volts"), "energy is asked again"
    first = dict.fromkeys(who for _, _, who in answers(pen.journal, TAIL))
    assert list(first) == ["IO", "BT"]
    assert answers(pen.journal, TAIL)[-1] == ("volts", "OK", "BT")
    assert [body.by.doer for body in bodies(pen.journal, "walk.resumed")] == ["BT"]


def test_scenario_02_an_energy_line_found_otherwise_is_recorded_before_the_walk_goes_on(
    tmp_path: Path,
) -> None:
    pen = on_disk(tmp_path)
    sit(pen, TAIL, until="volts", then=["b", "b"])
    Scripted.until_left(replace(pen, author="BT"), [TAIL, "c", "1"])
    moved = bodies(pen.journal, "ledger.moved")[-1]
    assert (moved.item, moved.from_, moved.to, moved.by.doer) == ("battery", "ON", "OFF", "IO")


@pytest.mark.hf("PLC-02")
def test_scenario_03_the_tablet_dies_and_no_answer_is_lost(tmp_path: Path) -> None:
    pen = on_disk(tmp_path, demo=True)
    given = lines(until="volts")
    command = [sys.executable, "-m", "hardstand", "--record", str(tmp_path / "record.db"), "walk"]
    with subprocess.Popen(
        [*command, "--by", "IO"], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as tablet:
        assert tablet.stdin is not None
        assert tablet.stdout is not None
        tablet.stdin.write("".join(f"{line}\n" for line in given))
        tablet.stdin.flush()
        for shown in tablet.stdout:
            if shown.startswith("Reading, V:"):
                break
        tablet.send_signal(signal.SIGKILL)
    assert [step for step, _, _ in answers(pen.journal, TAIL)] == [
        "tools", "safe", "gate", "open", "plugs", "shut", "power",
    ]  # fmt: skip
    assert hardstand(tmp_path / "record.db", "record", "verify").status == 0
    again = hardstand(tmp_path / "record.db", "walk", "--by", "IO", typed=[TAIL])
    assert "from its first word." in again.out


def test_scenario_03_another_device_shows_the_walk_as_not_finished(tmp_path: Path) -> None:
    pen = on_disk(tmp_path, demo=True)
    sit(pen, TAIL, until="volts")
    other = opened(tmp_path / "record.db", "B")
    assert other.facts(TAIL).walks[0].device == "A"
    shown = hardstand(tmp_path / "record.db", "status", TAIL, "--at", "2027-03-08T12:00Z")
    assert "walk A1 was not finished (IO, device A)" in shown.out


def test_scenario_04_the_aircraft_is_taken_away_in_mid_check(tmp_path: Path) -> None:
    pen = on_disk(tmp_path)
    sit(pen, TAIL, until="hear", then=["b", "2", "161"])
    closed = bodies(pen.journal, "walk.closed")[-1]
    assert (closed.outcome, closed.proved) == ("taken_away", ())
    dash = pen.journal.facts(TAIL).open[0]
    assert (dash.symbol, dash.untested) == ("-", ("rx", "tx")), "one dash names them all"
    assert dash.text == "aircraft taken away: receive, transmit not tested"


def test_scenario_05_taken_away_with_a_panel_open(tmp_path: Path) -> None:
    pen = on_disk(tmp_path, demo=True)
    sit(pen, TAIL, until="plugs", then=["b", "2", "161"])
    told = hardstand(tmp_path / "record.db", "status", "161").out
    assert "QM-161, fit T" in told
    assert ": X red X." in told.splitlines()[1]
    assert "X — not put back: panel 7 recorded OPEN, home is SHUT" in told
    assert "Not put back: tools" in told
    assert "panel 7, recorded OPEN Mon 05:00 by IO" in told


def test_scenario_05_it_goes_first_on_the_leads_board(quennock: Path) -> None:
    pen = pen_at(quennock, "2027-03-08T04:50-03:00")
    sit(pen, "QM-161", until="comp-latches", then=["b", "2", "161"])
    lines = hardstand(quennock, "board", "--at", "2027-03-08T06:00-03:00").out.splitlines()
    first = next(line for line in lines if line.startswith("DO NOT POWER OR TOUCH"))
    assert "161 radio compartment panel recorded OPEN" in first
    listed = [line for line in lines if line.startswith(("HAZARD", "GROUNDS", "UNKNOWN", "OPEN"))]
    assert "radio compartment panel" in next(x for x in listed if x.startswith("HAZARD"))
    assert listed[0].startswith("HAZARD")


def test_scenario_06_the_board_counts_minutes_and_ampere_hours(quennock: Path) -> None:
    pen = pen_at(quennock, "2027-03-08T04:50-03:00", author="YB")
    sit(pen, "QM-161", until="op-gate", then=["b", "4", "161"], by=By(doer="YB"))
    told = hardstand(quennock, "board", "--at", "2027-03-08T06:27-03:00").out
    assert "BATTERY switch recorded ON, 94 min, about 3.1 Ah drawn of 9.2 usable" in told
    assert "QM-161 battery: about 10.2 Ah drawn of 9.2 usable when warm and full; reserve" in told


def test_scenario_06_a_walk_left_with_the_battery_on(tmp_path: Path) -> None:
    pen = on_disk(tmp_path, demo=True)
    sit(pen, TAIL, until="volts", then=["b", "4", "161"])
    told = hardstand(tmp_path / "record.db", "status", "161").out
    assert "X — not put back: BATTERY switch recorded ON, home is OFF" in told
    moved_on(pen, minutes=95)
    found = Scripted.until_left(replace(pen, author="OH"), [TAIL, "c", "1"])
    first = found.said.index("BATTERY switch: recorded ON")
    assert first < found.said.index("tools: recorded 9"), "energy is looked at first"
    moved = bodies(pen.journal, "ledger.moved")[-1]
    assert (moved.item, moved.to, moved.by.doer) == ("battery", "OFF", "IO")
    assert entries(pen.journal, "ledger.moved")[-1].at > "2027-03-08T09:3"
    assert pen.journal.facts(TAIL).line("battery") is None


def test_scenario_07_the_wrong_tail_stops_and_leaves_a_line(tmp_path: Path) -> None:
    pen = on_disk(tmp_path)
    stop = sit(pen, "qm 116", planned=TAIL)
    assert stop.stopped is not None
    assert stop.stopped.lines() == (
        "Stopped: typed qm 116, planned QM-161.",
        "No walk was started; the stop is in the record.",
        "To walk QM-116: hardstand walk QM-116",
    )
    assert stop.stopped.exit_status == 10
    assert bodies(pen.journal, "walk.refused", airframe=TAIL) == [
        b.WalkRefused(planned=TAIL, typed="qm 116", by=IO)
    ]
    assert entries(pen.journal, "walk.started") == []
    assert "Easily taken for it: QM-116 and QM-164." in stop.said


def test_scenario_08_right_tail_wrong_fit(quennock: Path) -> None:
    pen = pen_at(quennock, "2027-03-08T04:50-03:00")
    sit(pen, "QM-161", {"log-antenna": ["1", ""]}, until="close-lever", by=By(doer="YB"))
    dash = pen.journal.facts("QM-161").open[0]
    assert (dash.symbol, dash.text) == ("-", "fit not as recorded; seen WIRE AND KNOBS")
    given = {step: answer for step, answer, _ in answers(pen.journal, "QM-161")}
    assert given["log-antenna"] == "FAULT"
    stopped = {step for step, answer in given.items() if answer == "SKIPPED"}
    assert {"safe-battery", "comp-open", "lis-battery", "op-call-1"} <= stopped
    assert not stopped & {"close-lever", "close-battery", "pap-end"}, "shut-down and log stay"


@pytest.mark.parametrize("tail", ["QM-161", "QM-107"])
def test_scenario_08_antenna_and_control_are_asked_without_what_is_expected(
    quennock: Path, tail: str
) -> None:
    """Source: whole-job M-03 (d): the kinds as seen, a mismatch with the recorded fit stops."""
    pen = pen_at(quennock, "2027-03-08T04:50-03:00")
    seen = sit(pen, tail, {"log-antenna": ["3", ""]}, until="close-lever", by=By(doer="BT"))
    screen = seen.said[seen.said.index("which antenna and which radio") :].split("What do you see?")
    for kind in ("WIRE AND KNOBS", "MAST AND BUTTONS", "ANOTHER PAIR"):
        assert screen[0].count(kind) == 1, f"{kind} is offered, and not said to be the right one"
    dash = next(e for e in pen.journal.facts(tail).open if e.step == "log-antenna")
    assert (dash.symbol, dash.text) == ("-", "fit not as recorded; seen ANOTHER PAIR")


def test_scenario_09_two_technicians_start_the_same_aircraft(tmp_path: Path) -> None:
    pen = on_disk(tmp_path)
    sit(pen, TAIL, until="volts")
    joined = sit(replace(pen, author="BT"), TAIL, until="volts", by=BT)
    assert "Back at walk A1, QM-161." in joined.said, "the same device offers to join"
    other = Pen(journal=opened(tmp_path / "record.db", "B"), clock=Watch(at=pen.clock.now()),
                author="BT")  # fmt: skip
    second = sit(other, TAIL, until="tools", by=BT)
    assert "IO walks this aircraft too, walk A1 on device A since Mon 05:00." in second.said
    names = [w.walk for w in pen.journal.facts(TAIL).walks]
    assert names == ["A1", "B1"], "both walks are kept"
    first = sit(pen, TAIL, until="volts")
    assert "BT walks this aircraft too, walk B1 on device B" in first.said


def test_scenario_10_one_person_walks_two_aircraft(tmp_path: Path) -> None:
    pen = on_disk(tmp_path)
    one = sit(pen, TAIL, until="volts")
    two = sit(pen, "QM-164", until="open")
    assert [s for s, _, _ in answers(pen.journal, TAIL)][-1] == "power"
    assert [s for s, _, _ in answers(pen.journal, "QM-164")][-1] == "gate"
    for tail, said in ((TAIL, one.said), ("QM-164", two.said)):
        questions = said.split("Manual:")[1].split("Keys: ")[1:-1]
        assert all(tail in question for question in questions)
    sit(pen, TAIL, until="hear")
    assert [s for s, _, _ in answers(pen.journal, TAIL)][-1] == "volts"
    assert [s for s, _, _ in answers(pen.journal, "QM-164")][-1] == "gate"
