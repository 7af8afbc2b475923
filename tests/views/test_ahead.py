"""What likely comes next is made while a question stands and a key can be pressed."""

from __future__ import annotations

import io
import os
import tty
from collections.abc import Callable, Iterator

import pytest

from hardstand.domain.asking import Ask, Block
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

    def key(_handle: int, meanwhile: Callable[[], None]) -> str:
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
    monkeypatch.setattr(keys, "key", lambda _, meanwhile: meanwhile() or "o")
    terminal.ask(QUESTION)
    assert made == []
