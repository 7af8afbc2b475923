"""Human-factors LED: what was moved comes home, one thing at a time, each by its name."""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from dataclasses import replace

import pytest

from builders import TAIL, begun, checklist
from hardstand.domain import bodies as b
from hardstand.domain.checklist import COUNTED
from hardstand.domain.codec import decode
from hardstand.domain.facts import Line
from hardstand.flows.pen import Pen
from hardstand.views.walk_screen import pages
from human_factors.watched import BOTH, Whole, asked, is_step, planned, watched
from memory import MemoryJournal
from scenarios.stage import bodies
from scripted import Scripted

Fresh = Callable[[], Pen]
VERDICT = re.compile(
    r"\b(complete[d]?|success\w*|passed|all good|all clear|well done|ready|congrat\w*|finished)\b",
    re.IGNORECASE,
)
"""Words that tell somebody they are done."""


@pytest.mark.hf("LED-01")
def test_a_walk_makes_the_lines_its_list_declares_and_no_others(whole: Whole) -> None:
    plan, fit = whole.plan, whole.plan.fit
    now = {name: item.home for name, item in fit.items.items()}
    wanted = []
    for step in plan.steps:
        for item, to in (step.sets or {}).items():
            if to != now[item]:
                wanted.append((step.id, item, to if to != COUNTED else "9"))
                now[item] = wanted[-1][2]
    moved = bodies(whole.pen.journal, "ledger.moved")
    assert [(m.step, m.item, m.to) for m in moved] == wanted
    for move in moved:
        assert move.title == plan.fill(fit.items[move.item].title)
        assert move.home == fit.items[move.item].home
        assert move.by.doer == "IO"
    assert now == {name: item.home for name, item in fit.items.items()}


@pytest.mark.hf("LED-01")
def test_an_open_line_tells_item_state_time_person_and_the_way_home(fresh: Fresh) -> None:
    pen = fresh()
    left = watched(pen, "QM-161", until="comp-latches", then=["b", "1"])
    line = pen.journal.facts("QM-161").line("compartment_panel")
    assert isinstance(line, Line)
    assert (line.value, line.home, line.by, line.walk) == ("OPEN", "CLOSED", "IO", "A1")
    home = next(x for x in left.said.splitlines() if "radio compartment panel: OPEN to CLOSED" in x)
    assert re.search(r"8\.\d\d, panel R2", " ".join(left.said.split())), home


@pytest.mark.hf("LED-02")
def test_an_unplanned_line_takes_three_keys_and_a_few_words(fresh: Fresh) -> None:
    pen = fresh()
    then = ["a", "1", "panel L4, left of the tail wheel"]
    seen = watched(pen, "QM-161", until="comp-latches", then=then)
    last = [x for x in seen.exchanges if x.question.typed != "text"][-2:]
    assert [x.reply for x in last] == ["A", "1"], "two keys, then words and Enter"
    line = pen.journal.facts("QM-161").lines[-1]
    assert (line.title, line.kind) == ("panel L4, left of the tail wheel", "access")


@pytest.mark.hf("LED-03")
def test_no_stream_of_keys_finishes_with_a_line_open() -> None:
    for seed in range(60):
        dice = random.Random(seed)  # noqa: S311  the same lots each time, no secret
        pen = begun(MemoryJournal())
        keys = [dice.choice(["1", "1", "2", "o", "o", "c", "c", "9", "s", "3", "f", "", "u", "z"])
                for _ in range(120)]  # fmt: skip
        Scripted.until_left(pen, [TAIL, "c", "c", *keys])
        away: dict[str, str] = {}
        for entry in pen.journal.chains():
            if entry.kind == "ledger.moved":
                move = decode(entry)
                assert isinstance(move, b.LineMoved)
                away[move.item] = move.to
                if move.to == move.home:
                    del away[move.item]
            if entry.kind == "walk.closed" and b'"finished"' in entry.body:
                assert not away


@pytest.mark.hf("LED-03")
def test_with_a_line_open_the_close_offers_no_finish(fresh: Fresh) -> None:
    pen = fresh()
    last = planned(pen, "QM-161").steps[-1].id
    watched(pen, "QM-161", {"comp-latches": ["a", "1", "panel L4", "o"]}, until=last)
    seen = Scripted.until_left(pen, ["QM-161", "c", "o", "told MS", "2", "c", "c", "b", "1"])
    assert "Not FINISHED: 1 not put back: panel L4 recorded MOVED" in " ".join(seen.said.split())
    assert bodies(pen.journal, "walk.closed") == []


@pytest.mark.hf("LED-04")
def test_each_thing_is_brought_home_by_name_at_its_own_place(whole: Whole) -> None:
    plan, seen = whole.plan, whole.seen
    moved = bodies(whole.pen.journal, "ledger.moved")
    homes = [m for m in moved if m.to == m.home]
    assert {m.item for m in homes} == {m.item for m in moved}
    assert len({m.step for m in homes}) == len(homes), "one step, one thing"
    for move in homes:
        step = plan.checklist.step(move.step)
        told = " ".join(x.text for x in asked(seen, plan.checklist.number(step.id)).blocks)
        assert f"Place: {plan.fill(step.place)}." in told
    assert "everything closed" not in seen.words.lower()
    assert "all closed" not in seen.words.lower()


@pytest.mark.hf("LED-04")
def test_what_is_still_open_at_the_end_is_asked_one_by_one(fresh: Fresh) -> None:
    pen = fresh()
    odd = {"comp-latches": ["a", "1", "panel L4", "o"], "comp-plugs": ["a", "3", "plug P7", "o"]}
    last = planned(pen, "QM-161").steps[-1].id
    watched(pen, "QM-161", odd, until=last)
    seen = Scripted.until_left(pen, ["QM-161", "c", "o", "told MS", "1", "1"])
    looked = [q for q, _ in seen.asked if "What do you see now?" in q.prompt]
    texts = [q.blocks[-1].text for q in looked]
    assert len(texts) == 2
    assert {t.split(":")[0] for t in texts} == {"panel L4", "plug P7"}


@pytest.mark.hf("LED-05", "LED-09")
@pytest.mark.parametrize("tail", BOTH)
def test_a_tool_that_is_missing_opens_a_red_x_and_keeps_the_walk_open(
    fresh: Fresh, tail: str
) -> None:
    pen = fresh()
    plan = planned(pen, tail)
    step = next(s for s in plan.steps if (s.sets or {}).get("tools") == "0")
    after = plan.steps[plan.steps.index(step) + 1].id
    seen = watched(pen, tail, {step.id: ["8"]}, until=after)
    entry = pen.journal.facts(tail).open[-1]
    assert (entry.symbol, entry.step) == ("X", step.id)
    things = plan.fit.items["tools"].title
    assert entry.text == f"{step.on_fault.text}; 8 of 9 {things}"
    for number in {plan.checklist.number(s.id) for s in plan.steps if "tools" in (s.sets or {})}:
        told = " ".join(x.text for x in asked(seen, number).blocks)
        assert f"Count: {things}." in told, "asked by the name that the fit has for it"
        assert "9" not in told.replace(number, ""), "what was counted out is not told before"
    line = pen.journal.facts(tail).line("tools")
    assert line is not None
    assert "lead" in seen.words.lower(), "the lead is asked for"


@pytest.mark.hf("LED-05")
def test_a_fastener_too_few_opens_an_entry(fresh: Fresh) -> None:
    pen = fresh()
    watched(pen, "QM-161", {"close-fasteners": ["11"]}, until="close-tools")
    entry = pen.journal.facts("QM-161").open[-1]
    assert entry.step == "close-fasteners"
    assert entry.text.endswith("; 11 of 12 fasteners")


@pytest.mark.hf("LED-06")
@pytest.mark.parametrize("tail", BOTH)
def test_nothing_says_done_before_everything_is_home(fresh: Fresh, tail: str) -> None:
    pen = fresh()
    plan = planned(pen, tail)
    tested = max(n for n, s in enumerate(plan.steps) if s.kind == "transmit")
    assert watched(pen, tail, until=plan.steps[tested + 1].id)
    assert pen.journal.facts(tail).due_home, "the test is good and things are open"
    seen = watched(fresh(), tail)
    end = next(n for n, x in enumerate(seen.exchanges) if "looked round, FINISHED" in x.text)
    for found in seen.exchanges[:end]:
        strip = found.question.strip
        own = {t for s in plan.steps for t in VERDICT.findall(" ".join((s.do, s.good, s.bad)))}
        assert set(VERDICT.findall(found.text)) <= own, found.text
        if strip is not None and is_step(found) and strip.open_lines:
            assert f"NOT PUT BACK: {strip.open_lines}" in found.text


@pytest.mark.hf("LED-07", "LED-15")
def test_leaving_at_the_worst_moment_names_power_before_panels_and_a_tag(fresh: Fresh) -> None:
    pen = fresh()
    seen = watched(pen, "QM-107", until="close-emission", then=["b", "1"])
    card = next(x.text for x in seen.exchanges[::-1] if "is left at" in x.text)
    energy = [card.index(f"{name} switch: ") for name in ("EMISSION", "BATTERY", "POWER")]
    others = [card.index(name) for name in ("panel: OPEN to", "tools and loose things")]
    assert max(energy) < min(others)
    assert "Leave a tag that anyone can read" in card


@pytest.mark.hf("LED-08")
def test_lines_of_an_ended_walk_are_shown_before_the_first_step_of_the_next(fresh: Fresh) -> None:
    pen = fresh()
    watched(pen, "QM-161", until="comp-latches", then=["b", "4", "161"])
    assert bodies(pen.journal, "walk.closed")[-1].outcome == "left_unfinished"
    other = replace(pen, author="BT")
    seen = watched(other, "QM-161", until="log-entries")
    shown = [x.text for x in seen.exchanges if "What do you see now?" in x.text]
    assert any("radio compartment panel: recorded OPEN" in text for text in shown)


@pytest.mark.hf("LED-11")
@pytest.mark.parametrize("tail", BOTH)
def test_what_comes_home_is_answered_with_what_is_seen(fresh: Fresh, tail: str) -> None:
    """A tag apart: who takes it off has it in the hand."""
    plan = planned(fresh(), tail)
    items = plan.fit.items
    ticked = [
        step.id
        for step in plan.steps
        for item, to in (step.sets or {}).items()
        if to == items[item].home and items[item].kind != "tag"
        if step.kind not in {"state", "count"}
    ]
    assert ticked == []
    assert all(step.good.strip() for step in plan.steps)


@pytest.mark.hf("LED-12")
def test_no_list_can_leave_out_the_last_look_round() -> None:
    short = checklist(listed=(checklist().steps[-1],))
    pen = begun(MemoryJournal(), listed=short)
    seen = Scripted.until_left(pen, [TAIL, "c", "c", "o"])
    said = " ".join(seen.said.split())
    assert "Look round the aircraft once more: tools, rags, loose parts, panels, covers" in said
    assert bodies(pen.journal, "walk.closed") == []
    again = Scripted.until_left(pen, [TAIL, "c", "", "o", "c"])
    assert bodies(pen.journal, "walk.closed")[-1].outcome == "finished", again.said


@pytest.mark.parametrize("tail", BOTH)
def test_who_takes_a_tag_off_is_told_who_hung_it(fresh: Fresh, tail: str) -> None:
    """29 CFR 1910.147(e)(3), from memory: whoever put a tag on takes it off."""
    pen = fresh()
    off = next(s for s in planned(pen, tail).steps if (s.sets or {}).get("battery_tag") == "NONE")
    watched(pen, tail, until=off.id, then=["b", "1"])
    line = pen.journal.facts(tail).line("battery_tag")
    assert line is not None
    assert line.by == "IO"
    seen = watched(pen, tail, until=off.id, then=["h", "h"], by=b.By(doer="BT"))
    told = seen.at(off.do).text
    assert re.search(r"Hung by IO \d\d:\d\d, by the record: only IO takes it off\.", told)


@pytest.mark.parametrize("tail", BOTH)
def test_a_step_that_has_entries_read_says_how_many_and_its_help_shows_them(
    fresh: Fresh, tail: str
) -> None:
    """Found on a walk: "read each entry of this walk" came where no screen had them."""
    pen = fresh()
    plan = planned(pen, tail)
    looked = [s for s in plan.steps if s.kind == "look" and not s.critical][2:4]
    odd = {looked[0].id: ["f", "first words"], looked[1].id: ["f", "then others"]}
    before = watched(pen, tail, until="log-gate")
    assert "There is none." in asked(before, "1.01").blocks[-3].text
    seen = watched(pen, tail, odd, until="pap-entries", then=["h", "h", "o", "h", "h"])
    open_ = pen.journal.facts(tail).open
    for name in ("pap-entries", "pap-told"):
        number = plan.checklist.number(name)
        told = [x.question for x in seen.exchanges if x.text.find(f"{number} ") >= 0]
        assert any("H shows all 2." in block.text for q in told for block in q.blocks)
        shown = next(q for q in told if q.keys.startswith("HR"))
        lines = [block.text for block in shown.blocks if block.kind == "line"]
        assert [line.split()[0] for line in lines] == [e.number for e in open_]
        assert "first words" in lines[0]
        assert "then others" in lines[1]
        first = pages(shown, 40, 19)[0].blocks
        assert {b.text for b in shown.blocks if b.kind == "line"} <= {b.text for b in first}
