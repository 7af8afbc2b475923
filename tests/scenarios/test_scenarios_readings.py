"""Nasty scenarios 21 to 31: numbers, stations, reports, and noises that are nobody's fault."""

from __future__ import annotations

from pathlib import Path

import pytest

from builders import TAIL, on_disk, opened
from hardstand.domain.bodies import By
from hardstand.domain.checklist import Checklist
from hardstand.flows.adopting import lists
from scenarios.stage import answer_of, answers, bodies, hardstand, pen_at, sit

YB = By(doer="YB")
HAND_TUNED, VHF = "QM-107", "QM-161"
MONDAY = "2027-03-08T04:35-03:00"
CND = "could not duplicate on battery"


def _list(record: Path, fit: str) -> Checklist:
    return next(c for c in lists(opened(record)).current.values() if c.fit == fit)


def test_scenario_21_digits_typed_in_another_order(quennock: Path) -> None:
    pen = pen_at(quennock, MONDAY)
    shown = sit(pen, HAND_TUNED, {"dial-lf-329": ["239", "330.5"]}, until="dial-lf-446")
    told = "239 kHz is noted. Look at the meter again and give what it shows now."
    assert told in shown.words, "asked for a fresh look, without saying why"
    given = answer_of(pen.journal, HAND_TUNED, "dial-lf-329")
    assert (given.answer, given.value, given.earlier) == ("OK", "330.5", ("239",))


def test_scenario_21_the_same_number_seen_twice_is_believed(quennock: Path) -> None:
    pen = pen_at(quennock, MONDAY)
    sit(pen, HAND_TUNED, {"dial-lf-329": ["239", "239", ""]}, until="dial-lf-446")
    given = answer_of(pen.journal, HAND_TUNED, "dial-lf-329")
    assert (given.answer, given.value, given.earlier) == ("FAULT", "239", ("239",))


def test_scenario_22_megahertz_typed_where_kilohertz_are_meant(quennock: Path) -> None:
    pen = pen_at(quennock, MONDAY)
    typed = {"dial-hfb-8000": ["8.0", "8.0", "8010"]}
    shown = sit(pen, HAND_TUNED, typed, until="filter-all")
    told = "8.0 is refused: the unit of this step is kHz. Example: 5550. Nothing is converted."
    assert shown.words.count(told) == 2, "as often as it is typed"
    given = answer_of(pen.journal, HAND_TUNED, "dial-hfb-8000")
    assert (given.answer, given.value, given.unit) == ("OK", "8010", "kHz")
    assert given.earlier == ("8.0", "8.0")


@pytest.mark.parametrize(
    ("value", "answer"), [("22.5", "OK"), ("29", "OK"), ("22.4", "FAULT"), ("29.1", "FAULT")]
)
def test_scenario_23_a_reading_exactly_on_the_limit_is_in(
    tmp_path: Path, value: str, answer: str
) -> None:
    pen = on_disk(tmp_path)
    sit(pen, TAIL, {"volts": [value, ""]}, until="hear")
    assert answer_of(pen.journal, TAIL, "volts").answer == answer


def test_scenario_23_too_close_for_the_graduation_is_read_again(quennock: Path) -> None:
    pen = pen_at(quennock, MONDAY)
    sides = {"dial-lf-212": ["214", "213.5", "212.5"]}
    shown = sit(pen, HAND_TUNED, sides, until="dial-lf-329")
    assert "214 kHz is too close to call. Read again, from both sides of zero beat" in shown.words
    given = answer_of(pen.journal, HAND_TUNED, "dial-lf-212")
    assert (given.answer, given.value, given.verdict) == ("OK", "213.0", "in")
    assert given.earlier == ("214", "213.5", "212.5"), "all three are kept"


def test_scenario_24_a_station_that_is_not_identified_is_no_calibration_point(
    quennock: Path,
) -> None:
    pen = pen_at(quennock, MONDAY)
    heard = {"dial-lf-212": ["s", "5", "214 kHz, carrier only"]}
    shown = sit(pen, HAND_TUNED, heard, until="dial-lf-446")
    assert "No ident, no reading." in shown.words
    given = answer_of(pen.journal, HAND_TUNED, "dial-lf-212")
    assert (given.answer, given.reason, given.value) == ("SKIPPED", "station not identified", "")
    assert given.words == "heard at 214 kHz, carrier only", "it may be noted as heard"


def test_scenario_24_another_ident_than_the_listed_one_answers_nothing(quennock: Path) -> None:
    pen = pen_at(quennock, MONDAY)
    shown = sit(pen, HAND_TUNED, {"lis-hear-lf": ["o", "VSY", "o", "TK"]}, until="lis-warm")
    assert "VSY is not the ident that the list gives." in shown.words
    given = answer_of(pen.journal, HAND_TUNED, "lis-hear-lf")
    assert (given.answer, given.evidence, given.verdict) == ("OK", "TK", "match")


def test_scenario_25_a_big_error_on_a_clean_signal_is_an_image_first(quennock: Path) -> None:
    pen = pen_at(quennock, MONDAY)
    shown = sit(pen, HAND_TUNED, {"dial-lf-329": ["300", "330.5"]}, until="dial-lf-446")
    asked = "300 kHz is far off: image or wrong station. Images of 329 kHz lie at 109 kHz and 549"
    assert asked in shown.words, "the image figures: twice the intermediate frequency, 110 kHz"
    given = answer_of(pen.journal, HAND_TUNED, "dial-lf-329")
    assert (given.answer, given.value, given.earlier) == ("OK", "330.5", ("300",))
    again = {"dial-lf-446": ["400", "400", ""]}
    sit(pen, HAND_TUNED, again, until="dial-hfa-3084")
    assert answer_of(pen.journal, HAND_TUNED, "dial-lf-446").answer == "FAULT", "then the dial"


def test_scenario_26_loud_and_clear_is_kept_as_said_without_a_digit(quennock: Path) -> None:
    pen = pen_at(quennock, MONDAY, author="YB")
    said = ["1", "6", "1", "loud and clear", "o"]
    shown = sit(pen, VHF, {"op-call-1": said}, until="op-call-2", by=YB)
    assert "No digit was given; none is stored." in shown.words
    given = answer_of(pen.journal, VHF, "op-call-1")
    assert (given.answer, given.evidence) == ("OK", "Tarrick Tower: loud and clear")
    assert (given.value, given.verdict) == ("", "not given")


def test_scenario_27_another_station_answers_than_was_called(quennock: Path) -> None:
    pen = pen_at(quennock, MONDAY, author="YB")
    crossed = {"op-call-3": ["1", "5", "Tarrick Tower", "reading you five", ""]}
    sit(pen, VHF, crossed, until="op-hear-5", by=YB)
    given = answer_of(pen.journal, VHF, "op-call-3")
    assert (given.answer, given.verdict) == ("FAULT", "crossed")
    entry = pen.journal.facts(VHF).open[0]
    assert {"ch1", "ch3"} <= set(entry.takes), "the fault is on both channels"


def test_scenario_28_one_good_and_one_poor_report_ask_for_a_third(quennock: Path) -> None:
    pen = pen_at(quennock, MONDAY)
    poor, good = ["1", "2", "1", "weak"], ["1", "5", "Quennock Radio", "strong", ""]
    third = ["1", "3", "Illa Head", "in and out", "", "c", "", ""]
    shown = sit(pen, HAND_TUNED, {"op-call-1": [*poor, *good, *third]}, until="op-call-2")
    asked = "Not settled; all reports are kept. Ask another station or channel."
    assert shown.words.count(asked) == 2, "after the poor one, and after the good one"
    given = answer_of(pen.journal, HAND_TUNED, "op-call-1")
    kept = [line.split(" | ")[:2] for line in given.earlier]
    assert kept == [["2", "Tarrick Tower"], ["5", "Quennock Radio"]]
    assert given.evidence == "Illa Head: in and out"
    assert (given.answer, given.verdict) == ("FAULT", "defect_offered"), "two stations at 3 or less"


def test_scenario_29_nobody_talks_during_the_filter_test(quennock: Path) -> None:
    pen = pen_at(quennock, MONDAY)
    silence = {"filter-all": ["2"], "filter-code": ["2"], "filter-voice": ["4"],
               "filter-all-again": ["2"]}  # fmt: skip
    shown = sit(pen, HAND_TUNED, silence)
    assert "Range filter: HALF PROVEN." in shown.words
    assert "Vessary on 212 at :15 and :45" in shown.words, "when the weather is read out"
    given = answer_of(pen.journal, HAND_TUNED, "filter-all-again")
    assert (given.answer, given.reason) == ("SKIPPED", "nobody was talking")
    facts = pen.journal.facts(HAND_TUNED)
    assert "filt.range" in (facts.proved or {})
    assert "filt.voice" not in (facts.proved or {})
    assert "filt.voice" in {f for e in facts.open for f in e.untested}
    assert {e.symbol for e in facts.open} == {"-"}


def test_scenario_30_only_with_the_engine_running(quennock: Path) -> None:
    told = hardstand(
        quennock, "defect", "raise", HAND_TUNED, "hum in LF receiver", "--unit", "RX-LF",
        "--weakens", "lf.rx", "--noticed", "cruise", "--conditions", "generator on", "--by", "AF",
    )  # fmt: skip
    assert told.err == "107-S01 raised on QM-107: / red diagonal.\n"
    hardstand(quennock, "defect", "action", "107-S01", CND, "--by", "BT")
    assert "/ red diagonal" in hardstand(quennock, "open", "107").out, "a try is no test"
    proved = hardstand(quennock, "defect", "prove", "107-S01", "quiet on battery", "--by", "BT")
    assert proved.status == 10
    assert "107-S01 waits for no test" in proved.err
    history = hardstand(quennock, "record", "history", "107-S01").out
    assert "noticed cruise, conditions generator on" in history
    assert f"text {CND}" in history


def test_scenario_31_the_crackle_may_be_his_own_cord(quennock: Path) -> None:
    for fit in ("H", "V"):
        moved = [
            s for s in _list(quennock, fit).steps if s.id.startswith(("lis-move", "lis-plugs"))
        ]
        assert moved
        for step in moved:
            assert step.causes[0].cause == "your own headset cord or jack"
            assert step.causes[0].confirm == "it stops with another headset"
    pen = pen_at(quennock, MONDAY, author="YB")
    shown = sit(pen, VHF, {"lis-plugs": ["f", "1"]}, until="lis-dyn", by=YB)
    assert "Try this before a unit is blamed: your own headset cord or jack." in shown.words
    assert "Recorded against the test gear." in shown.words
    assert [v.reason for v in bodies(pen.journal, "defect.voided")] == [
        "test gear: your own headset cord or jack; it stops with another headset"
    ]
    assert pen.journal.facts(VHF).open == (), "no unit is blamed"
    assert answers(pen.journal, VHF)[-1] == ("lis-plugs", "OK", "YB")
