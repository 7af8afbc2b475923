"""Seen before, and what was done."""

from __future__ import annotations

from pathlib import Path

import pytest

from hardstand.errors import NotThere
from hardstand.flows.logging_defects import Told, act, raise_defect
from hardstand.flows.remembering import like
from hardstand.views.remembering import text
from quennock_morning import by, handed, pen


def test_the_same_unit_and_symptom_come_first_with_what_was_done(monday: Path) -> None:
    bt = pen(monday, "BT", "Mon 06:00")
    hum = Told(words="hum in receiver", unit="RX-LF", symptom="hum")
    raise_defect(bt, "QM-101", hum, by=by("BT"))
    act(handed(bt, "BT", "Mon 06:10"), "101-S01", "action", ("strap remade",), by=by("BT"))
    raise_defect(bt, "QM-113", Told(words="LF dial hum lamp"), by=by("BT"))
    raise_defect(bt, "QM-166", hum, by=by("BT"))
    found = like(bt.journal, "166-S01")
    assert found[0].number == "101-S01"
    assert found[0].done == ("strap remade",)
    assert "101-S01 QM-101 2027-03-08: hum in receiver. Done: strap remade." in text(found, "UTC")


def test_words_are_looked_for_too_and_nothing_like_them_is_said(monday: Path) -> None:
    journal = pen(monday, "BT", "Mon 06:00").journal
    assert [r.number for r in like(journal, "crystals")] == ["164-S05"]
    assert text(like(journal, "zyx"), "UTC") == "Nothing like it on record."
    with pytest.raises(NotThere) as caught:
        like(journal, "107-B77")
    assert caught.value.what == "No entry 107-B77 was ever raised."
