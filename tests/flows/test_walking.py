"""The walk as a person meets it: the log first, five answers, the way back, the way out."""

from __future__ import annotations

import hashlib
from dataclasses import replace

import pytest

from builders import IO, TAIL, begun, checklist, lines, steps
from hardstand.domain import bodies as b
from hardstand.domain.asking import Ask
from hardstand.errors import Interrupted
from hardstand.flows import questions as q
from hardstand.flows.logging_defects import Told, raise_defect
from hardstand.flows.pen import Pen
from hardstand.flows.starting import walk
from memory import MemoryJournal
from scenarios.stage import bodies
from scripted import Scripted


@pytest.fixture
def pen() -> Pen:
    return begun(MemoryJournal())


def _walked(pen: Pen, typed: list[str]) -> str:
    """What was printed, on one line."""
    return " ".join(Scripted.until_left(pen, typed).said.split())


def _answers(pen: Pen) -> dict[str, str]:
    found = bodies(pen.journal, "step.answered")
    return {x.step: x.answer for x in found if isinstance(x, b.StepAnswered)}


def _raise(pen: Pen, symbol: str, words: str, tail: str = TAIL) -> None:
    raise_defect(pen, tail, Told(words=words, symbol=symbol), by=IO)


# -- the log first ---------------------------------------------------------------------------------


def test_the_log_comes_first_worst_first_and_what_was_shown_is_kept_by_digest(pen: Pen) -> None:
    for symbol, words in (("/", "lamp out"), ("X", "plug burnt"), ("-", "not tested")):
        _raise(pen, symbol, words)
    said = _walked(pen, [TAIL, "c", "c", "c", "c"])
    assert "device A: 161-A02 X red X: plug burnt 161-A03 - red dash: not tested" in said
    shown = (
        "161-A02  X red X: plug burnt",
        "161-A03  - red dash: not tested",
        "161-A01  / red diagonal: lamp out",
    )
    assert bodies(pen.journal, "log.read") == [
        b.LogRead(
            listed=("161-A02", "161-A03", "161-A01"),
            digest=hashlib.sha256("\n".join(shown).encode()).hexdigest(),
            taken=("161-A02", "161-A03"),
            by=IO,
        )
    ]


def test_each_x_and_dash_is_taken_with_a_key_of_its_own_and_a_diagonal_is_not(pen: Pen) -> None:
    _raise(pen, "X", "plug burnt")
    _raise(pen, "/", "lamp out")
    said = _walked(pen, [TAIL, "c", "c"])
    assert (
        "X means: not to fly until cleared. Keys: C I have taken 161-A01, B break, R rescue card."
        in said
    )
    assert "I have taken 161-A02" not in said
    assert bodies(pen.journal, "log.read") == []


def test_an_empty_log_is_read_too(pen: Pen) -> None:
    said = _walked(pen, [TAIL, "c", "c"])
    assert "Open on QM-161, as of 2027-03-08 05:00 -03:00, device A: nothing." in said
    (read,) = bodies(pen.journal, "log.read")
    assert isinstance(read, b.LogRead)
    assert (read.listed, read.taken) == ((), ())


@pytest.mark.hf("LED-08")
def test_what_another_walk_left_away_is_looked_at_before_the_log(pen: Pen) -> None:
    Scripted.until_left(pen, [*lines(until="plugs"), "b", "2", "161"])
    said = _walked(pen, [TAIL, "c", "2"])
    assert "panel 7: recorded OPEN Mon 05:00 by IO; home is SHUT. Go there and look." in said
    assert bodies(pen.journal, "log.read")[1:] == []


# -- answers ---------------------------------------------------------------------------------------


def test_a_whole_walk_is_finished_and_every_answer_stands(pen: Pen) -> None:
    said = _walked(pen, lines())
    assert set(_answers(pen).values()) == {"OK"}
    assert q.NO_RELEASE in said
    (closed,) = bodies(pen.journal, "walk.closed")
    assert isinstance(closed, b.WalkClosed)
    assert closed.outcome == "finished"


class Counting(Scripted):
    """Notes how many answers were on record when each step was put."""

    def __init__(self, pen: Pen, typed: list[str]) -> None:
        super().__init__(typed)
        self.counts: list[int] = []
        self._pen = pen

    def ask(self, question: Ask) -> str:
        if question.strip is not None and "F" in question.keys:
            self.counts.append(len(bodies(self._pen.journal, "step.answered")))
        return super().ask(question)


def test_each_answer_is_on_record_before_the_next_question(pen: Pen) -> None:
    prompter = Counting(pen, lines(until="sign"))
    with pytest.raises(Interrupted):
        walk(pen, prompter, by=IO)
    assert prompter.counts == list(range(14))


def test_a_fault_raises_its_entry_at_once_and_words_may_follow(pen: Pen) -> None:
    said = _walked(pen, [*lines(until="plugs"), "f"])
    assert "161-A01 is open: X red X: plug not home" in said
    assert [(e.text, e.stub) for e in pen.journal.facts(TAIL).open] == [("plug not home", True)]


@pytest.mark.parametrize(
    ("words", "text"),
    [
        ("", "plug not home"),
        ("2", "plug not home: burnt"),
        ("3 turns", "3 turns"),
        ("P2 turns", "P2 turns"),
    ],
)
def test_words_of_a_fault_are_typed_picked_or_left_for_later(
    pen: Pen, words: str, text: str
) -> None:
    Scripted.until_left(pen, [*lines(until="plugs"), "f", words])
    assert [e.text for e in pen.journal.facts(TAIL).open] == [text]


def test_skipped_asks_why_and_other_asks_for_words(pen: Pen) -> None:
    Scripted.until_left(pen, [*lines(until="hear"), "s", "8", "", "s", "8", "nobody on air"])
    (given,) = (x for x in bodies(pen.journal, "step.answered")
                if isinstance(x, b.StepAnswered) and x.step == "hear")  # fmt: skip
    assert (given.answer, given.reason) == ("SKIPPED", "nobody on air")
    assert [e.text for e in pen.journal.facts(TAIL).open] == ["receive not tested: nobody on air"]


def test_z_at_the_reasons_goes_back_to_the_step(pen: Pen) -> None:
    Scripted.until_left(pen, [*lines(until="hear"), "s", "z", "n", "z"])
    assert "hear" not in _answers(pen)


def test_help_says_why_and_what_good_and_bad_are_and_answers_nothing(pen: Pen) -> None:
    said = _walked(pen, [*lines(until="plugs"), "h", "h"])
    card = ("Why: why of plugs", "Good looks like: good plugs", "Bad looks like: bad plugs",
            "Reference: chapter 1")  # fmt: skip
    assert [told for told in card if told in said] == list(card)
    assert "plugs" not in _answers(pen)


def test_the_rescue_card_is_one_key_away_at_every_step(pen: Pen) -> None:
    said = _walked(pen, [*lines(until="plugs"), "r"])
    assert "1. Cut the power." in said
    assert "plugs" not in _answers(pen)


def test_a_number_the_meter_cannot_show_is_asked_again_and_both_are_kept(pen: Pen) -> None:
    said = _walked(pen, [*lines(until="volts"), "245", "24.5"])
    assert "245 V is outside what this meter can show." in said
    (given,) = (x for x in bodies(pen.journal, "step.answered")
                if isinstance(x, b.StepAnswered) and x.step == "volts")  # fmt: skip
    assert (given.value, given.earlier, given.answer) == ("24.5", ("245",), "OK")


def test_what_is_no_number_is_not_kept_as_an_earlier_one(pen: Pen) -> None:
    Scripted.until_left(pen, [*lines(until="volts"), "x", "\udcff", "2 4", "24.5"])
    (given,) = (x for x in bodies(pen.journal, "step.answered")
                if isinstance(x, b.StepAnswered) and x.step == "volts")  # fmt: skip
    assert (given.value, given.earlier) == ("24.5", ())


# -- aside -----------------------------------------------------------------------------------------


def test_a_defect_elsewhere_is_raised_and_the_step_stands(pen: Pen) -> None:
    said = _walked(pen, [*lines(until="plugs"), "d", "strut leaks", "1"])
    assert "161-A01 is open." in said
    assert [(e.symbol, e.text, e.step) for e in pen.journal.facts(TAIL).open] == [
        ("X", "strut leaks", "")
    ]
    assert "plugs" not in _answers(pen)


def test_a_line_nobody_planned_is_opened_and_must_come_home(pen: Pen) -> None:
    typed = lines()
    place = len(lines(until="plugs"))
    said = _walked(pen, [*typed[:place], "a", "5", "torch under the seat", *typed[place:]])
    assert "Open until it is put back: torch under the seat." in said
    assert "torch under the seat: recorded MOVED Mon 05:00 by IO; home is AS FOUND." in said
    assert bodies(pen.journal, "walk.closed") == []
    Scripted.until_left(pen, [TAIL, "c", "1", "c"])
    assert [line.item for line in pen.journal.facts(TAIL).lines] == []
    assert len(bodies(pen.journal, "walk.closed")) == 1


def test_a_step_too_long_for_its_line_ends_with_one_mark_where_it_is_not_fitted() -> None:
    long = replace(steps()[4], do="Look at each shock mount with its bonding strap.")
    own = checklist(listed=[long if s.id == "plugs" else s for s in steps()])
    said = _walked(begun(MemoryJournal(), listed=own), [*lines(until="plugs"), "n"])
    what = "NOT FITTED: Look at each shock mount with its bonding …"
    assert f"{what} The record says fit T carries it." in " ".join(said.split())


def test_z_takes_the_last_answer_back_and_asks_its_step_again(pen: Pen) -> None:
    said = _walked(pen, [*lines(until="plugs"), "z"])
    assert "Taken back: 2.01 Do open — recorded OK 05:00 IO. Answer it again." in said
    assert said.rstrip().endswith("Answer:")
    assert "2.01 Do open." in said.rsplit("LAST", 1)[1]
    assert "1.03 Do gate" in said.rsplit("LAST", 1)[1]


def test_a_fault_where_one_is_open_already_is_told_with_that_one_and_not_joined() -> None:
    """whole-job S-03: likely duplicates are offered, never joined alone."""
    pen = begun(MemoryJournal())
    _walked(pen, [*lines(until="tune"), "f", "crackles", "b", "4", "161"])
    before = len(pen.journal.facts(TAIL).open)
    open_ = iter(lines(until="tune")[2:])
    home = ["2", "9", "1"]  # what the walk before left away: seen as it is, at the log
    said = _walked(pen, [TAIL, "c", *home, "c", "c", *open_, "f", "again"])
    told = "The same? `hardstand defect same-as 161-A03 161-A01` joins them."
    assert f"Open here before: 161-A01 / red diagonal: crackles. {told}" in said
    assert len(pen.journal.facts(TAIL).open) == before + 1


def test_z_on_a_fault_tells_by_its_number_that_its_entry_is_entered_in_error(pen: Pen) -> None:
    said = _walked(pen, [*lines(until="tune"), "f", "", "z"])
    assert pen.journal.facts(TAIL).open == ()
    assert " IO. Answer it again. 161-A01 is entered in error with it." in said


def test_z_on_a_fault_that_ended_the_list_opens_what_it_passed_over(pen: Pen) -> None:
    said = _walked(pen, [*lines(until="gate"), "f", "", "c", "z"])
    assert "Answer it again. With it what it passed over is open again: 8 steps." in said
    assert "SKIPPED: 0 1.03 Do gate." in said.rsplit("NOT PUT BACK", 1)[1]
    assert pen.journal.facts(TAIL).open == ()


def test_z_on_an_x_tells_that_it_stays_and_who_could_take_it_off(pen: Pen) -> None:
    said = _walked(pen, [*lines(until="plugs"), "f", "", "z"])
    assert [(e.number, e.symbol) for e in pen.journal.facts(TAIL).open] == [("161-A01", "X")]
    assert (
        "161-A01 stays open: only the finder takes back alone, no X, and nothing that others have "
        "acted on. Two people, by `hardstand defect void`." in said
    )


@pytest.mark.parametrize("order", [("SHUT", "OPEN"), ("OPEN", "SHUT")])
def test_a_digit_means_one_position_at_the_step_and_where_it_is_looked_at_again(
    order: tuple[str, str],
) -> None:
    turned = tuple(replace(s, states=order) if s.id == "shut" else s for s in steps())
    pen = begun(MemoryJournal(), listed=checklist(listed=turned))
    wrong = str(order.index("OPEN") + 1)
    shown = Scripted.until_left(pen, [*lines(until="shut"), wrong, "", "b"])
    asked = [question.choices for question, _ in shown.asked if question.choices]
    again = next(c for q, _ in shown.asked if "see now" in q.prompt for c in [q.choices])
    assert order in asked
    assert again == order


def test_z_before_any_answer_says_so(pen: Pen) -> None:
    assert "Nothing is answered yet in this walk." in _walked(pen, [*lines(until="tools"), "z"])


def test_skipped_steps_are_offered_again_when_their_zone_is_left_and_at_the_end(pen: Pen) -> None:
    typed = lines(tune=("s", "6"))
    place = typed.index("1", len(lines(until="call")))
    said = _walked(pen, [*typed[:place], "c", *typed[place:-1], "1", "o", "c"])
    assert said.count("1 SKIPPED. Can one be done now? 1 Do tune") == 2
    assert _answers(pen)["tune"] == "OK"
    assert len(bodies(pen.journal, "walk.closed")) == 1
    assert pen.journal.facts(TAIL).open == ()


# -- leaving ---------------------------------------------------------------------------------------


def test_a_break_is_on_record_before_the_card_that_tells_what_is_open(pen: Pen) -> None:
    said = _walked(pen, [*lines(until="plugs"), "b"])
    assert bodies(pen.journal, "walk.broken") == [b.WalkBroken(step="plugs", by=IO)]
    assert "Walk A1 at QM-161 is left at 2.02 Do plugs." in said
    assert "QM-161 — radio check not finished, 2 not put back, ask IO." in said


@pytest.mark.parametrize(
    ("digit", "outcome"), [("2", "taken_away"), ("3", "stopped_by_x"), ("4", "left_unfinished")]
)
def test_a_walk_may_be_ended_with_lines_open_after_its_tail_is_typed(
    pen: Pen, digit: str, outcome: str
) -> None:
    Scripted.until_left(pen, [*lines(until="plugs"), "b", digit, "161"])
    (closed,) = bodies(pen.journal, "walk.closed")
    assert isinstance(closed, b.WalkClosed)
    assert (closed.outcome, closed.open_lines) == (outcome, ("tools", "panel"))
    facts = pen.journal.facts(TAIL)
    assert [line.item for line in facts.lines] == ["tools", "panel"]
    assert (facts.walks, facts.finished) == ((), None)


@pytest.mark.parametrize("typed", ["", "116", "QM-161", "c"])
def test_another_tail_does_not_end_a_walk(pen: Pen, typed: str) -> None:
    said = _walked(pen, [*lines(until="plugs"), "b", "2", typed])
    assert "Not ended; the walk waits where it was left." in said
    assert bodies(pen.journal, "walk.closed") == []


def test_a_walk_is_not_finished_while_something_is_away(pen: Pen) -> None:
    typed = [*lines(until="off"), "s", "6", "9", "c", "o", "c"]
    said = _walked(pen, [*typed, "2", "c", "2", "c"])
    assert said.count("Not FINISHED: 1 not put back: BATTERY switch recorded ON.") == 2
    assert bodies(pen.journal, "walk.closed") == []
    Scripted.until_left(pen, [TAIL, "c", "2", "c", "1", "c"])
    assert len(bodies(pen.journal, "walk.closed")) == 1


def test_the_end_of_input_at_any_question_leaves_the_walk_where_it_stands(pen: Pen) -> None:
    whole = lines(plugs=("f", "turns"), volts=("21", ""), tune=("s", "8", "no one"))
    for cut in range(len(whole)):
        once = begun(MemoryJournal())
        Scripted.until_left(once, whole[:cut])
        given = list(_answers(once))
        Scripted.until_left(once, [TAIL, "c"])
        assert list(_answers(once)) == given
