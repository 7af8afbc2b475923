"""An error is told in whole words at a terminal, and line by line as it is in a pipe."""

from __future__ import annotations

import io
import sys
from pathlib import Path
from typing import NoReturn

import pytest

from builders import on_disk
from command import command
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


@pytest.mark.parametrize("terminal", [False, True])
def test_what_somebody_named_a_file_moves_no_cursor(
    monkeypatch: pytest.MonkeyPatch, *, terminal: bool
) -> None:
    """ECMA-48: ESC [ begins a control sequence, and so does U+009B."""

    def fails() -> NoReturn:
        raise Refusal("There is no record at /media/\x1b[2J\x9b1mé\u202ea\udcff\x7f.db.")

    screen = Screen() if terminal else io.StringIO()
    monkeypatch.setattr(sys, "stderr", screen)
    bounded(fails)
    assert screen.getvalue() == (
        "There is no record at /media/⟨ESC⟩[2J⟨U+009B⟩1mé⟨RLO⟩a⟨U+DCFF⟩⟨DEL⟩.db.\n"
    )


def test_no_command_echoes_a_control_character(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    on_disk(tmp_path)
    record, odd = tmp_path / "record.db", tmp_path / "\x1b[2J\x9b"
    odd.mkdir()
    (odd / "fit.yaml").write_text("format: 1\n", encoding="utf-8")
    for words in (
        ["--record", odd, "status"],
        ["--record", odd / "none.db", "record", "new", "--device", "A"],
        ["--record", record, "record", "backup", odd],
        ["--record", record, "record", "backup", odd / "none" / "none.db"],
        ["--record", odd / "back.db", "record", "restore", record, "--device", "E"],
        ["--record", record, "record", "salvage", odd / "saved.db", "--device", "E"],
        ["--record", record, "record", "verify", "--against", odd / "fit.yaml"],
        ["--record", record, "status", "\x1b[2J"],
        ["--record", record, "why", "\x1b[2J"],
        ["--record", record, "\x1b[2J"],
        ["--record", record, "status", "--\x1b[2J"],
        ["--record", record, "record", "settings", odd / "none.yaml"],
        ["checklist", "check", odd / "none.yaml"],
        ["checklist", "check", odd / "fit.yaml"],
        ["reckon", "\x1b[2J"],
    ):  # fmt: skip
        command(*words)
        said = "".join(capsys.readouterr())
        assert said, words
        assert not {c for c in said if ord(c) < 0x20 or 0x7F <= ord(c) < 0xA0} - {"\n"}, words


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
