"""A walk starts at the right aircraft with the book to hand, or goes on where it was left."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import IO, TAIL, begun, checklist, fleet, lines, papers
from hardstand.domain import bodies as b
from hardstand.domain.bodies import By
from hardstand.domain.codec import decode
from hardstand.domain.dated import DatedFit
from hardstand.errors import NotThere, Refusal
from hardstand.flows import questions as q
from hardstand.flows.adopting import Paper, adopt
from hardstand.flows.pen import Pen
from hardstand.flows.starting import walk
from memory import MemoryJournal
from quennock_record import founded, hand
from scripted import Scripted


@pytest.fixture
def pen() -> Pen:
    return begun(MemoryJournal())


def _kinds(pen: Pen) -> list[str]:
    return [e.kind for e in pen.journal.chains()][4:]


def _stop(pen: Pen, typed: list[str], *, planned: str = "") -> tuple[str, ...]:
    with pytest.raises((Refusal, NotThere)) as raised:
        walk(pen, Scripted(typed), planned=planned, by=IO)
    return raised.value.lines()


def test_the_start_pins_the_list_and_keeps_what_was_planned_and_typed(pen: Pen) -> None:
    Scripted.until_left(pen, ["qm161", "c"], planned="qm-161")
    (started,) = pen.journal.entries(kind="walk.started")
    body = decode(started)
    assert isinstance(body, b.WalkStarted)
    (adopted,) = (decode(e) for e in pen.journal.entries(kind="checklist.adopted"))
    assert isinstance(adopted, b.Adopted)
    assert body == b.WalkStarted(
        checklist="T-PRE", revision="1", digest=adopted.digest, purpose="preflight", fit="T",
        planned="QM-161", typed="QM-161", by=IO,
    )  # fmt: skip
    assert (started.airframe, started.walk) == (TAIL, "A1")


def test_the_start_says_what_governs_and_which_book_in_which_revision(pen: Pen) -> None:
    said = Scripted.until_left(pen, [TAIL]).said
    squeezed = " ".join(said.split())
    assert q.MEMORY_AID in squeezed
    assert "Manual: tiny manual, revision 4." in squeezed
    assert "Keys: C I have that revision to hand, B break, R rescue card." in squeezed


def test_a_planned_tail_that_another_looks_like_says_so(pen: Pen) -> None:
    said = Scripted.until_left(pen, [], planned="QM-161").said
    assert "Easily taken for it: QM-116 and QM-164." in " ".join(said.split())


def test_of_many_tails_that_look_alike_three_are_named_and_the_rest_counted(
    pen: Pen,
) -> None:
    many = {f"QM-16{n}": fleet().airframes["QM-161"] for n in range(1, 10)}
    value = replace(fleet(), airframes=many)
    adopt(pen, [Paper(kind="fleet.loaded", id="f", revision="", fit="", text="x", value=value)])
    said = Scripted.until_left(pen, [], planned="QM-161").said
    named = "Easily taken for it: QM-116 and QM-167 and QM-162 and 6 more."
    assert named in " ".join(said.split())


def test_the_wrong_tail_stops_is_kept_and_offers_the_aircraft_one_stands_at(pen: Pen) -> None:
    assert _stop(pen, ["QM-116"], planned="QM-161") == (
        "Stopped: typed QM-116, planned QM-161.",
        "No walk was started; the stop is in the record.",
        "To walk QM-116: hardstand walk QM-116",
    )
    assert _kinds(pen) == ["walk.refused"]
    (line,) = pen.journal.entries(kind="walk.refused")
    assert decode(line) == b.WalkRefused(planned="QM-161", typed="QM-116", by=IO)


def test_a_tail_that_is_none_stops_and_is_shown_so_that_it_cannot_act(pen: Pen) -> None:
    assert _stop(pen, ["QM\x1b[2J"]) == (
        "Typed QM⟨ESC⟩[2J, which is no tail of this fleet.",
        "No walk was started.",
        "A tail is A to Z, 0 to 9 and a hyphen; `hardstand fleet show` lists them.",
    )
    assert _stop(pen, [""])[0] == "Typed nothing, which is no tail of this fleet."
    assert _stop(pen, ["161"])[0] == "Typed 161, which is no tail of this fleet."
    assert _kinds(pen) == []


def test_a_planned_tail_that_is_none_stops_before_anything_is_asked(pen: Pen) -> None:
    assert _stop(pen, [], planned="QM-999") == (
        "The tail planned, 'QM-999', is none of this fleet.",
        "No walk was started.",
        "`hardstand fleet show` lists the tails.",
    )


def test_without_the_book_no_walk_starts(pen: Pen) -> None:
    assert _stop(pen, [TAIL, "b"]) == (
        "No walk was started.",
        "Nothing was written.",
        "Get the manual in that revision, then start again.",
    )
    assert _kinds(pen) == []


def test_the_rescue_card_at_the_book_is_shown_and_the_question_stands(pen: Pen) -> None:
    said = Scripted.until_left(pen, [TAIL, "r", "r", "c"]).said
    assert "1. Cut the power." in said
    assert _kinds(pen) == ["walk.started"]


def test_enter_and_anything_but_c_does_not_start_a_walk(pen: Pen) -> None:
    said = Scripted.until_left(pen, [TAIL, "", " ", "o", "y", "1", "99"]).said
    assert said.count("Nothing was answered: that key means nothing here.") == 6
    assert _kinds(pen) == []


def test_an_aircraft_whose_fit_has_no_list_is_not_walked() -> None:
    pen = begun(MemoryJournal())
    other = replace(fleet().airframes[TAIL], fits=(DatedFit(since="2026-01-01", fit="H"),))
    flown = replace(fleet(), airframes={TAIL: other})
    adopt(pen, papers(flown=flown)[:1])
    assert _stop(pen, [TAIL]) == (
        "No adopted list is for fit H, which QM-161 carries.",
        "No walk was started.",
        "Adopt one: hardstand checklist adopt FOLDER",
    )


def test_of_two_lists_one_is_picked_by_its_digit_or_named(pen: Pen) -> None:
    adopt(pen, papers(listed=checklist(id="T-RAMP", title="tiny ramp check", purpose="ramp"))[2:])
    Scripted.until_left(pen, [TAIL, "2", "c"])
    said = Scripted.until_left(pen, ["QM-116"]).said
    assert "  1  tiny preflight (T-PRE 1)\n  2  tiny ramp check (T-RAMP 1)\n" in said
    with pytest.raises(Exception, match="Left"):
        walk(pen, Scripted(["QM-116", "c"]), by=IO, list_id="T-RAMP")
    started = [decode(e) for e in pen.journal.entries(kind="walk.started")]
    assert [x.checklist for x in started if isinstance(x, b.WalkStarted)] == ["T-RAMP", "T-RAMP"]


def test_a_list_that_nobody_adopted_is_not_walked(pen: Pen) -> None:
    with pytest.raises(Refusal) as raised:
        walk(pen, Scripted([TAIL]), by=IO, list_id="T-NONE")
    assert raised.value.lines()[0] == "No adopted list T-NONE is for fit T, which QM-161 carries."


def test_a_walk_left_is_gone_on_with_at_its_step_after_the_last_three(pen: Pen) -> None:
    Scripted.until_left(pen, lines(until="plugs"))
    again = Scripted.until_left(pen, [TAIL, "c"])
    card = " ".join(again.said.split())
    assert (
        "Back at walk A1, QM-161. Go on at 2.02 Do plugs, from its first word. "
        "Look at these on the aircraft first:"
    ) in card
    for told in ("1.02 Do safe — recorded OFF OK", "1.03 Do gate — recorded OK",
                 "2.01 Do open — recorded OK"):  # fmt: skip
        assert told in card
    assert again.said.splitlines()[-7].startswith("2.02  Do plugs.")
    (resumed,) = (decode(e) for e in pen.journal.entries(kind="walk.resumed"))
    assert isinstance(resumed, b.WalkResumed)
    assert (resumed.step, len(resumed.looked_at)) == ("plugs", 3)


def test_with_nothing_answered_and_nothing_away_the_card_asks_to_look_at_nothing(pen: Pen) -> None:
    Scripted.until_left(pen, lines()[:2])
    assert [e.kind for e in pen.journal.chains()][-1] == "walk.started"
    again = " ".join(Scripted.until_left(pen, [TAIL]).said.split())
    assert "Back at walk A1, QM-161. Go on at 1.01 " in again
    assert "Look at these" not in again
    assert "Keys: C go on, B come back later" in again


def test_what_an_earlier_walk_left_away_is_looked_at_though_nothing_is_answered(pen: Pen) -> None:
    Scripted.until_left(pen, [*lines(until="plugs"), "b", "2", "161"])
    Scripted.until_left(pen, lines()[:2])
    again = " ".join(Scripted.until_left(pen, [TAIL]).said.split())
    assert "Back at walk A2, QM-161. Go on at 1.01 " in again
    assert "Look at these on the aircraft first: " in again
    assert "Keys: C looked at, go on, B come back later" in again


def test_an_answer_seen_wrong_on_the_way_back_is_taken_back_by_its_digit(pen: Pen) -> None:
    Scripted.until_left(pen, lines(until="plugs"))
    again = Scripted.until_left(pen, [TAIL, "1", "c"])
    assert [decode(e) for e in pen.journal.entries(kind="step.undone")][0:1]
    asked = [question for question, _ in again.asked]
    assert "Go on at 1.02 Do safe" in asked[2].blocks[0].text


def test_two_devices_walk_one_aircraft_each_their_own_walk(pen: Pen) -> None:
    Scripted.until_left(pen, lines(until="plugs"))
    pen.journal.device = "B"
    Scripted.until_left(pen, lines(until="plugs")[:3])
    names = [e.walk for e in pen.journal.entries(kind="walk.started")]
    assert names == ["A1", "B1"]


def test_who_may_not_walk_hears_it_before_anything_is_read_and_nothing_is_written() -> None:
    pen = hand(founded(), "IO", "2027-03-08T05:00-03:00")
    before = list(pen.journal.chains())
    prompter = Scripted([TAIL, "c"])
    with pytest.raises(Refusal) as told:
        walk(pen, prompter, by=By(doer="IO"))
    assert told.value.lines()[0] == "IO does not walk QM-161 now."
    assert [q.prompt for q, _ in prompter.asked] == [
        "Type the whole tail as painted on the aircraft:"
    ]
    assert list(pen.journal.chains()) == before
