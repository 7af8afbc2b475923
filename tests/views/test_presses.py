"""KEY-04, ANS-01: a word typed by hand where one key is asked for answers nothing.

The clock is given. How fast a word comes, from memory: practised hands leave about 0.2 s between
two letters, slow ones 0.4 s; somebody who sees a slip and presses again takes longer than that.
"""

from __future__ import annotations

import io
from collections.abc import Iterable
from dataclasses import replace

import pytest

from hardstand.domain.asking import Ask, Block, Strip
from hardstand.views import keys
from hardstand.views.presses import Presses
from hardstand.views.prompters import CLEAR, Terminal
from hardstand.views.replies import not_taken, understood
from hardstand.views.walk_screen import lines

STRIP = Strip(tail="QM-161", walk="walk A1", zone="3 of 5  zone test", at="2 of 5",
              last="nothing answered yet", next="Do hear", open_lines=0, gaps=0)  # fmt: skip
STEP = Ask(strip=STRIP, blocks=(Block(kind="do", text="3.02  Do volts."),),
           keys="OFSNUDAHBRZMVW", prompt="Answer:")  # fmt: skip
WORD = "Nothing was answered: the keys came fast, like a word. Pause, then one key."
STRAY = "Nothing was answered: that key means nothing here."


class Hands:
    """Keys with the seconds since the one before; the clock goes as they do."""

    def __init__(self, found: Iterable[tuple[float, str]]) -> None:
        self.found = list(found)
        self.at = 100.0

    def key(self, _handle: int, *_: object) -> str:
        gap, key = self.found.pop(0)
        self.at += gap
        return key

    def key_or_number(self, handle: int, starts: str, *_: object) -> tuple[str, str]:
        key = self.key(handle)
        return key, "" if key[:1] not in starts else keys.ENTER


class Source(io.StringIO):
    def fileno(self) -> int:
        return -1


def asked(
    monkeypatch: pytest.MonkeyPatch, question: Ask, *found: tuple[float, str], bounce_s: float = 0.3
) -> tuple[str, str, int]:
    """The reply to those keys, what stood on the screens, and how many keys nobody took."""
    hands, out = Hands(found), io.StringIO()
    monkeypatch.setattr(keys, "key", hands.key)
    monkeypatch.setattr(keys, "key_or_number", hands.key_or_number)
    monkeypatch.setattr(keys, "followed", lambda *_: False)
    presses = Presses(bounce_s=bounce_s, now=lambda: hands.at)
    terminal = Terminal(Source(), out, presses=presses)
    reply = terminal.ask(question)
    return reply, " ".join(out.getvalue().split()), len(hands.found)


def typed(word: str, gap: float) -> list[tuple[float, str]]:
    return [(gap, letter) for letter in word]


@pytest.mark.hf("KEY-04", "ANS-01")
@pytest.mark.parametrize("gap", [0.05, 0.2, 0.39])
@pytest.mark.parametrize("word", ["good", "looks fine", "KO", "Lsnob", "%o"])
def test_a_word_typed_by_hand_answers_nothing_though_it_holds_an_o(
    monkeypatch: pytest.MonkeyPatch, word: str, gap: float
) -> None:
    reply, shown, left = asked(monkeypatch, STEP, *typed(word, gap), (0.41, "s"))
    assert (reply, left) == ("S", 0)
    assert WORD in shown


@pytest.mark.hf("KEY-04", "ANS-01")
@pytest.mark.parametrize("number", [False, True])
def test_letters_of_a_word_are_no_answers_beside_a_number_either(
    monkeypatch: pytest.MonkeyPatch, number: bool
) -> None:
    question = replace(STEP, keys="FSNU", typed="number" if number else "")
    reply, _, _ = asked(monkeypatch, question, *typed("guns", 0.2), (0.5, "u"))
    assert reply == "U"


@pytest.mark.hf("KEY-04")
def test_a_number_begins_whatever_letter_was_before_it(monkeypatch: pytest.MonkeyPatch) -> None:
    question = replace(STEP, keys="FSNU", typed="number")
    assert asked(monkeypatch, question, (1, "q"), (0.1, "28.5"))[0] == "28.5"


@pytest.mark.hf("KEY-04", "KEY-07")
def test_after_a_pause_a_slip_of_one_key_costs_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    reply, shown, _ = asked(monkeypatch, STEP, (1, "l"), (0.41, "o"))
    assert reply == "O"
    assert STRAY in shown
    assert WORD not in shown


@pytest.mark.hf("KEY-04")
@pytest.mark.parametrize("digit", ["1", "2"])
def test_a_digit_in_a_word_is_no_position(monkeypatch: pytest.MonkeyPatch, digit: str) -> None:
    question = replace(STEP, choices=("OFF", "ON"), keys="FSNU")
    reply, _, _ = asked(monkeypatch, question, *typed(f"l{digit}", 0.2), (0.5, "f"))
    assert reply == "F"


@pytest.mark.hf("KEY-01")
def test_a_named_key_after_a_named_key_acts_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    presses = Presses(now=iter([0.0, 1.0, 1.02, 1.04, 1.06]).__next__)
    assert [presses.taken(key) for key in "OSOF"] == list("OSOF")


@pytest.mark.hf("KEY-04")
def test_an_enter_from_habit_begins_no_word(monkeypatch: pytest.MonkeyPatch) -> None:
    assert asked(monkeypatch, STEP, (1, ""), (0.05, "o"))[0] == "O"


@pytest.mark.hf("WCN-12")
def test_the_rescue_card_comes_in_the_middle_of_a_word_and_the_word_goes_on_after_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    assert asked(monkeypatch, STEP, (1, "x"), (0.1, "r"))[0] == "R"
    now = [0.0]
    presses = Presses(now=lambda: now[0])
    found = []
    for key in "xro":
        now[0] += 0.2
        found.append(presses.taken(key))
        if key == "x":
            presses.meant_nothing()
    assert found == ["x", "r", keys.SEVERAL]


@pytest.mark.hf("KEY-04")
def test_the_same_key_within_300_ms_is_one_press(monkeypatch: pytest.MonkeyPatch) -> None:
    presses = Presses(now=iter([0.0, 1.0, 1.29, 1.6]).__next__)
    assert [presses.taken("o") for _ in range(3)] == ["o", None, "o"]


def test_with_a_bounce_time_of_0_each_key_is_taken_as_it_comes(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    assert asked(monkeypatch, STEP, (1, "l"), (0.01, "o"), bounce_s=0)[0] == "O"


# -- Esc while words are typed ---------------------------------------------------------------------

WORDS = Ask(strip=STRIP, blocks=(), typed="text", prompt="QM-161: Why, in words:")
RESCUE = Ask(strip=STRIP, blocks=(Block(kind="card", text="1. Cut the power."),), keys="R")


class Writing:
    """A terminal on which lines come, each ended by Enter or Esc; `shown` is what it drew."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, *found: tuple[str, bool] | str) -> None:
        self.found, self.out = list(found), io.StringIO()
        monkeypatch.setattr(keys, "line", lambda *_: self.found.pop(0))
        monkeypatch.setattr(keys, "key", lambda *_: self.found.pop(0))
        monkeypatch.setattr(keys, "followed", lambda *_: False)
        self.terminal = Terminal(Source(), self.out, presses=Presses(bounce_s=0))

    @property
    def last(self) -> str:
        return " ".join(self.out.getvalue().split(CLEAR)[-1].split())


@pytest.mark.hf("PLC-03")
@pytest.mark.parametrize("other", ["x", "", "7", keys.SEVERAL])
def test_esc_and_a_key_that_opens_nothing_keep_the_words(
    monkeypatch: pytest.MonkeyPatch, other: str
) -> None:
    writing = Writing(monkeypatch, ("lead chafed ", True), other, ("at the clamp", False))
    assert writing.terminal.ask(WORDS) == "lead chafed at the clamp"
    assert writing.last.endswith("Why, in words: lead chafed")
    assert "Esc and that key open nothing. Your words are kept; go on." in writing.last


@pytest.mark.hf("WCN-12")
def test_words_wait_while_the_rescue_card_is_read(monkeypatch: pytest.MonkeyPatch) -> None:
    writing = Writing(monkeypatch, ("lead ch", True), "r", "r", ("afed", False), ("new", False))
    terminal = writing.terminal
    assert terminal.ask(WORDS) == "\x1bR"
    assert terminal.ask(RESCUE) == "R"
    assert terminal.ask(WORDS) == "lead chafed"
    assert terminal.ask(WORDS) == "new"


@pytest.mark.hf("PLC-05")
def test_words_begun_at_one_step_are_not_found_at_another(monkeypatch: pytest.MonkeyPatch) -> None:
    writing = Writing(monkeypatch, ("lead ch", True), "b", ("", False))
    assert writing.terminal.ask(WORDS) == "\x1bB"
    assert writing.terminal.ask(replace(WORDS, strip=replace(STRIP, at="3 of 5"))) == ""
    assert "lead ch" not in writing.last


def test_esc_beside_a_number_says_what_happened(monkeypatch: pytest.MonkeyPatch) -> None:
    found = iter([("28", "\x1b"), ("28.5", keys.ENTER)])
    writing = Writing(monkeypatch, "x")
    monkeypatch.setattr(keys, "key_or_number", lambda *_: next(found))
    assert writing.terminal.ask(replace(STEP, keys="FSNUBR", typed="number")) == "28.5"
    assert "Esc and that key open nothing. QM-161" in writing.last


def test_where_words_or_a_digit_may_be_given_enter_is_said() -> None:
    question = replace(WORDS, choices=("chafed", "broken", "loose"))
    assert "Keys: 1 to 3 or words, then Enter." in lines(question, 80, drawn=False)
    assert not any(row.startswith("Keys") for row in lines(WORDS, 80, drawn=False))


@pytest.mark.parametrize(("typed", "taken"), [("3", "3"), ("4", None), ("0", None), ("28", None),
                                              ("4 wires", "4 wires"), ("", "")])  # fmt: skip
def test_a_digit_that_picks_nothing_is_no_words(typed: str, taken: str | None) -> None:
    question = replace(WORDS, choices=("chafed", "broken", "loose"))
    assert understood(question, typed) == taken
    assert understood(WORDS, "4") == "4"
    if taken is None:
        said = "Nothing was answered: a digit is 1 to 3 here, or words."
        assert not_taken(question, typed) == said
