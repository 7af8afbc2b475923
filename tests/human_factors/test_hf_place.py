"""Human-factors PLC: the place is always on the screen, and nothing loses it."""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

import pytest

from builders import TAIL, on_disk
from hardstand.domain.asking import ESCAPE, Ask
from hardstand.domain.bodies import By
from hardstand.flows.pen import Pen
from hardstand.flows.starting import walk
from hardstand.views.themes import THEMES
from hardstand.views.walk_screen import lines as screen
from human_factors.at_terminal import ALONE, Held, resumed
from human_factors.watched import (
    BOTH,
    Exchange,
    Seen,
    Watched,
    is_step,
    planned,
    watched,
    written,
)
from scenarios.stage import answers, bodies, moved_on, plan_at, sit, step_of
from scripted import Scripted

Fresh = Callable[[], Pen]
ODD: Mapping[str, Mapping[str, Sequence[str]]] = {
    "QM-107": {
        "log-entries": ["d", "lamp out", "3", "o"],
        "safe-tag": ["a", "1", "cowl of the left engine", "o"],
        "ant-span": ["s", "8", "no light"],
        "comp-open": ["h", "h", "o"],
        "dyn-open": ["u", "is the screw stripped?"],
        "lis-hear-lf": ["f", "2", ""],
        "op-call-1": ["f", ""],
        "op-call-2": ["n", "1"],
        "close-emission": ["1", "z", "1"],
    },
    "QM-161": {
        "log-entries": ["d", "lamp out", "3", "o"],
        "safe-tag": ["a", "1", "cowl of the left engine", "o"],
        "comp-latches": ["s", "4", "2"],
        "op-call-1": [
            *("1", "2", "Tarrick Tower", "faint"),
            *("1", "5", "Great Fennoway", "loud", ""),
            *("1", "5", "Tarrick Tower", "loud", ""),
        ],
        "op-call-2": ["u", ""],
    },
}
"""What is answered otherwise than well, so that every kind of question comes up."""


def eventful(pen: Pen, tail: str) -> Seen:
    """A walk in which much goes wrong, up to its last step."""
    last = planned(pen, tail).steps[-1].id
    return watched(pen, tail, ODD[tail], until=last)


def begun(exchanges: Sequence[Exchange]) -> Iterator[tuple[int, Exchange]]:
    """The questions of a walk that is begun, with their places in the sitting."""
    first = next(n for n, x in enumerate(exchanges) if is_step(x))
    yield from list(enumerate(exchanges))[first:]


@pytest.mark.hf("PLC-01")
@pytest.mark.parametrize("tail", BOTH)
def test_every_screen_in_every_mode_holds_the_five_parts_of_the_place(
    fresh: Fresh, tail: str
) -> None:
    wide = itertools.product((40, 80, 132), (True, False), THEMES.values())
    modes = [(c, d, t) for c, d, t in wide if d or t.name == "bare"]
    for _, found in begun(eventful(fresh(), tail).exchanges):
        for columns, drawn, theme in modes:
            told = "\n".join(screen(found.question, columns, drawn=drawn, theme=theme))
            for part in ("LAST  ", "NEXT  ", "NOT PUT BACK: ", "SKIPPED: "):
                assert part in told, (found.question.prompt, columns, part)
            blind = "as painted here" in found.question.prompt  # it is read from the aircraft
            assert (tail in told) is not blind, (found.question.prompt, columns)
            if is_step(found):
                assert "zone " in told
                assert re.search(r"step\s+\d+\s+of\s+\d+", told)


class Counting(Watched):
    """Somebody who counts at the aircraft what the strip says is open and skipped."""

    def ask(self, question: Ask) -> str:
        strip = question.strip
        if strip is not None and bodies(self.pen.journal, "walk.started"):
            facts = self.pen.journal.facts("QM-161")
            given = {step: answer for step, answer, _ in answers(self.pen.journal, "QM-161")}
            assert strip.open_lines == len(facts.due_home), question.prompt
            assert strip.gaps == [*given.values()].count("SKIPPED"), question.prompt
        return super().ask(question)


@pytest.mark.hf("PLC-01")
def test_the_strip_counts_what_is_so(fresh: Fresh) -> None:
    pen = fresh()
    odd: dict[str, Sequence[str]] = {"ant-span": ["s", "3"], "comp-latches": ["s", "8", "no light"]}
    person = Counting("QM-161", plan_at(pen, "QM-161"), odd, until="", then=())
    person.watch(pen, gone=False)
    assert walk(pen, person, by=By(doer="IO")).outcome == "finished"


class Called(Watched):
    """Somebody who is called away at one question of a sitting."""

    at = -1

    def ask(self, question: Ask) -> str:
        if len(self.exchanges) != self.at:
            return super().ask(question)
        self.at = -1
        self.exchanges.append(Exchange(question=question, reply="B", lines=written(self.pen)))
        if question.typed == "text":
            return f"{ESCAPE}B"
        assert "B" in question.keys, question.prompt
        return "B"


def _shape(question: Ask) -> tuple[str, str, int, bool]:
    words = " ".join(question.prompt.split()[1:3])
    return question.keys, words, len(question.choices), bool(step_of(question))


@pytest.mark.hf("PLC-03")
@pytest.mark.parametrize("tail", BOTH)
def test_one_key_leaves_from_every_kind_of_question(fresh: Fresh, tail: str) -> None:
    kinds: dict[object, int] = {}
    for place, found in begun(eventful(fresh(), tail).exchanges):
        kinds.setdefault(_shape(found.question), place)
    assert len(kinds) > 15
    for place in kinds.values():
        pen = fresh()
        person = Called(tail, plan_at(pen, tail), dict(ODD[tail]), until="", then=())
        person.watch(pen, gone=False)
        person.at = place
        left = walk(pen, person, by=By(doer="IO"))
        assert not left.outcome
        kept = bodies(pen.journal, "walk.broken")
        assert len(kept) == 1, person.exchanges[place].question.prompt
        here = left.next_step() or planned(pen, tail).steps[-1]
        assert kept[0].step in {here.id, left.last_three[-1].body.step if left.given else ""}
        card = next(x for x in person.exchanges[place:] if "is left at" in x.text)
        assert card.question.keys


@pytest.mark.hf("PLC-03", "PLC-05")
def test_what_was_half_done_is_kept_as_half_done_and_begun_again(fresh: Fresh) -> None:
    pen = fresh()
    watched(pen, "QM-161", until="op-gate", then=["b", "1"])
    broken = bodies(pen.journal, "walk.broken")[0]
    assert (broken.step, broken.half) == ("op-gate", False)
    pen = fresh()
    person = Called("QM-161", plan_at(pen, "QM-161"), {}, until="", then=())
    person.watch(pen, gone=False)
    words = next(
        n for n, x in begun(watched(fresh(), "QM-161").exchanges) if "Its words as said" in x.text
    )
    person.at = words
    walk(pen, person, by=By(doer="IO"))
    broken = bodies(pen.journal, "walk.broken")[0]
    assert (broken.step, broken.half) == ("op-call-1", True)
    back = watched(pen, "QM-161", until="op-call-2")
    assert "half done" in back.words
    assert "from its first word" in back.words
    readable = [x for x in back.exchanges if "Readability, the digit" in x.text]
    assert len(readable) == 1, "the call is made again, whole"


@pytest.mark.hf("PLC-04")
@pytest.mark.parametrize("done", [0, 1, 2, 3, 7])
def test_the_card_holds_the_last_three_answers_and_no_more(fresh: Fresh, done: int) -> None:
    pen = fresh()
    plan = planned(pen, "QM-161")
    watched(pen, "QM-161", until=plan.steps[done].id, then=["b", "b"])
    before = answers(pen.journal, "QM-161")
    card = watched(pen, "QM-161", until=plan.steps[done].id).at("Back at walk")
    numbers = [plan.checklist.number(s) for s, _, _ in before][-3:]
    assert [choice.split()[0] for choice in card.question.choices] == numbers
    assert all(" recorded " in choice for choice in card.question.choices)
    assert "C" in card.question.keys
    assert answers(pen.journal, "QM-161") == before


@pytest.mark.hf("PLC-04")
@pytest.mark.parametrize("key", ["", " ", "o", "O", "f"])
def test_only_its_own_key_goes_on_from_the_card(tmp_path: Path, key: str) -> None:
    pen = on_disk(tmp_path)
    sit(pen, TAIL, until="plugs", then=["b", "b"])
    stuck = Scripted.until_left(pen, [TAIL, key, key, "o"])
    assert answers(pen.journal, TAIL)[-1][0] == "open"
    assert "Do plugs. Place" not in " ".join(stuck.said.split())


@pytest.mark.hf("PLC-04")
@pytest.mark.parametrize("digit", ["1", "2", "3"])
def test_each_of_the_three_is_reopened_by_one_key(tmp_path: Path, digit: str) -> None:
    pen = on_disk(tmp_path)
    sit(pen, TAIL, until="plugs", then=["b", "b"])
    last = [step for step, _, _ in answers(pen.journal, TAIL)][-3:]
    shown = Scripted.until_left(pen, [TAIL, digit])
    assert "Taken back: " in shown.said
    assert [body.step for body in bodies(pen.journal, "step.undone")] == [last[int(digit) - 1]]


@pytest.mark.hf("PLC-06")
@pytest.mark.parametrize(("minutes", "card"), [(1, False), (3, True), (16, True), (1500, True)])
def test_the_card_comes_by_itself_after_two_idle_minutes(
    fresh: Fresh, minutes: int, *, card: bool
) -> None:
    pen = fresh()

    class Slow(Watched):
        waits = 1

        def ask(self, question: Ask) -> str:
            if step_of(question) == "2.02" and self.waits:
                self.waits = 0
                moved_on(pen, minutes=minutes)
                self.exchanges.append(Exchange(question=question, reply="O", lines=written(pen)))
                return "O"
            return super().ask(question)

    person = Slow("QM-161", plan_at(pen, "QM-161"), {}, until="comp-open", then=())
    person.watch(pen, gone=False)
    with pytest.raises(Exception, match="gone"):
        walk(pen, person, by=By(doer="IO"))
    waited = next(n for n, x in enumerate(person.exchanges) if step_of(x.question) == "2.02")
    after = person.exchanges[waited + 1]
    assert ("Back at walk" in after.text) is card


@pytest.mark.hf("PLC-06", "KEY-10")
def test_after_a_terminal_that_was_killed_the_card_comes_first(tmp_path: Path) -> None:
    with resumed(tmp_path, at="plugs") as gone:
        gone.press("o").shows("Do shut. Place")
        gone.killed()
    with Held(tmp_path / "record.db", ALONE, columns=80, rows=24) as back:
        back.shows("Type the whole tail").type(TAIL).shows("Go on at 2.03 Do shut")
        assert "2.02 Do plugs — recorded OK" in back.words


@pytest.mark.hf("PLC-07")
@pytest.mark.parametrize("hours", [0, 1, 30])
def test_every_energy_line_is_looked_at_before_the_walk_goes_on(fresh: Fresh, hours: int) -> None:
    pen = fresh()
    watched(pen, "QM-107", until="op-call-2", then=["b", "1"])
    live = [line.title for line in pen.journal.facts("QM-107").lines if line.kind == "energy"]
    assert len(live) >= 2
    moved_on(pen, minutes=60 * hours)
    back = watched(pen, "QM-107", until="op-call-2")
    first = next(n for n, x in enumerate(back.exchanges) if is_step(x))
    looked = [x.text for x in back.exchanges[:first] if "What do you see now?" in x.text]
    for title in live:
        assert [text for text in looked if f"{title}: recorded" in text], title


@pytest.mark.hf("PLC-10")
def test_skipped_steps_are_counted_and_offered_at_the_end_of_zone_and_walk(fresh: Fresh) -> None:
    pen = fresh()
    plan = planned(pen, "QM-161")
    skipped = [s.id for s in plan.steps if s.zone == "compartment" and s.kind == "look"][:3]
    odd = {name: ["s", "3"] for name in skipped}
    seen = watched(pen, "QM-161", odd)
    counts = [x.question.strip.gaps for x in seen.exchanges if is_step(x) and x.question.strip]
    assert max(counts) == counts[-1] == len(skipped)
    asked = [n for n, x in enumerate(seen.exchanges) if "be done now" in x.text]
    every = [n for n in asked if "3 SKIPPED. " in seen.exchanges[n].text]
    offers = [n for n in every if "Next is put back" not in seen.exchanges[n].text]
    assert len(every) == 3, "also before the panel is shut behind them"
    told = [seen.exchanges[n].text for n in offers]
    assert len(offers) == 2, told
    zones = [x.question.strip.zone for x in seen.exchanges[offers[0] :] if x.question.strip]
    assert "compartment" not in zones[1]
    finish = next(n for n, x in enumerate(seen.exchanges) if "FINISHED" in x.text)
    assert is_step(seen.exchanges[offers[1] - 1])
    assert offers[1] < finish
    assert "3 not OK" in seen.exchanges[finish].text
    proved = pen.journal.facts("QM-161").proved or {}
    lost = {p for s in plan.steps if s.id in skipped for p in s.proves}
    assert not lost & proved.keys(), "what was skipped is not proved by a finish"


@pytest.mark.hf("PLC-11")
def test_another_person_is_shown_the_card_and_the_ledger_and_answers_as_themselves(
    fresh: Fresh,
) -> None:
    pen = fresh()
    watched(pen, "QM-161", until="comp-latches")
    other = replace(pen, author="BT")
    back = watched(other, "QM-161", until="lis-battery", by=By(doer="BT"))
    assert "not put back: radio compartment panel" in back.words
    assert [body.by.doer for body in bodies(pen.journal, "walk.resumed")] == ["BT"]
    hands = [(step, who) for step, _, who in answers(pen.journal, "QM-161")]
    at = hands.index(("comp-latches", "BT"))
    assert {who for _, who in hands[:at]} == {"IO"}
    assert {who for _, who in hands[at:]} == {"BT"}
    assert {e.author for e in pen.journal.entries(kind="step.answered")} == {"IO", "BT"}


@pytest.mark.hf("PLC-08")
def test_the_shipped_lists_mark_from_key_on_to_key_off(fresh: Fresh) -> None:
    for tail in BOTH:
        marked = [s for s in planned(fresh(), tail).steps if s.no_break]
        assert {s.kind for s in marked} >= {"transmit"}


@pytest.mark.hf("PLC-08")
@pytest.mark.parametrize("tail", BOTH)
def test_leaving_a_stretch_without_a_break_first_asks_what_is_live(fresh: Fresh, tail: str) -> None:
    pen = fresh()
    step = next(s for s in planned(pen, tail).steps if s.no_break and s.kind == "transmit")
    seen = watched(pen, tail, until=step.id, then=["b"])
    assert "Make safe first, then leave" in seen.words
    assert bodies(pen.journal, "walk.broken"), "the break is on record before anything is asked"


@pytest.mark.hf("PLC-06", "PLC-08")
def test_who_idles_again_and_again_while_making_safe_still_leaves(fresh: Fresh) -> None:
    pen = fresh()
    step = next(s for s in planned(pen, "QM-161").steps if s.no_break and s.kind == "transmit")

    class Slow(Watched):
        """Takes three minutes over the first line, each time it is told to make safe."""

        told, waits = False, 3

        def show(self, text: str) -> None:
            self.told = self.told or "Make safe first" in text
            super().show(text)

        def ask(self, question: Ask) -> str:
            if self.told and self.waits and "What do you see now?" in question.prompt:
                self.told, self.waits = False, self.waits - 1
                moved_on(pen, minutes=3)
            return super().ask(question)

    person = Slow("QM-161", plan_at(pen, "QM-161"), {}, until=step.id, then=["b"])
    person.watch(pen, gone=False)
    assert walk(pen, person, by=By(doer="IO")).broken
    assert not person.waits, "the card and the lines came again each time"
    assert bodies(pen.journal, "walk.broken")
