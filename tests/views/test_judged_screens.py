"""Steps that are judged, asked again under what was just said: still one screen at 40x20."""

from __future__ import annotations

import textwrap
from dataclasses import replace
from pathlib import Path

import pytest

from hardstand.domain import bodies as b
from hardstand.domain import reporting
from hardstand.domain.asking import Ask
from hardstand.domain.checklist import Checklist, Step
from hardstand.domain.defects import Refused
from hardstand.domain.facts import AirframeFacts
from hardstand.domain.measuring import settle
from hardstand.domain.quantity import Instant, zone
from hardstand.domain.settled import Settled
from hardstand.domain.walk import Given, Plan, WalkState, begin
from hardstand.flows import giving
from hardstand.flows import questions as q
from hardstand.flows.checking import check_files
from hardstand.flows.questions import step_ask
from hardstand.views.walk_screen import lines, pages

TOP = Path(__file__).parents[2]
FILES = [*sorted(TOP.glob("checklists/*/*.yaml")), TOP / "demo/quennock/fleet.yaml"]
CHECKED = check_files([(str(f), f.read_bytes()) for f in FILES])
JUDGED = [(one, s) for one in CHECKED.checklists for s in one.steps if s.judge]
SIZES = [(40, 20), (80, 24)]

each_judged = pytest.mark.parametrize(
    ("one", "step"), JUDGED, ids=lambda x: x.id if isinstance(x, Step) else ""
)
each_size = pytest.mark.parametrize(("columns", "rows"), SIZES)
REPORTS = ("3 | A | S | weak", "not given | A | S | loud", "no answer |  | S |", "5 | A | S | hum")


def begun(one: Checklist, *steps: str) -> tuple[WalkState, AirframeFacts]:
    """A walk of a shipped list at an airframe that carries its fit, these steps answered OK."""
    fleet = CHECKED.fleet
    assert fleet is not None
    tail = next(t for t, a in fleet.airframes.items() if a.fits[-1].fit == one.fit)
    airframe = fleet.airframes[tail]
    kind = fleet.types[airframe.type]
    facts = AirframeFacts(tail=tail, type=airframe.type, fits=airframe.fits, short=tail[-3:])
    plan = Plan(
        checklist=one, fit=CHECKED.fits[one.fit], digest="", places=kind.places,
        facts=frozenset(kind.facts),
    )  # fmt: skip
    state = begin(plan, walk="C1", airframe=tail, items={})
    at = Instant("2027-03-08T08:00:00Z")
    given = {
        name: Given(
            body=b.StepAnswered(step=name, answer="OK", by=b.By(doer="YB")), digest=name,
            ref="C-1", at=at, author="YB",
        )
        for name in steps
    }  # fmt: skip
    return replace(state, given=given), facts


def question(one: Checklist, step: Step, earlier: tuple[str, ...] = ()) -> Ask:
    """The question of a step, everything before it done."""
    state, facts = begun(one, *step.after)
    ready = replace(state, items={**state.items, **(step.must_be or {})})
    return step_ask(ready, facts, step, zone("-03:00"), earlier)


def room(ask: Ask, said: str, columns: int, rows: int) -> int:
    """Rows left under what was said and beside the prompt, as the terminal counts them."""
    above = len(textwrap.wrap(said, columns))
    return rows - above - max(1, len(textwrap.wrap(ask.prompt, columns)))


def told(one: Checklist, step: Step) -> list[tuple[str, tuple[str, ...]]]:
    """What may be said at a step, with what was given there before."""
    if giving.is_call(step):
        state, _ = begun(one)
        found = [reporting.settle(state, step, (line,), by_ear=False) for line in REPORTS]
        return [(_words(x), (line,)) for x, line in zip(found, REPORTS, strict=True)]
    if step.kind != "reading":
        return [("What was on the air changed: take the other two positions again.", ())]
    assert step.possible is not None
    typed = (f"{step.possible.low}", (step.judge or {})["true_khz"], "1", "12,5", "1000")
    return [(_words(settle(step, (text,)), step), (text,)) for text in typed]


def _words(found: Settled | Refused, step: Step | None = None) -> str:
    if isinstance(found, Refused):
        return f"{found.what}. {found.hint}"
    return giving.told(step, found) if step else ""


@each_judged
@each_size
def test_ui_13_what_was_said_leaves_the_next_screen_whole(
    one: Checklist, step: Step, columns: int, rows: int
) -> None:
    for said, earlier in told(one, step):
        ask = question(one, step, earlier)
        left = room(ask, said, columns, rows)
        for page in pages(ask, columns, left):
            assert len(lines(page, columns, drawn=True)) <= left, said


@each_size
def test_ui_13_the_questions_about_a_report_and_the_gear_fit(columns: int, rows: int) -> None:
    asks = [giving.readability_ask(), giving.words_ask()]
    asks += [giving.station_ask(one) for one in CHECKED.checklists]
    asks += [giving.channel_ask(s) for _, s in JUDGED if giving.is_call(s)]
    asks += [giving.gear_ask(c) for one in CHECKED.checklists for s in one.steps
             for c in s.causes if c.gear]  # fmt: skip
    for ask in asks:
        assert len(lines(ask, columns, drawn=True)) <= room(ask, "", columns, rows)


def test_ans_03_no_screen_of_a_reading_holds_a_digit_of_its_limit() -> None:
    for one, step in JUDGED:
        if step.kind != "reading":
            continue
        true, pct = ((step.judge or {})[key] for key in ("true_khz", "limit_pct"))
        text = "\n".join(lines(question(one, step), 80, drawn=False))
        assert f"{pct} %" not in text
        assert f"{pct} percent" not in text
        assert f"{float(true) * (1 - float(pct) / 100):g}" not in text


def test_m_09_no_choice_is_put_before_the_others_and_no_more_than_the_keys() -> None:
    for _, step in JUDGED:
        assert len(giving.picks(step)) <= 8
    heard = {giving.picks(s)[:4] for _, s in JUDGED if s.kind == "listen" and giving.picks(s)}
    assert heard == {("code and voice", "code alone", "voice alone", "nothing")}


def test_a_readability_is_told_as_it_is_said() -> None:
    """Source: ICAO Annex 10 volume II, 5.2.1.8.4, from memory: "readability five"."""
    one, step = next((c, s) for c, s in JUDGED if s.id == "op-call-1" and c.fit == "V")
    state, _ = begun(one, step.id)
    given = state.given[step.id]
    body = replace(given.body, value="5", unit="readability")
    told_ = q.told(state, replace(given, body=body), zone("-03:00"))
    assert told_ == "7.02 Call Tarrick Tower on CHANNEL 1 — recorded readability 5 OK 05:00 YB"
