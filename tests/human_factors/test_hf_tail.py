"""Human-factors PLC-13: the right aircraft, typed from what is painted on it."""

from __future__ import annotations

import contextlib
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from builders import TAIL, checklist, on_disk
from hardstand.domain import bodies as b
from hardstand.domain.asking import Ask
from hardstand.domain.bodies import By
from hardstand.domain.codec import decode
from hardstand.errors import Interrupted
from hardstand.flows.pen import Pen
from hardstand.flows.starting import walk
from human_factors.at_terminal import ALONE, Held
from human_factors.watched import (
    BOTH,
    Watched,
    Whole,
    planned,
    watched,
)
from scenarios.stage import answers, bodies, plan_at, sit

Fresh = Callable[[], Pen]


@pytest.mark.hf("PLC-13")
def test_the_tail_is_typed_at_the_start_at_the_antenna_and_at_close_up(whole: Whole) -> None:
    seen = whole.seen
    asked = [x for x in seen.exchanges if "Type the whole tail" in x.text or "as painted" in x.text]
    where = [x.text for x in asked]
    assert len(where) == 3
    assert "antenna" in where[1]
    assert "close up" in where[2]
    assert all(not x.question.choices for x in asked), "a tail is typed, never picked"


@pytest.mark.hf("PLC-13")
def test_the_stop_at_a_wrong_tail_is_told_at_a_terminal_where_no_question_follows(
    tmp_path: Path,
) -> None:
    zones = [replace(z, ask_tail=z.id == "bay") for z in checklist().zones]
    pen = on_disk(tmp_path, demo=True, listed=checklist(zones=tuple(zones)))
    sit(pen, TAIL, until="gate")
    with Held(tmp_path / "record.db", ALONE, columns=40, rows=20) as seen:
        seen.shows("Type the whole tail").type(TAIL)
        seen.shows("Go on at").press("c").shows("Do gate.").press("o")
        seen.shows("who is near:").type("BT")
        for _ in range(2):
            seen.shows("Type the tail as painted here").type("QM-116")
        seen.shows("Stopped: this is not the aircraft of the walk.")
        assert any(row.startswith("Walk A1, QM-161") for row in seen.rows), "on a line of its own"


@pytest.mark.hf("PLC-13")
def test_a_second_wrong_tail_stops_the_walk_and_once_is_told(fresh: Fresh) -> None:
    pen = fresh()
    plan = planned(pen, "QM-161")
    zone = next(z.id for z in plan.checklist.zones if z.ask_tail)
    first = next(s.id for s in plan.steps if s.zone == zone)

    class Wrong(Watched):
        typed: tuple[str, ...] = ("QM-116", "qm116")

        def ask(self, question: Ask) -> str:
            if "as painted here" in question.prompt and self.typed:
                given, self.typed = self.typed[0], self.typed[1:]
                return given
            return super().ask(question)

    person = Wrong("QM-161", plan_at(pen, "QM-161"), {}, until="", then=())
    person.watch(pen, gone=False)
    left = walk(pen, person, by=By(doer="IO"))
    assert not left.outcome
    assert first not in {s for s, _, _ in answers(pen.journal, "QM-161")}
    refused = bodies(pen.journal, "walk.refused")
    assert [(r.planned, r.typed) for r in refused] == [("QM-161", "QM-116"), ("QM-161", "qm116")]
    assert isinstance(decode(list(pen.journal.chains())[-1]), b.WalkBroken)
    assert "Stopped: this is not the aircraft of the walk." in "\n".join(person.said)


@pytest.mark.hf("PLC-13")
def test_an_empty_line_is_no_wrong_tail_and_the_screen_does_not_tell_the_right_one(
    fresh: Fresh,
) -> None:
    pen = fresh()

    class Slipping(Watched):
        typed: tuple[str, ...] = ("", " ", "QM-116")
        met: tuple[Ask, ...] = ()

        def ask(self, question: Ask) -> str:
            if "as painted here" not in question.prompt:
                return super().ask(question)
            self.met = (*self.met, question)
            given, self.typed = (self.typed or ("QM-161",))[0], self.typed[1:]
            return given

    person = Slipping("QM-161", plan_at(pen, "QM-161"), {}, until="ant-mast", then=["b", "1"])
    person.watch(pen, gone=False)
    with contextlib.suppress(Interrupted):
        walk(pen, person, by=By(doer="IO"))
    assert [r.typed for r in bodies(pen.journal, "walk.refused")] == ["QM-116"]
    assert len(person.met) == 4
    assert all("161" not in repr((x.prompt, x.strip, x.blocks)) for x in person.met)
    (told,) = [x for x in person.said if x.startswith("Typed QM-116")]
    assert "161" not in told, "nor does what is said of a wrong one"


@pytest.mark.hf("PLC-13")
@pytest.mark.parametrize("tail", BOTH)
def test_who_comes_back_types_the_tail_once_though_an_answer_is_taken_back(
    fresh: Fresh, tail: str
) -> None:
    pen = fresh()
    steps = planned(pen, tail).steps
    zone = next(z.id for z in planned(pen, tail).checklist.zones if z.ask_tail)
    last = next(n for n, s in reversed([*enumerate(steps)]) if s.zone == zone)
    watched(pen, tail, until=steps[last + 1].id, then=["b", "1"])

    class Doubting(Watched):
        doubts = "3"

        def ask(self, question: Ask) -> str:
            if "looked at, go on" in dict(question.words).values() and self.doubts:
                given, self.doubts = self.doubts, ""
                return given
            return super().ask(question)

    person = Doubting(tail, plan_at(pen, tail), {}, until=steps[last + 1].id, then=["b", "1"])
    person.watch(pen, gone=True)
    with contextlib.suppress(Interrupted):
        walk(pen, person, by=By(doer="IO"))
    assert bodies(pen.journal, "step.undone")[-1].step == steps[last].id
    assert len([x for x in person.exchanges if "ype the" in x.question.prompt]) == 1
