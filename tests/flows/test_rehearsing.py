"""LRN-04, LRN-06: in a practice one says first what is expected; some finds are made up."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from builders import IO, begun, lines
from hardstand.domain.bodies import By
from hardstand.domain.seeding import ROUNDS, seeded
from hardstand.flows.pen import Pen
from hardstand.flows.starting import practise
from memory import MemoryJournal
from practised import EXPECTED, Trainee, practised, words
from scenarios.stage import bodies
from scripted import Scripted

LOOKED = tuple(f"s{n:02}" for n in range(23))


# -- recall before reveal --------------------------------------------------------------------------


def test_lrn_04_what_is_expected_is_asked_before_good_and_bad_are_shown() -> None:
    pen = begun(MemoryJournal())
    trainee = practised(pen, [*lines(until="hear"), "o"])
    asked = [q for q, _ in trainee.asked if "Do hear" in " ".join(x.text for x in q.blocks)]
    before, step = asked[0], next(q for q in asked if "U" in q.keys)
    assert "What do you expect to see or hear?" in before.prompt
    assert [x.text for x in before.blocks if "good hear" in x.text or "bad hear" in x.text] == []
    told = [x.text for x in step.blocks]
    assert "Good: good hear" in told
    assert f"You expected: {EXPECTED}." in told


def test_lrn_04_lrn_06_nothing_is_expected_of_or_made_up_in_a_walk_that_counts() -> None:
    prompter = Scripted.until_left(begun(MemoryJournal()), lines())
    assert "expect to see" not in prompter.said
    assert "PRACTICE" not in prompter.said
    assert [words(q) for q, _ in prompter.asked if words(q)] == []


# -- which steps -----------------------------------------------------------------------------------


def test_lrn_06_in_four_practices_each_step_comes_up_once_and_most_are_faults() -> None:
    rounds = [seeded(LOOKED, "list", "IO", n) for n in range(ROUNDS)]
    assert sorted(step for one in rounds for step in one) == sorted(LOOKED)
    assert max(map(len, rounds)) - min(map(len, rounds)) <= 1
    for one in rounds:
        assert len(one) / 2 < sum(one.values()) < len(one), "faults are frequent, never certain"


def test_lrn_06_the_steps_follow_from_list_person_and_count_alone() -> None:
    known = seeded(LOOKED, "list", "IO", 2)
    assert seeded(LOOKED, "list", "IO", 2) == known
    for other in (("list", "IO", 3), ("list", "BT", 2), ("another", "IO", 2)):
        assert seeded(LOOKED, *other) != known


def test_lrn_06_the_next_practice_of_a_person_shows_other_steps() -> None:
    pen = begun(MemoryJournal())
    shown = [practised(pen, lines()[:-1]).made_up for _ in range(ROUNDS)]
    steps = [question.blocks[0].text for one in shown for question in one]
    assert sorted(x.split("  ")[1] for x in steps) == ["Do hear.", "Do plugs.", "Do tune."]
    other = replace(pen, author="BT")
    trainee = Trainee(lines())
    practise(other, trainee, by=By(doer="BT"))
    assert len(trainee.made_up) <= 1, "BT begins with a first practice of their own"


# -- shown, answered, told at once -----------------------------------------------------------------


def _drilled(answer: str, *, fault: bool) -> tuple[Pen, Trainee, str]:
    """A practice in which a fault, or something good, was made up and so answered."""
    pen = begun(MemoryJournal())
    for _ in range(3 * ROUNDS):
        trainee = practised(pen, lines()[:-1], lambda _: answer)
        for question in trainee.made_up:
            if ("bad " in words(question)) is fault:
                return pen, trainee, " ".join(trainee.said.split())
    raise AssertionError("nothing of the kind was made up in three rounds")


def test_lrn_06_a_fault_is_shown_in_the_words_of_the_list_and_caught_with_f() -> None:
    _, trainee, said = _drilled("F", fault=True)
    (question,) = trainee.made_up
    name = question.blocks[0].text.removesuffix(".").rsplit(" ", 1)[1]
    verb = "see" if name == "plugs" else "hear"
    assert words(question) == f"Made up, not this aircraft. Say you {verb}: bad {name}."
    assert question.prompt.startswith("PRACTICE")
    assert {"O", "F"} <= set(question.keys)
    assert not set(question.keys) & set("SNUC"), "nothing else answers, Enter least of all"
    assert "PRACTICE Caught: that is a FAULT here. Now look at this aircraft." in said


def test_lrn_06_a_fault_missed_is_told_at_once_with_what_good_is() -> None:
    _, trainee, said = _drilled("O", fault=True)
    name = trainee.made_up[0].blocks[0].text.removesuffix(".").rsplit(" ", 1)[1]
    assert f"PRACTICE Not caught: that is a FAULT here. Good: good {name}. Now look" in said
    told = next(n for n, (q, _) in enumerate(trainee.asked) if words(q))
    assert "U" in trainee.asked[told + 1][0].keys, "the step itself comes next"


def test_lrn_06_something_good_is_told_from_a_fault_too() -> None:
    assert "PRACTICE Right: that is good here." in _drilled("O", fault=False)[2]
    _, trainee, said = _drilled("F", fault=False)
    name = trainee.made_up[0].blocks[0].text.removesuffix(".").rsplit(" ", 1)[1]
    assert f"PRACTICE No FAULT: that is good here. Bad: bad {name}. Now look" in said


def test_lrn_06_what_was_caught_or_missed_is_written_nowhere() -> None:
    missed, caught = _written(lambda _: "O"), _written(lambda _: "F")
    assert missed == caught


def _written(answer: Callable[[str], str]) -> list[tuple[str, bytes]]:
    """Every line after a whole practice in which all was well at the aircraft."""
    pen = begun(MemoryJournal())
    trainee = Trainee(lines(), answer)
    practise(pen, trainee, by=IO)
    assert trainee.made_up
    (line,) = bodies(pen.journal, "walk.practised")
    assert {said.answer for said in line.answers} == {"OK"}
    return [(e.kind, e.body) for e in pen.journal.chains()]


def test_lrn_06_what_is_made_up_can_be_left_with_b() -> None:
    pen = begun(MemoryJournal())
    left = Trainee(lines(), lambda _: "B")
    assert practise(pen, left, by=IO).outcome == ""
    assert "PRACTICE is over. Nothing of it counts." in left.said
