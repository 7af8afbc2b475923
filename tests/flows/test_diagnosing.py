"""Which units would explain a fault, asked at a desk: by the last walk, or by what is told."""

from __future__ import annotations

from pathlib import Path

import pytest

from builders import TAIL, begun, lines, on_disk
from command import command
from hardstand.errors import NotThere, Usage
from hardstand.flows.diagnosing import suspected
from memory import MemoryJournal
from scripted import Scripted


def test_by_the_last_walk_open_or_closed(tmp_path: Path) -> None:
    pen = on_disk(tmp_path)
    Scripted.until_left(pen, lines(until="tune", hear=("f", "")))
    found = suspected(pen, TAIL, bad=(), good=())
    assert found.by.startswith("walk A1 of ")
    assert found.said == "FAULT at 3.03. The loss of TR would explain this."


def test_a_walk_without_a_fault_is_said_to_have_none(tmp_path: Path) -> None:
    pen = on_disk(tmp_path)
    Scripted.until_left(pen, lines(until="tune"))
    assert suspected(pen, TAIL, bad=(), good=()).said == "Nothing that was tested there failed."


def test_an_airframe_never_walked_asks_what_does_not_work() -> None:
    with pytest.raises(NotThere) as raised:
        suspected(begun(MemoryJournal()), TAIL, bad=(), good=())
    assert raised.value.lines() == (
        "QM-161 was never walked in this record.",
        "Tell what does not work: --bad FUNCTION, and what does: --good FUNCTION",
    )


def test_what_a_pilot_tells_needs_no_walk_and_names_the_next_check(
    monday: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """On the shipped hand-tuned set: computations 12a, with functions for checks."""
    words = ("--record", monday, "checklist", "suspects", "107")
    assert command(*words, "--bad", "LF.RX", "--good", "hfa.rx") == 0
    assert command(*words, "--bad", "tx1", "--good", "lf.rx") == 0
    assert capsys.readouterr().out.splitlines() == [
        "QM-107, by what was told: lf.rx bad, hfa.rx good: The loss of RX-LF would explain this.",
        (
            "QM-107, by what was told: tx1 bad, lf.rx good: The loss of CTL-T, or DYN-T, or TX-1 "
            "would explain this. To tell them apart: 8.04 Call Tarrick Tower on SET 2, 5310 kHz."
        ),
    ]


def test_a_step_is_told_by_its_id_or_its_number(
    monday: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = ("--record", monday, "checklist", "suspects", "107", "--bad", "op-call-1")
    assert command(*words, "--good", "8.04") == 0
    assert "op-call-1 bad, op-call-2 good: The loss of TX-1 would" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("bad", "good", "said"),
    [
        (("rx",), ("RX",), "rx is told as good and as bad."),
        ((), ("rx",), "Nothing is told as bad."),
        (("crystal",), (), "'crystal' is neither a function of fit T nor a step of its list."),
    ],
)
def test_what_cannot_be_meant_is_said(
    bad: tuple[str, ...], good: tuple[str, ...], said: str
) -> None:
    with pytest.raises((NotThere, Usage)) as raised:
        suspected(begun(MemoryJournal()), TAIL, bad=bad, good=good)
    assert raised.value.lines()[0] == said
