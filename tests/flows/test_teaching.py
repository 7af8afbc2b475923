"""LRN-02, PLC-12, ANS-15, ACC-02: help fades as a person wants it, what protects never does."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC
from pathlib import Path

import pytest

from builders import IO, TAIL, begun, checklist, lines, on_disk, steps
from dry_walk import DryWalk
from hardstand.domain import bodies as b
from hardstand.domain.asking import Ask
from hardstand.domain.bodies import By
from hardstand.domain.checklist import Peril
from hardstand.domain.codec import decode
from hardstand.domain.guidance import LEVELS, Level, after, level_of
from hardstand.errors import NotThere
from hardstand.flows import proposing, teaching
from hardstand.flows.adopting import lists
from hardstand.flows.pen import Pen
from hardstand.flows.questions import step_ask
from hardstand.flows.recording import write
from hardstand.flows.starting import open_walk
from hardstand.flows.teaching import finds, level_at
from memory import MemoryJournal
from scenarios.stage import hardstand
from scripted import Scripted

PERIL = Peril(hazard="It burns", consequence="It hurts", avoid="Keep off")


def _asks(level: Level) -> list[Ask]:
    """Every step of the tiny list as it is put at a level, cautions on each."""
    listed = checklist(listed=[replace(s, warning=(PERIL,), caution=(PERIL,)) for s in steps()])
    bench = DryWalk(listed=listed)
    found = []
    while (step := bench.state.next_step()) is not None:
        found.append(step_ask(bench.state, bench.facts, step, UTC, level=level))
        bench.give(step.id)
    return found


@pytest.mark.parametrize("level", LEVELS)
def test_plc_12_a_level_changes_the_last_details_and_nothing_else(level: Level) -> None:
    for normal, other in zip(_asks("normal"), _asks(level), strict=True):
        assert (other.strip, other.choices, other.keys, other.typed, other.prompt, other.words) == (
            normal.strip, normal.choices, normal.keys, normal.typed, normal.prompt, normal.words
        )  # fmt: skip
        fixed = [x for x in normal.blocks if not x.text.startswith(("Good:", "Bad:", "Why:"))]
        assert [x for x in other.blocks if x in fixed] == fixed
        assert other.blocks[: len(fixed)] == normal.blocks[: len(fixed)]


def test_lrn_02_a_learner_is_told_why_good_and_bad_and_an_expert_what_bad_is() -> None:
    said = {level: [x.text for x in _asks(level)[4].blocks[-3:]] for level in LEVELS}
    assert said["learner"] == ["Why: why of plugs", "Good: good plugs", "Bad: bad plugs"]
    assert said["normal"][1:] == ["Good: good plugs", "Bad: bad plugs"]
    assert said["brief"][-1] == "Bad: bad plugs"
    assert "Good: good plugs" not in said["brief"]


def test_the_key_turns_through_all_levels_and_back() -> None:
    assert [after(level) for level in LEVELS] == [*LEVELS[1:], LEVELS[0]]


def test_a_level_is_of_one_zone_of_one_fit_and_the_last_choice_counts() -> None:
    said = [b.Guided(fit="T", zone="bay", level=x, by=IO) for x in ("brief", "learner")]
    assert level_of(said, "T", "bay") == "learner"
    assert level_of(said, "T", "test") == "normal"
    assert level_of(said, "H", "bay") == "normal"
    assert level_of(said, "H", "bay", trainee=True) == "learner"
    unheard = [b.Guided(fit="T", zone="bay", level="shouting", by=IO)]
    assert level_of(unheard, "T", "bay") == "normal"


def test_a_level_stays_however_often_others_are_chosen_after_it() -> None:
    pen = begun(MemoryJournal())
    turned = [b.Guided(fit="T", zone="test", level=LEVELS[n % 3], by=IO) for n in range(1200)]
    with pen.journal.write() as writing:
        write(pen, writing, [b.Guided(fit="T", zone="bay", level="brief", by=IO), *turned])
    assert level_at(pen, IO, "T", "bay") == "brief"
    assert level_at(pen, IO, "T", "test") == LEVELS[1199 % 3]
    assert level_at(pen, IO, "T", "close") == "normal"


def test_lrn_02_the_level_is_kept_and_follows_the_person_to_another_walk() -> None:
    pen = begun(MemoryJournal())
    said = Scripted.until_left(pen, [*lines(until="plugs"), "m", "o"]).said
    assert "From here on in this zone: brief, only what bad is." in said
    assert [decode(e) for e in pen.journal.entries(kind="person.guided")] == [
        b.Guided(fit="T", zone="bay", level="brief", by=IO)
    ]
    assert level_at(pen, IO, "T", "bay") == "brief"
    assert level_at(pen, By(doer="BT"), "T", "bay") == "normal"
    other = Scripted.until_left(pen, lines("QM-116", until="plugs")).said
    assert "Good: good plugs" not in other.rsplit("Do plugs", 1)[1]
    (line,) = pen.journal.entries(kind="person.guided")
    assert line.airframe is None


def test_the_key_of_words_answers_nothing() -> None:
    pen = begun(MemoryJournal())
    Scripted.until_left(pen, [*lines(until="plugs"), "m", "m", "m", "w", "", "w", "words"])
    answered = [decode(e) for e in pen.journal.entries(kind="step.answered")]
    assert "plugs" not in {x.step for x in answered if isinstance(x, b.StepAnswered)}


# -- the last real find ----------------------------------------------------------------------------


def _found(pen: Pen, tail: str, words: str) -> None:
    Scripted.until_left(pen, [*lines(tail, until="plugs"), "f", words, "b", "4", tail[-3:]])


def test_ans_15_the_last_real_find_in_the_fleet_is_shown_at_its_step_without_a_name() -> None:
    pen = begun(MemoryJournal())
    _found(pen, "QM-116", "pin bent")
    _found(pen, "QM-164", "2")
    said = " ".join(Scripted.until_left(pen, lines(until="plugs")).said.split())
    told = "Last found here: 8 Mar 2027, QM-164: plug not home: burnt (164-A05)."
    assert told in said.rsplit("Do plugs", 1)[1]
    assert "IO" not in told


def test_ans_15_an_entry_made_in_error_and_a_step_left_out_are_no_finds() -> None:
    pen = begun(MemoryJournal())
    Scripted.until_left(pen, [*lines("QM-116", until="hear"), "s", "6"])
    Scripted.until_left(pen, [*lines("QM-164", until="volts"), "21", "low", "z"])
    assert len(list(pen.journal.entries(kind="defect.voided"))) == 1
    said = Scripted.until_left(pen, lines(until="tune")).said
    assert "Last found here" not in said


def test_ans_15_an_x_is_a_find_until_a_second_person_confirms_that_it_was_an_error() -> None:
    pen = begun(MemoryJournal())
    _found(pen, "QM-116", "pin bent")
    known = lists(pen.journal)
    (digest,) = known.current
    state = open_walk(pen, pen.journal.facts(TAIL), known, digest, planned="", by=IO)
    asked = b.DefectVoided(number="116-A01", reason="x", asked=True, by=IO, seen=())
    told = [set(finds(pen, state))]
    for void in (asked, replace(asked, asked=False, confirmed=True)):
        with pen.journal.write() as writing:
            write(pen, writing, (void,), tail="QM-116")
        told.append(set(finds(pen, state)))
    assert told == [{"plugs"}, {"plugs"}, set()]


def test_ans_15_nothing_found_is_nothing_said() -> None:
    assert "found here" not in Scripted.until_left(begun(MemoryJournal()), lines()).said


def test_ans_15_a_find_is_looked_for_among_the_newest_lines(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    pen = begun(MemoryJournal())
    _found(pen, "QM-116", "pin bent")
    told = "Last found here: 8 Mar 2027, QM-116"
    assert told in Scripted.until_left(pen, lines(until="plugs")).said
    monkeypatch.setattr(teaching, "LOOKED_AT", 3)
    assert told not in Scripted.until_left(pen, lines("QM-164", until="plugs")).said


def test_ans_15_a_find_of_another_fit_at_a_step_of_the_same_name_is_none_here() -> None:
    pen = begun(MemoryJournal())
    _found(pen, "QM-116", "pin bent")
    (name,) = {e.walk for e in pen.journal.entries(kind="walk.started")}
    other = b.WalkStarted(checklist="U-PRE", revision="1", digest="d", purpose="preflight", fit="U",
                          planned="", typed="QM-116", by=IO)  # fmt: skip
    raised = b.DefectRaised(number="116-A09", symbol="X", text="plug gone", step="plugs", by=IO)
    with pen.journal.write() as writing:
        write(pen, writing, (other, raised), tail="QM-116", walk="A9")
    said = " ".join(Scripted.until_left(pen, lines(until="plugs")).said.split())
    assert name == "A1"
    assert "QM-116: plug not home: pin bent (116-A01)." in said
    assert "plug gone (116-A09)" not in said.rsplit("Do plugs", 1)[1]


# -- words to the author ---------------------------------------------------------------------------


def test_acc_02_a_proposal_is_one_key_and_words_and_reaches_the_author_with_its_step() -> None:
    pen = begun(MemoryJournal())
    said = Scripted.until_left(pen, [*lines(until="plugs"), "w", "name the pins", "o"]).said
    assert "Kept for the author:" in said
    (found,) = proposing.proposals(pen.journal)
    assert (found.number, found.body.step, found.body.text) == ("2.02", "plugs", "name the pins")
    assert found.body.by == IO
    assert proposing.proposals(pen.journal, "OTHER") == ()
    (line,) = pen.journal.entries(kind="checklist.proposed")
    assert line.airframe is None
    assert pen.journal.facts(TAIL).open == ()


def test_acc_02_the_proposer_sees_what_came_of_it(tmp_path: Path) -> None:
    pen = on_disk(tmp_path, demo=True)
    path = tmp_path / "record.db"
    Scripted.until_left(pen, [*lines(until="plugs"), "w", "name the pins"])
    told = hardstand(path, "checklist", "proposals").out
    (line,) = pen.journal.entries(kind="checklist.proposed")
    assert told.splitlines() == [
        f"{line.ref}  T-PRE 1  step 2.02 plugs  2027-03-08  IO", "  name the pins",
        "  not answered yet",
    ]  # fmt: skip
    answered = hardstand(
        path, "checklist", "proposals", "--answer", line.ref, "--taken", "--words", "in revision 2",
        "--by", "ÅL",
    )  # fmt: skip
    assert answered.status == 0, answered.err
    assert answered.out.splitlines()[-1] == "  taken, ÅL: in revision 2"
    assert (
        hardstand(path, "checklist", "proposals", "X").out == "Nothing was written to an author.\n"
    )


def test_a_proposal_that_is_none_is_not_answered() -> None:
    pen = begun(MemoryJournal())
    with pytest.raises(NotThere) as raised:
        proposing.answer(pen, "A-1", "no", taken=False, by=IO)
    assert raised.value.what == "A-1 is no proposal of this record."
