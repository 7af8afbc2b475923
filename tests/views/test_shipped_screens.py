"""UI-13, WCN-03: every step of both shipped lists fits its screen, hazards first."""

from __future__ import annotations

import textwrap
from dataclasses import replace
from pathlib import Path

import pytest

from hardstand.domain import bodies as b
from hardstand.domain.asking import Ask, Block
from hardstand.domain.checklist import Checklist, Step
from hardstand.domain.facts import AirframeFacts
from hardstand.domain.quantity import Instant, zone
from hardstand.domain.walk import Given, Plan, WalkState, begin
from hardstand.flows.checking import check_files
from hardstand.flows.questions import help_ask, step_ask
from hardstand.views.walk_screen import lines, pages

TOP = Path(__file__).parents[2]
FILES = [*sorted(TOP.glob("checklists/*/*.yaml")), TOP / "demo/quennock/fleet.yaml"]
CHECKED = check_files([(str(f), f.read_bytes()) for f in FILES])
LISTS = {one.id: one for one in CHECKED.checklists}
HERE = zone("-03:00")


def plan(one: Checklist) -> tuple[Plan, AirframeFacts]:
    fleet = CHECKED.fleet
    assert fleet is not None
    tail = next(t for t, a in fleet.airframes.items() if a.fits[-1].fit == one.fit)
    airframe = fleet.airframes[tail]
    kind = fleet.types[airframe.type]
    facts = AirframeFacts(tail=tail, type=airframe.type, fits=airframe.fits, short=tail[-3:])
    made = Plan(
        checklist=one, fit=CHECKED.fits[one.fit], digest="", places=kind.places,
        facts=frozenset(kind.facts),
    )  # fmt: skip
    return made, facts


def answered(state: WalkState, step: Step) -> WalkState:
    body = b.StepAnswered(step=step.id, answer="OK", by=b.By(doer="YB"))
    at = Instant("2027-03-08T08:00:00Z")
    given = Given(body=body, digest=step.id, ref="C-1", at=at, author="YB")
    return replace(state, given={**state.given, step.id: given})


def screens(one: Checklist) -> list[tuple[Step, Ask, Ask]]:
    """Each step's question and its help, as the walk puts them, all items where they must be."""
    made, facts = plan(one)
    state = begin(made, walk="C1", airframe=facts.tail, items={})
    found = []
    for step in made.steps:
        ready = replace(state, items={**state.items, **(step.must_be or {})})
        question = step_ask(ready, facts, step, HERE)
        found.append((step, question, help_ask(ready, facts, step, HERE)))
        state = answered(state, step)
    return found


@pytest.mark.parametrize("name", LISTS)
def test_ui_13_each_step_with_its_cautions_is_one_screen_at_80x24(name: str) -> None:
    scrolled = {
        step.id: len(lines(ask, 80, drawn=True))
        for step, ask, _ in screens(LISTS[name])
        if len(pages(ask, 80, 23)) > 1
    }
    assert not scrolled


@pytest.mark.parametrize("name", LISTS)
@pytest.mark.parametrize(("columns", "rows"), [(40, 20), (80, 24), (132, 50)])
def test_wcn_03_no_screen_is_higher_than_the_terminal(name: str, columns: int, rows: int) -> None:
    too_high = {
        step.id
        for step, ask, help_ in screens(LISTS[name])
        for question in (ask, help_)
        for page in pages(question, columns, room(question, columns, rows))
        if len(lines(page, columns, drawn=True)) > room(question, columns, rows)
    }
    assert not too_high


def room(question: Ask, columns: int, rows: int) -> int:
    """Rows left beside the prompt, as the terminal prompter counts them."""
    return rows - max(1, len(textwrap.wrap(question.prompt, columns)))


@pytest.mark.parametrize("name", LISTS)
@pytest.mark.parametrize(("columns", "rows"), [(40, 20), (80, 24)])
def test_wcn_03_every_warning_is_read_whole_before_the_step(
    name: str, columns: int, rows: int
) -> None:
    for step, ask, _ in screens(LISTS[name]):
        shown = pages(ask, columns, room(ask, columns, rows))
        hazards = [b.text for b in ask.blocks if b.kind in {"warning", "caution"}]
        whole = [b.text for page in shown for b in page.blocks]
        assert [text for text in hazards if text not in whole] == [], step.id
        assert all(page.keys == "CBR" for page in shown[:-1]), step.id
        kinds = [b.kind for b in shown[-1].blocks]
        assert kinds.index("do") >= max(
            (i for i, kind in enumerate(kinds) if kind in {"warning", "caution"}), default=-1
        )


@pytest.mark.parametrize("name", LISTS)
@pytest.mark.parametrize("rows", [20, 19, 18])
@pytest.mark.parametrize("battery", ["", "BATTERY on 21 min today, about 2.0 of 9.2 Ah"])
def test_ans_15_what_bad_looks_like_and_notes_are_read_at_each_step_on_a_low_screen(
    name: str, rows: int, battery: str
) -> None:
    beside = 0
    for step, ask, _ in screens(LISTS[name]):
        assert ask.strip is not None
        found = Block(kind="detail", text="Last found here: 2 Mar, QM-110: it was so.", stays=True)
        asked = replace(ask, strip=replace(ask.strip, battery=battery), blocks=(*ask.blocks, found))
        *first, last = pages(asked, 40, room(asked, 40, rows))
        read = [b for page in (*first, last) for b in page.blocks]
        kept = [b for b in ask.blocks if b.kind == "note" or b.text.startswith("Bad: ")]
        assert [b.text for b in (*kept, found) if b not in read] == [], step.id
        for page in first:
            alone = any(b.kind == "detail" for b in page.blocks)
            assert not alone or "do" in {b.kind for p in first for b in p.blocks}, step.id
        beside += any(b.text.startswith("Bad: ") for b in last.blocks)
    assert beside > len(LISTS[name].steps) * 3 // 4, "most have it beside the step itself"


@pytest.mark.parametrize("name", LISTS)
def test_plc_01_every_step_shows_the_place_strip(name: str) -> None:
    for step, ask, _ in screens(LISTS[name]):
        for columns in (40, 80):
            text = "\n".join(lines(ask, columns, drawn=False))
            for part in ("LAST  ", "NEXT  ", "NOT PUT BACK: ", "SKIPPED: ", "zone "):
                assert part in text, (step.id, part)


@pytest.mark.parametrize("name", LISTS)
def test_key_08_a_walk_confirms_at_most_six_answers(name: str) -> None:
    assert len([s for s in LISTS[name].steps if s.critical]) <= 6


@pytest.mark.parametrize("name", LISTS)
def test_ans_14_where_and_what_to_touch_stay_on_the_lowest_screen(name: str) -> None:
    for step, ask, _ in screens(LISTS[name]):
        where = next(b for b in ask.blocks if b.kind == "detail")
        assert where in pages(ask, 40, room(ask, 40, 20))[-1].blocks, step.id


def test_plc_01_the_last_answer_is_told_whole_at_40_columns() -> None:
    _, ask, _ = screens(LISTS["V-PREFLIGHT"])[4]
    assert ask.strip is not None
    long = "1.03 Look at the kind of radio antenna — recorded STUB MAST FAULT 04:51 IO"
    told = lines(replace(ask, strip=replace(ask.strip, last=long)), 40, drawn=False)
    at = next(n for n, line in enumerate(told) if line.startswith("LAST  "))
    whole = " ".join(" ".join(told[at : at + 2]).split())
    assert "recorded STUB MAST FAULT 04:51 IO" in whole
    assert all(len(line) <= 40 for line in told)


def test_wcn_12_where_words_are_typed_the_screen_says_how_to_leave_and_to_help() -> None:
    _, ask, _ = screens(LISTS["V-PREFLIGHT"])[0]
    words = Ask(blocks=(), typed="text", prompt="Why, in words:", strip=ask.strip)
    assert lines(words, 80, drawn=True)[-1] == "Esc, then: B break, R rescue card."
    assert "Esc" not in "\n".join(lines(words, 80, drawn=False)), "a pipe has no Esc"


BATTERY = "BATTERY on 21 min today, about 2.0 of 9.2 Ah"
HAZARDS = {"warning", "caution"}


@pytest.mark.parametrize("name", LISTS)
@pytest.mark.parametrize("battery", ["", BATTERY], ids=["", "battery"])
@pytest.mark.parametrize("said", range(6))
def test_wcn_03_no_low_screen_has_the_short_form_of_a_warning_and_no_step(
    name: str, battery: str, said: int
) -> None:
    for step, ask, _ in screens(LISTS[name]):
        assert ask.strip is not None
        question = replace(ask, strip=replace(ask.strip, battery=battery))
        *first, last = pages(question, 40, room(ask, 40, 20) - said)
        assert {b for page in first for b in page.blocks} <= {*ask.blocks}, step.id
        hazards = [b for b in ask.blocks if b.kind in HAZARDS]
        if said <= 2:
            assert len([b for b in last.blocks if b.kind in HAZARDS]) == len(hazards), step.id
