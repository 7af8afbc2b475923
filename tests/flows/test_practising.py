"""LRN-05, scenario 98: a practice walk says so on each line and can never count."""

from __future__ import annotations

from pathlib import Path

import pytest

from builders import IO, TAIL, begun, lines, on_disk
from hardstand.domain import bodies as b
from hardstand.domain.codec import decode
from hardstand.errors import NotThere, Refusal
from hardstand.flows import proposing
from hardstand.flows.pen import Pen
from hardstand.flows.starting import practise
from hardstand.flows.teaching import level_at
from memory import MemoryJournal
from practised import Trainee, practised
from quennock_record import founded, hand
from scenarios.stage import hardstand
from scripted import Scripted


def _last(pen: Pen) -> b.Practised:
    body = decode(list(pen.journal.chains())[-1])
    assert isinstance(body, b.Practised)
    return body


def test_lrn_05_a_whole_practice_leaves_one_line_of_no_airframe() -> None:
    pen = begun(MemoryJournal())
    before = list(pen.journal.chains())
    state = practise(pen, Trainee(lines()), by=IO)
    (line,) = list(pen.journal.chains())[len(before) :]
    assert state.outcome == "finished"
    assert (line.kind, line.airframe, line.walk, line.signature) == (
        "walk.practised", None, None, None
    )  # fmt: skip
    assert _last(pen).finished
    assert {said.answer for said in _last(pen).answers} == {"OK"}


def test_lrn_05_what_was_found_open_or_raised_in_practice_is_on_no_aircraft() -> None:
    pen = begun(MemoryJournal())
    before = pen.journal.facts(TAIL)
    prompter = practised(pen, [*lines(until="plugs"), "f", "turns by hand"])
    assert "161-P01 is open" in prompter.said
    assert pen.journal.facts(TAIL) == before
    assert [x.answer for x in _last(pen).answers if x.step == "plugs"] == ["FAULT"]
    assert not _last(pen).finished


def test_lrn_05_every_screen_and_every_line_says_practice() -> None:
    pen = begun(MemoryJournal())
    prompter = practised(pen, [*lines(until="plugs"), "f", "turns"])
    inside = [question for question, _ in prompter.asked if question.strip is not None]
    assert [x for x in inside if not x.strip or not x.strip.practice] == []
    assert [x.prompt for x, _ in prompter.asked if "PRACTICE" not in x.prompt] == []


def test_a_break_ends_a_practice_and_nothing_waits_for_it() -> None:
    pen = begun(MemoryJournal())
    prompter = Trainee([*lines(until="plugs"), "b"])
    state = practise(pen, prompter, by=IO)
    assert state.outcome == ""
    assert "PRACTICE is over. Nothing of it counts." in prompter.said
    assert pen.journal.facts(TAIL).walks == ()


def test_a_practice_starts_only_at_the_right_aircraft() -> None:
    pen = begun(MemoryJournal())
    with pytest.raises(Refusal, match=r"Stopped: typed QM-116, planned QM-161\.") as stopped:
        practise(pen, Scripted(["QM-116"]), planned=TAIL, by=IO)
    assert stopped.value.safe == "No walk was started; nothing was written."
    assert stopped.value.hint == "To walk QM-116: hardstand walk QM-116 --practice"
    with pytest.raises(NotThere):
        practise(pen, Scripted(["QM-999"]), by=IO)
    assert [e.kind for e in pen.journal.chains()][-1] == "checklist.adopted"


@pytest.mark.parametrize("verb", ["status", "open", "walks", "board"])
def test_lrn_05_no_answer_about_the_fleet_changes_by_a_practice(tmp_path: Path, verb: str) -> None:
    pen = on_disk(tmp_path, demo=True)
    record = tmp_path / "record.db"
    before = hardstand(record, verb)
    practised(pen, [*lines(until="plugs"), "f", "turns"])
    after = hardstand(record, verb)
    assert (after.status, _timeless(after.out)) == (before.status, _timeless(before.out))


def _timeless(text: str) -> str:
    return "\n".join(line for line in text.splitlines() if "as of" not in line.lower())


def test_the_command_practises_and_says_so(tmp_path: Path) -> None:
    on_disk(tmp_path, demo=True)
    told = hardstand(
        tmp_path / "record.db",
        "walk",
        "--by",
        "IO",
        "--practice",
        typed=[TAIL, "c", "c", "", "9", "", "1", "c", "", "o", "BT", "", "o", "", "b"],
    )
    assert told.status == 0, told.err
    assert "PRACTICE Walk P1, QM-161, T-PRE 1: 4 answered. It counts for nothing." in told.err


def test_words_to_the_author_and_a_level_chosen_in_practice_are_kept_as_they_say() -> None:
    pen = begun(MemoryJournal())
    said = practised(pen, [*lines(until="plugs"), "m", "w", "name the pins"]).said
    assert "Kept for the author" in said
    assert [x.body.text for x in proposing.proposals(pen.journal)] == ["name the pins"]
    assert level_at(pen, IO, "T", "bay") == "brief"
    assert [e.airframe for e in pen.journal.entries() if e.device == "A"][-3:] == [None] * 3


def test_lrn_02_a_trainee_is_told_as_much_in_practice_as_at_work() -> None:
    pen = hand(founded(), "IO", "2027-03-08T05:00-03:00")
    said = practised(pen, lines(until="shut")).said
    assert "Why: why of plugs" in said


def test_a_practice_has_a_letter_that_no_device_of_the_record_has() -> None:
    pen = begun(MemoryJournal("P"))
    prompter = practised(pen, [*lines(until="plugs"), "f", "turns"])
    assert "161-Q01 is open" in prompter.said


def test_ans_15_a_practice_tells_the_last_real_find_as_a_walk_does() -> None:
    pen = begun(MemoryJournal())
    Scripted.until_left(pen, [*lines("QM-116", until="plugs"), "f", "pin bent", "b", "4", "116"])
    said = " ".join(practised(pen, lines(until="shut")).said.split())
    assert "Last found here: 8 Mar 2027, QM-116: plug not home: pin bent (116-A01)." in said
