"""Sitting at a walk: from every question B leaves and R helps, and idling is seen before a key."""

from __future__ import annotations

import contextlib
import io
from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta, timezone
from pathlib import Path
from typing import Any

import pytest

from builders import IO, TAIL, Watch, begun, checklist, lines, on_disk, opened, papers
from dry_walk import DryWalk
from hardstand.domain import bodies as b
from hardstand.domain.asking import CAME_BACK, Ask
from hardstand.domain.quantity import later
from hardstand.errors import Interrupted
from hardstand.flows.adopting import adopt
from hardstand.flows.pen import Pen
from hardstand.flows.questions import resume_ask
from hardstand.flows.records import verified
from hardstand.flows.starting import walk
from hardstand.views.prompters import Piped
from memory import MemoryJournal
from scenarios.stage import bodies
from scripted import Scripted


class Slow(Scripted):
    """Types from a list; before the reply numbered `at` it idles for `minutes`."""

    def __init__(self, pen: Pen, typed: Sequence[str], *, at: int, minutes: int = 3) -> None:
        super().__init__(typed)
        self._pen, self._at, self._minutes, self.count = pen, at, minutes, 0

    def ask(self, question: Ask) -> str:
        """The next line, late if it is the one."""
        reply = super().ask(question)
        if self.count == self._at:
            assert isinstance(self._pen.clock, Watch)
            self._pen.clock.at = later(self._pen.clock.at, seconds=60 * self._minutes)
        self.count += 1
        return reply


def _slow(pen: Pen, before: Sequence[str], then: Sequence[str]) -> Slow:
    """Answer at a walking pace up to the last line of `before`, for which 3 minutes go by."""
    prompter = Slow(pen, [*before, *then], at=len(before) - 1)
    with contextlib.suppress(Interrupted):
        walk(pen, prompter, by=IO)
    return prompter


def test_after_midnight_the_strip_tells_the_day_of_the_last_answer() -> None:
    pen = begun(MemoryJournal())
    Scripted.until_left(pen, [*lines(until="plugs"), "b", "b"])
    assert isinstance(pen.clock, Watch)
    pen.clock.at = later(pen.clock.at, seconds=24 * 60 * 60)
    back = Scripted.until_left(pen, [TAIL, "c", "1", "o", "1"])
    told = [q.strip.last for q, _ in back.asked if q.strip and q.strip.last.startswith("2.0")]
    assert told[-2:] == [
        "2.01 Do open — recorded OK Mon 05:00 IO", "2.02 Do plugs — recorded OK 05:00 IO"
    ]  # fmt: skip


def test_the_resume_card_tells_the_day_of_what_was_answered_on_another() -> None:
    bench = DryWalk().walk(until="plugs")
    state, facts = bench.state, bench.facts
    at = state.last_three[-1].at
    for now, day in ((later(at, seconds=60), ""), (later(at, hours=24), "Mon ")):
        card = resume_ask(state, facts, timezone(-timedelta(hours=3)), now)
        assert card.choices[-1] == f"2.01 Do open — recorded OK {day}05:05 IO"


# -- the place, the break and the card at each question --------------------------------------------

AT = (
    ("the reasons of SKIPPED", "hear", ("s",)),
    ("the reasons of NOT FITTED", "hear", ("n",)),
    ("the rest of a zone", "hear", ("s", "4")),
    ("help", "hear", ("h",)),
    ("a critical answer", "safe", ("1",)),
    ("how serious", "hear", ("d", "strut leaks")),
    ("the kind of a line", "hear", ("a",)),
    ("a gap", "off", ()),
)


@pytest.mark.parametrize(("name", "until", "then"), AT, ids=[a[0] for a in AT])
def test_plc_03_b_leaves_from_every_question_with_keys(
    name: str, until: str, then: tuple[str, ...]
) -> None:
    pen = begun(MemoryJournal())
    skipped: dict[str, Any] = {"tune": ("s", "6")} if name == "a gap" else {}
    prompter = Scripted.until_left(pen, [*lines(until=until, **skipped), *then, "b"])
    assert prompter.asked[-1][1] == "B", prompter.asked[-1][0]
    assert len(bodies(pen.journal, "walk.broken")) == 1


@pytest.mark.parametrize(("name", "until", "then"), AT, ids=[a[0] for a in AT])
def test_wcn_12_the_rescue_card_is_one_key_away_at_every_question_with_keys(
    name: str, until: str, then: tuple[str, ...]
) -> None:
    pen = begun(MemoryJournal())
    skipped: dict[str, Any] = {"tune": ("s", "6")} if name == "a gap" else {}
    prompter = Scripted.until_left(pen, [*lines(until=until, **skipped), *then, "r", "r"])
    card = prompter.asked[-1][0]
    assert card.blocks[0].text == "SHOCK"
    assert prompter.asked[-2][1] == "R"


def test_plc_01_every_question_of_a_walk_holds_the_place_strip() -> None:
    pen = begun(MemoryJournal())
    typed = lines(hear=("s", "8", "no one"), plugs=("f", "turns"), tune=("u", "weak"))
    place = len(lines(until="volts"))
    typed[place:place] = ["d", "strut; tyre", "2", "1", "3", "a", "5", "torch"]
    prompter = Scripted.until_left(pen, typed)
    bare = [q.prompt for q, _ in prompter.asked[2:] if q.strip is None]
    assert bare == []


def test_the_choice_of_a_list_can_be_left(pen: Pen) -> None:
    said = Scripted([TAIL, "b"])
    with pytest.raises(Exception, match=r"No walk was started\."):
        walk(pen, said, by=IO, list_id="")


@pytest.fixture
def pen() -> Pen:
    """A record with two lists for the tiny fit."""
    made = begun(MemoryJournal())
    adopt(made, papers(listed=checklist(id="T-RAMP", title="ramp", purpose="ramp"))[2:])
    return made


# -- half done -------------------------------------------------------------------------------------


def test_plc_05_a_break_before_anything_was_given_is_not_half_done() -> None:
    pen = begun(MemoryJournal())
    Scripted.until_left(pen, [*lines(until="plugs"), "b"])
    assert bodies(pen.journal, "walk.broken") == [b.WalkBroken(step="plugs", by=IO)]


@pytest.mark.parametrize(
    ("until", "given"), [("volts", ("245",)), ("hear", ("s",)), ("safe", ("1",))]
)
def test_plc_05_a_break_after_something_was_given_is_half_done_and_nothing_of_it_counts(
    until: str, given: tuple[str, ...]
) -> None:
    pen = begun(MemoryJournal())
    said = Scripted.until_left(pen, [*lines(until=until), *given, "b", "b"]).said
    assert "That step is half done: it starts again from its first word." in " ".join(said.split())
    assert bodies(pen.journal, "walk.broken") == [b.WalkBroken(step=until, half=True, by=IO)]
    said = Scripted.until_left(pen, [TAIL]).said
    assert "It was half done; nothing of it counts." in " ".join(said.split())
    answered = {
        x.step for x in bodies(pen.journal, "step.answered") if isinstance(x, b.StepAnswered)
    }
    assert until not in answered


# -- idling ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("until", "given"),
    [("plugs", ("o",)), ("safe", ("1", "c")), ("hear", ("s", "6")), ("volts", ("24.5",))],
)
def test_plc_06_a_key_pressed_after_idling_answers_nothing(
    until: str, given: tuple[str, ...]
) -> None:
    pen = begun(MemoryJournal())
    prompter = _slow(pen, [*lines(until=until), *given], ["c", "1"])
    assert "Back at walk A1, QM-161." in " ".join(prompter.said.split())
    answered = [
        x.step for x in bodies(pen.journal, "step.answered") if isinstance(x, b.StepAnswered)
    ]
    assert until not in answered


def test_words_typed_slowly_are_kept_and_the_place_is_looked_at_before_they_count() -> None:
    pen = begun(MemoryJournal())
    prompter = _slow(pen, [*lines(until="gate"), "o", "BT at the wing tip"], ["c"])
    kinds = [e.kind for e in pen.journal.chains()][-2:]
    assert kinds == ["walk.resumed", "step.answered"]
    assert "Back at walk A1, QM-161." in " ".join(prompter.said.split())


def test_a_defect_told_before_idling_is_not_lost() -> None:
    pen = begun(MemoryJournal())
    _slow(pen, [*lines(until="plugs"), "d", "strut leaks", "1"], ["c", "3"])
    assert [(e.symbol, e.text) for e in pen.journal.facts(TAIL).open] == [("/", "strut leaks")]


def test_plc_07_energy_is_looked_at_after_idling_and_what_was_switched_off_is_offered_on() -> None:
    pen = begun(MemoryJournal())
    typed = [*lines(until="hear"), "o"]
    then = ["c", "1", "1", "o", "BT at the wing tip", "2", "o"]
    prompter = _slow(pen, typed, then)
    said = " ".join(prompter.said.split())
    assert "BATTERY switch: recorded ON" in said
    assert "BATTERY switch is recorded OFF; 3.03 needs it ON. 1 ask 3.01 again: Do power" in said
    assert "Passed before the break; ask once more." in said
    assert pen.journal.facts(TAIL).line("battery") is not None
    (given,) = [x for x in bodies(pen.journal, "step.answered")
                if isinstance(x, b.StepAnswered) and x.step == "hear"]  # fmt: skip
    assert given.answer == "OK"


def test_what_was_switched_off_may_stay_off_and_the_step_is_skipped() -> None:
    pen = begun(MemoryJournal())
    prompter = _slow(pen, [*lines(until="hear"), "o"], ["c", "1", "2", "o", "s", "6"])
    said = " ".join(prompter.said.split())
    assert "Not yet: BATTERY switch is recorded OFF, it must be ON." in said
    assert "Nothing was answered: that key means nothing here." in said
    last = bodies(pen.journal, "step.answered")[-1]
    assert isinstance(last, b.StepAnswered)
    assert (last.step, last.answer) == ("hear", "SKIPPED")


class Stopped(Scripted):
    """Somebody who stops the program at the question numbered `at` and comes back to it."""

    def __init__(self, typed: Sequence[str], at: int) -> None:
        super().__init__(typed)
        self._at, self._count = at, 0

    def ask(self, question: Ask) -> str:
        """CAME_BACK once, else the next line."""
        self._count += 1
        return CAME_BACK if self._count == self._at else super().ask(question)


def test_plc_06_after_a_stop_however_short_the_place_is_looked_at() -> None:
    pen = begun(MemoryJournal())
    until = lines(until="plugs")
    prompter = Stopped([*until, "c", "o"], len(until) + 1)
    with contextlib.suppress(Interrupted):
        walk(pen, prompter, by=IO)
    assert "Back at walk A1, QM-161." in " ".join(prompter.said.split())
    assert [e.kind for e in pen.journal.chains()][-2:] == ["walk.resumed", "step.answered"]


# -- what was counted out --------------------------------------------------------------------------


def test_led_05_what_was_counted_out_is_asked_back_in_words() -> None:
    pen = begun(MemoryJournal())
    prompter = Scripted.until_left(pen, [*lines(until="count"), "s", "6", "c", "o", "c", "1"])
    asked = next(q for q, _ in prompter.asked if "0: all 9 are back" in q.choices)
    assert asked.choices == ("0: all 9 are back", "9: not all")
    assert pen.journal.facts(TAIL).lines == ()


# -- two processes on one walk ---------------------------------------------------------------------


class Meanwhile(Scripted):
    """Somebody else answers at the same walk just before the question numbered `at`."""

    def __init__(self, pen: Pen, typed: Sequence[str], at: int, other: Sequence[str]) -> None:
        super().__init__(typed)
        self._pen, self._at, self._other, self._count = pen, at, other, 0

    def ask(self, question: Ask) -> str:
        """The next line; at the one question, after the other person."""
        self._count += 1
        reply = super().ask(question)
        if self._count == self._at:
            Scripted.until_left(self._pen, self._other)
        return reply


def test_two_processes_at_one_walk_do_not_answer_one_step_twice() -> None:
    pen = begun(MemoryJournal())
    until = lines(until="plugs")
    other = [TAIL, "c", "f", "burnt, said the other"]
    prompter = Meanwhile(pen, [*until, "f", "1"], len(until) + 1, other)
    with contextlib.suppress(Interrupted):
        walk(pen, prompter, by=IO)
    assert "This walk was gone on with elsewhere; it is shown as it stands now." in prompter.said
    answered = [
        x.step for x in bodies(pen.journal, "step.answered") if isinstance(x, b.StepAnswered)
    ]
    assert answered.count("plugs") == 1
    assert [e.number for e in pen.journal.facts(TAIL).open] == ["161-A01"]


def test_an_entry_written_elsewhere_meanwhile_takes_its_own_number() -> None:
    from hardstand.flows.logging_defects import Told, raise_defect

    pen = begun(MemoryJournal())

    class Beside(Scripted):
        count = 0

        def ask(self, question: Ask) -> str:
            reply = super().ask(question)
            self.count += 1
            if self.count == len(lines(until="plugs")) + 1:
                raise_defect(pen, TAIL, Told(words="lamp out", symbol="/"), by=IO)
            return reply

    prompter = Beside([*lines(until="plugs"), "f", "2"])
    with contextlib.suppress(Interrupted):
        walk(pen, prompter, by=IO)
    assert "161-A02 is open: X red X: plug not home" in " ".join(prompter.said.split())
    texts = {e.number: e.text for e in pen.journal.facts(TAIL).open}
    assert texts == {"161-A01": "lamp out", "161-A02": "plug not home: burnt"}


# -- a piped person has the same card --------------------------------------------------------------


def test_the_rescue_card_is_plain_lines_through_a_pipe() -> None:
    out = io.StringIO()
    from hardstand.flows.questions import RESCUE_ASK

    assert Piped(io.StringIO("r\n"), out).ask(RESCUE_ASK) == "R"
    assert out.getvalue().splitlines()[:2] == ["SHOCK", "1. Cut the power."]


def test_two_processes_on_disk_do_not_answer_one_step_twice(tmp_path: Path) -> None:
    here = on_disk(tmp_path)
    there = replace(here, journal=opened(tmp_path / "record.db", "A"))
    until = lines(until="plugs")

    class Beside(Scripted):
        count = 0

        def ask(self, question: Ask) -> str:
            reply = super().ask(question)
            self.count += 1
            if self.count == len(until) + 1:
                Scripted.until_left(there, [TAIL, "c", "f", "burnt, said the other"])
            return reply

    prompter = Beside([*until, "o"])
    with contextlib.suppress(Interrupted):
        walk(here, prompter, by=IO)
    assert "This walk was gone on with elsewhere" in prompter.said
    answered = [(x.step, x.answer) for x in bodies(here.journal, "step.answered")
                if isinstance(x, b.StepAnswered)]  # fmt: skip
    assert [a for s, a in answered if s == "plugs"] == ["FAULT"]
    assert " lines hold, " in verified(here.journal)
