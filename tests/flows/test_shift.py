"""A shift handed on: everything on the sheet, read back line by line, taken on the last."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from hardstand.domain.daybook import spelled
from hardstand.errors import Interrupted, Refusal
from hardstand.flows import shift
from hardstand.flows.attested import against
from hardstand.flows.leading import lead_board
from hardstand.flows.past import Past
from hardstand.flows.pen import Pen
from hardstand.flows.shift import Prepared
from quennock_morning import by, handed, pen
from scripted import Scripted


def sheet_of(at: Pen) -> Prepared:
    now = at.clock.now()
    return shift.prepared(at.journal, lead_board(Past(at.journal, now), now))


def test_the_sheet_holds_everything_that_stands(monday: Path) -> None:
    """Source: whole-job M-29."""
    ms = pen(monday, "MS", "Mon 16:00")
    sheet = sheet_of(ms)
    keys = {line.key for line in sheet.lines}
    for tail in ms.journal.record().tails:
        facts = ms.journal.facts(tail)
        assert {e.number for e in facts.open} <= keys
        assert {f"{tail} {line.item}" for line in facts.lines} <= keys
        assert {f"walk {walk.walk}" for walk in facts.walks} <= keys


def test_what_a_walk_in_progress_has_moved_is_on_the_sheet_with_how_far_it_is(
    monday: Path,
) -> None:
    """Source: whole-job M-29, every ledger line, half-done step and tool out."""
    ms = pen(monday, "MS", "Mon 05:45")
    texts = [line.text for line in sheet_of(ms).lines]
    walking = next(t for t in texts if "walk D1 in progress" in t)
    far = r"\d+ not put back yet, \d+ steps answered, the last [a-z0-9-]+, since"
    assert re.search(far, walking)
    away = ms.journal.facts("QM-104").due_home
    assert away
    for line in away:
        said = next(t for t in texts if t.startswith(f"HALF DONE. QM-104, {line.title} recorded"))
        assert said.endswith(f"Next: part of walk D1. {line.by} has it.")


def test_a_day_of_this_week_is_told_by_its_name_and_an_older_one_by_its_date(monday: Path) -> None:
    texts = [line.text for line in sheet_of(pen(monday, "MS", "Mon 05:45")).lines]
    assert any("170-S07" in t and ", since 2027-02-19." in t for t in texts)
    assert any("107-A01" in t and ", since Mon 05:09, to 18 Mar 24:00." in t for t in texts)


def test_lines_are_short_enough_to_read_aloud(monday: Path) -> None:
    """Source: human-factors HND-03."""
    sheet = sheet_of(pen(monday, "MS", "Mon 16:00"))
    assert all(len(line.text.split()) <= 40 for line in sheet.lines)
    assert sheet.minutes == -(-sum(len(x.text.split()) for x in sheet.lines) // 183)


def test_the_shift_moves_on_the_last_read_back(monday: Path) -> None:
    """Source: human-factors HND-02."""
    ms = pen(monday, "MS", "Mon 16:00")
    sheet = sheet_of(ms)
    said = shift.give(ms, sheet, ("170 is being worked on",), by=by("MS"))
    assert said.startswith(f"Sheet of {len(sheet.lines)} lines given by MS")
    oh = handed(ms, "OH", "Mon 16:05")
    keys = [line.key for line in sheet.lines]
    with pytest.raises(Refusal) as caught:
        shift.take(oh, keys[:-1], by=by("OH"))
    assert caught.value.what == (
        f"1 of {len(keys)} lines are not read back, first: {sheet.lines[-1].text}"
    )
    waits = shift.waiting(oh)
    assert waits is not None
    assert (waits.by, waits.words, waits.mark) == ("MS", ("170 is being worked on",), sheet.mark)
    assert shift.take(oh, keys, by=by("OH")) == f"OH has the shift; {len(keys)} lines read back."
    assert shift.waiting(oh) is None
    with pytest.raises(Refusal) as nothing:
        shift.take(oh, keys, by=by("OH"))
    assert nothing.value.what == "no sheet waits to be taken"


def test_nobody_takes_the_sheet_they_gave(monday: Path) -> None:
    ms = pen(monday, "MS", "Mon 16:00")
    sheet = sheet_of(ms)
    shift.give(ms, sheet, by=by("MS"))
    with pytest.raises(Refusal) as caught:
        shift.take(ms, [line.key for line in sheet.lines], by=by("MS"))
    assert caught.value.lines() == (
        "MS gave this sheet",
        "Rule: a shift is handed on between two people",
        "Who could: anyone but MS",
        "Nothing was written.",
    )


def test_who_leaves_in_the_middle_of_the_read_back_has_not_taken_it(monday: Path) -> None:
    ms = pen(monday, "MS", "Mon 16:00")
    sheet = sheet_of(ms)
    shift.give(ms, sheet, by=by("MS"))
    oh = handed(ms, "OH", "Mon 16:05")
    with pytest.raises(Interrupted):
        shift.ask_back(oh, Scripted(["C", "C"]), by=by("OH"))
    assert shift.waiting(oh) is not None
    said = shift.ask_back(oh, Scripted(["C"] * len(sheet.lines)), by=by("OH"))
    assert said.startswith("OH has the shift")


def test_the_taker_reads_the_mark_and_the_words_added_before_the_first_line(monday: Path) -> None:
    ms = pen(monday, "MS", "Mon 16:00")
    sheet = sheet_of(ms)
    shift.give(ms, sheet, ("170 is being worked on",), by=by("MS"))
    reader = Scripted(["C"] * len(sheet.lines))
    shift.ask_back(handed(ms, "OH", "Mon 16:05"), reader, by=by("OH"))
    first, second, *_ = (asked for asked, _ in reader.asked)
    assert [block.text for block in first.blocks] == [
        f"Sheet given by MS. Daybook mark {sheet.mark}  {spelled(sheet.mark)}",
        "Added by MS: 170 is being worked on",
        sheet.lines[0].text,
    ]
    assert [block.text for block in second.blocks] == [sheet.lines[1].text]


def test_the_mark_at_its_foot_is_a_mark_of_the_record(monday: Path) -> None:
    ms = pen(monday, "MS", "Mon 16:00")
    sheet = sheet_of(ms)
    shift.give(ms, sheet, by=by("MS"))
    assert against(ms.journal, sheet.mark)
