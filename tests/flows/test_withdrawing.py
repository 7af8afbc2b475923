"""A withdrawn revision is walked no more, and what it passed is looked at again.

Scenario 15 of the whole job: each aircraft gets a dash "look again: step n" unless the author
shows that it is not touched.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from builders import IO, TAIL, begun, checklist, lines, on_disk, opened, papers
from command import command
from hardstand.domain import bodies as b
from hardstand.domain.codec import decode
from hardstand.errors import NotThere, Refusal, Usage
from hardstand.flows.adopting import body_of
from hardstand.flows.adopting import lists as adopted_lists
from hardstand.flows.approving import approve
from hardstand.flows.pen import Pen
from hardstand.flows.recording import write
from hardstand.flows.signing import with_key
from hardstand.flows.starting import walk
from hardstand.flows.withdrawing import Asked, Passed, Touched, withdraw
from hardstand.views.revisions import withdrawal
from memory import MemoryJournal
from quennock_record import founded, hand
from scripted import Scripted

BY = b.By(doer="ÅL")


def _asked(
    *steps: str, revision: str = "1", reason: str = "limit was 29, is 28 V",
    spared: dict[str, str] | None = None,
) -> Asked:  # fmt: skip
    return Asked(
        id="T-PRE", revision=revision, reason=reason, steps=steps, not_touched=spared or {}
    )


def _walked(*typed: list[str]) -> Pen:
    pen = begun(MemoryJournal())
    for lines_ in typed:
        Scripted.until_left(pen, lines_)
    return pen


def test_each_aircraft_the_step_passed_gets_a_dash_that_waits_for_it() -> None:
    pen = _walked(lines(), lines("QM-164", until="off"))
    found = withdraw(pen, _asked("hear"), by=BY)
    assert [(t.tail, t.entry, [(w.walk, w.outcome) for w in t.walks]) for t in found.touched] == [
        ("QM-161", "161-A01", [("A1", "finished")]),
        ("QM-164", "164-A05", [("A2", "still open")]),
    ]
    (dash,) = pen.journal.facts("QM-161").open
    assert (dash.symbol, dash.text) == (
        "-", "look again: step 3.03; T-PRE 1 was withdrawn: limit was 29, is 28 V"
    )  # fmt: skip
    assert dash.untested == ("rx", "step hear")
    assert withdrawal(found).splitlines()[:3] == [
        "T-PRE 1 is withdrawn: limit was 29, is 28 V",
        "QM-161  to be looked at again: 161-A01",
        f"  walk A1, finished, {_at(found.touched[0])}, IO",
    ]


def _at(touched: Touched) -> str:
    from hardstand.domain.quantity import date_time, zone

    return date_time(touched.walks[0].at, zone("-03:00"))


def test_an_aircraft_where_the_step_was_not_ok_is_not_touched() -> None:
    pen = _walked(lines(until="off", hear=("s", "6")), lines("QM-164", until="hear"))
    found = withdraw(pen, _asked("hear"), by=BY)
    assert found.touched == ()
    assert withdrawal(found) == (
        "T-PRE 1 is withdrawn: limit was 29, is 28 V\nNo walk passed anything on it."
    )


def test_an_answer_taken_back_passed_nothing() -> None:
    pen = _walked([*lines(until="shut"), "z"])
    assert withdraw(pen, _asked("plugs"), by=BY).touched == ()


def test_an_aircraft_the_author_shows_is_not_touched_is_listed_and_gets_no_dash() -> None:
    pen = _walked(lines(), lines("QM-164"))
    found = withdraw(pen, _asked("hear", spared={"QM-164": "read 27.5 V, by the sheet"}), by=BY)
    assert [(t.tail, t.entry, t.spared) for t in found.touched] == [
        ("QM-161", "161-A01", ""),
        ("QM-164", "", "read 27.5 V, by the sheet"),
    ]
    assert pen.journal.facts("QM-164").open == ()
    assert found.body.not_touched == (
        b.NotTouched(tail="QM-164", reason="read 27.5 V, by the sheet"),
    )
    assert "QM-164  not touched: read 27.5 V, by the sheet" in withdrawal(found)


def test_a_list_withdrawn_whole_takes_back_everything_it_proved() -> None:
    pen = _walked(lines())
    withdraw(pen, _asked(), by=BY)
    (dash,) = pen.journal.facts(TAIL).open
    assert dash.text.startswith("look again: the whole list; T-PRE 1 was withdrawn: ")
    assert dash.untested == ("TR", "rx", "tx")


def test_a_dash_that_waits_for_the_function_already_is_extended() -> None:
    pen = _walked(lines(until="off", tune=("s", "6")))
    assert [e.untested for e in pen.journal.facts(TAIL).open] == [("rx",)]
    found = withdraw(pen, _asked("hear"), by=BY)
    assert found.touched[0].entry == "161-A01, 161-A02"
    assert [e.untested for e in pen.journal.facts(TAIL).open] == [("rx",), ("step hear",)]


def test_a_finished_walk_of_the_mended_revision_closes_the_dash() -> None:
    pen = _walked(lines())
    withdraw(pen, _asked("hear"), by=BY)
    approve(pen, papers(listed=checklist(revision="2"))[2:], "DQ")
    walk(pen, Scripted([TAIL, "c", "c", *lines()[2:]]), by=IO)
    assert pen.journal.facts(TAIL).open == ()


def test_no_walk_begins_on_a_withdrawn_list_nor_on_the_one_before_it() -> None:
    pen = begun(MemoryJournal())
    approve(pen, papers(listed=checklist(revision="2"))[2:], "DQ")
    withdraw(pen, _asked("volts", revision="2"), by=BY)
    with pytest.raises(Refusal) as raised:
        walk(pen, Scripted([TAIL]), by=IO)
    assert raised.value.lines() == (
        "No adopted list is for fit T, which QM-161 carries.",
        "Rule: T-PRE 2 was withdrawn: limit was 29, is 28 V",
        "No walk was started.",
        "Adopt one: hardstand checklist adopt FOLDER",
    )
    approve(pen, papers()[2:], "DQ")
    assert walk(pen, Scripted(lines()), by=IO).plan.checklist.revision == "1"


def test_a_walk_under_way_is_told_when_it_is_gone_on_with() -> None:
    pen = _walked([*lines(until="shut"), "b", "1"])
    withdraw(pen, _asked("volts"), by=BY)
    said = Scripted.until_left(pen, [TAIL, "c"]).said
    assert "T-PRE 1 was withdrawn: limit was 29, is 28 V. Ask the lead before you go on." in said


def test_a_withdrawal_by_somebody_who_may_not_counts_and_says_so() -> None:
    """As another program could write it; nobody walks what may have been withdrawn."""
    pen, bt = founded(), b.By(doer="BT")
    (paper,) = papers()[2:]
    body = b.Withdrawn(
        id="T-PRE", revision="1", digest=body_of(paper).digest, reason="no good", by=bt
    )
    for who, told in (
        ("BT", "T-PRE 1 was withdrawn: no good (by BT, who may not withdraw it: ask the lead)"),
        ("ÅL", "T-PRE 1 was withdrawn: no good"),
    ):
        theirs = hand(pen, who, "2027-03-08T08:00-03:00")
        with pen.journal.write() as writing:
            write(with_key(theirs, writing.record(), ()), writing, (body,))
        with pytest.raises(Refusal) as raised:
            walk(hand(pen, "BT", "2027-03-08T09:00-03:00"), Scripted([TAIL]), by=bt)
        assert raised.value.rule == told
        assert (body_of(paper).digest in adopted_lists(pen.journal).doubted) == (who == "BT")


def test_whoever_may_withdraws_after_somebody_who_might_not() -> None:
    pen, bt = founded(), b.By(doer="BT")
    (paper,) = papers()[2:]
    body = b.Withdrawn(
        id="T-PRE", revision="1", digest=body_of(paper).digest, reason="no good", by=bt
    )
    theirs = hand(pen, "BT", "2027-03-08T08:00-03:00")
    with pen.journal.write() as writing:
        write(with_key(theirs, writing.record(), ()), writing, (body,))
    author = hand(pen, "ÅL", "2027-03-08T09:00-03:00")
    assert withdraw(author, _asked(), by=BY).body.reason == "limit was 29, is 28 V"
    with pytest.raises(Refusal, match=r"^T-PRE 1 was withdrawn already: limit was 29, is 28 V$"):
        withdraw(author, _asked(), by=BY)


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (
            _asked(reason=" "),
            ("A withdrawal says why.", "--reason TEXT; --look first shows its reach."),
        ),
        (
            _asked("heer"),
            ("T-PRE 1 has no step 'heer'.", "`hardstand checklist show T-PRE` lists the steps."),
        ),
        (
            _asked("hear", spared={"QM-116": "x"}),
            ("No walk on T-PRE 1 passed QM-116.", "Touched: QM-161."),
        ),
        (
            _asked("hear", spared={"QM-161": ""}),
            ("Nothing says why QM-161 is not touched.", "--not-touched TAIL=WHY"),
        ),
    ],
)
def test_what_does_not_read_is_refused_and_withdraws_nothing(
    asked: Asked, said: tuple[str, ...]
) -> None:
    pen = _walked(lines())
    with pytest.raises(Usage) as raised:
        withdraw(pen, asked, by=BY)
    assert raised.value.lines() == said
    assert list(pen.journal.entries(kind="checklist.withdrawn")) == []


def test_a_revision_nobody_adopted_is_not_there_and_one_is_withdrawn_once() -> None:
    pen = begun(MemoryJournal())
    with pytest.raises(NotThere) as missing:
        withdraw(pen, _asked(revision="7"), by=BY)
    assert missing.value.lines() == (
        "No list T-PRE 7 was adopted into this record.", "Revisions of it here: 1.",
    )  # fmt: skip
    withdraw(pen, _asked(), by=BY)
    with pytest.raises(Refusal) as again:
        withdraw(pen, _asked(), by=BY)
    assert again.value.lines() == (
        "T-PRE 1 was withdrawn already: limit was 29, is 28 V", "Nothing was written.",
    )  # fmt: skip


def test_the_command_withdraws_and_prints_what_it_touched(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    pen = on_disk(tmp_path)
    Scripted.until_left(pen, lines())
    record = tmp_path / "record.db"
    words = ("checklist", "withdraw", "t-pre", "1", "--step", "hear", "--reason", "wrong", "--by")
    assert command("--record", record, *words, "ål") == 0
    assert capsys.readouterr().out.splitlines()[:2] == [
        "T-PRE 1 is withdrawn: wrong",
        "QM-161  to be looked at again: 161-A01",
    ]
    (line,) = opened(record).entries(kind="checklist.withdrawn")
    body = decode(line)
    assert isinstance(body, b.Withdrawn)
    assert (line.author, body.steps, body.reason) == ("ÅL", ("hear",), "wrong")
    assert command("--record", record, "checklist", "show", "T-PRE", "--paper") == 10
    assert capsys.readouterr().err == (
        "T-PRE 1 was withdrawn: wrong\nRule: a withdrawn list is not walked, on paper either\n"
        "Nothing was printed.\n"
    )


def test_what_it_would_touch_is_shown_first_and_writes_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    pen = on_disk(tmp_path)
    Scripted.until_left(pen, lines())
    record = tmp_path / "record.db"
    words = ("--record", record, "checklist", "withdraw", "t-pre", "1", "--look")
    assert command(*words, "--step", "hear") == 0
    told = capsys.readouterr().out.splitlines()
    assert told[0] == "T-PRE 1 passed something on these; nothing is written yet."
    assert told[1] == "QM-161  would get a dash"
    assert told[2].startswith("  walk A1, finished, ")
    assert told[3] == "An aircraft it does not concern is named with --not-touched TAIL=WHY."
    assert command(*words, "--step", "wing") == 0
    assert capsys.readouterr().out == "T-PRE 1 passed nothing on any aircraft.\n"
    assert not list(opened(record).entries(kind="checklist.withdrawn"))
    assert command(*words, "--step", "cough") == 2


def test_a_withdrawn_list_is_shown_as_withdrawn(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    pen = on_disk(tmp_path)
    withdraw(pen, _asked(), by=BY)
    assert command("--record", tmp_path / "record.db", "checklist", "show") == 0
    last = capsys.readouterr().out.splitlines()[-1]
    assert last.startswith("list T-PRE 1 digest ")
    assert last.endswith(", WITHDRAWN: limit was 29, is 28 V")
    assert command("--record", tmp_path / "record.db", "checklist", "show", "t-pre") == 0
    assert capsys.readouterr().out.splitlines()[1] == "WITHDRAWN: limit was 29, is 28 V"


def test_a_walk_that_passed_something_tells_when_its_last_line_was() -> None:
    pen = _walked(lines())
    (touched,) = withdraw(pen, _asked("hear"), by=BY).touched
    last = list(pen.journal.entries(walk="A1"))[-1]
    assert touched.walks == (Passed(walk="A1", by="IO", at=last.at, outcome="finished"),)
