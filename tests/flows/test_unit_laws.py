"""Whatever is done with boxes, through the record: the laws of C-15, on a small fleet in memory.

Two aircraft with a set and a dynamotor each, one spare; both were walked and can fly.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builders import Watch, fit, fleet, lines, papers
from hardstand.domain import bodies as b
from hardstand.domain.bodies import By
from hardstand.domain.bodies_units import BenchResult
from hardstand.domain.box_facts import boxes_of
from hardstand.domain.checklist import Function, Mission, Unit
from hardstand.domain.entry import Entry
from hardstand.domain.quantity import Instant
from hardstand.domain.unit_acts import Swap, Taking
from hardstand.domain.verdict import Verdict
from hardstand.errors import Refusal
from hardstand.flows import units
from hardstand.flows.adopting import adopt, begin_record
from hardstand.flows.demo_people import enrol_demo_people
from hardstand.flows.logging_defects import Told, act, raise_defect
from hardstand.flows.past import Past
from hardstand.flows.pen import Pen
from hardstand.flows.queries import board
from hardstand.flows.starting import walk
from hardstand.system.keys import DemoKeys
from memory import MemoryJournal
from scripted import Scripted

BT, MS = By(doer="BT"), By(doer="MS")
TAILS = ("QM-116", "QM-161")
SERIALS = {"QM-116": {"TR": "T-4", "DYN": "D-4"}, "QM-161": {"TR": "T-5", "DYN": "D-5"}}
SPARE = "D-9"
BOXES = ("D-4", "D-5", SPARE)
NOW = Instant("2027-03-08T09:00:00Z")


def _pen(journal: MemoryJournal) -> Pen:
    watch = Watch(at=Instant("2027-03-08T08:00:00Z"), step=1)
    return Pen(journal=journal, clock=watch, author="BT", signer=DemoKeys())


@cache
def _walked() -> tuple[Entry, ...]:
    """The lines of a record in which both aircraft have a preflight in date and can fly M."""
    small = fit()
    fitted = replace(
        small,
        units={"TR": Unit(title="set", part="P-1"), "DYN": Unit(title="dynamotor", part="P-2")},
        functions={
            "rx": Function(title="receive", fed_by=("TR", "DYN")),
            "tx": Function(title="transmit", fed_by=("TR", "DYN")),
        },
        missions={"M": Mission(needs="rx and tx")},
    )
    known = fleet()
    flown = replace(
        known,
        airframes={t: replace(known.airframes[t], serials=SERIALS[t]) for t in TAILS},
    )
    journal = MemoryJournal("S")
    pen = _pen(journal)
    begin_record(replace(pen, author="ÅL"), demo=True, program="test")
    enrol_demo_people(replace(pen, author="ÅL"), DemoKeys(), fits=("T",))
    adopt(replace(pen, author="ÅL"), papers(fitted=fitted, flown=flown))
    for tail in TAILS:
        walk(pen, Scripted(lines(tail)), planned="", by=BT)
    units.shelve(pen, b.UnitReceived(part="P-2", serial=SPARE, place="serviceable store", by=BT))
    return tuple(journal.chains())


def _record() -> Pen:
    journal = MemoryJournal("S", _walked())
    newest = max(e.at for e in journal.chains())
    return replace(_pen(journal), clock=Watch(at=newest, step=1))


def _stands(pen: Pen, tail: str) -> Verdict:
    return board(Past(pen.journal, pen.clock.now()), pen.clock.now(), tail).verdicts[0]


def _mission(pen: Pen, tail: str) -> str:
    (said,) = _stands(pen, tail).missions
    return said.word


# -- deeds -----------------------------------------------------------------------------------------

Deed = Callable[[Pen], object]


def _holds(pen: Pen, tail: str) -> str:
    return (pen.journal.facts(tail).serials or {}).get("DYN", "")


def _fit(tail: str, serial: str) -> Deed:
    def deed(pen: Pen) -> object:
        asked = Swap(position="DYN", serial=serial, out=_holds(pen, tail), reason="noisy")
        return units.fit(pen, tail, asked, by=BT)

    return deed


def _remove(tail: str, store: str) -> Deed:
    def deed(pen: Pen) -> object:
        out = Taking(position="DYN", serial=_holds(pen, tail), goes_to=store, reason="noisy")
        return units.remove(pen, tail, out, by=BT)

    return deed


def _move(source: str) -> Deed:
    target = next(t for t in TAILS if t != source)

    def deed(pen: Pen) -> object:
        asked = Swap(
            position="DYN", serial=_holds(pen, source), out=_holds(pen, target), reason="noisy",
            ordered_by="MS",
        )  # fmt: skip
        return units.move(pen, source, "DYN", target, asked, by=BT)

    return deed


def _read(tail: str, serial: str) -> Deed:
    return lambda pen: units.read(pen, tail, "DYN", serial, by=BT)


def _bench(serial: str, result: BenchResult) -> Deed:
    body = b.UnitBenched(part="P-2", serial=serial, result=result, by=BT)
    return lambda pen: units.shelve(pen, body)


def _tag(serial: str) -> Deed:
    body = b.UnitTagged(part="P-2", serial=serial, tag="unserviceable", by=BT)
    return lambda pen: units.shelve(pen, body)


_TAIL, _BOX = st.sampled_from(TAILS), st.sampled_from(BOXES)
_DEEDS = st.lists(
    st.one_of(
        st.builds(_fit, _TAIL, _BOX),
        st.builds(_remove, _TAIL, st.sampled_from(["serviceable store", "unserviceable store"])),
        st.builds(_move, _TAIL),
        st.builds(_bench, _BOX, st.sampled_from(["in", "rectified", "no_fault_found"])),
        st.builds(_tag, _BOX),
    ),
    max_size=8,
)


def _done(pen: Pen, deed: Deed) -> bool:
    before = len(list(pen.journal.chains()))
    try:
        deed(pen)
    except Refusal:
        assert len(list(pen.journal.chains())) == before, "what is refused writes nothing"
        return False
    return True


# -- laws ------------------------------------------------------------------------------------------


@settings(max_examples=40)
@given(_DEEDS)
def test_a_serial_is_in_one_place_and_a_position_holds_one_box_or_is_a_hole(
    deeds: list[Deed],
) -> None:
    """Law: whole-job C-15; and a unit with an unserviceable tag is never fitted (M-23)."""
    pen = _record()
    for deed in deeds:
        places = {w.serial: w.place for w in units.show(pen.journal, NOW, "").boxes}
        done = _done(pen, deed)
        shown = units.show(pen.journal, NOW, "").boxes
        assert sorted(w.serial for w in shown) == sorted(["T-4", "T-5", *BOXES])
        for box in shown:
            fitted_now = done and box.tail and places[box.serial] != box.place
            if fitted_now and not places[box.serial].startswith("QM-"):
                assert places[box.serial] == "serviceable store"
        for tail in TAILS:
            facts = pen.journal.facts(tail)
            assert bool((facts.serials or {}).get("DYN")) != ("DYN" in (facts.empty or {}))


@settings(max_examples=40)
@given(_DEEDS)
def test_a_hole_reads_x_and_a_box_nobody_has_proved_there_flies_nothing(
    deeds: list[Deed],
) -> None:
    """Law: whole-job C-15, moving a unit makes unknown what it feeds, on both aircraft."""
    pen = _record()
    assert [_mission(pen, tail) for tail in TAILS] == ["CAN", "CAN"]
    touched = set[str]()
    for deed in deeds:
        before = {tail: boxes_of(pen.journal.facts(tail)).slots for tail in TAILS}
        _done(pen, deed)
        touched |= {t for t in TAILS if boxes_of(pen.journal.facts(t)).slots != before[t]}
        for tail in TAILS:
            found = _stands(pen, tail)
            if "DYN" in (pen.journal.facts(tail).empty or {}):
                assert found.symbol == "X"
                assert any(e.entry.unit == "DYN" and e.entry.symbol == "X" for e in found.open)
            assert (_mission(pen, tail) == "CAN") == (tail not in touched)


@settings(max_examples=40)
@given(_DEEDS)
def test_the_past_of_a_box_and_of_its_positions_tell_one_story(deeds: list[Deed]) -> None:
    """Law: whole-job M-23, both tell the same; time in a position never overlaps."""
    pen = _record()
    for deed in deeds:
        _done(pen, deed)
    by_box = {
        (line.entry.ref, serial)
        for serial in BOXES
        for line in units.show(pen.journal, NOW, serial).lines
        if line.tail
    }
    by_place = {
        (line.entry.ref, line.body.serial)
        for tail in TAILS
        for line in units.show(pen.journal, NOW, tail, "DYN").lines
        if isinstance(line.body, b.UnitFitted | b.UnitRemoved)
    }
    assert by_box == by_place
    for tail in TAILS:
        inside = SERIALS[tail]["DYN"]
        for line in units.show(pen.journal, NOW, tail, "DYN").lines:
            assert isinstance(line.body, b.UnitFitted | b.UnitRemoved)
            if isinstance(line.body, b.UnitRemoved):
                assert inside == line.body.serial
                inside = ""
            else:
                assert not inside
                inside = line.body.serial
        assert inside == _holds(pen, tail)


@settings(max_examples=30)
@given(st.lists(st.one_of(st.builds(_read, _TAIL, _BOX), st.builds(_move, _TAIL)), max_size=5))
def test_whatever_is_read_off_no_box_is_forgotten_and_two_of_one_are_in_doubt(
    deeds: list[Deed],
) -> None:
    """Law: whole-job scenarios 81 to 83, both serials and both positions in doubt."""
    pen = _record()
    for deed in deeds:
        _done(pen, deed)
        shown = units.show(pen.journal, NOW, "")
        assert {w.serial for w in shown.boxes} >= set(BOXES)
        for _, places in shown.doubles:
            dashes = [tail for tail in TAILS if _stands(pen, tail).symbol in {"-", "X"}]
            assert {place.split()[0] for place in places} <= set(dashes)
        held = [_holds(pen, tail) for tail in TAILS if _holds(pen, tail)]
        assert bool(shown.doubles) == (len(set(held)) < len(held))


def test_a_box_that_was_not_where_the_record_had_it_is_lost_until_it_is_read_again() -> None:
    pen = _record()
    said = _read("QM-116", "D-9")(pen)
    assert said == (
        "QM-116 DYN: read D-9. 116-S01 -: unit not as recorded: DYN read D-9, the record had D-4."
    )
    places = {w.serial: w.place for w in units.show(pen.journal, NOW, "").boxes}
    assert (places["D-4"], places["D-9"]) == ("lost", "QM-116 DYN")
    assert [x.entry.kind for x in units.show(pen.journal, NOW, "D-4").lines] == ["unit.read"]
    _read("QM-116", "D-4")(pen)
    places = {w.serial: w.place for w in units.show(pen.journal, NOW, "").boxes}
    assert (places["D-4"], places["D-9"]) == ("QM-116 DYN", "serviceable store")


def test_a_box_proved_by_a_walk_flies_again() -> None:
    pen = _record()
    _fit("QM-161", SPARE)(pen)
    assert _mission(pen, "QM-161") == "UNKNOWN"
    walk(pen, Scripted(lines("QM-161")), planned="", by=BT)
    assert _mission(pen, "QM-161") == "CAN"


# -- what is open on a box goes with it ------------------------------------------------------------


def _noisy(pen: Pen, tail: str = "QM-116", symbol: str = "/") -> str:
    told = Told(words="noisy", symbol=symbol, unit="DYN", weakens="tx", symptom="noise")
    return raise_defect(pen, tail, told, by=BT).split(" ")[0]


def test_what_is_open_on_a_box_comes_with_it_and_the_rest_of_the_donor_s_log_stays() -> None:
    """Source: whole-job C-15, donor's open entries do not travel, the unit's do."""
    pen = _record()
    _noisy(pen)
    raise_defect(pen, "QM-116", Told(words="seat torn"), by=BT)
    said = _move("QM-116")(pen)
    assert said == (
        "D-4 out of QM-116 DYN into QM-161 DYN. 116-S03 X: DYN removed for QM-161, not replaced. "
        "161-S01 /: came with D-4 from QM-116: 116-S01 noisy."
    )
    (came,) = pen.journal.facts("QM-161").open
    first = pen.journal.facts("QM-116").entry("116-S01")
    assert first is not None
    assert (came.unit, came.serial, came.weakens, came.symptom) == ("DYN", "D-4", ("tx",), "noise")
    assert came.found_at == first.found_at
    assert [e.number for e in pen.journal.facts("QM-116").open] == [
        "116-S01", "116-S02", "116-S03",
    ]  # fmt: skip


@pytest.mark.parametrize(("benched", "comes"), [(False, True), (True, False)])
def test_by_way_of_the_store_it_comes_with_the_box_until_the_bench_has_spoken(
    benched: bool, comes: bool
) -> None:
    """Source: whole-job C-15, a linked unserviceability goes with the box; the bench closes it."""
    pen = _record()
    _noisy(pen, symbol="X")
    _remove("QM-116", "serviceable store")(pen)
    if benched:
        _bench("D-4", "rectified")(pen)
    _fit("QM-161", "D-4")(pen)
    assert [e.text for e in pen.journal.facts("QM-161").open] == (
        ["came with D-4 from QM-116: 116-S01 noisy"] if comes else []
    )


def test_what_was_cleared_does_not_come_with_the_box_and_what_came_comes_on_once() -> None:
    pen = _record()
    number = _noisy(pen)
    act(pen, number, "action", ("brushes cleaned",), by=BT)
    act(replace(pen, author="DQ"), number, "clear", ("quiet",), by=By(doer="DQ"))
    _move("QM-116")(pen)
    assert pen.journal.facts("QM-161").open == ()
    _noisy(pen, "QM-161")
    _remove("QM-161", "serviceable store")(pen)
    _fit("QM-116", "D-4")(pen)
    _remove("QM-116", "serviceable store")(pen)
    _fit("QM-161", "D-4")(pen)
    texts = [e.text for e in pen.journal.facts("QM-161").open]
    assert texts[0] == "noisy"
    assert len([t for t in texts if "came with" in t]) == 1
