"""An error is told in whole words at a terminal, and line by line as it is in a pipe."""

from __future__ import annotations

import io
import sys
from typing import NoReturn

import pytest

from hardstand.cli.boundary import bounded
from hardstand.errors import Busy, Refusal

WHAT = "170-A01 on QM-170 is an X, and an X is never put off: not until anybody has parts for it."
HINT = "Keep it as it is, or have it looked at with `hardstand defect action 170-A01 --help`."


class Screen(io.StringIO):
    """Standard error as a terminal."""

    def isatty(self) -> bool:
        return True


def _refused() -> NoReturn:
    raise Refusal(WHAT, hint=HINT)


def test_a_refusal_wraps_at_words_on_a_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    screen = Screen()
    monkeypatch.setattr(sys, "stderr", screen)
    monkeypatch.setenv("COLUMNS", "40")
    assert bounded(_refused) == Refusal.exit_status
    lines = screen.getvalue().splitlines()
    assert max(map(len, lines)) <= 40
    assert " ".join(lines).split() == f"{WHAT} {HINT}".split()
    assert [n for n, line in enumerate(lines) if not line.startswith("  ")] == [0, 3]


def test_a_path_longer_than_the_terminal_stays_one_word(monkeypatch: pytest.MonkeyPatch) -> None:
    path = "/media/line-office/back-ups/quennock-2027-03-14.db"

    def fails() -> NoReturn:
        raise Refusal(f"There is no record at {path}.")

    screen = Screen()
    monkeypatch.setattr(sys, "stderr", screen)
    monkeypatch.setenv("COLUMNS", "40")
    bounded(fails)
    assert screen.getvalue() == f"There is no record at\n  {path}.\n"


def test_a_refusal_in_a_pipe_is_one_line_a_sentence(capsys: pytest.CaptureFixture[str]) -> None:
    bounded(_refused)
    assert capsys.readouterr().err.splitlines() == [WHAT, HINT]


def test_an_interpreter_with_no_room_even_for_its_error_is_told_as_no_memory(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """CPython 3.11 says this where an import runs out of memory; seen at 39 MB."""

    def fails(*_: object) -> NoReturn:
        raise SystemError("error return without exception set")

    monkeypatch.setattr("hardstand.system.bug.reported", fails)
    assert bounded(fails) == Busy.exit_status
    assert capsys.readouterr().err.splitlines()[0] == (
        "This machine has no memory left for the command."
    )
