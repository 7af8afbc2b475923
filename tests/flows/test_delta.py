"""After a revision only what asks otherwise is walked, on top of a whole walk that was finished."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from builders import GOOD, IO, TAIL, begun, checklist, lines, papers, steps
from hardstand.domain import bodies as b
from hardstand.domain.checklist import Bounds, Checklist
from hardstand.domain.codec import decode
from hardstand.domain.walk import WalkState
from hardstand.errors import Refusal
from hardstand.flows import delta
from hardstand.flows.adopting import adopt, lists
from hardstand.flows.delta import since_last_walk
from hardstand.flows.pen import Pen
from hardstand.flows.pinned import plan_of
from hardstand.flows.recording import record
from hardstand.flows.starting import walk
from memory import MemoryJournal
from scripted import Scripted


def _revised(revision: str, **changed: dict[str, object]) -> Checklist:
    listed = tuple(replace(s, **changed.get(s.id, {})) for s in steps())  # type: ignore[arg-type]  # fields by name
    return checklist(listed=listed, revision=revision)


_HEAR: dict[str, object] = {"good": "every word, twice"}
OTHERWISE = _revised("2", hear=_HEAR)


def _pen(*typed: list[str], revised: Checklist = OTHERWISE) -> Pen:
    pen = begun(MemoryJournal())
    for one in typed:
        Scripted.until_left(pen, one)
    adopt(pen, papers(listed=revised)[2:])
    return pen


def _again(pen: Pen, tail: str = TAIL) -> tuple[str, ...]:
    known = lists(pen.journal)
    (digest,) = known.current
    plan = plan_of(pen, pen.journal.facts(tail), known, digest)
    return since_last_walk(pen.journal, plan, known.by_digest, tail)


def _part(pen: Pen, *, until: str = "") -> WalkState:
    """Walk only what changed, up to a step; to the end if none is named."""
    names = [s for s in _again(pen) if not until or PART.index(s) < PART.index(until)]
    typed = [line for name in names for line in GIVEN[name]]
    ends = ("b", "1") if until else ("c",)
    return walk(pen, Scripted([TAIL, "c", "c", *typed, *ends]), by=IO, changed=True)


PART = ("safe", "gate", "power", "hear", "off")
GIVEN = {**GOOD, "safe": (*GOOD["safe"], "c")}


def test_a_changed_step_is_walked_with_its_gate_its_power_and_its_way_home() -> None:
    assert _again(_pen(lines())) == PART


def test_a_changed_limit_that_needs_nothing_set_up_is_walked_alone() -> None:
    tighter = _revised("2", volts={"accept": Bounds(low=Decimal(24), high=Decimal(28))})
    assert _again(_pen(lines(), revised=tighter)) == ("volts",)


def test_the_part_is_shown_before_it_starts_and_is_recorded_as_a_part() -> None:
    pen = _pen(lines())
    prompter = Scripted([TAIL, "b"])
    with pytest.raises(Refusal, match=r"No walk was started\."):
        walk(pen, prompter, by=IO, changed=True)
    said = " ".join(prompter.said.split())
    assert (
        "NOTE — Only what changed: 5 of 15 steps, 1.02, 1.03, 3.01, 3.03, 4.01. "
        "A walk of a part is no preflight." in said
    )
    done = _part(pen)
    assert done.outcome == "finished"
    begun_ = decode(next(iter(pen.journal.entries(walk="A2"))))
    assert isinstance(begun_, b.WalkStarted)
    assert (begun_.purpose, begun_.revision, begun_.only) == ("part", "2", PART)


def test_a_part_is_no_preflight_and_proves_nothing_it_did_not_walk_whole() -> None:
    """`rx` is proved by hear and by tune; the part walked hear alone."""
    pen = _pen(lines())
    before = pen.journal.facts(TAIL).finished
    _part(pen)
    facts = pen.journal.facts(TAIL)
    assert facts.finished == before
    closed = decode(list(pen.journal.entries(kind="walk.closed"))[-1])
    assert isinstance(closed, b.WalkClosed)
    assert (closed.outcome, closed.purpose, closed.proved, closed.gaps) == (
        "finished", "part", (), ()
    )  # fmt: skip


def test_a_part_left_is_gone_on_with_as_a_part() -> None:
    pen = _pen(lines())
    _part(pen, until="hear")
    rest = walk(pen, Scripted([TAIL, "c", "2", *GOOD["hear"], *GOOD["off"], "c"]), by=IO)
    assert rest.plan.only == frozenset(PART)
    assert rest.outcome == "finished"


def test_what_the_part_answered_need_not_be_walked_again() -> None:
    pen = _pen(lines())
    _part(pen)
    with pytest.raises(Refusal, match=r"^Nothing in T-PRE 2 asks otherwise"):
        _again(pen)
    adopt(pen, papers(listed=_revised("3", volts={"good": "steady"}, hear=_HEAR))[2:])
    assert _again(pen) == ("volts",)


def test_nothing_changed_starts_nothing() -> None:
    pen = _pen(lines(), revised=_revised("2", volts={"why": "Another reason."}))
    with pytest.raises(Refusal) as raised:
        _again(pen)
    assert raised.value.lines() == (
        "Nothing in T-PRE 2 asks otherwise than at the last walk of QM-161.",
        "No walk was started.",
        "To walk all of it: hardstand walk QM-161",
    )


@pytest.mark.parametrize(
    "typed", [[], [lines(until="off")], [[*lines(until="off"), "b", "2", "161"]]]
)
def test_without_a_finished_walk_of_the_whole_there_is_no_part(typed: list[list[str]]) -> None:
    with pytest.raises(Refusal) as raised:
        _again(_pen(*typed))
    assert raised.value.lines() == (
        "No walk of the whole of T-PRE was finished at QM-161.",
        "Rule: a part of a list counts only on top of the whole",
        "No walk was started.",
        "Walk all of it: hardstand walk QM-161",
    )


def test_the_last_whole_walk_is_looked_for_further_back_if_need_be(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    pen = _pen(lines())
    before = _again(pen)
    hum = b.DefectRaised(number="161-A01", symbol="/", text="hum", by=IO)
    record(pen, TAIL, lambda _: (hum,))
    monkeypatch.setattr(delta, "LOOKED_AT", (1, 20_000))
    assert _again(pen) == before
    monkeypatch.setattr(delta, "LOOKED_AT", (1, 1))
    with pytest.raises(Refusal):
        _again(pen)
