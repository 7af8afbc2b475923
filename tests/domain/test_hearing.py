"""The range filter by four steps, and idents: every hearing against the truth table."""

from __future__ import annotations

from itertools import product

import pytest

from builders import checklist, step
from dry_walk import DryWalk
from hardstand.domain import bodies as b
from hardstand.domain.answering import Reply
from hardstand.domain.checklist import OnFault
from hardstand.domain.closing import proved
from hardstand.domain.defects import Refused
from hardstand.domain.hearing import (
    READS,
    WORDS,
    choices,
    hear,
    identify,
    judged_words,
    verdict_again,
)
from hardstand.domain.readings.range_filter import (
    FAULT,
    GOOD,
    HALF_PROVEN,
    NOT_TESTED,
    PARTS,
    REPEAT,
    outcome,
    parts,
)
from hardstand.domain.settled import Settled

LAST = {
    "name": "range_filter", "reads": "BOTH_again", "both": "tx", "range": "rx", "voice": "TR",
    "voice_from": "Vessary, 212 kHz, weather at :15 and :45",
}  # fmt: skip
FILTER = checklist(
    listed=(
        step("all", "test", "listen", judge={"name": "range_filter", "reads": "BOTH"}),
        step("code", "test", "listen", judge={"name": "range_filter", "reads": "RANGE"}),
        step("voice", "test", "listen", judge={"name": "range_filter", "reads": "VOICE"}),
        step("again", "test", "listen", judge=LAST, proves=("tx", "rx", "TR"),
             on_fault=OnFault(takes=("tx", "rx"), text="range filter")),
    )
)  # fmt: skip
NAMES = ("all", "code", "voice", "again")
WELL = ("code and voice", "code alone", "voice alone", "code and voice")


def heard(*words: str) -> DryWalk:
    """A walk in which these were heard, in order."""
    bench = DryWalk(listed=FILTER)
    for name, said in zip(NAMES, words, strict=False):
        bench.give(name, Reply(state=said))
    return bench


def last(bench: DryWalk) -> b.StepAnswered:
    """The answer that settled the four."""
    return bench.state.given["again"].body


BITS = ("00", "01", "10", "11")


@pytest.mark.parametrize("first", BITS)
def test_the_parts_say_what_the_whole_says(first: str) -> None:
    for ranged, voiced, end in product(BITS, repeat=3):
        whole = outcome(first, ranged, voiced, end)
        found = parts(first, ranged, voiced, end)
        assert set(found) == set(PARTS)
        assert (whole == FAULT) == ("bad" in found.values())
        assert (whole == GOOD) == (set(found.values()) == {"good"})
        if whole in {REPEAT, NOT_TESTED}:
            assert set(found.values()) == {"unknown"}
        if whole == HALF_PROVEN:
            own, other = ("range", "voice") if first == "10" else ("voice", "range")
            assert found == {"both": "unknown", own: "good", other: "unknown"}


def test_every_hearing_in_words_is_the_truth_table_of_its_bits() -> None:
    for said in product(*(WORDS[reads] for reads in READS)):
        judged, _, _ = judged_words(dict(zip(READS, said, strict=True)))
        first, ranged, voiced, end = (
            WORDS[reads][one].bits(code_passes=reads != "VOICE", voice_passes=reads != "RANGE")
            for reads, one in zip(READS, said, strict=True)
        )
        assert judged.verdict == outcome(first, ranged, voiced, end), said


def test_a_filter_that_works_proves_all_three_and_no_hearing_before_the_last_proves_any() -> None:
    bench = heard(*WELL[:3])
    assert proved(bench.state) == ()
    assert {g.body.verdict for g in bench.state.given.values()} == {"noted"}
    bench = heard(*WELL)
    assert (last(bench).answer, last(bench).verdict) == ("OK", "GOOD")
    assert proved(bench.state) == ("TR", "rx", "tx")
    assert bench.facts.open == ()


def test_faint_where_it_is_kept_out_is_good_and_faint_where_it_should_pass_is_told() -> None:
    bench = heard("code and voice", "code, faint voice", "voice, faint code", "code and voice")
    assert last(bench).verdict == "GOOD"
    weak = heard("code and voice", "faint code alone", "voice alone")
    found = hear(weak.state, FILTER.step("again"), "code and voice")
    assert isinstance(found, Settled)
    assert (found.verdict, found.look_at) == ("GOOD", ("code weak on RANGE",))


def test_one_bad_side_takes_that_function_and_the_good_ones_stay_proved() -> None:
    bench = heard("code and voice", "code alone", "code and voice", "code and voice")
    assert (last(bench).answer, last(bench).verdict) == ("FAULT", "FAULT")
    assert proved(bench.state) == ("rx", "tx")
    entry = bench.facts.open[0]
    assert entry.takes == ("TR",)
    assert entry.text == (
        "range filter; BOTH: code and voice; RANGE: code alone; VOICE: code and voice; "
        "BOTH again: code and voice"
    )


def test_nobody_talking_leaves_its_half_skipped_with_a_dash_and_proves_the_other() -> None:
    bench = heard("code alone", "code alone", "nothing", "code alone")
    given = last(bench)
    assert (given.answer, given.verdict) == ("SKIPPED", "HALF PROVEN")
    assert given.reason == "nobody was talking"
    assert proved(bench.state) == ("rx",)
    dash = bench.facts.open[0]
    assert (dash.symbol, dash.untested) == ("-", ("tx", "TR"))
    assert dash.text == "transmit not tested: nobody was talking"
    assert [s.id for s in bench.state.gaps()] == ["again"], "it is offered again"


def test_silence_is_the_station_and_not_the_filter() -> None:
    bench = heard("nothing", "nothing", "nothing", "nothing")
    assert (last(bench).answer, last(bench).verdict) == ("SKIPPED", "NOT TESTED")
    assert last(bench).reason == "no station on the air"
    assert proved(bench.state) == ()


def test_a_station_that_changed_makes_the_last_hearing_the_first_of_the_next_round() -> None:
    bench = heard("code alone", "code alone", "nothing", "code and voice")
    assert {name: bench.state.answer(name) for name in NAMES} == {
        "all": "OK", "code": "", "voice": "", "again": "",
    }  # fmt: skip
    assert bench.state.given["all"].body.state == "code and voice"
    assert bench.state.given["all"].body.words == "taken again: what was on the air changed"
    for name, said in zip(NAMES[1:], WELL[1:], strict=True):
        bench.give(name, Reply(state=said))
    assert last(bench).verdict == "GOOD"
    kept = [e for e in bench.entries if e.kind == "step.answered"]
    assert len(kept) == 7, "every hearing of both rounds is in the record"


def test_a_position_that_was_skipped_is_not_filled_in() -> None:
    bench = heard("code and voice", "code alone")
    bench.give("voice", Reply(key="S", reason="no time"))
    found = bench.decide("again", Reply(state="code and voice"))
    assert found == Refused(
        what="the four positions are judged together, and 3.03 was not heard",
        hint="Z takes the last answer back; S skips this step with a reason.",
    )


def test_what_cannot_be_heard_in_a_position_is_refused() -> None:
    found = heard().decide("all", Reply(state="faint code alone"))
    assert isinstance(found, Refused)
    assert found.hint == "Heard: code and voice, code alone, voice alone, nothing."
    assert all(len(choices(s)) <= 8 for s in FILTER.steps)


def test_hearings_recompute_from_what_is_stored() -> None:
    for said in (WELL, ("code alone", "code alone", "nothing", "code alone")):
        bench = heard(*said)
        for given in bench.state.given.values():
            assert verdict_again(given.body.judged) == given.body.verdict


# -- idents ----------------------------------------------------------------------------------------

IDENT = step("id", "test", "listen", evidence="ident heard",
             judge={"name": "ident_match", "expected": "TK"})  # fmt: skip


@pytest.mark.parametrize("typed", ["TK", "tk", " TK ", "- -.-"])
def test_the_ident_of_the_list_is_taken_in_letters_or_signals(typed: str) -> None:
    found = identify(IDENT, typed)
    assert isinstance(found, Settled)
    assert (found.answer, found.verdict, found.limit) == ("OK", "match", "ident TK")


@pytest.mark.parametrize("typed", ["KT", "T", "TKK", "VSY"])
def test_another_ident_answers_nothing(typed: str) -> None:
    assert identify(IDENT, typed) == Refused(
        what=f"{typed} is not the ident that the list gives",
        hint="Another station, or one letter missed: hear it twice more. "
        "S: station not identified.",
    )


def test_what_is_no_letter_is_refused() -> None:
    found = identify(IDENT, "T#")
    assert isinstance(found, Refused)
    assert found.hint == "Give its letters, or its dots and dashes."
