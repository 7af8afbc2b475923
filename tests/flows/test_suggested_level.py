"""LRN-03: a level is suggested from the work shown, and nobody's is ever changed but by their key.

The three walks and the ninety days are ours; the requirement leaves the numbers to the program.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

import pytest

from builders import GOOD, TAIL, ZONES, checklist, lines, steps
from hardstand.domain import bodies as b
from hardstand.domain.bodies import By
from hardstand.domain.guidance import Level, Shown, suggestion
from hardstand.domain.quantity import Instant, later
from hardstand.flows.pen import Pen
from hardstand.flows.recording import write
from hardstand.flows.starting import walk
from hardstand.flows.supervised import shown
from hardstand.flows.teaching import level_at
from quennock_record import founded, hand
from scenarios.stage import bodies
from scripted import Scripted

MONDAY = Instant("2027-03-08T08:00:00Z")
TRAINEE = By(doer="IO", with_=("BT",))
LEFT = ("plugs", "shut", "gate", *(s.id for s in steps()[6:] if s.id != "wing"))
"""The steps left from the plugs on, after a break: the gate is asked once more."""

DAYS = ("2027-03-08T05:00-03:00", "2027-03-09T05:00-03:00", "2027-03-10T05:00-03:00")


def _shown(*clean: bool, zone: str = "bay") -> list[Shown]:
    """Supervised walks a day apart from Monday on, clean or not in the bay."""
    return [Shown(at=_on(n), zones={zone: good}) for n, good in enumerate(clean)]


def _on(day: int) -> Instant:
    return later(MONDAY, hours=24 * day)


def _level(
    level: Level, shown: Sequence[Shown], day: int, *, chosen: Instant | None = None
) -> Level | None:
    """What is suggested in the bay on a day counted from Monday."""
    found = suggestion(level, "bay", shown, chosen=chosen, now=_on(day))
    return found.level if found else None


# -- the rule --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("level", "clean", "suggested"),
    [
        ("learner", (True, True), None),
        ("learner", (True, True, True), "normal"),
        ("normal", (True, True, True), "brief"),
        ("brief", (True, True, True), None),
        ("learner", (True, True, False), None),
        ("learner", (True, False, True, True), None),
        ("learner", (False, True, True, True), "normal"),
    ],
)
def test_lrn_03_three_clean_walks_in_a_row_under_supervision_suggest_fewer_words(
    level: Level, clean: tuple[bool, ...], suggested: Level | None
) -> None:
    assert _level(level, _shown(*clean), len(clean)) == suggested


def test_lrn_03_walks_of_other_zones_and_walks_alone_suggest_no_fewer_words() -> None:
    assert _level("learner", _shown(True, True, True, zone="cockpit"), 3) is None
    assert _level("learner", [Shown(at=_on(n), zones={}) for n in range(9)], 9) is None


def test_lrn_03_a_choice_begins_the_count_anew() -> None:
    shown = _shown(True, True, True, True, True)
    assert _level("normal", shown, 5, chosen=_on(2)) is None
    assert _level("normal", [*shown, Shown(at=_on(5), zones={"bay": True})], 6, chosen=_on(2)) == (
        "brief"
    )


@pytest.mark.parametrize(
    ("level", "days", "suggested"),
    [("brief", 89, None), ("brief", 90, "normal"), ("normal", 90, "learner"),
     ("learner", 400, None)],
)  # fmt: skip
def test_lrn_03_after_ninety_days_without_a_walk_more_words_are_suggested(
    level: Level, days: int, suggested: Level | None
) -> None:
    alone = [Shown(at=MONDAY, zones={})]
    assert _level(level, alone, days) == suggested


def test_lrn_03_who_chose_since_the_gap_is_left_alone() -> None:
    assert _level("brief", [Shown(at=MONDAY, zones={})], 200, chosen=_on(199)) is None


def test_lrn_03_who_never_finished_a_walk_is_suggested_nothing() -> None:
    assert _level("normal", [], 400) is None


# -- at the aircraft -------------------------------------------------------------------------------


def _walked(
    pen: Pen, when: str, typed: Sequence[str] | None = None, *, by: By = TRAINEE
) -> Scripted:
    prompter = Scripted(typed or lines())
    walk(hand(pen, by.doer, when), prompter, by=by)
    return prompter


def _told(prompter: Scripted) -> str:
    return " ".join(prompter.said.split())


def test_lrn_03_a_trainee_is_told_after_three_clean_walks_and_keeps_the_level() -> None:
    pen = founded()
    for day in DAYS:
        assert "Suggested" not in _walked(pen, day).said
    told = _told(_walked(pen, "2027-03-11T05:00-03:00"))
    assert told.count("Suggested in this zone: normal, good and bad are shown;") == 5
    assert (
        "your last 3 walks under supervision went clean here, the last on 10 Mar 2027. "
        "M changes it."
    ) in told
    assert bodies(pen.journal, "person.guided") == []
    assert level_at(hand(pen, "IO", "2027-03-12T05:00-03:00"), TRAINEE, "T", "bay") == "learner"


def test_lrn_03_a_zone_with_an_unsure_answer_or_one_taken_back_went_not_clean() -> None:
    pen = founded()
    for day in DAYS[:2]:
        _walked(pen, day)
    _walked(pen, DAYS[2], lines(plugs=("o", "z", "o"), tune=("u", "weak")))
    typed = lines()
    typed[3:3] = ["c"]  # what was not sure is an open entry now, and is taken
    told = _told(_walked(pen, "2027-03-11T05:00-03:00", typed))
    assert re.findall(r"M changes it\..*? of 5 zone (\w+)", told) == ["cockpit", "close", "log"]


def test_lrn_03_a_technician_back_after_ninety_days_is_told_before_the_first_step() -> None:
    pen = founded()
    alone = By(doer="NH")
    _walked(pen, "2027-03-08T05:00-03:00", by=alone)
    assert "Suggested" not in _walked(pen, "2027-06-05T05:00-03:00", by=alone).said
    back = _walked(pen, "2027-09-04T05:00-03:00", by=alone)
    told = _told(back)
    said = (
        "Suggested in this zone: learner, why, good and bad are shown; "
        "you last finished a walk of this fit on 5 Jun 2027. M changes it."
    )
    assert told.index(said) < told.index("Do tools")
    keys = [reply for _, reply in back.asked]
    assert keys == [reply for _, reply in _walked(pen, "2027-09-05T05:00-03:00", by=alone).asked]
    assert bodies(pen.journal, "person.guided") == []


def test_lrn_03_who_went_on_with_anothers_walk_and_finished_it_did_finish_one() -> None:
    pen = founded()
    _walked(pen, DAYS[0], [*lines(until="plugs"), "b", "1"], by=By(doer="NH"))
    rest = [line for name in LEFT for line in GOOD[name]]
    walk(hand(pen, "BT", DAYS[1]), Scripted([TAIL, "c", *rest, "c"]), by=By(doer="BT"))
    assert pen.journal.facts(TAIL).walks == ()
    now = "2027-09-04T05:00-03:00"
    said = "you last finished a walk of this fit on 9 Mar 2027"
    assert said in _told(_walked(pen, now, by=By(doer="BT")))
    assert "Suggested" not in _told(_walked(pen, now, by=By(doer="NH")))


def test_lrn_03_walks_of_another_fit_and_of_others_are_not_the_persons() -> None:
    pen = founded()
    _walked(pen, DAYS[0], by=By(doer="NH"))
    other = replace(checklist(), fit="U")
    assert len(shown(pen.journal, "NH", checklist())) == 1
    assert shown(pen.journal, "NH", other) == ()
    assert shown(pen.journal, "BT", checklist()) == ()


def test_lrn_03_a_fit_long_not_walked_is_found_behind_hundreds_of_walks_of_another() -> None:
    pen = founded()
    alone = By(doer="NH")
    _walked(pen, DAYS[0], by=alone)
    other = b.WalkStarted(checklist="U-PRE", revision="1", digest="d", purpose="preflight", fit="U",
                          planned="", typed=TAIL, by=alone)  # fmt: skip
    elsewhere = replace(hand(pen, "NH", DAYS[1]), key=None)
    with elsewhere.journal.write() as writing:
        for n in range(501):
            write(elsewhere, writing, (other,), walk=f"T{n}")
    assert [one.at for one in shown(pen.journal, "NH", checklist())] == [MONDAY]


def test_lrn_03_as_many_walks_are_looked_into_as_say_it() -> None:
    pen = founded()
    for day in DAYS:
        _walked(pen, day)
    for later_on in range(4, 9):
        _walked(pen, f"2027-04-{later_on:02d}T05:00-03:00")
    seen = shown(pen.journal, "IO", checklist())
    assert [one.at[:10] for one in seen] == ["2027-04-06", "2027-04-07", "2027-04-08"]
    assert [set(one.zones) for one in seen] == [set(ZONES)] * 3


def test_lrn_03_a_person_who_chose_is_asked_about_no_more() -> None:
    pen = founded()
    for day in DAYS:
        _walked(pen, day)
    typed = lines()
    place = len(lines(until="tools"))
    typed[place:place] = ["m"]
    told = _told(_walked(pen, "2027-03-11T05:00-03:00", typed))
    assert "From here on in this zone: normal, good and bad are shown." in told
    (kept,) = bodies(pen.journal, "person.guided")
    assert isinstance(kept, b.Guided)
    again = _told(_walked(pen, "2027-03-12T05:00-03:00"))
    assert again.count("Suggested in this zone: normal") == 4, "not where it was chosen"
