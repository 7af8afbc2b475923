"""A walk from a file of answers: the same decisions as the keys, LATE on a live record."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import replace

import pytest

from builders import IO, MORNING, TAIL, begun
from hardstand.domain import bodies as b
from hardstand.domain.bodies import By, Late
from hardstand.domain.codec import decode
from hardstand.domain.quantity import Instant
from hardstand.domain.words import too_long
from hardstand.errors import BadFile, NotThere, Refusal, Usage
from hardstand.flows.answer_file import Script, parse
from hardstand.flows.pen import Pen
from hardstand.flows.playing import late, play
from memory import MemoryJournal

GOOD = """\
tail QM-161     # as painted
# a line of its own
tools: 9
safe: OFF
gate: OK | BT at the wing tip
open: OK
plugs: OK
shut: SHUT
power: ON
volts: 24.5
hear: OK
tune: OK
call: OK | Tarrick Tower: loud and clear
off: OFF
count: 9
sign: OK
"""
MADE_AT = Instant("2027-03-08T07:50:00Z")
ON_PAPER = By(doer="IO", late=Late(made_at=MADE_AT, typist="IO"))
GO_ON = "Mend the file and play it again, or go on by hand: hardstand walk QM-161"
TWICE = "Rule: what was answered is in the record; nothing is answered twice"


def _parsed(text: str) -> Script:
    return parse("walk.txt", text.encode())


def _changed(step: str, line: str) -> Script:
    lines = [f"{step}: {line}" if raw.startswith(f"{step}:") else raw for raw in GOOD.splitlines()]
    return _parsed("\n".join(lines))


@pytest.fixture
def demo() -> Pen:
    return begun(MemoryJournal(), demo=True)


def test_a_good_script_is_a_finished_walk(demo: Pen) -> None:
    state = play(demo, _parsed(GOOD), by=IO)
    assert state.outcome == "finished"
    answers = [decode(e) for e in demo.journal.entries(kind="step.answered")]
    assert {x.answer for x in answers if isinstance(x, b.StepAnswered)} == {"OK"}
    assert [x.evidence for x in answers if isinstance(x, b.StepAnswered) and x.evidence] == [
        "BT at the wing tip", "Tarrick Tower: loud and clear",
    ]  # fmt: skip
    assert demo.journal.facts(TAIL).finished is not None


@pytest.mark.parametrize(
    ("step", "line", "answer", "text"),
    [
        ("plugs", "FAULT | P2 turns by hand", "FAULT", "P2 turns by hand"),
        ("plugs", "FAULT", "FAULT", "plug not home"),
        ("volts", "21.9", "FAULT", "bus volts; 21.9 V"),
        ("tune", "SKIPPED no time", "SKIPPED", "receive not tested: no time"),
        ("tune", "UNSURE | comes and goes", "UNSURE", "receive: not sure: comes and goes"),
        ("tune", "NOT FITTED removed", "NOT FITTED",
         "fit not as recorded, receive not fitted: removed"),
    ],
)  # fmt: skip
def test_each_line_means_what_the_key_means(
    demo: Pen, step: str, line: str, answer: str, text: str
) -> None:
    play(demo, _changed(step, line), by=IO)
    said = [decode(e) for e in demo.journal.entries(kind="step.answered")]
    given = next(x for x in said if isinstance(x, b.StepAnswered) and x.step == step)
    assert given.answer == answer
    assert text in [e.text for e in demo.journal.facts(TAIL).open]


def test_a_live_record_takes_a_script_only_as_made_on_paper() -> None:
    live = begun(MemoryJournal())
    with pytest.raises(Refusal) as raised:
        play(live, _parsed(GOOD), by=IO)
    assert raised.value.lines() == (
        "A live record takes a file of answers only as a walk made on paper, LATE.",
        "Rule: an answer is given where the thing is seen",
        "Nothing was written.",
        "State --made-at TIME and --typist INITIALS, or walk with `hardstand walk`.",
    )
    assert list(live.journal.entries(kind="walk.started")) == []


def test_scenario_92_a_walk_made_on_paper_counts_from_when_it_was_made() -> None:
    live = begun(MemoryJournal())
    assert play(live, _parsed(GOOD), by=ON_PAPER).outcome == "finished"
    done = live.journal.facts(TAIL).finished
    assert done is not None
    assert done.at == "2027-03-08T07:50:00Z"
    started = decode(next(live.journal.entries(kind="walk.started")))
    assert isinstance(started, b.WalkStarted)
    assert started.by.late == ON_PAPER.late


def test_scenario_92_a_typist_does_not_finish_the_walk_of_somebody_else() -> None:
    live = begun(MemoryJournal())
    typed = By(doer="IO", late=Late(made_at=MORNING, typist="MS"))
    state = play(live, _parsed(GOOD), by=typed)
    assert (state.outcome, state.next_step(), state.broken) == ("", None, True)
    assert live.journal.facts(TAIL).finished is None


def test_hands_and_typist_are_stated_together() -> None:
    at = Instant("2027-03-08T07:50:00Z")
    assert late(IO, None, "") == IO
    assert late(IO, at, "ms").late == Late(made_at=at, typist="MS")
    for made_at, typist in ((at, ""), (None, "MS"), (at, "M.S")):
        with pytest.raises(Usage) as raised:
            late(IO, made_at, typist)
        assert raised.value.lines() == (
            "A walk made on paper needs --made-at TIME and --typist INITIALS.",
            "Such as --made-at 2027-03-08T04:50-03:00 --typist MS",
        )


def test_a_step_without_its_line_leaves_the_walk_open_where_it_stands(demo: Pen) -> None:
    with pytest.raises(BadFile) as raised:
        play(demo, _parsed(GOOD.replace("plugs: OK\n", "")), by=IO)
    assert raised.value.lines() == (
        "Step plugs of T-PRE has no answer.",
        "Walk A1 stays open at step plugs; what was played is recorded.",
        GO_ON,
    )
    assert len(list(demo.journal.entries(kind="step.answered"))) == 4


def test_an_answer_that_a_step_does_not_take_leaves_the_walk_open_there(demo: Pen) -> None:
    with pytest.raises(Refusal) as raised:
        play(demo, _changed("power", "UP"), by=IO)
    assert raised.value.lines() == (
        "step power is answered with the position seen",
        "Walk A1 stays open at step power; what was played is recorded.",
        f"Positions: OFF, ON. {GO_ON}",
    )


@pytest.mark.parametrize(
    "by", [IO, ON_PAPER, replace(ON_PAPER, late=Late(made_at=MADE_AT, typist="MS"))]
)
def test_a_mended_file_goes_on_with_the_walk_that_it_began(demo: Pen, by: By) -> None:
    faulty = GOOD.replace("plugs: OK", "plugs: FAULT | P2 turns by hand")
    with pytest.raises(BadFile):
        play(demo, _parsed(faulty.replace("tune: OK\n", "")), by=by)
    assert demo.journal.facts(TAIL).open, "what stands from the first time is not to be taken first"
    state = play(demo, _parsed(faulty), by=by)
    assert (state.walk, state.next_step()) == ("A1", None)
    answers = [decode(e) for e in demo.journal.entries(kind="step.answered")]
    given = [x.step for x in answers if isinstance(x, b.StepAnswered)]
    assert len(given) == len(set(given)) == 14, "each step that is for QM-161, once"
    assert [e.number for e in demo.journal.facts(TAIL).open] == ["161-A01"]
    assert len(list(demo.journal.entries(kind="walk.resumed"))) == 1


def test_a_file_that_answers_otherwise_than_its_walk_adds_nothing_to_it(demo: Pen) -> None:
    short = GOOD.replace("plugs: OK", "plugs: FAULT").replace("tune: OK\n", "")
    with pytest.raises(BadFile):
        play(demo, _parsed(short), by=IO)
    before = [entry.digest for entry in demo.journal.chains()]
    with pytest.raises(Refusal) as raised:
        play(demo, _parsed(GOOD.replace("24.5", "24.6").replace("tools: 9", "tools: 8")), by=IO)
    assert raised.value.lines() == (
        (
            "Walk A1 of QM-161 on this list, by IO, has other answers.\n"
            "Step tools: recorded 9; in the file 8\n"
            "Step plugs: recorded FAULT; in the file OK\n"
            "Step volts: recorded 24.5; in the file 24.6"
        ),
        TWICE,
        "Nothing was written.",
        "Mend the file, or take an answer back with Z: hardstand walk QM-161",
    )
    assert [entry.digest for entry in demo.journal.chains()] == before


def test_scenario_92_a_walk_on_paper_that_was_closed_is_not_typed_in_again() -> None:
    pen = begun(MemoryJournal())
    play(pen, _parsed(GOOD), by=ON_PAPER)
    before = [entry.digest for entry in pen.journal.chains()]
    for typist in ("IO", "MS"):
        again = replace(ON_PAPER, late=Late(made_at=MADE_AT, typist=typist))
        with pytest.raises(Refusal) as raised:
            play(pen, _parsed(GOOD), by=again)
        said = "Walk A1 of QM-161 on this list, by IO, made 2027-03-08 04:50 -03:00, is in the "
        assert raised.value.lines() == (
            f"{said}record and closed already.",
            TWICE,
            "Nothing was written.",
            "A walk made at another time is another walk: state its --made-at.",
        )
    assert [entry.digest for entry in pen.journal.chains()] == before


def test_a_walk_that_waits_for_its_walker_is_not_typed_in_again() -> None:
    pen = begun(MemoryJournal())
    typed = replace(ON_PAPER, late=Late(made_at=MADE_AT, typist="MS"))
    play(pen, _parsed(GOOD), by=typed)
    with pytest.raises(Refusal) as raised:
        play(pen, _parsed(GOOD), by=typed)
    assert raised.value.lines()[0].endswith("is typed in to its end.")
    assert raised.value.hint == "IO closes it: hardstand walk QM-161"


def test_a_walk_that_is_typed_in_elsewhere_is_gone_on_with_there() -> None:
    here = begun(MemoryJournal())
    with pytest.raises(BadFile):
        play(here, _parsed(GOOD.replace("tune: OK\n", "")), by=ON_PAPER)
    there = replace(here, journal=MemoryJournal("B", list(here.journal.chains())))
    with pytest.raises(Refusal) as raised:
        play(there, _parsed(GOOD), by=ON_PAPER)
    assert raised.value.lines()[0].endswith("is open on device A.")
    assert raised.value.hint == "Go on with it there."


def test_two_programs_that_play_one_file_do_not_answer_a_step_twice() -> None:
    class Between(MemoryJournal):
        """Where, before the third answer, another program plays the same file whole."""

        writes = 0

        @contextmanager
        def write(self) -> Iterator[MemoryJournal]:
            self.writes += 1
            if self.writes == 8:
                with suppress(Refusal):
                    play(pen, _parsed(GOOD), by=ON_PAPER)
            with super().write() as writing:
                yield writing

    journal = Between()
    pen = begun(journal)
    journal.writes = 0
    with pytest.raises(Refusal) as raised:
        play(pen, _parsed(GOOD), by=ON_PAPER)
    assert "gone on with by another program" in raised.value.lines()[0]
    given = [decode(e) for e in journal.entries(kind="step.answered")]
    steps_given = [body.step for body in given if isinstance(body, b.StepAnswered)]
    assert len(steps_given) == len(set(steps_given)) > 2


def test_another_walk_on_paper_is_typed_in_while_the_walker_has_one_to_close() -> None:
    pen = begun(MemoryJournal())
    for hour in ("07:50", "07:55"):
        by = By(doer="IO", late=Late(made_at=Instant(f"2027-03-08T{hour}:00Z"), typist="MS"))
        play(pen, _parsed(GOOD), by=by)
    assert [walk.walk for walk in pen.journal.facts(TAIL).walks] == ["A1", "A2"]


def test_a_script_may_say_how_the_walk_ended(demo: Pen) -> None:
    text = GOOD[: GOOD.index("hear:")] + "end taken_away | towed to the compass base\n"
    assert play(demo, _parsed(text), by=IO).outcome == "taken_away"
    facts = demo.journal.facts(TAIL)
    assert [e.text for e in facts.open] == ["towed to the compass base"]
    assert [line.item for line in facts.lines] == ["tools", "battery"]


def test_no_answer_after_a_gap_is_left_out_because_the_walk_ended(demo: Pen) -> None:
    text = GOOD[: GOOD.index("hear:")].replace("open: OK\n", "") + "end taken_away\n"
    with pytest.raises(BadFile) as raised:
        play(demo, _parsed(text), by=IO)
    assert raised.value.lines() == (
        "Step open of T-PRE has no answer, and these after it have: plugs, shut, power, volts.",
        "Walk A1 stays open at step open; what was played is recorded.",
        GO_ON,
    )


def test_a_step_that_the_list_does_not_have_is_named_before_anything_is_written(demo: Pen) -> None:
    before = list(demo.journal.chains())
    with pytest.raises(BadFile) as raised:
        play(demo, _parsed(GOOD.replace("plugs:", "plug:").replace("sign:", "signed:")), by=IO)
    assert raised.value.lines() == (
        "T-PRE 1 has no step plug, signed.",
        "Nothing was written.",
        "`hardstand checklist show T-PRE` lists the steps.",
    )
    assert list(demo.journal.chains()) == before


def test_an_x_or_dash_that_stands_must_be_taken_before_anything_is_started(demo: Pen) -> None:
    play(demo, _changed("plugs", "FAULT | P2 turns by hand"), by=IO)
    before = list(demo.journal.chains())
    with pytest.raises(Refusal) as raised:
        play(demo, _parsed(GOOD), by=IO)
    assert raised.value.lines() == (
        "161-A01 stands on QM-161 and the script does not take it.",
        "Rule: each X, circled X and dash is taken before anything is touched",
        "No walk was started.",
        "Add the line: taken 161-A01",
    )
    assert list(demo.journal.chains()) == before
    assert play(demo, _parsed(f"taken 161-A01\n{GOOD}"), by=IO).outcome == "finished"


@pytest.mark.parametrize(
    ("tail", "planned"), [("QM-999", ""), ("QM-161", "QM-116"), ("QM-161", "QM-999")]
)
def test_a_script_for_another_aircraft_is_not_played(demo: Pen, tail: str, planned: str) -> None:
    with pytest.raises(NotThere) as raised:
        play(demo, _parsed(GOOD.replace("QM-161", tail)), by=IO, planned=planned)
    assert raised.value.lines() == (
        f"The script is for {tail}, planned was {planned or 'nothing'}.",
        "No walk was started.",
    )


def test_a_script_for_a_list_that_nobody_adopted_is_not_played(demo: Pen) -> None:
    with pytest.raises(NotThere, match=r"^No adopted list T-NONE is for fit T\.$"):
        play(demo, _parsed(f"list T-NONE\n{GOOD}"), by=IO)


def test_every_line_that_cannot_be_read_is_named_at_once() -> None:
    text = "tools 9\nsafe: OFF\nsafe: ON\n: x\nend flown\nsign: OK | " + "x" * 4001 + "\nend flown"
    wrong = (
        "walk.txt:1: 'tools 9' is neither `STEP: ANSWER` nor `tail TAIL`",
        "walk.txt:3: safe is given twice",
        "walk.txt:4: ': x' is neither `STEP: ANSWER` nor `tail TAIL`",
        f"walk.txt:6: {too_long('x' * 4001)}",
        "walk.txt:7: end is given twice",
        "walk.txt:1: no line `tail TAIL`",
        "walk.txt: end 'flown' is none of taken_away, stopped_by_x, left_unfinished",
    )
    with pytest.raises(BadFile) as raised:
        _parsed(text)
    assert raised.value.lines() == ("\n".join(wrong), "Nothing was written.", "Mend these lines.")


def test_a_script_that_is_no_utf_8_is_refused_by_its_byte() -> None:
    with pytest.raises(BadFile, match=r"^walk\.txt: byte 8 is not UTF-8\.$"):
        parse("walk.txt", b"tail QM-\xff")


def test_notes_in_a_script_take_any_language_and_a_byte_order_mark() -> None:
    script = parse("walk.txt", "\ufefftail QM-161\nplugs: FAULT | разъём не закрыт\n".encode())
    assert script.answers == {"plugs": ("FAULT", "разъём не закрыт")}
