"""ANS-16, REC-08, VER-06, scenarios 20, 97: what a walk is told of itself, once and neutrally."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

import pytest

from builders import TAIL, Watch, begun, lines
from hardstand.domain.bodies import By
from hardstand.domain.entry import Entry
from hardstand.domain.quantity import later
from hardstand.flows.pen import Pen
from hardstand.flows.starting import walk
from hardstand.views.walk_screen import lines as screen
from hardstand.views.walk_screen import pages
from memory import MemoryJournal
from quennock_record import founded, hand
from scripted import Scripted

MONDAY = "2027-03-08T05:00-03:00"


def _close(pen: Pen, typed: Sequence[str] | None = None) -> str:
    """What the question of FINISHED says of a walk."""
    prompter = Scripted.until_left(pen, typed or lines())
    asked = [q for q, _ in prompter.asked if "FINISHED" in dict(q.words).get("C", "")]
    return " ".join(x.text for x in asked[-1].blocks)


def _walk_of(pen: Pen, **odd: Any) -> str:
    """A whole walk, so slow that each answer has its minutes."""
    assert isinstance(pen.clock, Watch)
    pen.clock.step = 5
    pen.clock.at = later(pen.clock.at, seconds=60)
    return _close(pen, lines(**odd))


def test_the_close_tells_when_it_was_begun_and_what_was_skipped_and_scores_nobody() -> None:
    pen = begun(MemoryJournal())
    said = _walk_of(pen)
    assert re.search(r"Begun 05:\d\d, walked without a break; 0 SKIPPED\.", said)
    assert not re.search(r"\d min|\btook\b", said), "a length of time is a figure of speed"
    words = ("average", "faster", "slower", "usual", "score", "rank", "best", "%")
    assert [w for w in words if w in said] == []


def test_a_walk_that_went_on_the_next_day_says_on_which_it_was_begun() -> None:
    pen = begun(MemoryJournal())
    Scripted.until_left(pen, [*lines(until="sign"), "b"])
    assert isinstance(pen.clock, Watch)
    pen.clock.at = later(pen.clock.at, seconds=20 * 3600)
    assert re.search(r"Begun Mon 05:\d\d, gone on with once;", _close(pen, [TAIL, "c", "o", "c"]))


def test_interruptions_are_counted_and_skipped_steps_too() -> None:
    pen = begun(MemoryJournal())
    Scripted.until_left(pen, [*lines(until="shut"), "b"])
    plugs = len(lines(until="shut"))
    again = ("o", "BT at the wing tip")
    shut, power, *rest = lines(tune=("s", "6"))[plugs:-1]
    place = rest.index("1")
    typed = [TAIL, "c", shut, *again, power, *rest[:place], "c", *rest[place:], "c", "c"]
    said = _close(pen, typed)
    assert "gone on with once; 1 SKIPPED." in said


def test_ans_16_a_reading_that_was_the_same_three_walks_running_is_told() -> None:
    pen = begun(MemoryJournal())
    told = [_walk_of(pen) for _ in range(4)]
    assert ["The same as in the last 3 walks: 3.02 24.5 V." in x for x in told] == [
        False, False, False, True
    ]  # fmt: skip
    assert "The same as" not in _walk_of(pen, volts=("24.6",))


def test_ans_16_answers_at_two_places_closer_than_the_way_are_told() -> None:
    pen = begun(MemoryJournal())
    said = _close(pen)
    assert "Answered within 10 s at two places: 1.03 and 2.01" in said
    assert "Answered within" not in _walk_of(begun(MemoryJournal()))


def test_scenario_20_the_notes_block_nothing_and_are_written_nowhere() -> None:
    pen = begun(MemoryJournal())
    walk(pen, Scripted(lines()), by=By(doer="IO"))
    closed = next(e for e in pen.journal.entries(kind="walk.closed"))
    assert b"within" not in closed.body
    assert b"took" not in closed.body


# -- who countersigns ------------------------------------------------------------------------------


def _supervised(by: By) -> tuple[Scripted, tuple[Entry, ...]]:
    pen = hand(founded(), by.doer, MONDAY)
    prompter = Scripted(lines())
    walk(pen, prompter, by=by)
    return prompter, tuple(pen.journal.entries(kind="walk.closed"))


def test_ver_06_whoever_supervises_countersigns_with_each_critical_step_named() -> None:
    prompter, (closed,) = _supervised(By(doer="IO", with_=("BT",)))
    said = " ".join(prompter.said.split())
    assert "BT countersigns the work of IO, critical steps: 1.02 OK." in said
    assert closed.author == "BT"
    assert closed.signature is not None
    asked = next(q for q, _ in prompter.asked if "FINISHED" in dict(q.words).get("C", ""))
    screens = pages(asked, 40, 12)
    shown = " ".join(" ".join(screen(one, 40, drawn=True)) for one in screens).split()
    assert "BT countersigns the work of IO, critical steps: 1.02 OK." in " ".join(shown)
    assert ["FINISHED" in one.meaning("C") for one in screens].count(True) == 1


@pytest.mark.parametrize("by", [By(doer="NH"), By(doer="NH", with_=("BT",))])
def test_who_may_sign_for_themselves_is_countersigned_by_nobody(by: By) -> None:
    prompter, (closed,) = _supervised(by)
    assert "countersigns" not in prompter.said
    assert closed.author == "NH"
