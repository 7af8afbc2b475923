"""Scenarios that a real pseudo-terminal shows: at 80 columns by 24 rows, and at 40 by 20."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from builders import GOOD, IO, TAIL, on_disk, steps
from hardstand.domain.chain import verify
from hardstand.flows.logging_defects import Told, raise_defect
from hardstand.flows.pen import Pen
from scenarios.stage import answers, bodies, sit
from scenarios.terminal import Terminal

ORDER = [s.id for s in steps() if not s.applies_if]
CRITICAL = {s.id for s in steps() if s.critical}
WIDE = pytest.mark.parametrize("size", [(80, 24)], ids=["80x24"], indirect=True)
NARROW = pytest.mark.parametrize("size", [(40, 20)], ids=["40x20"], indirect=True)
Opened = Callable[..., Terminal]


@pytest.fixture(params=[(80, 24), (40, 20)], ids=["80x24", "40x20"])
def size(request: pytest.FixtureRequest) -> tuple[int, int]:
    found: tuple[int, int] = request.param
    return found


@pytest.fixture
def pen(tmp_path: Path) -> Pen:
    """A pen on a demo record of the tiny set."""
    return on_disk(tmp_path, demo=True)


@pytest.fixture
def walk(pen: Pen, tmp_path: Path, size: tuple[int, int]) -> Opened:
    """Opens a walk of an aircraft in a terminal of the size, with its tail typed.

    With `at`, the walk has come to that step already, and is gone on with.
    """

    def begun(tail: str = TAIL, *, at: str = "", bounce_ms: int = 0) -> Terminal:
        if at:
            sit(pen, tail, until=at)
        columns, rows = size
        words = ["walk", "--by", "IO"]
        terminal = Terminal(
            tmp_path / "record.db", words, columns=columns, rows=rows, bounce_ms=bounce_ms
        )
        terminal.shows("Type the whole tail").type(tail)
        if at:
            terminal.shows("Go on at").press("c").shows(f"Do {at}. Place")
            assert tail in terminal.rows[0]
        return terminal

    return begun


def _up_to(terminal: Terminal, until: str, tail: str = TAIL) -> Terminal:
    """Walk a clean aircraft well, up to a step; each screen shows its aircraft in the first row."""
    terminal.shows("tiny manual").press("c").shows("nothing").press("c")
    for name in ORDER:
        terminal.shows(f"Do {name}. Place")
        assert tail in terminal.rows[0]
        if name == until:
            return terminal
        first, *rest = GOOD[name]
        if name in {"tools", "volts", "count"}:
            terminal.type(first)
        else:
            terminal.press(first)
        for words in rest:
            terminal.shows(f"{tail}: who").type(words)
        if name in CRITICAL:
            terminal.shows("Is that what you see?").press("c")
    return terminal


def test_scenario_01_called_away_in_one_key_and_back(pen: Pen, walk: Opened) -> None:
    with walk() as terminal:
        _up_to(terminal, "volts").press("b").shows("is left at")
        card = terminal.words
        if "read, go on" in card:  # on a low screen the card has two
            card += terminal.press("c").shows("It is recorded. What now?").words
        assert [body.step for body in bodies(pen.journal, "walk.broken")] == ["volts"]
        assert "NOTE — Leave a tag" in card
    with walk() as terminal:
        card = terminal.shows("Look at these on the aircraft first").words
        if "read, go on" in card:
            card += terminal.press("c").shows("looked at, go on").words
        for name in ("plugs", "shut", "power"):
            assert f"Do {name} — recorded" in card
        terminal.press("c").shows("What do you see now?").press("2").shows("Do volts. Place")
        terminal.type("24.5").shows("Do hear. Place")
    assert answers(pen.journal, TAIL)[-1][:2] == ("volts", "OK")


@WIDE
def test_scenario_03_the_terminal_is_gone_and_nothing_answered_is(pen: Pen, walk: Opened) -> None:
    with walk(at="open") as terminal:
        terminal.press("o").shows("Do plugs. Place")
    given = [step for step, _, _ in answers(pen.journal, TAIL)]
    assert given == ["tools", "safe", "gate", "open"]
    with walk() as terminal:
        terminal.shows("Go on at 2.02 Do plugs, from its first word.")
    assert list(verify(pen.journal.chains(), pen.journal.heads())) == []


@WIDE
def test_scenario_10_keys_reach_only_the_walk_on_the_screen(pen: Pen, walk: Opened) -> None:
    with walk(at="open") as one, walk("QM-116", at="open") as two:
        one.press("o").shows("Do plugs. Place")
        two.press("s").shows("Why?").press("3").shows("Do plugs. Place")
        assert TAIL in one.rows[0]
        assert "QM-116" in two.words
    assert answers(pen.journal, TAIL)[-1][:2] == ("open", "OK")
    assert answers(pen.journal, "QM-116")[-1][:2] == ("open", "SKIPPED")


@pytest.mark.hf("KEY-04")
@NARROW
def test_scenario_19_a_glove_that_bounces_answers_once(pen: Pen, walk: Opened) -> None:
    with walk(at="open") as terminal:
        terminal.press("ooooo").shows("Do plugs. Place")
        for stray in ("\x1b[A", "q", "7", "\r", " ", "é"):
            terminal.press(stray).shows("Nothing was answered: that key means nothing here.")
            assert "Do plugs." in terminal.words, "the question stays on the screen"
        assert answers(pen.journal, TAIL)[-1][:2] == ("open", "OK")
        terminal.press("z").shows("Do open. Place")
    assert [body.step for body in bodies(pen.journal, "step.undone")] == ["open"]


@pytest.mark.hf("KEY-04")
@WIDE
def test_scenario_19_the_same_key_too_soon_is_no_second_answer(pen: Pen, walk: Opened) -> None:
    with walk(at="open", bounce_ms=60_000) as terminal:
        terminal.press("o").shows("Do plugs. Place").press("o").shows("Do plugs. Place")
        assert answers(pen.journal, TAIL)[-1][:2] == ("open", "OK")
        terminal.press("s").shows("SKIPPED: Do plugs")


@NARROW
def test_scenario_34_a_defect_is_one_key_away_from_any_step(pen: Pen, walk: Opened) -> None:
    with walk(at="plugs") as terminal:
        terminal.press("d").shows("Defect, in words")
        terminal.type("dørk på plass, 擦り傷").shows("How serious?").press("3")
        terminal.shows("161-A01 is open.")
        assert "Do plugs." in terminal.words
    entry = pen.journal.facts(TAIL).open[0]
    assert (entry.text, entry.symbol) == ("dørk på plass, 擦り傷", "/")


def test_scenario_61_what_somebody_wrote_cannot_draw_on_the_screen(pen: Pen, walk: Opened) -> None:
    words = "\x1b[2J\x1b[1;1HALL CLEAR\x07\u202e"
    raise_defect(pen, TAIL, Told(words=words), by=IO)
    with walk() as terminal:
        terminal.shows("tiny manual").press("c").shows("161-A01")
        seen = terminal.words.replace(" ", "")
        assert "⟨ESC⟩[2J⟨ESC⟩[1;1HALLCLEAR⟨BEL⟩⟨RLO⟩" in seen
        assert not terminal.rows[0].startswith("ALL CLEAR")
