"""M-12 and the waits of a walk: what runs is on the screen, counted from its event."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal

import pytest

from builders import TAIL, Watch, checklist, fit, fleet, lines, papers, step, steps
from hardstand.domain import bodies as b
from hardstand.domain.checklist import Checklist
from hardstand.domain.codec import decode
from hardstand.domain.fleet import Battery
from hardstand.domain.quantity import later
from hardstand.flows.adopting import adopt, begin_record
from hardstand.flows.pen import Pen
from memory import MemoryJournal
from scripted import Scripted


def _pen(listed: Checklist | None = None, *, draws: str = "6", demo: bool = False) -> Pen:
    """A record whose battery draws 6 A and has 34 Ah rated, 14 in reserve: 13.2 usable."""
    battery = replace(fit().items["battery"], draws=Decimal(draws))
    fitted = replace(fit(), items={**fit().items, "battery": battery})
    cell = Battery(rated_ah=Decimal(34), reserve_ah=Decimal(14))
    types = {n: replace(t, battery=cell) for n, t in fleet().types.items()}
    pen = Pen(journal=MemoryJournal(), clock=Watch(), author="IO")
    begin_record(pen, demo=demo, program="test")
    adopt(pen, papers(listed=listed, fitted=fitted, flown=replace(fleet(), types=types)))
    return pen


def _later(pen: Pen, minutes: int) -> None:
    assert isinstance(pen.clock, Watch)
    pen.clock.at = later(pen.clock.at, seconds=60 * minutes)


def _strip(prompter: Scripted) -> str:
    strip = prompter.asked[-1][0].strip
    assert strip is not None
    return strip.battery


def test_m_12_the_strip_tells_on_time_and_ampere_hours_while_the_battery_is_on() -> None:
    pen = _pen()
    assert _strip(Scripted.until_left(pen, lines(until="power"))) == ""
    Scripted.until_left(pen, [TAIL, "c", "o", "BT", "2"])
    _later(pen, 60)
    again = Scripted.until_left(pen, [TAIL, "c"])
    assert _strip(again) == "BATTERY on 60 min today, about 6.0 of 13.2 Ah; 71 min left if full"


def test_m_12_it_runs_on_across_walks_and_people() -> None:
    pen = _pen()
    Scripted.until_left(pen, [*lines(until="hear"), "b", "4", "161"])
    _later(pen, 30)
    after = Scripted.until_left(replace(pen, author="BT"), [TAIL, "c", "1", "2"])
    assert _strip(after) == "BATTERY on 30 min today, about 3.0 of 13.2 Ah", "nothing drawn now"
    assert [w.walk for w in pen.journal.facts(TAIL).walks] == ["A2"]


def test_m_12_half_and_four_fifths_and_all_are_said_once_each() -> None:
    pen = _pen(draws="60")
    Scripted.until_left(pen, lines(until="volts"))
    said = []
    for minutes in (7, 1, 4, 3):
        _later(pen, minutes)
        said.append(Scripted.until_left(pen, [TAIL, "c", "2"]).said)
    told = ["Battery: 50 % of usable.", "Battery: 50 % of usable.", "Battery: 80 % of usable.",
            "Battery: off, or external power."]  # fmt: skip
    assert [words for words, text in zip(told, said, strict=True) if words not in text] == []
    assert "BATTERY on 15 min today, about 15." in said[3]
    assert "13.2 Ah: off, or external power" in said[3]


def test_another_day_begins_at_nought() -> None:
    pen = _pen()
    Scripted.until_left(pen, [*lines(until="hear"), "b", "4", "161"])
    Scripted.until_left(pen, [TAIL, "c", "1", "2"])
    _later(pen, 24 * 60)
    assert _strip(Scripted.until_left(pen, [TAIL, "c"])) == ""


def test_m_12_a_battery_left_on_over_midnight_is_counted_from_when_it_was_switched_on() -> None:
    """Source: whole-job M-12; by hand: 6 A for 20 h, and a battery that holds 13.2 Ah."""
    pen = _pen()
    Scripted.until_left(pen, lines(until="volts"))
    _later(pen, 20 * 60)
    told = _strip(Scripted.until_left(pen, [TAIL, "c"]))
    assert re.fullmatch(
        r"BATTERY on 120[0-9] min, over midnight, about 12[0-9]\.[0-9] of 13\.2 Ah: "
        r"off, or external power", told
    ), told  # fmt: skip


# -- waits -----------------------------------------------------------------------------------------


def _waiting(**changes: object) -> Checklist:
    made = [replace(s, **changes) if s.id == "hear" else s for s in steps()]  # type: ignore[arg-type]  # fields by name
    return checklist(listed=made)


def test_a_wait_is_counted_from_the_event_and_ok_before_its_end_is_not_taken() -> None:
    pen = _pen(_waiting(wait_s=60))
    prompter = Scripted.until_left(pen, [*lines(until="hear"), "o"])
    assert "Wait 60 s, then answer." in " ".join(prompter.said.split())
    said = " ".join(prompter.said.split())
    assert "Wait 60 s, then answer." in said
    assert "s left, until 05:0" in said
    assert "s of the wait are left. Look again then." in said
    answered = [decode(e) for e in pen.journal.entries(kind="step.answered")]
    assert "hear" not in {x.step for x in answered if isinstance(x, b.StepAnswered)}
    _later(pen, 1)
    said = Scripted.until_left(pen, [TAIL, "c", "2", "o"]).said
    assert "The wait was over at 05:0" in said
    answered = [decode(e) for e in pen.journal.entries(kind="step.answered")]
    assert "hear" in {x.step for x in answered if isinstance(x, b.StepAnswered)}


def test_a_wait_begins_when_its_step_can_be_done() -> None:
    on = step("on", "bay", sets={"battery": "ON"})
    warm = step("warm", "bay", wait_s=60, must_be={"battery": "ON"}, sets={"panel": "OPEN"})
    pen = _pen(checklist(listed=(on, warm)))
    shown = Scripted.until_left(pen, [TAIL, "c", "c", "s", "6", "o", "z", "o"]).asked
    waits = [
        [block.text for block in question.blocks if " s left" in block.text]
        for question, _ in shown
        if any("Do warm" in block.text for block in question.blocks)
    ]
    assert waits[0] == [], "it cannot be done, so nothing runs"
    last = Scripted.until_left(pen, [TAIL, "c", "2"]).said
    assert "s left, until" in last


@pytest.mark.parametrize("key", ["f", "s", "u"])
def test_what_is_no_ok_needs_no_wait(key: str) -> None:
    pen = _pen(_waiting(wait_s=60))
    Scripted.until_left(pen, [*lines(until="hear"), key, "6"])
    answered = [decode(e) for e in pen.journal.entries(kind="step.answered")]
    assert "hear" in {x.step for x in answered if isinstance(x, b.StepAnswered)}


def test_a_demo_plays_time_and_lets_a_wait_pass() -> None:
    pen = _pen(_waiting(wait_s=60), demo=True)
    Scripted.until_left(pen, [*lines(until="hear"), "o"])
    answered = [decode(e) for e in pen.journal.entries(kind="step.answered")]
    assert "hear" in {x.step for x in answered if isinstance(x, b.StepAnswered)}


def test_a_transmitter_that_was_keyed_long_enough_rests_before_the_next_call() -> None:
    own = list(steps())
    place = [s.id for s in own].index("call")
    calls = [replace(own[place], id=f"call{n}", do=f"Call {n}.") for n in range(7)]
    pen = _pen(checklist(listed=(*own[:place], *calls, *own[place + 1 :])))
    typed = [*lines(until="call"), *("o", "Tarrick Tower") * 6]
    prompter = Scripted.until_left(pen, typed)
    said = " ".join(prompter.said.split())
    assert said.count("s more: keyed at most 60 s in any 300.") == 1
    assert said.rindex("Rest the transmitter") > said.rindex("Call 6.")
