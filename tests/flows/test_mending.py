"""What to walk again after a repair, from the list in force for the aircraft."""

from __future__ import annotations

from pathlib import Path

import pytest

from builders import TAIL, begun, on_disk
from command import command
from hardstand.errors import NotThere
from hardstand.flows.mending import after_repair
from hardstand.views.revisions import to_walk
from memory import MemoryJournal


def test_a_unit_is_proved_again_by_every_check_it_could_have_touched() -> None:
    found = after_repair(begun(MemoryJournal()), TAIL, ["tr"])
    assert found.repaired == ("TR",)
    assert found.found.steps == (
        "tools", "safe", "gate", "open", "plugs", "shut", "power", "hear", "tune", "call", "off",
        "count",
    )  # fmt: skip
    assert to_walk(found).splitlines()[:6] == [
        "QM-161, after work on TR: T-PRE 1, 12 of 15 steps; * looks at the repair",
        "  1.01  Do tools.  [tools]",
        "  1.02  Do safe.  [safe]",
        "  1.03  Do gate.  [gate]",
        "  2.01  Do open.  [open]",
        "* 2.02  Do plugs.  [plugs]",
    ]


def test_what_the_fit_does_not_have_is_not_there() -> None:
    with pytest.raises(NotThere) as raised:
        after_repair(begun(MemoryJournal()), TAIL, ["DYN"])
    assert raised.value.lines() == (
        "Fit T has no unit, function or control 'DYN'.", "Units: TR. Functions: rx, tx.",
    )  # fmt: skip


def test_the_command_tells_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    on_disk(tmp_path)
    assert command("--record", tmp_path / "record.db", "checklist", "retest", "161", "tx") == 0
    told = capsys.readouterr().out.splitlines()
    assert told == [
        "QM-161, after work on tx: T-PRE 1, 2 of 15 steps; * looks at the repair",
        "  1.03  Do gate.  [gate]",
        "* 3.05  Do call.  [call]",
    ]
