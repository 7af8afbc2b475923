"""Nasty scenarios 11 to 20: what does not apply, what is off the air, what must not be touched."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from builders import TAIL, Watch, checklist, on_disk, papers, steps
from hardstand.domain.bodies import By
from hardstand.domain.checklist import Step
from hardstand.flows.adopting import adopt
from hardstand.flows.pen import Pen
from scenarios.stage import (
    answer_of,
    answers,
    bodies,
    hardstand,
    lines_of,
    moved_on,
    pen_at,
    sit,
)

YB = By(doer="YB")
VHF = "QM-161"


def test_scenario_11_a_step_that_does_not_apply_here_is_a_disagreement(tmp_path: Path) -> None:
    pen = on_disk(tmp_path)
    asked = sit(pen, TAIL, {"plugs": ["n", "1"]}, until="shut")
    assert "The record says fit T carries it." in asked.words
    given = answer_of(pen.journal, TAIL, "plugs")
    assert (given.answer, given.reason) == ("NOT FITTED", "not in this fit")
    dash = pen.journal.facts(TAIL).open[0]
    assert (dash.symbol, dash.unit) == ("-", "TR")
    assert dash.text == "fit not as recorded, Do plugs not fitted: not in this fit"


def _no_watch(pen: Pen) -> None:
    assert sit(pen, VHF, {"op-call-3": ["s", "2"]}, by=YB).stopped is None
    assert bodies(pen.journal, "walk.closed")[-1].outcome == "finished"


def test_scenario_12_the_tower_is_not_on_watch_three_mornings_running(quennock: Path) -> None:
    for day in ("08", "09", "10"):
        _no_watch(pen_at(quennock, f"2027-03-{day}T04:50-03:00", author="YB"))
    pen = pen_at(quennock, "2027-03-10T06:00-03:00")
    dashes = [e for e in pen.journal.facts(VHF).open if "ch3" in e.untested]
    assert len(dashes) == 1, "one entry for the function, not three"
    dash = dashes[0]
    assert dash.text == "channel 3, Great Fennoway 121.9 MHz not tested: tower not on watch"
    found = [dash.found_at, *dash.again]
    assert [at[:10] for at in found] == ["2027-03-08", "2027-03-09", "2027-03-10"]
    assert "ch3" not in (pen.journal.facts(VHF).proved or {}), "what nobody heard is unknown"
    assert "3 times" in hardstand(quennock, "open", "161").out


def test_scenario_13_no_station_is_heard(quennock: Path) -> None:
    pen = pen_at(quennock, "2027-03-08T04:35-03:00")
    silent = {"lis-hear-hfb": ["s", "1"], "dial-hfb-6240": ["s", "1"], "dial-hfb-8000": ["s", "1"]}
    shown = sit(pen, "QM-107", silent)
    assert "1 no station on the air" in shown.words
    proved = pen.journal.facts("QM-107").proved or {}
    assert "hfb.rx" not in proved, "never good from silence"
    entries = pen.journal.facts("QM-107").open
    assert {e.symbol for e in entries} == {"-"}, "never a fault from silence"
    assert any("no station on the air" in e.text for e in entries)


def _revised(pen: Pen) -> None:
    adopt(pen, [p for p in papers(listed=checklist(revision="2")) if "checklist" in p.kind])


def test_scenario_14_the_list_is_revised_in_mid_walk(tmp_path: Path) -> None:
    pen = on_disk(tmp_path, demo=True)
    sit(pen, TAIL, until="plugs")
    _revised(pen)
    on = sit(pen, TAIL)
    told = "T-PRE 2 was adopted meanwhile. This walk stays on 1 to its end."
    assert on.words.count(told) == 1
    assert on.words.index("2.03 Do shut") < on.words.index(told) < on.words.index("3.01 Do power")
    closed = bodies(pen.journal, "walk.closed")[-1]
    assert (closed.outcome, closed.revision) == ("finished", "1")
    finished = hardstand(tmp_path / "record.db", "status", "161").out
    assert "on T-PRE 1" in finished, "the finish names its revision"
    sit(pen, TAIL, until="safe")
    assert bodies(pen.journal, "walk.started")[-1].revision == "2"


def test_scenario_16_nobody_keys_while_a_hand_is_on_the_wire(quennock: Path) -> None:
    pen = pen_at(quennock, "2027-03-08T04:35-03:00")
    stuck = {"ant-stand-away": ["1", "", "1"], "lis-tag": ["s", "8", "stand is still there"]}
    barred = sit(pen, "QM-166", stuck, until="lis-battery", then=["2"])
    assert "Not yet: work stand at the antenna is recorded PLACED, it must be AWAY." in barred.words
    assert "cannot be OK now" in barred.words
    assert "lis-battery" not in {s for s, _, _ in answers(pen.journal, "QM-166")}


def test_scenario_15_a_revision_is_withdrawn_after_use(quennock: Path) -> None:
    pen = pen_at(quennock, "2027-03-08T04:50-03:00", author="YB")
    for tail in (VHF, "QM-164"):
        sit(pen, tail, by=YB)
    told = hardstand(
        quennock, "checklist", "withdraw", "V-PREFLIGHT", "V3", "--by", "ÅL", "--step",
        "comp-latches", "--reason", "wire looked for on the wrong side",
        "--not-touched", "QM-164=its set has bolts and no latches",
    )  # fmt: skip
    assert told.status == 0, told.err
    assert list(lines_of(told.out, "QM-161", "161-S01"))
    assert list(lines_of(told.out, "QM-164", "its set has bolts"))
    dash = pen.journal.facts(VHF).open[0]
    assert (dash.symbol, dash.untested) == ("-", ("TR-V", "step comp-latches"))
    assert [e.number for e in pen.journal.facts("QM-164").open] == ["164-S05"], "none of it"
    assert sit(pen, VHF, by=YB).stopped is not None, "and it is walked no more"


def _timed() -> tuple[Step, ...]:
    def gated(known: Step) -> Step:
        return replace(known, zone="test", stale_after_min=10) if known.id == "gate" else known

    order = [s.id for s in steps()]
    order.remove("gate")
    order.insert(order.index("power"), "gate")
    named = {s.id: gated(s) for s in steps()}
    return tuple(named[name] for name in order)


def test_scenario_16_the_gate_asks_again_for_a_name_each_time_it_is_stale(tmp_path: Path) -> None:
    pen = on_disk(tmp_path, listed=checklist(listed=_timed()))
    sit(pen, TAIL, until="call")
    moved_on(pen, minutes=11)
    asked = sit(pen, TAIL, {"gate": ["o", "NH at the wing tip"]}, until="off")
    assert "Passed more than 10 minutes ago; ask once more." in asked.words
    gates = [a for a in bodies(pen.journal, "step.answered") if a.step == "gate"]
    assert [a.evidence for a in gates] == ["BT at the wing tip", "NH at the wing tip"]
    assert answers(pen.journal, TAIL)[-1][:2] == ("call", "OK"), "and then the call is asked"


@pytest.mark.hf("WCN-09", "WCN-14")
def test_scenario_17_the_fuel_truck_draws_up(quennock: Path) -> None:
    pen = pen_at(quennock, "2027-03-08T04:50-03:00")
    alongside = {"op-gate": ["f", "fuel truck alongside"]}
    shown = sit(pen, VHF, alongside, until="op-hear-5", by=YB)
    order = "Make safe now, in this order: BATTERY switch recorded ON; VHF lever recorded ON; "
    assert order in shown.words, "energy first, then what stands open"
    given = {s: a for s, a, _ in answers(pen.journal, VHF)}
    assert {given[f"op-call-{n}"] for n in (1, 2, 3, 4)} == {"SKIPPED"}, "nobody transmits"
    assert "op-hear-5" not in given, "the place is kept: listening goes on from here"
    texts = [e.text for e in pen.journal.facts(VHF).open]
    assert texts[0] == "fuel truck alongside"
    assert "not tested: passed over after FAULT at" in texts[1]
    left = sit(pen, VHF, until="op-hear-5", then=["b"], by=YB)
    card = left.words[left.words.rindex("is left at") :]
    assert card.index("BATTERY switch") < card.index("panel")


def test_scenario_18_thunder_ends_the_antenna_zone_in_one_key(quennock: Path) -> None:
    pen = pen_at(quennock, "2027-03-08T04:50-03:00")
    shown = sit(pen, VHF, {"ant-stand": ["s", "4", "2"]}, until="comp-open", by=YB)
    assert "SKIPPED, weather: all 3 in this zone" in shown.words
    given = {s: a for s, a, _ in answers(pen.journal, VHF)}
    zone = ("ant-stand", "ant-mast", "ant-base", "ant-stand-away")
    assert [given[name] for name in zone] == ["SKIPPED"] * 4
    assert "zone 4 of 9 radio compartment" in shown.words[-1500:], "the walk goes on"
    dashes = pen.journal.facts(VHF).open
    assert {e.symbol for e in dashes} == {"-"}
    assert any(e.text.endswith("not tested: weather") and "ANT-V" in e.untested for e in dashes)


def test_scenario_18_what_is_away_is_still_brought_home_in_bad_weather(quennock: Path) -> None:
    pen = pen_at(quennock, "2027-03-08T04:50-03:00")
    shown = sit(pen, VHF, {"ant-mast": ["s", "4", "2"]}, until="ant-stand-away", by=YB)
    assert "1 more step in this zone. Weather there too?" in shown.words
    assert "SKIPPED, weather: that one too" in shown.words
    given = {s: a for s, a, _ in answers(pen.journal, VHF)}
    assert given["ant-base"] == "SKIPPED"
    assert "ant-stand-away" not in given, "the stand is out there and is asked for"
    assert "Roll the stand clear of the wing." in shown.words[-800:]


def test_scenario_19_unknown_keys_do_nothing_and_undo_is_one_key(tmp_path: Path) -> None:
    pen = on_disk(tmp_path)
    rain = ["", " ", "q", "oo", "5", "\x1b[A"]
    shown = sit(pen, TAIL, until="plugs", then=[*rain, "o"])
    assert shown.said.count("Nothing was answered: that key means nothing here.") == len(rain)
    undone = sit(pen, TAIL, until="shut", then=["z"])
    assert answers(pen.journal, TAIL)[-1] == ("plugs", "OK", "IO")
    assert [u.step for u in bodies(pen.journal, "step.undone")] == ["plugs"]
    assert "Taken back: 2.02 Do plugs — recorded OK" in undone.words
    assert list(lines_of(undone.said, "2.02", "Do plugs."))


def test_scenario_19_a_digit_is_asked_for_until_one_comes(tmp_path: Path) -> None:
    pen = on_disk(tmp_path)
    rain = ["\x1b[A", "9", "x", ""]
    shown = sit(pen, TAIL, until="plugs", then=["d", "cord frayed", *rain, "3"])
    assert shown.said.count("Nothing was answered: that key means nothing here.") == 4
    entry = pen.journal.facts(TAIL).open[0]
    assert (entry.symbol, entry.text) == ("/", "cord frayed")


def test_scenario_20_answers_faster_than_a_man_can_walk_are_not_remarked_on(
    tmp_path: Path,
) -> None:
    """The design forbids remarks on how long somebody took, so a fast walk reads as a slow one."""
    (tmp_path / "fast").mkdir()
    (tmp_path / "slow").mkdir()
    said = []
    for name, seconds in (("fast", 0), ("slow", 40)):
        pen = on_disk(tmp_path / name, demo=True)
        timed = replace(pen, clock=Watch(at=pen.clock.now(), step=seconds))
        sat = sit(timed, TAIL)
        assert bodies(pen.journal, "walk.closed")[-1].outcome == "finished"
        why = hardstand(tmp_path / name / "record.db", "why", TAIL).out
        said.append((sat.words[-120:], why.split("because:")[1].split("walk A1")[0]))
    assert said[0] == said[1]


def test_scenario_20_no_command_counts_or_ranks_people() -> None:
    told = hardstand(None, "--help").out
    for word in ("rank", "score", "slowest", "per person", "statistic"):
        assert word not in told.lower()
