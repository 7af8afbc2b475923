"""What likely comes next is made while a question stands and a key can be pressed."""

from __future__ import annotations

import io
import os
import signal
import tty
from collections.abc import Callable, Iterator

import pytest

from hardstand.domain.asking import CAME_BACK, Ask, Block
from hardstand.views import keys
from hardstand.views.presses import Presses
from hardstand.views.prompters import Piped, Terminal

QUESTION = Ask(blocks=(Block(kind="do", text="3.02  Do volts."),), keys="OFSNUH", prompt="Answer:")
LIKELY = Ask(blocks=(Block(kind="do", text="3.03  Do hear."),), keys="OFSNUH", prompt="Answer:")


class Source(io.StringIO):
    def fileno(self) -> int:
        return -1


@pytest.fixture
def line() -> Iterator[tuple[int, int]]:
    """The two ends of a terminal: a person's and the program's."""
    person, program = os.openpty()
    tty.setcbreak(program)
    yield person, program
    os.close(person)
    os.close(program)


def test_a_key_pressed_while_it_is_made_is_taken(line: tuple[int, int]) -> None:
    person, program = line
    assert keys.key(program, lambda: _press(person, b"s")) == "s"


def test_a_key_pressed_before_the_question_is_dropped_all_the_same(line: tuple[int, int]) -> None:
    person, program = line
    _press(person, b"o")
    assert keys.key(program, lambda: _press(person, b"s")) == "s"


def _press(person: int, key: bytes) -> None:
    os.write(person, key)


def test_on_a_terminal_it_is_made_once_when_the_question_stands(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    out, made, pressed = io.StringIO(), list[str](), iter("xo")

    def key(_handle: int, meanwhile: Callable[[], None], _stood: bool) -> str:
        meanwhile()
        return next(pressed)

    def likely() -> Ask:
        made.append(out.getvalue())
        return LIKELY

    monkeypatch.setattr(keys, "key", key)
    terminal = Terminal(Source(), out, presses=Presses(bounce_s=0))
    terminal.ahead(likely)
    assert terminal.ask(QUESTION) == "O"
    assert [text.endswith("Answer: ") for text in made] == [True]
    assert "Do hear" not in out.getvalue()


def test_on_a_pipe_it_is_made_once_when_the_question_stands() -> None:
    out, made = io.StringIO(), list[str]()

    def likely() -> Ask:
        made.append(out.getvalue())
        return LIKELY

    piped = Piped(io.StringIO("what\no\nf\n"), out)
    piped.ahead(likely)
    assert [piped.ask(QUESTION), piped.ask(QUESTION)] == ["O", "F"]
    assert [text.endswith("Answer:\n") for text in made] == [True]
    assert "Do hear" not in out.getvalue()


def test_what_was_to_follow_one_question_is_not_made_at_another(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(keys, "key", lambda *_: "o")
    terminal, made = Terminal(Source(), io.StringIO(), presses=Presses(bounce_s=0)), list[Ask]()

    def likely() -> Ask:
        made.append(LIKELY)
        return LIKELY

    terminal.ahead(likely)
    terminal.ask(QUESTION)
    monkeypatch.setattr(keys, "key", lambda _, meanwhile, __: meanwhile() or "o")
    terminal.ask(QUESTION)
    assert made == []


def test_a_key_pressed_at_a_question_that_stood_already_is_taken(line: tuple[int, int]) -> None:
    person, program = line
    _press(person, b"s")
    assert keys.key(program, None, True) == "s"


def test_a_signal_in_the_middle_of_looking_ahead_is_told_after_it(line: tuple[int, int]) -> None:
    person, program = line
    seen = list[str]()

    def resized() -> None:
        os.kill(os.getpid(), signal.SIGWINCH)
        seen.append("looked to its end")
        _press(person, b"s")

    assert keys.key(program, resized) == keys.RESIZED
    assert seen == ["looked to its end"]
    assert keys.key(program, None, True) == "s"


@pytest.mark.parametrize(
    ("number", "told"), [(signal.SIGCONT, CAME_BACK), (signal.SIGWINCH, keys.RESIZED)]
)
def test_a_signal_between_two_questions_is_told_at_the_next(
    line: tuple[int, int], number: signal.Signals, told: str
) -> None:
    person, program = line
    assert keys.key(program, lambda: _press(person, b"o")) == "o"
    os.kill(os.getpid(), number)
    assert keys.key(program, lambda: _press(person, b"s")) == told
    assert keys.key(program, None, True) == "s"


# -- shown before it is put ------------------------------------------------------------------------

SHOWN = "Do hear"


def _at_once(
    monkeypatch: pytest.MonkeyPatch, following: Ask, size: tuple[int, int] = (80, 24)
) -> tuple[str, str, list[bool]]:
    """What was drawn before the question after QUESTION was put, and by putting it; what stood."""
    out, stood, sizes = io.StringIO(), list[bool](), iter([(80, 24), (80, 24), (80, 24)])

    def key(_handle: int, meanwhile: Callable[[], None], standing: bool) -> str:
        stood.append(standing)
        meanwhile()
        return "o"

    monkeypatch.setattr(keys, "key", key)
    monkeypatch.setattr(keys, "drop", lambda _: None)
    terminal = Terminal(Source(), out, presses=Presses(bounce_s=0))
    monkeypatch.setattr(terminal, "_window", lambda: next(sizes, size))
    terminal.ahead(lambda: LIKELY)
    terminal.ask(QUESTION)
    before = len(out.getvalue())
    terminal.at_once()
    early = out.getvalue()[before:]
    terminal.ask(following)
    return early, out.getvalue()[before + len(early) :], stood


def test_what_was_made_is_shown_at_once_and_drawn_once(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    early, later, stood = _at_once(monkeypatch, LIKELY)
    assert SHOWN in early
    assert SHOWN not in later
    assert stood == [False, True], "a key pressed since it was shown is no key from before it"


def test_another_question_takes_the_place_of_the_one_shown(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    early, later, stood = _at_once(monkeypatch, QUESTION)
    assert SHOWN in early
    assert "Do volts" in later
    assert stood == [False, False]


def test_what_was_shown_is_drawn_anew_in_another_window(monkeypatch: pytest.MonkeyPatch) -> None:
    early, later, stood = _at_once(monkeypatch, LIKELY, size=(40, 20))
    assert SHOWN in early
    assert SHOWN in later
    assert stood == [False, False]


def test_keys_from_before_it_are_dropped_when_it_is_shown(monkeypatch: pytest.MonkeyPatch) -> None:
    dropped = list[int]()
    monkeypatch.setattr(keys, "key", lambda _, meanwhile, __: meanwhile() or "o")
    monkeypatch.setattr(keys, "drop", dropped.append)
    terminal = Terminal(Source(), io.StringIO(), presses=Presses(bounce_s=0))
    terminal.ahead(lambda: LIKELY)
    terminal.ask(QUESTION)
    terminal.at_once()
    assert dropped == [-1]


def test_a_line_typed_before_it_is_shown_is_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    dropped = list[int]()
    monkeypatch.setattr(keys, "key", lambda _, meanwhile, __: meanwhile() or "o")
    monkeypatch.setattr(keys, "drop", dropped.append)
    terminal = Terminal(Source(), io.StringIO(), presses=Presses(bounce_s=0))
    terminal.ahead(lambda: Ask(blocks=(), typed="text", prompt="The tail as painted:"))
    terminal.ask(QUESTION)
    terminal.at_once()
    assert dropped == []


def test_nothing_is_shown_at_once_where_nothing_was_made(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(keys, "key", lambda _, meanwhile, __: meanwhile() or "o")
    out = io.StringIO()
    terminal = Terminal(Source(), out, presses=Presses(bounce_s=0))
    terminal.ahead(lambda: None)
    terminal.ask(QUESTION)
    before = out.getvalue()
    terminal.at_once()
    assert out.getvalue() == before


def test_on_a_pipe_it_is_printed_once() -> None:
    out = io.StringIO()
    piped = Piped(io.StringIO("o\no\no\n"), out)
    piped.ahead(lambda: LIKELY)
    piped.ask(QUESTION)
    piped.at_once()
    assert out.getvalue().count(SHOWN) == 1
    piped.ask(LIKELY)
    assert out.getvalue().count(SHOWN) == 1
    piped.ask(LIKELY)
    assert out.getvalue().count(SHOWN) == 2
