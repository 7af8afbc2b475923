"""What is told of entries on a narrow terminal is broken between words, and nothing is left out."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from builders import IO, MORNING, TAIL, on_disk, opened
from hardstand.flows import explaining
from hardstand.flows.history import history as lines_of
from hardstand.flows.logging_defects import Told, raise_defect
from hardstand.store.reads import Reads
from hardstand.views import history, why
from hardstand.views.tables import listed, table

WORDS = "range filter switch stays in VOICE by itself only when it is held there"
ROW = ("161-A01", WORDS)


def _why(record: Path) -> str:
    return why.text(explaining.reasons(Reads(record), MORNING, "161-A01"))


def _history(record: Path) -> str:
    return history.text(lines_of(opened(record), "161-A01"), "UTC")


def _list(_: Path) -> str:
    if sys.stdout.isatty():
        return table(("entry", "what"), [ROW], plain=True)
    return listed(("entry", "what"), [ROW])


@pytest.mark.parametrize("told", [_list, _why, _history])
def test_it_is_broken_between_words(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, told: Callable[[Path], str]
) -> None:
    raise_defect(on_disk(tmp_path), TAIL, Told(words=WORDS), by=IO)
    whole = told(tmp_path / "record.db")
    monkeypatch.setattr(sys.stdout, "isatty", lambda: True, raising=False)
    monkeypatch.setenv("COLUMNS", "40")
    narrow = told(tmp_path / "record.db")
    assert max(map(len, whole.split("\n"))) > 40
    assert max(map(len, narrow.split("\n"))) <= 40
    assert narrow.split() == whole.split()
