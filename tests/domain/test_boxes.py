"""Boxes: one place each, one to a position, moves told at both ends, history both ways."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.box_world import BY, SERIALS, SPARE, World, refused, swap, taking
from hardstand.domain import bodies as b
from hardstand.domain.boxes import BoxWork, Whereabouts, doubles
from hardstand.domain.unit_acts import (
    Swap,
    fit_in,
    move,
    read_off,
    shelving,
    take_out,
)


def test_a_box_fitted_from_the_store_takes_the_place_of_the_one_read_off() -> None:
    world = World()
    bodies = fit_in(world.aircraft("QM-164"), swap(SPARE, "W-3312"), world.box(SPARE), BY)
    assert isinstance(bodies, tuple)
    world.write("QM-164", bodies)
    assert world.works["QM-164"].serials["DYN-V"] == SPARE
    old, new = world.box("W-3312"), world.box(SPARE)
    assert old is not None
    assert new is not None
    assert (old.place, new.place) == ("unserviceable store", "QM-164 DYN-V")
    slot = world.works["QM-164"].result().slot("DYN-V")
    assert slot is not None
    assert len(slot.heads) == 1
    assert bodies[1].functions == ("v.tx",)  # type: ignore[union-attr]  # a UnitFitted


def test_a_move_between_aircraft_is_told_at_both_ends_and_leaves_an_x_on_the_donor() -> None:
    """Source: whole-job 7c, Wednesday 06:10."""
    world = World()
    found = move(
        world.aircraft("QM-170"), world.aircraft("QM-164"),
        taking("W-3317", "QM-164 DYN-V"), swap("W-3317", "W-3312"), BY,
    )  # fmt: skip
    assert isinstance(found, tuple)
    donor, receiver = found
    for tail, bodies in (("QM-170", donor), ("QM-164", receiver)):
        world.write(tail, bodies)
    removed, hole = donor
    assert isinstance(removed, b.UnitRemoved)
    assert isinstance(hole, b.DefectRaised)
    assert (hole.number, hole.symbol, hole.takes, hole.unit) == ("170-S01", "X", ("v.tx",), "DYN-V")
    assert hole.text == "DYN-V removed for QM-164, not replaced"
    assert removed.goes_to == "QM-164 DYN-V"
    assert isinstance(receiver[-1], b.UnitFitted)
    assert receiver[-1].source == "QM-170 DYN-V"
    assert [s.position for s in world.works["QM-170"].result().holes] == ["DYN-V"]
    assert world.works["QM-164"].serials["DYN-V"] == "W-3317"
    assert doubles(world.boxes()) == ()


@pytest.mark.parametrize(
    ("asked", "what"),
    [
        (swap("W-3317", "W-3312"), "CRW-8020 W-3317 is in QM-170 at DYN-V"),
        (swap("W-9999", "W-3312"), "no box CRW-8020 W-9999 is known"),
        (swap(SPARE), "DYN-V of QM-164 holds W-3312"),
        (swap(SPARE, "W-3313"), "DYN-V of QM-164: read W-3313, the record has W-3312"),
        (
            swap(SPARE, position="ANT-V"),
            "QM-164 carries fit V, which has no box at 'ANT-V'",
        ),
    ],
)
def test_what_would_put_a_box_in_two_places_is_refused(asked: Swap, what: str) -> None:
    world = World()
    found = refused(fit_in(world.aircraft("QM-164"), asked, world.box(asked.serial), BY))
    assert found.what == what
    assert found.hint


def test_nothing_is_taken_out_of_an_empty_place_nor_read_off_no_box() -> None:
    world = World()
    bodies = take_out(world.aircraft("QM-164"), taking("W-3312"), BY)
    assert isinstance(bodies, tuple)
    world.write("QM-164", bodies)
    at = world.aircraft("QM-164")
    gone = refused(take_out(at, taking("W-3312"), BY))
    assert gone.what == "DYN-V of QM-164: read W-3312, the record has no box there"
    for found in (take_out(at, taking(""), BY), read_off(at, "DYN-V", "", BY),
                  fit_in(at, swap(""), None, BY)):  # fmt: skip
        assert refused(found).what == "no serial is given"


def test_a_box_with_an_unserviceable_tag_cannot_be_fitted() -> None:
    world = World()
    world.write("", (b.UnitTagged(part="CRW-8020", serial=SPARE, tag="unserviceable", by=BY),))
    asked = swap(SPARE, "W-3312")
    found = refused(fit_in(world.aircraft("QM-164"), asked, world.box(SPARE), BY))
    assert found.what == f"CRW-8020 {SPARE} has an unserviceable tag"
    bench = b.UnitBenched(part="CRW-8020", serial=SPARE, result="no_fault_found", by=BY)
    world.write("", (bench,))
    again = fit_in(world.aircraft("QM-164"), asked, world.box(SPARE), BY)
    assert isinstance(again, tuple)


@pytest.mark.parametrize("state", ["unserviceable store", "bench", "lost"])
def test_only_the_bench_takes_an_unserviceable_tag_off(state: str) -> None:
    """Source: whole-job C-15, only the bench closes it."""
    box = Whereabouts(part="CRW-8020", serial=SPARE, place=state)
    tag = b.UnitTagged(part="CRW-8020", serial=SPARE, tag="serviceable", by=BY)
    found = refused(shelving(box, f"CRW-8020 {SPARE}", tag))
    assert found.rule == "only the bench takes an unserviceable tag off"
    assert shelving(box, "", replace(tag, tag="unserviceable")) == (
        replace(tag, tag="unserviceable"),
    )
    there = Whereabouts(part="CRW-8020", serial=SPARE, place="serviceable store")
    assert shelving(there, "", tag) == (tag,)


def test_a_scrapped_box_is_used_no_more() -> None:
    box = Whereabouts(part="CRW-8020", serial=SPARE, place="scrapped")
    bench = b.UnitBenched(part="CRW-8020", serial=SPARE, result="rectified", by=BY)
    found = refused(shelving(box, f"CRW-8020 {SPARE}", bench))
    assert found.what == f"CRW-8020 {SPARE} was scrapped"
    again = b.UnitReceived(part="CRW-8020", serial=SPARE, place="unserviceable store", by=BY)
    assert shelving(box, "", again) == (again,)


def test_a_tag_is_not_tied_to_a_box_in_an_aircraft() -> None:
    world = World()
    tag = b.UnitTagged(part="CRW-8020", serial="W-3312", tag="serviceable", by=BY)
    found = refused(shelving(world.box("W-3312"), "CRW-8020 W-3312", tag))
    assert found.what == "CRW-8020 W-3312 is in QM-164 DYN-V"
    unknown = replace(tag, serial="W-1")
    assert refused(shelving(None, "CRW-8020 W-1", unknown)).what == "no box CRW-8020 W-1 is known"


def test_a_serial_read_that_is_not_the_record_s_is_written_and_raised() -> None:
    """Source: whole-job scenario 81."""
    world = World()
    found = read_off(world.aircraft("QM-164"), "DYN-V", "W-3313", BY)
    assert isinstance(found, tuple)
    read, entry = found
    assert isinstance(read, b.UnitRead)
    assert isinstance(entry, b.DefectRaised)
    assert entry.symbol == "-"
    assert entry.text == "unit not as recorded: DYN-V read W-3313, the record had W-3312"
    assert read.functions == ("v.tx",)
    same = read_off(world.aircraft("QM-164"), "DYN-V", "W-3312", BY)
    assert isinstance(same, tuple)
    assert len(same) == 1
    assert same[0].functions == ()  # type: ignore[union-attr]  # a UnitRead


def test_a_box_moved_at_twice_by_people_who_had_not_seen_each_other_is_in_doubt() -> None:
    world = World()
    bodies = take_out(world.aircraft("QM-164"), taking("W-3312"), BY)
    assert isinstance(bodies, tuple)
    world.write("QM-164", bodies)
    unseen = read_off(World().aircraft("QM-164"), "DYN-V", "W-3312", BY)
    assert isinstance(unseen, tuple)
    world.seq += 1
    world.write("QM-164", unseen)
    assert [s.position for s in world.works["QM-164"].result().doubtful] == ["DYN-V"]


_TAILS = st.sampled_from(sorted(SERIALS))
_BOXES = st.sampled_from(("W-3312", "W-3317", SPARE))
_DEEDS: st.SearchStrategy[Callable[[World], None]]


def _fit_it(tail: str, serial: str, out: bool) -> Callable[[World], None]:
    def deed(world: World) -> None:
        at = world.aircraft(tail)
        asked = swap(serial, at.serial("DYN-V") if out else "")
        found = fit_in(at, asked, world.box(serial), BY)
        if isinstance(found, tuple):
            world.write(tail, found)

    return deed


def _take_it(tail: str, serial: str) -> Callable[[World], None]:
    def deed(world: World) -> None:
        found = take_out(world.aircraft(tail), taking(serial), BY)
        if isinstance(found, tuple):
            world.write(tail, found)

    return deed


def _move_it(tail: str, serial: str) -> Callable[[World], None]:
    other = next(t for t in SERIALS if t != tail)

    def deed(world: World) -> None:
        receiver = world.aircraft(other)
        found = move(
            world.aircraft(tail), receiver, taking(serial, f"{other} DYN-V"),
            swap(serial, receiver.serial("DYN-V")), BY,
        )  # fmt: skip
        if isinstance(found, tuple):
            world.write(tail, found[0])
            world.write(other, found[1])

    return deed


def _shelve_it(serial: str, kind: int) -> Callable[[World], None]:
    def deed(world: World) -> None:
        bodies = (
            b.UnitTagged(part="CRW-8020", serial=serial, tag="serviceable", by=BY),
            b.UnitTagged(part="CRW-8020", serial=serial, tag="unserviceable", by=BY),
            b.UnitBenched(part="CRW-8020", serial=serial, result="rectified", by=BY),
            b.UnitBenched(part="CRW-8020", serial=serial, result="scrapped", by=BY),
        )
        found = shelving(world.box(serial), f"CRW-8020 {serial}", bodies[kind])
        if isinstance(found, tuple):
            world.write("", found)

    return deed


_DEEDS = st.one_of(
    st.builds(_fit_it, _TAILS, _BOXES, st.booleans()),
    st.builds(_take_it, _TAILS, _BOXES),
    st.builds(_move_it, _TAILS, _BOXES),
    st.builds(_shelve_it, _BOXES, st.integers(0, 3)),
)


@given(st.lists(_DEEDS, max_size=12))
def test_whatever_is_done_every_box_is_in_one_place_and_no_box_is_lost(
    deeds: list[Callable[[World], None]],
) -> None:
    """Law: whole-job C-15; one state at a time, one box to a position, none comes or goes."""
    world = World()
    for deed in deeds:
        deed(world)
        boxes = world.boxes()
        assert sorted(box.serial for box in boxes) == sorted(
            ["V-6111", "V-6116", "W-3312", "W-3317", SPARE]
        )
        assert doubles(boxes) == ()
        for work in world.works.values():
            facts = work.result()
            assert facts.doubtful == ()
            assert {s.position for s in facts.holes} == {"TR-V", "DYN-V"} - set(work.serials)


@given(st.lists(_DEEDS, max_size=12))
def test_the_history_of_positions_and_of_boxes_tell_one_story(
    deeds: list[Callable[[World], None]],
) -> None:
    """Law: in a position times never overlap, and a box told from either side is at one place."""
    world = World()
    for deed in deeds:
        deed(world)
    inside: dict[tuple[str, str], str] = {
        (tail, position): serial
        for tail, serials in SERIALS.items()
        for position, serial in serials.items()
    }
    for tail, body in world.written:
        if isinstance(body, b.UnitRemoved):
            assert inside.pop((tail, body.position)) == body.serial
        elif isinstance(body, b.UnitFitted):
            assert (tail, body.position) not in inside
            assert body.serial not in inside.values()
            inside[tail, body.position] = body.serial
    now = {
        (tail, position): serial
        for tail, work in world.works.items()
        for position, serial in work.serials.items()
    }
    assert inside == now


@given(st.lists(_DEEDS, max_size=8), st.lists(_DEEDS, max_size=8))
def test_a_fold_gone_on_with_says_what_a_whole_one_does(
    before: list[Callable[[World], None]], after: list[Callable[[World], None]]
) -> None:
    world = World()
    for deed in before:
        deed(world)
    resumed = replace(
        world,
        works={t: BoxWork.after(t, w.serials, w.result()) for t, w in world.works.items()},
        shelf=dict(world.shelf), holes=dict(world.holes), written=[],
    )  # fmt: skip
    for deed in after:
        deed(world)
        deed(resumed)
    for tail, work in world.works.items():
        assert resumed.works[tail].result() == work.result()
        assert resumed.works[tail].serials == work.serials
