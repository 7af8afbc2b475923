"""Nasty scenario 32, and what the scenarios of readings leave to be seen at the aircraft."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from builders import TAIL, checklist, fleet, on_disk, papers, steps
from hardstand.cli.session import instant
from hardstand.domain.bodies import By, Late
from hardstand.domain.fleet import Gear
from hardstand.domain.rejudging import verdict_again
from hardstand.flows.adopting import adopt
from hardstand.flows.answer_file import parse
from hardstand.flows.pen import Pen
from hardstand.flows.playing import play
from scenarios.stage import answer_of, answers, bodies, hardstand, moved_on, pen_at, sit

YB = By(doer="YB")
VHF = "QM-161"
METER = "panel meter"
MONDAY = "2027-03-08T04:35-03:00"


def _with_gear(pen: Pen, due: str) -> None:
    """Load the fleet again, with the panel meter due on a day."""
    flown = replace(fleet(), gear={METER: Gear(title="voltmeter of the test panel", due=due)})
    adopt(pen, [p for p in papers(flown=flown) if p.kind == "fleet.loaded"])


# -- 32 --------------------------------------------------------------------------------------------


def test_scenario_32_a_number_read_on_a_meter_out_of_date_is_kept_and_not_judged(
    tmp_path: Path,
) -> None:
    pen = on_disk(tmp_path)
    _with_gear(pen, "2027-03-07")
    shown = sit(pen, TAIL, {"volts": ["31.5", "31.5"]}, until="hear")
    why = "panel meter was due for its check on 2027-03-07"
    assert f"31.5 V: kept, not judged ({why}). Limit: 22.5 to 29 V" in shown.words
    given = answer_of(pen.journal, TAIL, "volts")
    assert (given.answer, given.value, given.verdict) == ("UNSURE", "31.5", "unknown")
    dash = pen.journal.facts(TAIL).open[0]
    assert (dash.symbol, dash.text) == ("-", f"Do volts: not sure: {why}")


def test_scenario_32_on_its_last_day_a_meter_is_still_trusted(tmp_path: Path) -> None:
    pen = on_disk(tmp_path)
    _with_gear(pen, "2027-03-08")
    sit(pen, TAIL, {"volts": ["24.5"]}, until="hear")
    assert answer_of(pen.journal, TAIL, "volts").verdict == "in"


def test_scenario_32_every_verdict_it_touched_since_its_date_is_listed(tmp_path: Path) -> None:
    pen = on_disk(tmp_path)
    sit(pen, TAIL, {"volts": ["24.5"]}, until="hear")
    moved_on(pen, minutes=3 * 24 * 60)
    sit(pen, "QM-116", {"volts": ["23.5"]}, until="hear")
    _with_gear(pen, "2027-03-09")
    told = hardstand(tmp_path / "record.db", "card", "gear", METER)
    assert told.status == 0, told.err
    lines = told.out.splitlines()
    assert lines[0] == (
        "panel meter was due for its check on 2027-03-09. Read on it after that day: 1."
    )
    assert len(lines) == 2
    assert "QM-116  volts: 23.5 V, told as in  [A-" in lines[1]
    none = hardstand(tmp_path / "record.db", "card", "gear", "M-9")
    assert none.status == 1
    assert none.err.splitlines()[0] == "The fleet has no meter or calibrator 'M-9'."


# -- what is shown when ----------------------------------------------------------------------------


def test_ans_03_the_limit_is_shown_only_after_the_number_where_the_list_says_so(
    tmp_path: Path,
) -> None:
    for read_first in (False, True):
        listed = [replace(s, read_first=read_first) if s.id == "volts" else s for s in steps()]
        folder = tmp_path / str(read_first)
        folder.mkdir()
        pen = on_disk(folder, listed=checklist(listed=listed))
        before = sit(pen, TAIL, until="volts").words
        assert ("Limit: 22.5 to 29 V" in before) is not read_first
        after = sit(pen, TAIL, until="hear").words
        assert "24.5 V: inside the limits. Limit: 22.5 to 29 V, inclusive." in after


def test_ans_03_no_dial_step_shows_its_limit_before_the_number(quennock: Path) -> None:
    pen = pen_at(quennock, MONDAY)
    shown = sit(pen, "QM-107", {"dial-lf-212": ["h", "h", "212.5"]}, until="dial-lf-329").said
    before, _, after = shown.partition("212.5 kHz: inside the limits.")
    screen = before[before.rindex("Read the RX-LF dial at zero beat with Vessary") :]
    for digits in ("209.88", "214.12", "1 %", "1 percent", "2.12"):
        assert digits not in screen
    assert "Limit: 1 % of 212 kHz" in after


def test_ans_08_a_critical_number_is_entered_twice_and_the_first_is_never_shown_again(
    tmp_path: Path,
) -> None:
    listed = [replace(s, critical=True, touch="the meter") if s.id == "volts" else s
              for s in steps()]  # fmt: skip
    pen = on_disk(tmp_path, listed=checklist(listed=listed))
    sat = sit(pen, TAIL, {"volts": ["24.5", "25.4", "24.5", "c"]}, until="hear")
    told = sat.words[sat.words.index("The first entry is taken and kept out of sight.") :]
    before, asked, _ = told.partition("Is that what you read?")
    assert asked
    assert "The two entries differ. Look at the meter again" in before
    assert "24.5" not in before.partition("The two entries differ.")[0]
    assert "25.4" not in before
    given = answer_of(pen.journal, TAIL, "volts")
    assert (given.answer, given.value, given.earlier) == ("OK", "24.5", ("24.5", "25.4"))


@pytest.mark.parametrize("typed", ["28 mV", "28 A", "28,5", "2 8", "1O", "1e3", "1.2.3", "--3"])
def test_ans_04_and_05_another_unit_or_a_wreck_of_a_number_is_refused_and_not_kept(
    tmp_path: Path, typed: str
) -> None:
    pen = on_disk(tmp_path)
    shown = sit(pen, TAIL, {"volts": [typed, "28 V"]}, until="hear")
    assert f"{typed!r} is no number this step can take." in shown.words
    given = answer_of(pen.journal, TAIL, "volts")
    assert (given.value, given.unit, given.typed, given.earlier) == ("28", "V", "28 V", ())


# -- the week's dials ------------------------------------------------------------------------------


def test_qm_166_reads_3100_at_3084_too_close_then_again_and_no_fault(quennock: Path) -> None:
    """Whole-job 7g: A-2416 gives 3100, 4020 and 5085, each too close; no board shows an entry."""
    pen = pen_at(quennock, "2027-03-10T15:00-03:00")
    shown = sit(pen, "QM-166", until="dial-hfb-6240")
    assert "3100 kHz is too close to call. Read again, from both sides of zero beat" in shown.words
    for name, value in (("dial-hfa-3084", "3100"), ("dial-hfa-5060", "5085")):
        given = answer_of(pen.journal, "QM-166", name)
        assert (given.answer, given.value, given.verdict) == ("OK", value, "too_close")
        assert given.earlier == (value, value, value)
    assert answer_of(pen.journal, "QM-166", "dial-lf-446").verdict == "in"
    assert pen.journal.facts("QM-166").open == ()


def test_a_dial_reading_keeps_whose_dial_it_was(quennock: Path) -> None:
    pen = pen_at(quennock, MONDAY)
    sit(pen, "QM-107", until="filter-all")
    given = answer_of(pen.journal, "QM-107", "dial-hfb-8000")
    assert given.judged[-2:] == ("position=RX-HFB", "serial=B-2607")


# -- the filter ------------------------------------------------------------------------------------


def test_c_5_a_station_that_changes_sends_the_walk_back_to_the_second_position(
    quennock: Path,
) -> None:
    pen = pen_at(quennock, MONDAY)
    talks = {"filter-all": ["2"], "filter-all-again": ["1"]}
    shown = sit(pen, "QM-107", talks, until="filter-stays")
    assert "What was on the air changed: take the other two positions again." in shown.words
    order = [s for s, _, _ in answers(pen.journal, "QM-107") if s.startswith("filter-")]
    assert order == ["filter-all", "filter-code", "filter-voice", "filter-all", "filter-code",
                     "filter-voice", "filter-all-again"]  # fmt: skip
    assert answer_of(pen.journal, "QM-107", "filter-all-again").verdict == "GOOD"
    assert [u.step for u in bodies(pen.journal, "step.undone")] == ["filter-code", "filter-voice"]


def test_c_5_a_voice_heard_on_code_is_a_fault_of_that_side_alone(quennock: Path) -> None:
    pen = pen_at(quennock, MONDAY)
    shown = sit(pen, "QM-107", {"filter-code": ["1"], "filter-all-again": ["1", ""]})
    assert "Look first at: RANGE side: voice not kept out." in shown.words
    facts = pen.journal.facts("QM-107")
    assert facts.open[0].takes == ("filt.range",)
    assert {"filt.both", "filt.voice"} <= set(facts.proved or {})
    assert "filt.range" not in (facts.proved or {})


# -- calls -----------------------------------------------------------------------------------------


def test_m_08_no_shipped_list_transmits_where_nothing_may_be_sent(quennock: Path) -> None:
    for tail in ("QM-107", "QM-161"):
        told = hardstand(quennock, "card", "call", tail, "--at", "2027-03-08T05:15-03:00")
        assert told.status == 0, told.err
        assert "121.5 MHz" not in told.out
        assert "5680" not in told.out


def test_c_6_two_poor_reports_from_two_stations_are_a_fault(quennock: Path) -> None:
    pen = pen_at(quennock, MONDAY)
    poor = ["1", "3", "1", "low modulation", "1", "3", "Illa Head", "low modulation", "", "c", ""]
    sit(pen, "QM-107", {"op-call-1": poor}, until="op-call-2")
    entry = pen.journal.facts("QM-107").open[0]
    assert entry.text == "TX-1: no or poor report; Illa Head: low modulation"
    assert entry.takes == ("tx1",)


def test_c_7_both_transmitters_poor_points_at_what_they_share(quennock: Path) -> None:
    pen = pen_at(quennock, MONDAY)
    poor = ["1", "3", "1", "low modulation", "f", "c", ""]
    shown = sit(pen, "QM-113", {"op-call-1": poor, "op-call-2": poor}, until="op-modulation")
    first = shown.words.index("Call on SET 2 before anything is opened.")
    aim = "Look first at: modulator; microphone; DYN-T; control box CTL-T."
    assert shown.words.index(aim) > first


def test_every_judged_answer_of_the_demo_recomputes_from_what_is_stored(quennock: Path) -> None:
    pen = pen_at(quennock, MONDAY)
    sit(pen, "QM-166", {"dial-lf-329": ["239", "332"]})
    sit(pen, VHF, by=YB)
    judged = [
        body
        for tail in ("QM-166", VHF)
        for body in bodies(pen.journal, "step.answered", airframe=tail)
        if body.judged
    ]
    assert {body.judged[0] for body in judged} == {
        "dial_grain", "ident_match", "range_filter", "transmitter_report",
    }  # fmt: skip
    assert [verdict_again(body) for body in judged] == [body.verdict for body in judged]
    assert all(body.limit and body.basis for body in judged if body.verdict != "noted")


@pytest.mark.parametrize(
    ("made_at", "verdict"),
    [("2027-03-07T05:00-03:00", "in"), ("2027-03-08T05:00-03:00", "unknown")],
)
def test_scenario_32_a_walk_made_on_paper_is_held_to_the_day_it_was_walked(
    tmp_path: Path, made_at: str, verdict: str
) -> None:
    pen = on_disk(tmp_path)
    _with_gear(pen, "2027-03-07")
    at = instant(made_at)
    assert at is not None
    said = {"tools": "9", "safe": "OFF", "gate": "OK | near", "open": "OK", "plugs": "OK",
            "shut": "SHUT", "power": "ON", "volts": "24.5"}  # fmt: skip
    lines = ["tail QM-161", *(f"{s}: {a}" for s, a in said.items()), "end left_unfinished"]
    script = parse("paper.txt", "\n".join(lines).encode())
    play(pen, script, by=By(doer="IO", late=Late(made_at=at, typist="MS")))
    assert answer_of(pen.journal, TAIL, "volts").verdict == verdict
