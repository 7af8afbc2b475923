"""Colours by day and night: far enough apart, never blinking, never the only sign.

Contrast as WCAG 2.1 defines it (relative luminance, 1.4.3 and 1.4.6); the 256-colour palette as
xterm defines it: 16 to 231 a cube of six levels, 232 to 255 greys.
"""

from __future__ import annotations

import io
import re
from typing import Any

import pytest

from hardstand.domain.asking import Ask, Block, Strip
from hardstand.views.prompters import CLEAR, Terminal
from hardstand.views.themes import BARE, DAY, NIGHT, OFF, Theme
from hardstand.views.walk_screen import lines

LEVELS = (0, 95, 135, 175, 215, 255)


def rgb(colour: int) -> tuple[int, int, int]:
    if colour >= 232:
        grey = 8 + 10 * (colour - 232)
        return grey, grey, grey
    cube = colour - 16
    return LEVELS[cube // 36], LEVELS[cube // 6 % 6], LEVELS[cube % 6]


def luminance(colour: int) -> float:
    parts = [part / 255 for part in rgb(colour)]
    linear = [p / 12.92 if p <= 0.03928 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(style: str) -> float:
    found = re.search(r"38;5;(\d+);48;5;(\d+)", style)
    assert found is not None
    lighter, darker = sorted((luminance(int(n)) for n in found.groups()), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def test_the_contrast_of_black_on_white_is_21_as_wcag_says() -> None:
    assert contrast("38;5;16;48;5;231") == pytest.approx(21.0)


@pytest.mark.parametrize("theme", [DAY, NIGHT], ids=lambda theme: theme.name)
def test_ui_02_step_text_and_warnings_stand_7_to_1_the_rest_4_5_to_1(theme: Theme) -> None:
    assert contrast(theme.step) >= 7
    assert contrast(theme.hazard) >= 7
    assert contrast(theme.ground) >= 7
    assert min(map(contrast, (theme.detail, theme.fault, theme.good))) >= 4.5


@pytest.mark.parametrize("theme", [BARE, DAY, NIGHT], ids=lambda theme: theme.name)
def test_ui_04_wcn_11_nothing_blinks_is_dim_or_slants(theme: Theme) -> None:
    styles = (theme.ground, theme.step, theme.detail, theme.hazard, theme.fault, theme.good)
    for style in styles:
        plain = re.sub(r"[34]8;5;\d+", "", style)
        assert not set(re.findall(r"\d+", plain)) & {"2", "3", "5", "6"}


def test_wcn_11_warnings_have_a_style_of_their_own() -> None:
    for theme in (BARE, DAY, NIGHT):
        others = {theme.ground, theme.step, theme.detail, theme.fault, theme.good}
        assert theme.hazard not in others


@pytest.mark.parametrize("theme", [BARE, DAY, NIGHT], ids=lambda theme: theme.name)
def test_ui_01_without_its_colours_a_screen_says_the_same_words(theme: Theme) -> None:
    strip = Strip(
        tail="QM-107", walk="walk A1", zone="1 of 9  cockpit", at="1 of 4",
        last="1.01 Look — recorded FAULT 05:09 IO", next="Look", open_lines=1, gaps=0,
    )  # fmt: skip
    ask = Ask(
        strip=strip, keys="OF", prompt="Answer:",
        blocks=(Block(kind="warning", text="It can kill."), Block(kind="do", text="Look.")),
    )  # fmt: skip
    drawn = lines(ask, 80, drawn=True, theme=theme)
    bare = [re.sub(r"\x1b\[[0-9;]*m", "", line) for line in drawn]
    assert [line for line in bare if set(line) != {"-"}] == list(lines(ask, 80, drawn=False))


class Pressed(Terminal):
    """A terminal whose keys come from a list, so that no real one is needed."""

    def __init__(self, keys: list[str], out: io.StringIO, **how: Any) -> None:
        super().__init__(io.StringIO(), out, **how)
        self.pressed = keys

    def _one_press(self) -> str:
        return self.pressed.pop(0)


STEP = Ask(blocks=(Block(kind="do", text="Look."),), keys="OFH", words=(("H", "more"),))


def test_ui_03_one_key_turns_the_theme_and_answers_nothing() -> None:
    out = io.StringIO()
    terminal = Pressed(["t", "T", "t", "o"], out, themes=(BARE, NIGHT, DAY))
    assert terminal.ask(STEP) == "O"
    screens = out.getvalue().split(CLEAR)
    assert [screens[n].endswith(NIGHT.ground) for n in range(4)] == [False, True, False, False]
    assert [screens[n].endswith(DAY.ground) for n in range(4)] == [False, False, True, False]
    assert screens[3].endswith(OFF), "the ground of the day does not stay behind the bare screen"
    assert len(screens) == 5, "drawn anew after each turn"
    assert "Keys: O OK, F FAULT, H more, T day, night or bare screen." in screens[1]


def test_what_was_said_of_a_wrong_key_is_gone_when_the_theme_was_turned() -> None:
    out = io.StringIO()
    terminal = Pressed(["x", "t", "o"], out, themes=(BARE, NIGHT))
    terminal.show("Recorded.")
    assert terminal.ask(STEP) == "O"
    told = ["means nothing here" in screen for screen in out.getvalue().split(CLEAR)[1:]]
    assert told == [False, True, False]


def test_what_was_told_stays_while_the_theme_is_turned() -> None:
    out = io.StringIO()
    terminal = Pressed(["t", "o"], out, themes=(BARE, NIGHT))
    terminal.show("Recorded.")
    assert terminal.ask(STEP) == "O"
    assert ["Recorded." in screen for screen in out.getvalue().split(CLEAR)[1:]] == [True, True]


def test_lrn_01_help_tells_what_the_key_of_the_theme_does_and_takes_it() -> None:
    told = Ask(blocks=STEP.blocks, keys="HR", whole=True, words=(("H", "back to the step"),))
    out = io.StringIO()
    assert Pressed(["t", "h"], out, themes=(BARE, NIGHT)).ask(told) == "H"
    screens = out.getvalue().split(CLEAR)
    assert [screens[n].endswith(NIGHT.ground) for n in range(2)] == [False, True]
    assert "T day, night or bare screen." in screens[1]


def test_without_colours_the_key_has_no_meaning() -> None:
    out = io.StringIO()
    terminal = Pressed(["t", "o"], out)
    assert terminal.ask(STEP) == "O"
    assert "that key means nothing here" in out.getvalue()
    assert "day, night" not in out.getvalue()
