"""M-04: looking while listening. A listening step is held, and only its own answer closes it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import IO, TAIL, begun, checklist, lines, step, steps
from dry_walk import DryWalk
from hardstand.domain import bodies as b
from hardstand.domain.answering import missing
from hardstand.domain.checklist import Checklist, Step, Zone
from hardstand.domain.codec import decode
from hardstand.domain.defects import Refused
from hardstand.domain.holding import barred, goes_beside, may_be_held
from hardstand.flows.pen import Pen
from memory import MemoryJournal
from scripted import Scripted


def _listed(*looks: Step) -> Checklist:
    """The tiny list whose `hear` and `tune` may be held over the test zone, with looks after."""
    held = {"hear", "tune"}
    own = [replace(s, beside=("test", "bay"), if_fault="go_on") if s.id in held else s
           for s in steps()]  # fmt: skip
    place = [s.id for s in own].index("call")
    return checklist(listed=(*own[:place], *looks, *own[place:]))


LOOKS = (step("plug", "test"), step("lead", "test"))


def _pen(*looks: Step) -> Pen:
    return begun(MemoryJournal(), listed=_listed(*looks))


def _answers(pen: Pen) -> list[tuple[str, str]]:
    found = (decode(e) for e in pen.journal.entries(kind="step.answered"))
    return [(x.step, x.answer) for x in found if isinstance(x, b.StepAnswered)]


def test_m_04_a_listening_step_is_held_and_visual_steps_are_answered_meanwhile() -> None:
    pen = _pen(*LOOKS)
    prompter = Scripted.until_left(pen, [*lines(until="hear"), "e", "e", "o", "o"])
    (held, tuned) = (decode(e) for e in pen.journal.entries(kind="step.held"))
    assert held == b.StepHeld(step="hear", by=IO)
    assert tuned == b.StepHeld(step="tune", by=IO)
    assert [s for s, _ in _answers(pen)][-2:] == ["plug", "lead"]
    strip = prompter.asked[-1][0].strip
    assert strip is not None
    assert strip.held == ("3.03 Do hear", "3.04 Do tune")


def test_m_04_the_strip_shows_held_steps_first() -> None:
    said = Scripted.until_left(_pen(*LOOKS), [*lines(until="hear"), "e"]).said
    strip = said.rsplit("QM-161  walk A1", 1)[1].splitlines()
    assert strip[1] == "HELD  3.03 Do hear"
    assert strip[2].startswith("LAST  3.02")


def test_m_04_a_held_step_is_closed_only_by_its_own_answer() -> None:
    pen = _pen(*LOOKS)
    Scripted.until_left(pen, [*lines(until="hear"), "e", "s", "6", "o", "o", "o"])
    assert _answers(pen)[-3:] == [("plug", "OK"), ("lead", "OK"), ("hear", "OK")]


def test_m_04_e_turns_from_the_look_to_what_is_held_and_back() -> None:
    pen = _pen(*LOOKS)
    typed = [*lines(until="hear"), "e", "e", "e", "1", "e", "e", "2", "o"]
    prompter = Scripted.until_left(pen, typed)
    said = " ".join(prompter.said.split())
    assert "E hold it, look meanwhile" in said
    assert "E back to what is held" in said
    assert "E look on, an ear on it" in said
    assert "Two are held. 1 3.03 Do hear 2 3.04 Do tune" in said
    assert _answers(pen)[-1] == ("tune", "OK")


def test_m_04_at_most_two_are_held_at_once() -> None:
    held = replace(step("third", "test", "listen"), beside=("test",))
    assert may_be_held(held, ("hear",))
    assert not may_be_held(held, ("hear", "tune"))
    assert not may_be_held(held, ("third",))
    assert not may_be_held(replace(held, beside=()), ())
    assert not may_be_held(replace(held, kind="look"), ())


def test_m_04_only_what_looks_moves_nothing_and_stands_in_a_named_zone_goes_beside() -> None:
    listed = _listed(*LOOKS)
    held = (listed.step("hear"),)
    assert goes_beside(listed.step("plug"), held, listed)
    assert not goes_beside(listed.step("call"), held, listed), "a transmission"
    assert not goes_beside(listed.step("power"), held, listed), "it moves something"
    assert not goes_beside(replace(LOOKS[0], after=("hear",)), held, listed)
    assert not goes_beside(step("late", "close"), held, listed), "a zone that is not named"
    beyond = (replace(held[0], beside=("test", "close")),)
    assert not goes_beside(step("late", "close"), beyond, listed), "a zone beyond its own"
    assert goes_beside(step("early", "bay"), held, listed)


def test_m_04_neither_the_zone_nor_the_walk_is_left_while_one_is_held() -> None:
    bench = DryWalk(listed=_listed()).walk(until="hear")
    bench.write([b.StepHeld(step="hear", by=IO)])
    bench.give("tune")
    waiting = bench.state.next_step()
    assert waiting is not None
    assert waiting.id == "hear"
    for name in ("call", "off", "count", "sign"):
        bench.give(name)
    refused = bench.finish()
    assert isinstance(refused, Refused)
    assert refused.what == "step 3.03 is not answered yet"


def test_m_04_what_is_held_is_held_after_a_crash_and_asked_first() -> None:
    pen = _pen(*LOOKS)
    Scripted.until_left(pen, [*lines(until="hear"), "e", "e"])
    again = Scripted.until_left(pen, [TAIL, "c", "2"])
    question = again.asked[-1][0]
    assert question.strip is not None
    assert question.strip.held == ("3.03 Do hear", "3.04 Do tune")
    prompter = Scripted.until_left(pen, [TAIL, "c", "2", "o"])
    assert [s for s, _ in _answers(pen)][-1] == "hear"
    assert "3.04 Do tune" in " ".join(prompter.said.rsplit("HELD", 1)[1].split())


def test_m_04_an_answer_that_was_held_and_taken_back_is_not_held_again() -> None:
    pen = _pen(*LOOKS)
    Scripted.until_left(pen, [*lines(until="hear"), "e", "e", "o", "o", "o", "z"])
    again = Scripted.until_left(pen, [TAIL, "c", "2"])
    assert again.asked[-1][0].strip is not None
    assert again.asked[-1][0].strip.held == ("3.04 Do tune",)


# -- hands on the antenna and transmitting --------------------------------------------------------


@pytest.mark.parametrize(
    ("step_", "other", "words"),
    [
        (step("call", "test", "transmit"), step("wire", "antenna"),
         "another walk has hands on the antenna"),
        (step("wire", "antenna"), step("call", "test", "transmit"), "another walk is transmitting"),
        (step("call", "test", "transmit"), step("plugs", "bay"), ""),
        (step("wire", "antenna"), step("wire", "antenna"), ""),
        (step("plugs", "bay"), step("call", "test", "transmit"), ""),
    ],
)  # fmt: skip
def test_m_04_hands_on_the_antenna_and_transmitting_bar_each_other(
    step_: Step, other: Step, words: str
) -> None:
    assert barred(step_, [other]) == words


def test_m_04_they_bar_each_other_across_devices() -> None:
    zones = tuple(Zone(id=name, title=name) for name in ("antenna", "test", "log"))
    own = (step("wire", "antenna"), step("call", "test", "transmit"), step("sign", "log"))
    pen = begun(MemoryJournal(), listed=checklist(listed=own, zones=zones))
    Scripted.until_left(pen, [TAIL, "c", "c"])
    pen.journal.device = "B"
    here = Scripted.until_left(pen, [TAIL, "c", "c", "s", "6", "c"])
    assert "Not yet: another walk has hands on the antenna." in " ".join(here.said.split())
    assert "O" not in here.asked[-1][0].keys
    pen.journal.device = "A"
    Scripted.until_left(pen, [TAIL, "c", "o", "b"])
    pen.journal.device = "B"
    here = Scripted.until_left(pen, [TAIL, "c"])
    assert "Not yet" not in here.said


def test_what_another_device_puts_away_bars_a_step_here() -> None:
    bench = DryWalk().walk(until="power")
    assert missing(bench.state, bench.state.plan.checklist.step("power")) == ""
    opened = replace(bench.state, items={**bench.state.items, "panel": "OPEN"})
    assert missing(opened, bench.state.plan.checklist.step("power")) == (
        "panel 7 is recorded OPEN, it must be SHUT"
    )
