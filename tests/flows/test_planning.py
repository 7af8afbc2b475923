"""Tomorrow's flights: how many can be flown, what would help, by when walks must begin."""

from __future__ import annotations

from pathlib import Path

import pytest

from hardstand.domain.quantity import clock_time, zone
from hardstand.errors import NotThere, Usage
from hardstand.flows import planning
from hardstand.flows.demo_deeds import time
from hardstand.flows.past import Past
from hardstand.flows.planning import Plan
from hardstand.store.journal import SqlJournal
from hardstand.views.planning import text

ISLAND = zone("-03:00")


def plan(path: Path, at: str, wanted: str = "", take_off: str = "", people: int = 1) -> Plan:
    now = time(at)
    reading = Past(SqlJournal(path, read_only=True), now)
    return planning.plan(reading, now, planning.asked(wanted, take_off, people))


def test_two_of_three_night_mails_can_be_flown_and_what_is_too_few(monday: Path) -> None:
    found = plan(monday, "Mon 05:45", wanted="MAIL-N=3,SURVEY-N=1")
    assert found.cover is not None
    assert found.cover.sentence() == (
        "3 of 4 flights can be flown: 3 MAIL-N wanted, 2 airframes can."
    )
    assert [(h.tail, h.deed, h.gained) for h in found.helps if h.mission == "MAIL-N"] == [
        ("QM-104", "walk", 1), ("QM-110", "walk", 1), ("QM-113", "walk", 1), ("QM-166", "walk", 1),
    ]  # fmt: skip
    said = text(found, plain=True)
    assert "QM-104: walk it (no preflight); MAIL-N, 1 more flight if all is good" in said
    assert "Hardest mission first, each to the least capable airframe that will do." in said


def test_walks_begin_their_length_and_the_margin_before_take_off(monday: Path) -> None:
    """Source: whole-job S-01; margin 20 min, length as the list says, fewer than five walks."""
    found = plan(monday, "Mon 04:10", take_off="QM-110=06:20,QM-161=08:00")
    lengths = {s.tail: s.length.minutes for s in found.slots}
    for slot in found.slots:
        assert clock_time(slot.due, ISLAND) == {"QM-110": "06:00", "QM-161": "07:40"}[slot.tail]
    assert [s.tail for s in found.slots] == ["QM-110", "QM-161"]
    assert lengths["QM-110"] > lengths["QM-161"] > 0
    assert found.plain is not None
    assert found.plain.late == ()


def test_an_aircraft_with_a_preflight_in_date_at_off_block_needs_no_walk(monday: Path) -> None:
    found = plan(monday, "Mon 05:45", take_off="QM-107=06:10,QM-104=20:10")
    assert found.in_date == ("QM-107",)
    assert [s.tail for s in found.slots] == ["QM-104"]
    tomorrow = plan(monday, "Mon 05:45", take_off="QM-107=05:30")
    assert [s.tail for s in tomorrow.slots] == ["QM-107"]


def test_one_pair_of_hands_late_is_told_with_the_trade(monday: Path) -> None:
    take_off = "QM-110=06:20,QM-113=06:20,QM-166=06:20"
    found = plan(monday, "Mon 05:00", take_off=take_off)
    assert found.best is not None
    assert len(found.best.late) == 2
    three = plan(monday, "Mon 05:00", take_off=take_off, people=3)
    assert three.best is not None
    assert three.best.late == ()
    assert "With 3 pairs of hands, beginning now: None late." in text(three, plain=True)


@pytest.mark.parametrize(
    ("wanted", "take_off", "people", "what"),
    [
        ("MAIL-N", "", 1, "'MAIL-N' does not read."),
        ("", "QM-107=6:10", 1, "'QM-107=6:10' does not read."),
        ("", "QM-107=24:10", 1, "'QM-107=24:10' does not read."),
        ("MAIL-X=1", "", 1, "'MAIL-X' is no mission."),
        ("MAIL-N=1", "", 0, "--people 0 is nobody."),
    ],
)
def test_what_does_not_read_is_said_so(
    monday: Path, wanted: str, take_off: str, people: int, what: str
) -> None:
    with pytest.raises(Usage) as caught:
        plan(monday, "Mon 05:45", wanted, take_off, people)
    assert caught.value.what == what


def test_the_last_three_of_a_tail_are_enough_and_a_tail_nobody_has_is_said_so(monday: Path) -> None:
    found = plan(monday, "Mon 04:10", take_off="110=06:20")
    assert [s.tail for s in found.slots] == ["QM-110"]
    with pytest.raises(NotThere) as caught:
        plan(monday, "Mon 04:10", take_off="QM-999=06:10")
    assert caught.value.what == "There is no airframe 'QM-999' in this record."
