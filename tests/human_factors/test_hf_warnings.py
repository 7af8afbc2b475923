"""Human-factors WCN: few perils, read whole, before their step; gates passed on evidence."""

from __future__ import annotations

import itertools
import re
import textwrap
from collections.abc import Callable
from pathlib import Path

import pytest

from builders import TAIL, Watch, begun
from hardstand.domain.bodies import StepAnswered
from hardstand.domain.checklist import Step, Zone
from hardstand.domain.codec import decode
from hardstand.domain.quantity import Instant, seconds_between
from hardstand.flows.pen import Pen
from hardstand.flows.questions import RESCUE
from hardstand.views.themes import THEMES
from hardstand.views.walk_screen import lines as screen
from hardstand.views.walk_screen import pages
from human_factors.at_terminal import resumed
from human_factors.watched import BOTH, Whole, asked, is_step, planned, watched
from memory import MemoryJournal
from scenarios.stage import answers, bodies, hardstand, step_of
from scripted import Scripted

Fresh = Callable[[], Pen]
PERILS = {"warning": "WARNING (people)", "caution": "CAUTION (equipment)", "note": "NOTE"}


@pytest.mark.hf("WCN-01", "WCN-05")
def test_each_peril_says_its_word_what_is_at_risk_and_its_three_parts(whole: Whole) -> None:
    plan = whole.plan
    told = 0
    for step in plan.steps:
        question = asked(whole.seen, plan.checklist.number(step.id))
        text = " ".join(" ".join(screen(question, 80, drawn=False)).split())
        for kind, perils in (("warning", step.warning), ("caution", step.caution)):
            for peril in perils:
                parts = (peril.hazard, peril.consequence, peril.avoid)
                assert all(part.strip() for part in parts)
                said = ". ".join(" ".join(p.split()).rstrip(".") for p in parts)
                assert f"{PERILS[kind]} — {plan.fill(said)}." in text, step.id
                told += 1
    assert told >= 5


@pytest.mark.hf("WCN-02")
def test_perils_come_first_in_their_step_warning_caution_note(whole: Whole) -> None:
    order = ("warning", "caution", "note", "do")
    for found in whole.seen.exchanges:
        if not is_step(found):
            continue
        kinds = [b.kind for b in found.question.blocks if b.kind in order]
        assert kinds == sorted(kinds, key=order.index), found.text
        for columns, drawn in itertools.product((40, 80), (True, False)):
            text = "\n".join(screen(found.question, columns, drawn=drawn))
            number = step_of(found.question)
            for word in PERILS.values():
                places = [m.start() for m in re.finditer(re.escape(f"{word} — "), text)]
                assert all(place < text.index(f"{number}  ") for place in places)


@pytest.mark.hf("WCN-06")
@pytest.mark.parametrize("tail", BOTH)
def test_perils_are_a_budget_in_the_shipped_lists(fresh: Fresh, tail: str) -> None:
    listed = planned(fresh(), tail).checklist
    warned = [s for s in listed.steps if s.warning]
    assert len(warned) * 4 <= len(listed.steps)
    assert max(len(s.warning) for s in listed.steps) <= 2
    for zone in listed.zones:
        inside = [*zone.warning, *(w for s in listed.steps if s.zone == zone.id for w in s.warning)]
        assert len(inside) == len(set(inside)), zone.id


@pytest.mark.hf("WCN-07")
@pytest.mark.parametrize("tail", BOTH)
@pytest.mark.parametrize("bare", [["o", ""], ["o", "  "], ["c"], ["y"], [""]])
def test_no_gate_is_passed_without_words(fresh: Fresh, tail: str, bare: list[str]) -> None:
    for gate in (s for s in planned(fresh(), tail).steps if s.kind == "gate"):
        pen = fresh()
        watched(pen, tail, until=gate.id, then=bare)
        assert gate.id not in {s for s, _, _ in answers(pen.journal, tail)}
        assert gate.evidence


@pytest.mark.hf("WCN-07")
def test_what_lets_a_gate_be_passed_is_kept(whole: Whole) -> None:
    gates = {s.id for s in whole.plan.steps if s.kind == "gate"}
    given = [a for a in bodies(whole.pen.journal, "step.answered") if a.step in gates]
    assert {a.step for a in given} == gates
    assert all(len(a.evidence) > 5 for a in given)


@pytest.mark.hf("WCN-08")
@pytest.mark.parametrize("tail", BOTH)
def test_nobody_transmits_on_a_gate_passed_over_ten_minutes_ago(fresh: Fresh, tail: str) -> None:
    times: dict[int, int] = {}
    for pace in (1, 30):
        pen = fresh()
        assert isinstance(pen.clock, Watch)
        pen.clock.step = pace
        assert watched(pen, tail).state
        calls = {s.id for s in planned(pen, tail).steps if s.kind == "transmit"}
        passed, before, count = Instant(""), Instant(""), 0
        for entry in pen.journal.entries(kind="step.answered"):
            given = decode(entry)
            assert isinstance(given, StepAnswered)
            if given.step == "op-gate":
                passed, count = entry.at, count + 1
            if given.step in calls and given.answer == "OK":
                assert seconds_between(passed, before) <= 600 + 4 * pace, given.step
            before = entry.at
        times[pace] = count
    assert times[1] == 1, "a walk at a good pace is asked once"
    assert times[30] > 1


@pytest.mark.hf("WCN-08")
@pytest.mark.parametrize("tail", BOTH)
def test_a_gate_passed_before_a_break_is_passed_again_after_it(fresh: Fresh, tail: str) -> None:
    pen = fresh()
    plan = planned(pen, tail)
    call = next(s for s in plan.steps if s.kind == "transmit")
    watched(pen, tail, until=call.id)
    watched(pen, tail, until=plan.steps[plan.steps.index(call) + 1].id)
    gates = [a for a in bodies(pen.journal, "step.answered") if a.step == "op-gate"]
    assert len(gates) == 2
    assert gates[-1].evidence


@pytest.mark.hf("WCN-09", "WCN-14")
@pytest.mark.parametrize("tail", BOTH)
def test_a_no_at_any_gate_stops_the_walk_and_leads_to_shut_down(fresh: Fresh, tail: str) -> None:
    plan = planned(fresh(), tail)
    zones = [z.id for z in plan.checklist.zones]
    for gate in (s for s in plan.steps if s.kind == "gate"):
        pen = fresh()
        seen = watched(pen, tail, {gate.id: ["f", "fuel truck alongside"]})
        assert seen.state is not None
        assert seen.state.outcome == "finished", "there is a way to the end"
        given = {s: a for s, a, _ in answers(pen.journal, tail)}
        behind = [s for s in plan.steps if gate.id in s.after or s.kind == "transmit"]
        assert {given[s.id] for s in behind} == {"SKIPPED"}
        passed = plan.steps[plan.steps.index(gate) + 1 :]
        kept = [s for s in passed if given[s.id] != "SKIPPED" and s.zone not in zones[-2:]]
        home = {name: item.home for name, item in plan.fit.items.items()}
        live = [s for s in kept if {**home, **(s.sets or {})} != home]
        assert [s.id for s in live] == [], "nothing is switched on or opened after a no"
        assert pen.journal.facts(tail).open
        assert not pen.journal.facts(tail).due_home


@pytest.mark.hf("WCN-10")
def test_perils_read_the_same_in_every_theme_width_and_mode(whole: Whole) -> None:
    for found in whole.seen.exchanges:
        perils = [b for b in found.question.blocks if b.kind in {"warning", "caution"}]
        for columns, drawn, theme in itertools.product((40, 80), (True, False), THEMES.values()):
            for page in pages(found.question, columns, 20) if perils else ():
                told = "\n".join(screen(page, columns, drawn=drawn, theme=theme))
                plain = " ".join(re.sub(r"\x1b\[[0-9;]*m", "", told).split())
                for block in (b for b in page.blocks if b in perils):
                    assert f"{PERILS[block.kind]} — {' '.join(block.text.split())}" in plain


@pytest.mark.hf("WCN-10")
@pytest.mark.parametrize(("tail", "listed"), [("QM-107", "H-PREFLIGHT"), ("QM-161", "V-PREFLIGHT")])
def test_perils_read_the_same_on_paper(
    fresh: Fresh, quennock: Path, tail: str, listed: str
) -> None:
    printed = hardstand(quennock, "checklist", "show", listed, "--paper", "--tail", tail).out
    paper = " ".join(printed.split())
    plan = planned(fresh(), tail)
    places: list[Zone | Step] = [*plan.checklist.zones, *plan.steps]
    for place in places:
        for peril in (*place.warning, *place.caution):
            for part in (peril.hazard, peril.consequence, peril.avoid):
                assert plan.fill(" ".join(part.split()).rstrip(".")) in paper, place.id


@pytest.mark.hf("WCN-12")
@pytest.mark.parametrize(("columns", "rows"), [(40, 20), (80, 24)])
def test_the_rescue_card_is_whole_on_the_screen_after_one_key(
    tmp_path: Path, columns: int, rows: int
) -> None:
    with resumed(tmp_path, at="plugs", columns=columns, rows=rows) as seen:
        seen.press("r").shows("6. See a doctor even if you feel well.")
        for line in RESCUE:
            assert " ".join(line.split()) in seen.words
        seen.press("r").shows("Do plugs. Place")


@pytest.mark.hf("WCN-12")
def test_the_rescue_card_is_no_longer_than_a_card_may_be() -> None:
    assert len(RESCUE) <= 12
    wrapped = [line for text in RESCUE for line in textwrap.wrap(text, 60)]
    assert len(wrapped) <= 12


@pytest.mark.hf("WCN-12")
def test_every_question_of_a_walk_takes_the_rescue_key(whole: Whole) -> None:
    for found in whole.seen.exchanges:
        assert "R" in found.question.keys or found.question.typed == "text", found.text


@pytest.mark.hf("WCN-12")
def test_the_rescue_card_answers_nothing() -> None:
    pen = begun(MemoryJournal())
    Scripted.until_left(pen, [TAIL, "r", "c", "r", "r", "c", "c", "r", "r"])
    assert answers(pen.journal, TAIL) == []
