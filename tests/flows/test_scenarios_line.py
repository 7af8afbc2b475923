"""Scenarios of the line office: boxes, placards, acceptances, flights out of order.

Names carry the scenario's number. Each begins on the Quennock Monday at 05:45.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from hardstand.domain.defects import Report
from hardstand.domain.flight_acts import Back
from hardstand.domain.flight_facts import flown_of
from hardstand.domain.unit_acts import Swap, Taking
from hardstand.errors import Interrupted, Refusal
from hardstand.flows import flights, shift, units
from hardstand.flows.clearing import clear, looked
from hardstand.flows.demo_deeds import time
from hardstand.flows.leading import LeadBoard, lead_board
from hardstand.flows.logging_defects import Told, act, raise_defect
from hardstand.flows.past import Past
from hardstand.flows.pen import Pen
from hardstand.flows.starting import walk
from hardstand.views.board import text
from quennock_morning import by, handed, pen
from scripted import Scripted

_LOW = Swap(position="MOD", serial="M-5140", out="M-5113", reason="low modulation")


def read(at: Pen, when: str) -> LeadBoard:
    """The lead's board at a time of the week."""
    return lead_board(Past(at.journal, time(when)), time(when))


def accepted(path: Path) -> Pen:
    """AF has taken QM-107 for the night mail at 05:55."""
    af = pen(path, "AF", "Mon 05:55")
    shown = flights.offered(af, "QM-107", "MAIL-N", "AF")
    flights.accept(af, shown, shown.read, by=by("AF"))
    return af


# -- flights ---------------------------------------------------------------------------------------


def test_scenario_48_flown_with_an_x_is_told_at_once_and_clearing_hides_nothing(
    monday: Path,
) -> None:
    tv = pen(monday, "TV", "Mon 06:30")
    said = flights.out(tv, "QM-170", "MAIL-D", "TV", off=None, by=by("TV"))
    assert said.splitlines()[1] == (
        "IRREGULARITY: TV had not accepted the aircraft; 170-S07 stood at X; no preflight. A chief "
        "is told."
    )
    bt = handed(tv, "BT", "Mon 07:00")
    act(bt, "170-S07", "action", ("tip mended",), by=by("BT"))
    act(handed(bt, "DQ", "Mon 07:10"), "170-S07", "clear", ("seen",), by=by("DQ"))
    (odd,) = [i for tail, i in read(bt, "Mon 08:00").irregular if tail == "QM-170"]
    assert "170-S07 stood at X" in odd.texts
    assert "IRREGULARITY QM-170: MAIL-D TV, off Mon 06:30" in text(read(bt, "Mon 08:00"))


def test_scenario_94_an_entry_after_acceptance_undoes_it_and_says_what_to_call_across(
    monday: Path,
) -> None:
    af = accepted(monday)
    bt = handed(af, "BT", "Mon 05:58")
    said = raise_defect(bt, "QM-107", Told(words="key sticks"), by=by("BT"))
    assert said.splitlines()[1] == (
        "AF accepted QM-107 for MAIL-N before 107-S01 / was raised: that acceptance is undone. "
        'Call across: "QM-107, stop; read the list again."'
    )
    line = next(x for x in read(af, "Mon 06:00").lines if x.what.startswith("acceptance undone"))
    assert (line.cls, line.next) == ("HALF DONE", "tell AF before off-block")
    again = raise_defect(handed(af, "BT", "Mon 05:59"), "QM-107", Told(words="lamp"), by=by("BT"))
    assert "Call across" not in again, "it is told once"
    left = flights.out(handed(af, "AF", "Mon 06:10"), "QM-107", "MAIL-N", "AF", off=None,
                       by=by("AF"))  # fmt: skip
    assert "IRREGULARITY: accepted before 107-S01 / was raised." in left
    gone = read(af, "Mon 06:11").lines
    assert not [x for x in gone if x.what.startswith("acceptance undone")]


def test_scenario_94_an_entry_raised_in_a_walk_tells_the_walker_what_to_call_across(
    monday: Path,
) -> None:
    af = accepted(monday)
    bt = handed(af, "BT", "Mon 05:58")
    typed = ["QM-107", "c", "c", "d", "key sticks", "3", "d", "lamp", "3"]
    walker = Scripted(typed)
    with pytest.raises(Interrupted):
        walk(bt, walker, by=by("BT"))
    told = " ".join(walker.said.split())
    assert "107-S01 is open." in told
    assert told.count(
        'that acceptance is undone. Call across: "QM-107, stop; read the list again."'
    ) == 1  # fmt: skip
    assert told.index("AF accepted QM-107 for MAIL-N before 107-S01") < told.index("lamp")


def test_scenario_94_a_graver_symbol_undoes_it_too(monday: Path) -> None:
    af = accepted(monday)
    said = act(handed(af, "BT", "Mon 05:58"), "107-A01", "symbol", ("X", "it jams"), by=by("BT"))
    assert "AF accepted QM-107 for MAIL-N before 107-A01 was changed" in said


def test_scenario_95_a_refusal_is_recorded_without_blame_and_the_symbol_stays(
    monday: Path,
) -> None:
    af = pen(monday, "AF", "Mon 05:55")
    before = af.journal.facts("QM-107")
    shown = flights.offered(af, "QM-107", "MAIL-N", "AF")
    said = flights.ask(af, shown, (), Scripted(["c", "c", "2", ""]), by=by("AF"))
    assert said == "AF does not take QM-107 for MAIL-N. QM-107 stands as it did."
    (line,) = list(af.journal.entries(kind="flight.refused"))
    assert line.author == "AF"
    assert af.journal.facts("QM-107").open == before.open


def test_scenario_93_a_pilot_reports_by_telephone_and_is_told_it_at_the_next_sign_in(
    monday: Path,
) -> None:
    """Taken down by MS for AF: the flight stands in AF's name, the line in the hand of MS."""
    af = accepted(monday)
    flights.out(handed(af, "AF", "Mon 06:10"), "QM-107", "MAIL-N", "AF", off=None, by=by("AF"))
    ms = handed(af, "MS", "Mon 09:00")
    words = "as told by AF on the telephone: hum in LF receiver"
    told = Back(on=None, reports=(Report(symbol="/", text=words),))
    flights.back(ms, "QM-107", told, on=time("Mon 08:22"), by=by("MS"))
    entry = ms.journal.facts("QM-107").entry("107-S01")
    assert entry is not None
    assert (entry.text, entry.found_by) == (words, "MS")
    (flight,) = flown_of(ms.journal.facts("QM-107")).last
    assert (flight.pilot, flight.said, flight.entries) == ("AF", "reported", ("107-S01",))


# -- boxes -----------------------------------------------------------------------------------------


def test_scenario_81_a_unit_swapped_that_nobody_wrote_is_an_entry_with_both_serials(
    monday: Path,
) -> None:
    nh = pen(monday, "NH", "Mon 06:00")
    units.read(nh, "QM-101", "MOD", "M-5140", by=by("NH"))
    (entry,) = nh.journal.facts("QM-101").open
    assert (entry.symbol, entry.text) == (
        "-", "unit not as recorded: MOD read M-5140, the record had M-5101",
    )  # fmt: skip
    lost = units.show(nh.journal, time("Mon 06:01"), "M-5101")
    assert [w.place for w in lost.boxes] == ["lost"]
    assert [x.body for x in lost.lines if getattr(x.body, "before", "") == "M-5101"]


def test_scenario_82_the_same_serial_in_two_aircraft_puts_both_in_doubt(monday: Path) -> None:
    nh = pen(monday, "NH", "Mon 06:00")
    said = units.read(nh, "QM-101", "MOD", "M-5107", by=by("NH"))
    assert said.endswith(
        "107-S01 -: unit in doubt: MOD M-5107 was read off the box in QM-101 MOD too."
    )
    found = {v.tail: v for v in read(nh, "Mon 06:01").stand.verdicts}
    assert (found["QM-101"].symbol, found["QM-107"].symbol) == ("-", "-")
    shown = units.show(nh.journal, time("Mon 06:01"), "M-5107")
    assert shown.doubles == (("CRW-3010 M-5107", ("QM-101 MOD", "QM-107 MOD")),)
    units.read(nh, "QM-101", "MOD", "M-5101", by=by("NH"))
    assert units.show(nh.journal, time("Mon 06:01"), "M-5107").doubles == ()


def test_scenario_83_a_serial_misread_is_corrected_by_an_event(monday: Path) -> None:
    nh = pen(monday, "NH", "Mon 06:00")
    units.read(nh, "QM-101", "MOD", "M-5107", by=by("NH"))
    units.read(nh, "QM-101", "MOD", "M-5101", by=by("NH"))
    now = time("Mon 06:01")
    assert [w.place for w in units.show(nh.journal, now, "M-5101").boxes] == ["QM-101 MOD"]
    assert "QM-101 MOD" not in {w.place for w in units.show(nh.journal, now, "M-5107").boxes}
    assert len(units.show(nh.journal, now, "QM-101", "MOD").lines) == 2


def test_scenario_84_an_unserviceable_unit_is_not_fitted_again(monday: Path) -> None:
    nh = pen(monday, "NH", "Mon 06:00")
    units.fit(nh, "QM-113", _LOW, by=by("NH"))
    back = replace(_LOW, serial="M-5113", out="M-5140")
    with pytest.raises(Refusal) as caught:
        units.fit(nh, "QM-113", back, by=by("NH"))
    assert caught.value.what == "CRW-3010 M-5113 has an unserviceable tag"
    assert caught.value.hint.endswith("If it is in the aircraft already, raise an X.")


def test_scenario_85_a_donor_s_hole_is_an_x_on_the_board_daily_with_its_days(
    monday: Path,
) -> None:
    nh = pen(monday, "NH", "Mon 06:00")
    asked = Swap(position="DYN-V", serial="W-3317", out="W-3312", reason="noisy", ordered_by="MS")
    units.move(nh, "QM-170", "DYN-V", "QM-164", asked, by=by("NH"))
    for when, days in (("Mon 16:00", "0 days"), ("Tue 16:00", "1 day"), ("Sun 16:00", "6 days")):
        line = next(x for x in text(read(nh, when)).splitlines() if "170-S08" in x)
        assert line.startswith(f"GROUNDS   QM-170 170-S08 X DYN-V removed for QM-164, not replaced;"
                               f" {days}; mend;")  # fmt: skip


def test_scenario_85_a_hole_stays_x_when_its_entry_is_cleared_unfilled(monday: Path) -> None:
    nh = pen(monday, "NH", "Mon 06:00")
    out = Taking(position="TX-2", serial="U-1301", goes_to="unserviceable store", reason="dead")
    units.remove(nh, "QM-101", out, by=by("NH"))
    act(nh, "101-S01", "action", ("waits for a set",), by=by("NH"))
    act(handed(nh, "DQ", "Mon 06:10"), "101-S01", "clear", ("seen",), by=by("DQ"))
    line = next(x for x in read(nh, "Mon 06:20").lines if x.tail == "QM-101")
    assert (line.cls, line.what) == (
        "GROUNDS", "TX-2 is empty: TX-2 U-1301 removed to unserviceable store",
    )  # fmt: skip


def test_scenario_88_a_placard_is_a_line_from_deferral_to_clearing(monday: Path) -> None:
    bt = pen(monday, "BT", "Mon 06:00")
    line = bt.journal.facts("QM-107").line("placard-107-A01")
    assert line is not None
    assert (line.value, line.home) == ("ON", "OFF")
    facts = bt.journal.facts("QM-107")
    assert facts.staying == (line,), "no walk takes it off"
    assert line not in facts.due_home
    act(bt, "107-A01", "action", ("detent renewed",), by=by("BT"))
    dq = handed(bt, "DQ", "Mon 06:30")
    with pytest.raises(Refusal) as caught:
        clear(dq, "107-A01", looked("seen"), by=by("DQ"))
    assert caught.value.hint == "Take it off, then say so: --placard-off"
    clear(dq, "107-A01", looked("seen", placard_off=True), by=by("DQ"))
    assert bt.journal.facts("QM-107").line("placard-107-A01") is None


# -- a week without anybody ------------------------------------------------------------------------


def test_scenario_100_after_a_week_without_an_entry_it_says_what_it_does_not_know(
    monday: Path,
) -> None:
    at = pen(monday, "MS", "Sun 16:00")
    found = read(at, "Sun 16:00")
    said = text(found)
    assert "No entry since 2027-03-08 05:44 -03:00: this board is a memory." in said
    states = {v.preflight.state for v in found.stand.verdicts}
    assert states == {"none", "ran_out"}, "every preflight has run out by itself"
    assert "this board is a memory" not in text(read(at, "Mon 06:00"))
    sheet = shift.prepared(at.journal, found)
    assert any(line.key.startswith("device ") for line in sheet.lines)
