"""A bug is told in three lines; where it happened goes to a file, and what was typed to neither."""

from __future__ import annotations

from pathlib import Path

import pytest

from hardstand.cli.boundary import bounded


def _fails() -> None:
    passphrase = "correct horse"  # noqa: S105  what must not be shown
    raise KeyError(len(passphrase))


def test_a_bug_is_three_lines_and_a_report_without_what_was_typed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    assert bounded(_fails) == 70
    told = capsys.readouterr()
    report = tmp_path / "hardstand" / "bug-report.txt"
    assert told.out == ""
    assert told.err.splitlines() == [
        "This is a bug in hardstand: KeyError: 13",
        "Everything acknowledged before is in the record.",
        f"The report is in {report}; send it to whoever keeps hardstand.",
    ]
    text = report.read_text(encoding="utf-8")
    assert "in _fails" in text
    assert "correct horse" not in text


def test_a_bug_on_a_full_disk_is_told_all_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "hardstand").write_text("a file where a folder is wanted")
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    assert bounded(_fails) == 70
    assert capsys.readouterr().err.splitlines() == [
        "This is a bug in hardstand: KeyError: 13",
        "Everything acknowledged before is in the record.",
        "No report could be written (File exists); note what you did and say it.",
    ]
