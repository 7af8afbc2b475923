"""Where the record is: as it was named, but for a link, which is the file it leads to."""

from __future__ import annotations

from pathlib import Path

import pytest

from hardstand.system.places import record_path


def test_a_record_behind_a_link_is_the_file_the_link_leads_to(tmp_path: Path) -> None:
    """SQLite keeps the log of a link beside the file it leads to: sqlite.org/howtocorrupt.html."""
    link = tmp_path / "link.db"
    link.symlink_to(tmp_path / "disk" / "record.db")
    assert record_path(str(link)) == tmp_path / "disk" / "record.db"
    (tmp_path / "disk").mkdir()
    (tmp_path / "disk" / "record.db").touch()
    assert record_path(str(link)) == tmp_path / "disk" / "record.db"


def test_a_record_is_told_by_the_name_it_was_given(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HARDSTAND_RECORD", "below/record.db")
    assert record_path(None) == Path("below/record.db")
