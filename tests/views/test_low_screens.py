"""WCN-03, PLC-01, PLC-04: on a low screen nothing scrolls away, and nothing is read twice over."""

from __future__ import annotations

import io
from dataclasses import replace

import pytest

from hardstand.domain.asking import Ask, Block, Strip
from hardstand.views.prompters import CLEAR, Piped, Terminal
from hardstand.views.walk_screen import lines

STRIP = Strip(tail="QM-161", walk="walk A1", zone="3 of 5  zone test", at="2 of 5",
              last="3.01 Do power — recorded ON OK 05:00 IO", next="Do hear", open_lines=5,
              gaps=0)  # fmt: skip
LINE = "not put back: radio compartment panel 7 — recorded OPEN Mon 05:00 IO"
CARD = Ask(
    strip=STRIP,
    blocks=(Block(kind="card", text="Back at walk A1, QM-161. Go on at 3.02 Do volts."),
            *(Block(kind="line", text=f"{n} {LINE}") for n in range(5))),
    choices=tuple(f"3.0{n} Do it — recorded OK 05:00 IO" for n in range(3)),
    keys="CBR", prompt="QM-161: A digit takes that answer back.", whole=True,
    words=(("C", "looked at, go on"),),
)  # fmt: skip
HAZARDS = tuple(Block(kind="warning", text=f"{what} burns. " * 14) for what in ("It", "That"))
STEP = Ask(
    strip=STRIP,
    blocks=(*HAZARDS, Block(kind="do", text="3.02  Do volts."),
            Block(kind="detail", text="Place: at the panel.")),
    keys="OFSNUDAHBRZ", prompt="Answer:",
)  # fmt: skip


class Pressed(Terminal):
    """A terminal whose keys come from a list; `screens` are what it drew, row by row."""

    def __init__(self, keys: str) -> None:
        self.out = io.StringIO()
        super().__init__(io.StringIO(), self.out)
        self.keys = list(keys)

    def _one_press(self) -> str:
        return self.keys.pop(0)

    @property
    def screens(self) -> list[list[str]]:
        return [screen.splitlines() for screen in self.out.getvalue().split(CLEAR)[1:]]


@pytest.fixture(autouse=True)
def low(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "40")
    monkeypatch.setenv("LINES", "20")


def test_plc_04_a_resume_card_longer_than_the_screen_is_read_from_its_head_on() -> None:
    terminal = Pressed("cccccc")
    assert terminal.ask(CARD) == "C"
    assert [len(screen) for screen in terminal.screens if len(screen) > 20] == []
    text = [" ".join(screen) for screen in terminal.screens]
    assert "Back at walk A1" in text[0]
    whole = " ".join(text)
    assert [n for n in range(5) if f"{n} not put back" not in whole] == []
    assert "looked at, go on" in text[-1]


def test_plc_01_what_may_be_picked_pushes_the_place_off_no_screen_of_a_card() -> None:
    strip = replace(
        STRIP, zone="7 of 9  cockpit operating test",
        last="7.02 Call Tarrick Tower on CHANNEL 1 — recorded 5 readability OK 18:03 IO",
        battery="BATTERY on 1 min today, about 0.1 of 13.2 Ah; 120 min left if full",
    )  # fmt: skip
    told = tuple(
        f"6.0{n} Listen while you move each plug of it by hand … — recorded OK 18:02 YB"
        for n in range(3)
    )
    terminal = Pressed("cccccc")
    assert terminal.ask(replace(CARD, strip=strip, choices=told)) == "C"
    assert [len(screen) for screen in terminal.screens if len(screen) > 20] == []
    heads = [screen[0] for screen in terminal.screens]
    assert [head for head in heads if not head.startswith("QM-161")] == []
    assert "BATTERY on 1 min today" in " ".join(terminal.screens[0])


def test_plc_04_what_is_to_be_looked_at_stands_under_the_words_that_say_so() -> None:
    """On each screen as much as it holds, so that no screen has the heading alone."""
    terminal = Pressed("cc")
    assert terminal.ask(CARD) == "C"
    first, last = (" ".join(screen) for screen in terminal.screens)
    assert [n for n in range(5) if f"{n} not put back" in first] == [0, 1, 2, 3]
    assert "4 not put back" in last


@pytest.mark.parametrize("key", "BR")
def test_a_card_of_several_screens_is_left_and_helped_from_each(key: str) -> None:
    assert Pressed(key).ask(CARD) == key


@pytest.mark.parametrize("keys", ["h", "ch"])
def test_lrn_01_help_of_several_screens_is_left_with_h_from_each(keys: str) -> None:
    told = replace(CARD, choices=(), keys="HR", words=(("H", "back to the step"),))
    terminal = Pressed(keys)
    assert terminal.ask(told) == "H"
    assert len(terminal.screens) == len(keys)
    assert all("H back to the step" in " ".join(screen) for screen in terminal.screens)


def test_plc_01_a_key_that_means_nothing_does_not_push_the_place_off_the_screen() -> None:
    terminal = Pressed("xcccccxo")
    assert terminal.ask(STEP) == "O"
    assert [len(screen) for screen in terminal.screens if len(screen) > 20] == []
    assert all(any("QM-161" in row for row in screen) for screen in terminal.screens)
    said = ["means nothing here" in " ".join(screen) for screen in terminal.screens]
    assert said[:2] == [False, True]
    assert said[-1]


def test_hazards_that_were_read_do_not_come_again_and_eat_a_key() -> None:
    terminal = Pressed("cufo")
    assert [terminal.ask(STEP) for _ in range(3)] == ["U", "F", "O"]
    assert len(terminal.screens) == 4


def test_what_was_said_stands_above_the_step_and_not_above_its_hazards() -> None:
    terminal = Pressed("co")
    terminal.show("No digit was given.")
    assert terminal.ask(STEP) == "O"
    *first, step = (" ".join(screen) for screen in terminal.screens)
    assert "No digit was given." not in " ".join(first)
    assert "No digit was given." in step


# -- nothing is cut inside a word ------------------------------------------------------------------


@pytest.mark.parametrize("columns", range(40, 73))
def test_what_is_cut_on_the_strip_is_cut_after_a_whole_word(columns: int) -> None:
    """Source: human-factors UI-05."""
    words = "Look all round for fuel hoses and people and carts and loose covers"
    strip = replace(STRIP, last=f"{words} — recorded OK 05:00 IO", next=words)
    shown = lines(Ask(strip=strip, blocks=()), columns, drawn=True)
    told = [line[6:] for line in shown if line.startswith(("LAST", "NEXT"))]
    assert len(told) == 2
    for line in told:
        kept = line.partition("…")[0].partition(" — ")[0].partition("   ")[0].split()
        assert kept == words.split()[: len(kept)]


def test_a_step_of_which_no_word_fits_is_told_by_its_number() -> None:
    """Source: human-factors UI-05, PLC-01."""
    for recorded, told in (("OFF OK", "2.01…"), ("OK", "2.01 Look…")):
        strip = replace(STRIP, last=f"2.01 Look at the switch — recorded {recorded} 04:56 IO")
        shown = lines(Ask(strip=strip, blocks=()), 40, drawn=True)
        assert f"LAST  {told} — recorded {recorded} 04:56 IO" in shown


class _Screen(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_plain_lines_are_broken_at_words_on_a_narrow_terminal_and_nowhere_else() -> None:
    """Source: human-factors UI-05 and UI-08."""
    detail = Block(kind="detail", text="Good: one whole bead, no gap, paint sound, no stain below.")
    question = Ask(
        blocks=(detail,), keys="OFSNU", prompt="QM-161: Words, or a digit; Enter = later:"
    )
    screen, pipe = _Screen(), io.StringIO()
    for out in (screen, pipe):
        Piped(io.StringIO("what\no\n"), out).ask(question)
    assert max(map(len, screen.getvalue().splitlines())) <= 40
    assert max(map(len, pipe.getvalue().splitlines())) > 40
    assert screen.getvalue().split() == pipe.getvalue().split()


def test_wcn_03_a_wrong_key_brings_no_screen_of_what_stands_there_already(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    hazard = Block(kind="warning", text="It burns. " + "Keep off until it is off and tagged. " * 3)
    step = replace(STEP, blocks=(hazard, *STEP.blocks[2:]))
    monkeypatch.setenv("LINES", str(len(lines(step, 40, drawn=True)) + 1))
    terminal = Pressed("xo")
    assert terminal.ask(step) == "O"
    assert [" ".join(s).count("Keys: C read") for s in terminal.screens] == [0, 0]
    assert "It burns." in " ".join(terminal.screens[-1])


def test_wcn_12_where_words_take_several_screens_each_of_them_helps_and_lets_leave() -> None:
    told = tuple(Block(kind="card", text=f"{n} {LINE}") for n in range(7))
    words = Ask(strip=STRIP, blocks=told, typed="text", prompt="Which?")
    for key in "BR":
        terminal = Pressed(key)
        assert terminal.ask(words) == f"\x1b{key}"
        assert "Keys: C read, go on, B break, R rescue" in " ".join(terminal.screens[-1])


def test_what_is_said_for_which_there_is_no_room_above_a_question_is_read_first() -> None:
    asked = replace(CARD, choices=("dial reads high", "dial slips", "lamp out"), blocks=(), keys="")
    said = "219.5 kHz: outside the limits. Limit: 1 % of 212 kHz. " * 5
    terminal = Pressed("c1")
    terminal.show(said)
    assert terminal.ask(asked) == "1"
    assert [len(screen) for screen in terminal.screens if len(screen) > 20] == []
    text = [" ".join(screen) for screen in terminal.screens]
    assert " ".join(said.split()) in " ".join(text[0].split())
    assert "1 dial reads high" in " ".join(text[-1].split())


def test_a_key_that_means_nothing_on_a_later_screen_of_a_card_goes_back_to_none_before_it() -> None:
    terminal = Pressed("cxccc")
    assert terminal.ask(CARD) == "C"
    text = [" ".join(screen) for screen in terminal.screens]
    assert len([t for t in text if "Back at walk A1" in t]) == 1
    assert "Nothing was answered" in text[2]


def test_no_step_is_answered_on_a_screen_that_does_not_name_it() -> None:
    last = "7.12 Flick the FILTER knob — recorded DOES NOT STAY FAULT 18:31 YB"
    zone = "7 of 10  cockpit, receivers and filter"
    heard = ("code and voice", "code alone", "voice alone", "nothing", "faint code", "faint voice")
    blocks = (
        Block(kind="do", text="7.10  Listen with FILTER at VOICE for the voice alone."),
        Block(kind="detail", text="Place: cockpit, FILTER switch, on the right side."),
    )
    strip = replace(STRIP, zone=zone, last=last)
    asked = replace(STEP, strip=strip, choices=heard, blocks=blocks, keys="FSNUDAHBRZMVW")
    terminal = Pressed("c3")
    assert terminal.ask(asked) == "3"
    assert [len(screen) for screen in terminal.screens if len(screen) > 20] == []
    read, picked = (" ".join(" ".join(screen).split()) for screen in terminal.screens)
    assert "Place: cockpit, FILTER switch, on the right side." in read
    assert "7.10 Listen with FILTER at VOICE for…" in picked
