"""Rows on a narrow terminal are a list, broken between words."""

from __future__ import annotations

import sys

import pytest

from hardstand.views.tables import table

ROW = ("107-A01", "range filter switch stays not in VOICE")


def test_a_list_on_a_narrow_terminal_is_broken_between_words(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(sys.stdout, "isatty", lambda: True, raising=False)
    monkeypatch.setenv("COLUMNS", "40")
    told = table(("entry", "what"), [ROW], plain=True).split("\n")
    assert told == ["107-A01", "  what: range filter switch stays not in", "  VOICE"]
