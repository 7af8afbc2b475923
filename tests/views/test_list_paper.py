"""The whole list as paper: the numbers of the screen, a box for each answer, limits last."""

from __future__ import annotations

from pathlib import Path

import pytest

from builders import TAIL, begun, checklist, on_disk, papers, step, steps
from command import command
from hardstand.domain.checklist import Peril, Zone
from hardstand.errors import NotThere
from hardstand.flows.adopting import adopt
from hardstand.flows.printing import sheet
from hardstand.views.list_paper import WIDTH, paper
from memory import MemoryJournal


def _paper(tail: str = "") -> list[str]:
    return paper(sheet(begun(MemoryJournal()).journal, "t-pre", tail)).split("\n")


def test_every_step_stands_once_under_its_number_with_its_id() -> None:
    told = _paper()
    listed = checklist()
    for one in listed.steps:
        heads = [x for x in told if x.startswith(f"{listed.number(one.id)}  ")]
        assert len(heads) == 1
        assert f"[{one.id}]" in heads[0]


def test_a_box_stands_for_every_answer_and_none_is_ticked() -> None:
    text = "\n".join(_paper())
    count = len(steps())
    for answer in ("FAULT", "SKIPPED", "NOT FITTED", "UNSURE"):
        assert text.count(f"[ ] {answer} ") + text.count(f"[ ] {answer}\n") == count
    assert "[x]" not in text.lower()
    assert "[ ] SHUT  [ ] OPEN" in text
    assert "____________ V" in text
    assert "____________ things" in text
    assert text.count("[ ] OK") == sum(s.kind not in {"state", "reading", "count"} for s in steps())


def test_the_limits_and_what_must_be_found_stand_on_the_last_page_only() -> None:
    told = _paper()
    last = told.index("WHAT MUST BE FOUND — read this after you have written your answers")
    assert not any("22.5" in line for line in told[:last])
    assert "  3.02  22.5 to 29 V" in told[last:]
    assert "  1.02  OFF" in told[last:]
    assert "  4.02  as many as were brought" in told[last:]


def test_no_line_is_wider_than_the_paper() -> None:
    assert max(len(line) for line in _paper(TAIL)) <= WIDTH


def test_with_a_tail_the_places_are_filled_and_what_is_not_for_it_says_so() -> None:
    told = _paper("QM-161")
    assert "Tail as painted QM-161   Date ____________   From ______ to ______" in told
    assert "  [ ] moved  [ ] SHUT   panel 7" in told
    assert "3.06  not for this aircraft  (wing)" in told
    high = _paper("QM-164")
    assert "  [ ] moved  [ ] SHUT   panel 9" in high
    assert any(line.startswith("3.06  Do wing.") for line in high)


def test_without_a_tail_marks_are_left_for_the_pencil_and_conditions_are_written() -> None:
    told = _paper()
    assert "  [ ] moved  [ ] SHUT   panel ______" in told
    assert any("(only where high_wing)" in line for line in told)
    assert not any("{" in line for line in told)


def test_warnings_stand_before_their_step_and_at_the_head_of_their_zone() -> None:
    peril = Peril(hazard="It bites", consequence="It can kill", avoid="Keep off")
    zone = Zone(id="hot", title="hot bay", warning=(peril,), note=("Look first.",))
    listed = checklist(
        listed=(step("touch", "hot", warning=(peril,)),), zones=(zone,), revision="2"
    )
    pen = begun(MemoryJournal())
    adopt(pen, papers(listed=listed)[2:])
    told = paper(sheet(pen.journal, "T-PRE")).split("\n")
    said = "WARNING (people) — It bites. It can kill. Keep off."
    head, place = told.index("1  HOT BAY"), next(i for i, x in enumerate(told) if "[touch]" in x)
    assert told[head + 1] == said
    assert told[place - 1] == said
    assert "NOTE — Look first." in told[head:place]


def test_where_a_fault_leads_and_how_long_a_gate_holds_are_written() -> None:
    """The screen does both by itself; paper has to say them."""
    zones = (Zone(id="pit", title="pit", ask_tail=True), Zone(id="bay", title="bay"),
             Zone(id="log", title="log"))  # fmt: skip
    asked = step("ask", "pit", "gate", evidence="who", stale_after_min=10, if_fault="call")
    listed = checklist(
        listed=(
            asked, step("look", "pit"), step("press", "pit", "transmit"),
            step("call", "pit", if_fault="end"), step("rest", "pit"), step("turn", "bay"),
            step("write", "log"),
        ),
        zones=zones, revision="2",
    )  # fmt: skip
    pen = begun(MemoryJournal())
    adopt(pen, papers(listed=listed)[2:])
    told = [line.strip() for line in paper(sheet(pen.journal, "T-PRE")).split("\n")]
    assert told[told.index("1  PIT") + 1] == "Tail as painted, read here again ____________"
    gate = next(i for i, line in enumerate(told) if "[ask]" in line)
    who = next(i for i in range(gate, len(told)) if told[i].startswith("who: ___"))
    assert told[who + 1 : who + 3] == [
        "Good for 10 min: ask again after that, and after a break.",
        "After FAULT: go on at 1.04; 1.02 to 1.03 are SKIPPED.",
    ]
    assert [line for line in told if "After FAULT" in line][1:] == [
        "After FAULT: go on at 2.01; 1.05 is SKIPPED."
    ]


def test_the_foot_says_what_it_is_and_what_it_is_not() -> None:
    text = " ".join(" ".join(_paper()).split())
    assert (
        "A record of checks answered by the people named. Not a release to service, not an "
        "approval, not legal advice. This walk records checks. It does not release the aircraft. "
        "Reference: tiny manual, revision 4; checklist T-PRE, 1, "
    ) in text
    assert "1. Cut the power." in text


def test_an_unknown_tail_prints_nothing() -> None:
    with pytest.raises(NotThere) as raised:
        _paper("QM-999")
    assert raised.value.lines() == (
        "There is no airframe 'QM-999' in this record.", "`hardstand fleet show` lists the tails.",
    )  # fmt: skip


def test_the_command_prints_it_and_needs_a_name(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    pen = on_disk(tmp_path)
    words = ("--record", tmp_path / "record.db", "checklist", "show")
    assert command(*words, "T-PRE", "--paper", "--tail", "QM-161") == 0
    assert capsys.readouterr().out == paper(sheet(pen.journal, "T-PRE", "QM-161")) + "\n"
    assert command(*words, "--paper") == 2
    assert capsys.readouterr().err == (
        "--paper prints one list.\nhardstand checklist show ID --paper\n"
    )
