"""What a station said of a call: kept in its words, weighed, never filled in."""

from __future__ import annotations

from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builders import checklist, step
from dry_walk import DryWalk, plan
from hardstand.domain import reporting
from hardstand.domain.answering import Reply
from hardstand.domain.bodies import Answer
from hardstand.domain.checklist import OnFault
from hardstand.domain.defects import Refused
from hardstand.domain.readings.report import SCALE
from hardstand.domain.reporting import line, report, settle, verdict_again
from hardstand.domain.settled import Settled
from hardstand.domain.walk import begin
from hardstand.flows.giving import keys, told

TOWER = {"name": "transmitter_report", "called": "Tarrick Tower", "channel": "CHANNEL 1",
         "frequency": "122.1 MHz"}  # fmt: skip
STRIP = {"name": "transmitter_report", "called": "Great Fennoway", "channel": "CHANNEL 3",
         "frequency": "121.9 MHz"}  # fmt: skip
ANY = {"name": "transmitter_report", "channel": "CHANNEL 2", "frequency": "123.7 MHz"}
CALLS = checklist(
    listed=(
        step("one", "test", "transmit", judge=TOWER, on_fault=OnFault(takes=("tx",))),
        step("two", "test", "transmit", judge=ANY),
        step("three", "test", "transmit", judge=STRIP, on_fault=OnFault(takes=("rx",))),
    )
)
STATE = begin(plan(listed=CALLS), walk="A1", airframe="QM-161", items={})


def said(readability: str, station: str = "Tarrick Tower", words: str = "", on: str = "1") -> str:
    """One stored report."""
    return line(readability, station, f"CHANNEL {on}", words)


def settled(name: str, *lines: str, by_ear: bool = False) -> Settled:
    found = settle(STATE, CALLS.step(name), lines, by_ear=by_ear)
    assert isinstance(found, Settled), found
    return found


def refused(name: str, *lines: str, by_ear: bool = False) -> Refused:
    found = settle(STATE, CALLS.step(name), lines, by_ear=by_ear)
    assert isinstance(found, Refused), found
    return found


@pytest.mark.parametrize(
    ("lines", "what"),
    [
        ((said("5", station=""),), "No station was named at step 3.01"),
        ((), "No report was given at step 3.01"),
    ],
)
def test_what_is_no_report_is_told_by_the_number_that_the_screen_shows(
    lines: tuple[str, ...], what: str
) -> None:
    told = refused("one", *lines)
    assert told.what == what
    assert told.hint == "Readability as said, the station that answered, its words."


@pytest.mark.parametrize(("pick", "stored"), [(1, "1"), (5, "5"), (6, "not given")])
def test_the_digit_pressed_is_the_digit_that_was_said(pick: int, stored: str) -> None:
    assert reporting.said(pick) == stored
    assert len(reporting.READABILITY) == len(SCALE) + 1


@pytest.mark.parametrize("digit", ["4", "5"])
def test_four_and_five_pass(digit: str) -> None:
    found = settled("one", said(digit, words="strength good"))
    assert (found.answer, found.value, found.unit) == ("OK", digit, "readability")
    assert (found.evidence, found.verdict) == ("Tarrick Tower: strength good", "pass")
    assert found.limit.startswith("4 or 5 passes")


@pytest.mark.parametrize("digit", ["1", "2", "3"])
def test_one_poor_report_asks_for_another_before_a_defect(digit: str) -> None:
    told = refused("one", said(digit))
    assert told.what == "Not settled; all reports are kept"
    assert told.hint == reporting.ASK_ANOTHER
    found = settled("one", said(digit), said("3", "Great Fennoway Keeper"))
    assert (found.answer, found.verdict) == ("FAULT", "defect_offered")
    assert found.earlier == (said(digit),)


def test_one_station_twice_on_two_channels_is_enough_and_twice_on_one_is_not() -> None:
    assert settled("one", said("3"), said("2", on="2")).answer == "FAULT"
    assert refused("one", said("3"), said("2")).hint == reporting.ASK_ANOTHER


def test_words_without_a_digit_store_none_and_are_judged_by_ear() -> None:
    told = refused("one", said("not given", words="loud and clear"))
    assert told == Refused(
        what="No digit was given; none is stored",
        hint="Ask for it, or O if the words were good.",
    )
    found = settled("one", said("not given", words="loud and clear"), by_ear=True)
    assert (found.answer, found.value, found.unit, found.verdict) == ("OK", "", "", "not given")
    assert found.evidence == "Tarrick Tower: loud and clear"


def test_no_ear_makes_a_poor_report_good() -> None:
    assert isinstance(settle(STATE, CALLS.step("one"), (said("2"),), by_ear=True), Refused)
    both = (said("3"), said("not given", words="fine"))
    assert isinstance(settle(STATE, CALLS.step("one"), both, by_ear=True), Refused)
    none = (line("no answer", "", "CHANNEL 1", ""),)
    assert isinstance(settle(STATE, CALLS.step("one"), none, by_ear=True), Refused)


@pytest.mark.parametrize(
    ("lines", "offered"),
    [
        ((), False),
        ((line("no answer", "", "CHANNEL 1", ""),), False),
        ((said("2"),), False),
        ((said("not given", words="fine"),), True),
        ((said("3"), said("not given", words="fine")), False),
        ((said("5", words="strong, hum"),), True),
    ],
)
def test_ok_is_offered_after_a_report_only_where_it_is_taken(
    lines: tuple[str, ...], offered: bool
) -> None:
    """MIL-STD-1472E 5.15.4.2.3, from memory: only what can be done now is shown."""
    assert ("O" in keys(CALLS.step("one"), lines)) == offered
    if lines:
        taken = settle(STATE, CALLS.step("one"), lines, by_ear=True)
        assert isinstance(taken, Refused) != offered


@pytest.mark.parametrize("word", ["off frequency", "distorted", "over", "hum"])
def test_some_words_are_a_finding_even_beside_a_five(word: str) -> None:
    assert refused("one", said("5", words=f"strong, {word}")) == Refused(
        what=f"{word} is a finding, even with a 5", hint="O keeps the words, F is a fault."
    )
    assert settled("one", said("5", words=f"strong, {word}"), by_ear=True).answer == "OK"


def test_no_answer_is_one_report() -> None:
    told = refused("one", line("no answer", "", "CHANNEL 1", ""))
    assert told == Refused(what="No answer is one report", hint=reporting.ASK_ANOTHER)


@pytest.mark.parametrize("station", ["Tarrick Tower", "tarrick  tower", "TARRICK TOWER "])
def test_another_channels_station_answering_takes_both_channels(station: str) -> None:
    found = settled("three", said("5", station, on="3"))
    assert (found.answer, found.verdict, found.takes) == ("FAULT", "crossed", ("rx", "tx"))
    assert told(CALLS.step("three"), found).endswith("changed over?"), "a question ends as one"
    assert found.look_at == (
        "Tarrick Tower is called on CHANNEL 1: are two crystals changed over?"
        if station == "Tarrick Tower"
        else f"{' '.join(station.split())} is called on CHANNEL 1: are two crystals changed over?",
    )


def test_a_station_that_nobody_else_calls_may_answer_anywhere() -> None:
    assert settled("three", said("5", "Moss Hythe", on="3")).answer == "OK"
    assert settled("two", said("5", "Tarrick Tower", on="2")).answer == "OK", "any may answer"


words = st.text(max_size=20)


@given(st.sampled_from([*SCALE, "not given", "no answer"]), words, words, words)
def test_a_report_reads_back_as_it_was_written(
    readability: str, station: str, channel: str, spoken: str
) -> None:
    found = report(line(readability, station, channel, spoken))
    if found is None:
        assert readability != "no answer"
        assert not station.replace("|", "/").strip()
        return
    assert found.digit == (int(readability) if readability in SCALE else None)
    assert found.station == " ".join(station.replace("|", "/").lower().split())
    assert found.words == " ".join(spoken.replace("|", "/").split())


@given(st.lists(st.text(max_size=30) | st.sampled_from([said(d) for d in SCALE]), max_size=4),
       st.booleans())  # fmt: skip
def test_whatever_is_reported_is_settled_or_refused(lines: list[str], by_ear: bool) -> None:
    found = settle(STATE, CALLS.step("one"), tuple(lines), by_ear=by_ear)
    assert isinstance(found, Refused) or found.answer in get_args(Answer)


reports = st.builds(
    said, st.sampled_from([*SCALE, "not given"]),
    st.sampled_from(["Tarrick Tower", "Moss Hythe", "Great Fennoway"]),
    st.sampled_from(["", "loud and clear", "hum"]), st.sampled_from(["1", "2"]),
)  # fmt: skip


@given(st.lists(reports, min_size=1, max_size=4), st.booleans(), st.sampled_from(["one", "three"]))
def test_the_verdict_recomputes_from_what_is_stored(
    lines: list[str], by_ear: bool, name: str
) -> None:
    found = settle(STATE, CALLS.step(name), tuple(lines), by_ear=by_ear)
    if isinstance(found, Settled):
        assert verdict_again(found.judged, found.earlier) == found.verdict


# -- what they share -------------------------------------------------------------------------------

SHARED = "modulator; microphone; DYN-T; control box CTL-T"


def _pair() -> DryWalk:
    sets = [
        step(f"set-{n}", "test", "transmit", proves=("tx", "TR"),
             judge={**ANY, "channel": f"SET {n}", "shared": SHARED})
        for n in (1, 2)
    ]  # fmt: skip
    return DryWalk(listed=checklist(listed=sets))


@pytest.mark.parametrize(
    ("first", "look_at"),
    [(Reply(key="F"), (SHARED,)), (Reply(value=said("5")), ("TR",)),
     (None, ("call on SET 1 before anything is opened",))],
)  # fmt: skip
def test_c_7_what_is_bad_twice_points_at_what_is_shared_and_an_untested_one_at_a_test(
    first: Reply | None, look_at: tuple[str, ...]
) -> None:
    """Whole-job C-7, rows P,P; G,P; and P,U: shared units, the box itself, a test."""
    walk = _pair()
    if first is not None:
        walk.give("set-1", first)
    assert reporting.pointer(walk.state, walk.state.plan.checklist.step("set-2")) == look_at


def test_a_call_that_shares_nothing_points_at_nothing() -> None:
    assert reporting.pointer(STATE, CALLS.step("one")) == ()
