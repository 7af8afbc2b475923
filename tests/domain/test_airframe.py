"""fold: walks, the put-back ledger, preflights and proofs, from entries alone.

Acts on entries of the log are in test_disagreement.py and test_deferral.py.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import get_args

import pytest

from builders import IO, TAIL, chain, entry, fleet
from dry_walk import DryWalk
from hardstand.domain import bodies as b
from hardstand.domain.airframe import fold
from hardstand.domain.answering import Reply
from hardstand.domain.bodies import By, Late
from hardstand.domain.chain import seal
from hardstand.domain.checklist import ItemKind
from hardstand.domain.entry import Entry
from hardstand.domain.facts import AirframeFacts
from hardstand.domain.quantity import later
from hardstand.domain.record import ground
from strategies import MIDNIGHT, Tablet

GROUND = ground(fleet(), TAIL)
SKIPPED = Reply(key="S", reason="no time")


def _folded(bodies: Sequence[b.Body], walk: str | None = None) -> AirframeFacts:
    return fold(GROUND, chain(bodies, walk=walk))


def _moved(to: str, *, seen: Sequence[Entry] = (), kind: ItemKind = "access") -> b.LineMoved:
    from_ = "OPEN" if to == "SHUT" else "SHUT"
    return b.LineMoved(
        item="panel", title="panel 7", item_kind=kind, home="SHUT", from_=from_, to=to, by=IO,
        seen=tuple(e.digest.hex() for e in seen),
    )  # fmt: skip


def _closed(outcome: b.Outcome = "finished", *, by: By = IO, purpose: str = "preflight",
            proved: tuple[str, ...] = (), gaps: tuple[str, ...] = ()) -> b.WalkClosed:  # fmt: skip
    return b.WalkClosed(
        outcome=outcome, purpose=purpose, checklist="T-PRE", revision="1", proved=proved,
        gaps=gaps, open_lines=(), by=by,
    )  # fmt: skip


def _started() -> b.WalkStarted:
    return b.WalkStarted(
        checklist="T-PRE", revision="1", digest="d", purpose="preflight", fit="T", planned="",
        typed=TAIL, by=IO,
    )  # fmt: skip


# -- nothing yet -----------------------------------------------------------------------------------


def test_before_any_line_an_airframe_is_as_the_fleet_file_says() -> None:
    facts = _folded(())
    assert (facts.tail, facts.type, facts.short) == (TAIL, "low", "161")
    assert facts.serials == {"TR": "T-5"}
    assert (facts.open, facts.lines, facts.walks, facts.finished) == ((), (), (), None)
    assert facts.fit_on("2027-03-08") == "T"
    assert facts.fit_on("2025-12-31") == ""


def test_numbers_go_on_from_the_paper_book() -> None:
    high = ground(fleet(), "QM-164")
    assert fold(high, ()).raised == {"A": 4}
    raised = b.DefectRaised(number="164-A05", symbol="/", text="lamp", by=IO)
    assert fold(high, chain([raised])).raised == {"A": 5}


# -- walks -----------------------------------------------------------------------------------------


def test_a_walk_is_open_from_its_start_to_its_close() -> None:
    (walk,) = _folded([_started()], walk="A1").walks
    assert (walk.walk, walk.device, walk.checklist, walk.by, walk.ref, walk.broken) == (
        "A1", "A", "T-PRE", "IO", "A-1", False,
    )  # fmt: skip
    ends: list[tuple[b.Body, ...]] = [(_started(), _closed(o)) for o in get_args(b.Outcome)]
    assert len(ends) == 4
    assert [_folded(end, walk="A1").walks for end in ends] == [()] * 4


def test_a_walk_left_for_a_while_says_so_until_it_goes_on() -> None:
    left, back = b.WalkBroken(step="x", by=IO), b.WalkResumed(step="x", looked_at=(), by=IO)
    ways: list[tuple[b.Body, ...]] = [(left,), (left, back), (left, back, left)]
    said = [_folded([_started(), *more], walk="A1").walks[0].broken for more in ways]
    assert said == [True, False, True]


def test_answers_alone_change_nothing_of_an_airframe() -> None:
    answered = b.StepAnswered(step="safe", answer="OK", by=IO)
    more: list[b.Body] = [_started(), answered, b.StepUndone(step="safe", of="d", by=IO)]
    assert _folded(more, walk="A1") == _folded([_started()], walk="A1")


def test_only_a_finished_preflight_counts_as_one() -> None:
    done = _folded([_started(), _closed(gaps=("hear",))], walk="A1").finished
    assert done is not None
    assert (done.walk, done.by, done.gaps, done.at) == ("A1", "IO", 1, "2027-03-08T08:02:00Z")
    for other in (_closed("taken_away"), _closed("stopped_by_x"), _closed(purpose="ramp")):
        assert _folded([_started(), other], walk="A1").finished is None


@pytest.mark.parametrize(
    ("made_at", "at"),
    [
        ("2027-03-08T07:00:00Z", "2027-03-08T07:00:00Z"),
        ("2027-03-08T04:00:00-03:00", "2027-03-08T07:00:00Z"),
        ("2027-03-09T09:00:00Z", "2027-03-08T08:01:00Z"),
        ("no time", "2027-03-08T08:01:00Z"),
    ],
)
def test_a_walk_written_down_late_counts_from_when_it_was_made_never_later(
    made_at: str, at: str
) -> None:
    late = By(doer="IO", late=Late(made_at=made_at, typist="IO"))
    done = _folded([_closed(by=late)], walk="A1").finished
    assert done is not None
    assert done.at == at


def test_a_function_is_proved_by_the_walk_that_closed_over_it_and_the_newest_counts() -> None:
    walks = [_closed(proved=("rx",)), _closed("taken_away"), _closed(proved=("rx", "tx"))]
    proved = _folded(walks, walk="A1").proved
    assert proved is not None
    assert {name: proof.ref for name, proof in proved.items()} == {"rx": "A-3", "tx": "A-3"}


# -- the put-back ledger ---------------------------------------------------------------------------


def test_a_line_opens_when_an_item_leaves_home_and_closes_when_it_is_back() -> None:
    tablet = Tablet("A")
    opened = tablet.write(_moved("OPEN"), minute=1)
    (line,) = fold(GROUND, tablet.known).lines
    assert (line.item, line.title, line.value, line.home) == ("panel", "panel 7", "OPEN", "SHUT")
    assert (line.since, line.by, line.ref) == (later(MIDNIGHT, seconds=60), "IO", "A-1")
    tablet.write(_moved("SHUT", seen=[opened]), minute=2)
    assert fold(GROUND, tablet.known).lines == ()


def test_a_line_keeps_since_when_it_is_open_through_further_moves() -> None:
    tablet = Tablet("A")
    opened = tablet.write(_moved("OPEN"), minute=1)
    tablet.write(_moved("HALF", seen=[opened]), minute=9)
    (line,) = fold(GROUND, tablet.known).lines
    assert (line.value, line.since) == ("HALF", later(MIDNIGHT, seconds=60))


def test_a_line_outlives_its_walk_and_belongs_to_the_aircraft() -> None:
    dry = DryWalk().walk(until="shut")
    dry.end("taken_away")
    again = DryWalk(before=tuple(dry.entries))
    assert [line.walk for line in again.facts.lines] == ["A1", "A1"]
    assert again.state.items["panel"] == "OPEN"


def test_shut_by_one_who_had_not_seen_it_opened_again_leaves_the_line_open() -> None:
    one, two = Tablet("B"), Tablet("A")
    opened = one.write(_moved("OPEN"), minute=1)
    two.learn(one)
    two.write(_moved("OPEN", seen=[opened]), minute=2)  # taken first: the same tick, device A
    one.write(_moved("SHUT", seen=[opened]), minute=3)
    one.learn(two)
    (line,) = fold(GROUND, one.known).lines
    assert (line.value, len(line.heads)) == ("OPEN", 2)
    one.write(_moved("SHUT", seen=[e for e in one.known if e is not opened]), minute=4)
    assert fold(GROUND, one.known).lines == ()


def test_a_panel_opened_outside_a_walk_ends_the_preflight_once() -> None:
    tablet = Tablet("A")
    tablet.write(_closed(), minute=1, walk="A1")
    tablet.write(_moved("OPEN"), minute=2)
    tablet.write(_moved("OPEN"), minute=3)
    done = fold(GROUND, tablet.known).finished
    assert done is not None
    assert done.ended is not None
    assert (done.ended.ref, done.ended.what) == ("A-2", "panel 7 opened outside a walk")


@pytest.mark.parametrize(("kind", "walk"), [("access", "A2"), ("energy", None), ("tag", None)])
def test_a_move_in_a_walk_or_of_anything_but_a_panel_does_not_end_it(
    kind: ItemKind, walk: str | None
) -> None:
    tablet = Tablet("A")
    tablet.write(_closed(), minute=1, walk="A1")
    tablet.write(_moved("OPEN", kind=kind), minute=2, walk=walk)
    done = fold(GROUND, tablet.known).finished
    assert done is not None
    assert done.ended is None


def test_a_new_finished_walk_takes_the_place_of_an_ended_one() -> None:
    tablet = Tablet("A")
    tablet.write(_closed(), minute=1, walk="A1")
    opened = tablet.write(_moved("OPEN"), minute=2)
    tablet.write(_moved("SHUT", seen=[opened]), minute=3)
    tablet.write(_closed(), minute=4, walk="A2")
    done = fold(GROUND, tablet.known).finished
    assert done is not None
    assert (done.walk, done.ended) == ("A2", None)


# -- dashes ----------------------------------------------------------------------------------------


def test_three_mornings_without_a_test_are_one_dash_with_three_dates() -> None:
    entries: tuple[Entry, ...] = ()
    for _ in range(3):
        dry = DryWalk(before=entries).walk(call=SKIPPED)
        dry.finish()
        entries = tuple(dry.entries)
    (dash,) = fold(GROUND, entries).open
    assert (dash.number, dash.untested, len(dash.again)) == ("161-A01", ("tx",), 2)
    good = DryWalk(before=entries).walk()
    good.finish()
    assert good.facts.open == ()


def test_the_first_words_after_a_stub_are_its_text_and_later_ones_are_added() -> None:
    raised = b.DefectRaised(number="161-A01", symbol="/", text="stub", stub=True, by=IO)
    notes = [b.DefectNoted(number="161-A01", text=t, by=IO, seen=()) for t in ("burnt", "and wet")]
    (one,) = _folded([raised, *notes]).open
    assert (one.text, one.stub) == ("burnt", False)
    assert [act.what for act in one.acts] == ["raised /: stub", "words: burnt", "words: and wet"]


@pytest.mark.parametrize(
    ("raised", "picked", "text"),
    [("plug P2 not home", "turns by hand", "plug P2 not home: turns by hand"),
     ("no sidetone", "Sidetone", "no sidetone")],
)  # fmt: skip
def test_a_symptom_picked_for_a_stub_is_said_after_its_own_words(
    raised: str, picked: str, text: str
) -> None:
    stub = b.DefectRaised(number="161-A01", symbol="/", text=raised, stub=True, by=IO)
    note = b.DefectNoted(number="161-A01", text="", symptom=picked, by=IO, seen=())
    (one,) = _folded([stub, note]).open
    assert (one.text, one.symptom, one.stub) == (text, picked, False)
    assert [act.what for act in one.acts][1:] == [f"words: {picked}"]


def test_an_act_on_an_entry_that_is_not_here_says_nothing_yet() -> None:
    note = b.DefectNoted(number="161-B09", text="words", by=IO, seen=())
    cleared = b.DefectCleared(number="161-B09", text="seen", by=IO, seen=())
    assert _folded([note, cleared]).open == ()


def test_a_kind_of_the_future_is_kept_and_named() -> None:
    future = seal(entry(_started())._replace(kind="moon.landed"))
    assert fold(GROUND, [future]).unknown == ("A-1",)


# -- what is written down late ---------------------------------------------------------------------


def _late(minute: int) -> By:
    return By(doer="IO", late=Late(made_at=later(MIDNIGHT, seconds=60 * minute), typist="BT"))


def _paper(minute: int, proved: tuple[str, ...] = ()) -> b.WalkClosed:
    return _closed(by=_late(minute), proved=proved)


def test_a_walk_typed_in_late_and_made_earlier_takes_no_newer_ones_place() -> None:
    tablet = Tablet("A")
    tablet.write(_closed(proved=("rx",)), minute=30, walk="A1")
    tablet.write(_paper(10, proved=("rx", "tx")), minute=60, walk="A2")
    facts = fold(GROUND, tablet.known)
    assert facts.finished is not None
    assert (facts.finished.walk, facts.finished.at) == ("A1", later(MIDNIGHT, seconds=1800))
    assert {name: p.ref for name, p in (facts.proved or {}).items()} == {"rx": "A-1", "tx": "A-2"}


def test_a_walk_typed_in_late_and_made_later_takes_the_older_ones_place() -> None:
    tablet = Tablet("A")
    tablet.write(_closed(), minute=30, walk="A1")
    tablet.write(_paper(40), minute=60, walk="A2")
    done = fold(GROUND, tablet.known).finished
    assert done is not None
    assert (done.walk, done.at) == ("A2", later(MIDNIGHT, seconds=2400))


@pytest.mark.parametrize(("made", "ended"), [(15, True), (25, False)])
def test_a_panel_opened_after_a_walk_on_paper_has_ended_it_when_it_is_typed_in(
    made: int, *, ended: bool
) -> None:
    tablet = Tablet("A")
    opened = tablet.write(_moved("OPEN"), minute=20)
    tablet.write(_moved("SHUT", seen=[opened]), minute=21)
    tablet.write(_paper(made), minute=60, walk="A2")
    done = fold(GROUND, tablet.known).finished
    assert done is not None
    assert (done.ended is not None) == ended


@pytest.mark.parametrize(("made", "proved"), [(15, False), (45, True)])
def test_a_walk_on_paper_before_a_clearing_does_not_prove_what_was_mended(
    made: int, *, proved: bool
) -> None:
    tablet = Tablet("A")
    raised = b.DefectRaised(number="161-A01", symbol="X", text="dead", takes=("tx",), by=IO)
    first = tablet.write(raised, minute=10)
    acted = b.ActionRecorded(number="161-A01", text="mended", by=By(doer="BT"),
                             seen=(first.digest.hex(),))  # fmt: skip
    second = tablet.write(acted, minute=20)
    seen = (first.digest.hex(), second.digest.hex())
    cleared = b.DefectCleared(number="161-A01", text="good", by=By(doer="DQ"), seen=seen)
    tablet.write(cleared, minute=30)
    tablet.write(_paper(made, proved=("tx",)), minute=60, walk="A2")
    facts = fold(GROUND, tablet.known)
    assert facts.open == ()
    assert ("tx" in (facts.proved or {})) == proved
