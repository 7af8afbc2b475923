"""Boxes through the record: fitted, moved in one write, read off, tagged, told both ways."""

from __future__ import annotations

from pathlib import Path

import pytest

from hardstand.domain import bodies as b
from hardstand.domain.putting_off import PutOff
from hardstand.domain.unit_acts import Swap, Taking
from hardstand.errors import NotThere, Refusal
from hardstand.flows import units
from hardstand.flows.cards import dial
from hardstand.flows.demo_deeds import time
from hardstand.flows.pen import Pen
from hardstand.flows.queries import board
from quennock_morning import by, handed, pen

_NOW = time("Mon 06:00")


class Standing:
    """The journal as a reading, for verdicts."""

    def __init__(self, at: Pen) -> None:
        from hardstand.flows.past import Past

        self.past = Past(at.journal, at.clock.now())


def swap(serial: str, out: str = "", position: str = "MOD") -> Swap:
    return Swap(position=position, serial=serial, out=out, reason="low modulation")


def test_a_box_from_the_store_makes_its_functions_unknown_until_proved(monday: Path) -> None:
    """Source: whole-job C-15."""
    nh = pen(monday, "NH", "Mon 06:00")
    said = units.fit(nh, "QM-101", swap("M-5140", "M-5101"), by=by("NH"))
    assert said == "QM-101 MOD: M-5140 in, M-5101 out to the unserviceable store."
    found = board(Standing(nh).past, _NOW, "101").verdicts[0]
    said_of = {f.mission: (f.word, f.why) for f in found.missions}
    assert said_of["MAIL-D"] == (
        "UNKNOWN",
        "to be proved: mod (not tested since MOD M-5140 fitted from serviceable store)",
    )
    assert found.symbol == "clear"


def test_a_move_is_one_write_and_leaves_an_x_on_the_donor(monday: Path) -> None:
    nh = pen(monday, "NH", "Mon 06:00")
    before = nh.journal.heads()["S"].seq
    asked = Swap(
        position="DYN-V", serial="W-3317", out="W-3312", reason="noisy", ordered_by="MS",
        entry="164-C02",
    )  # fmt: skip
    said = units.move(nh, "QM-170", "DYN-V", "QM-164", asked, by=by("NH"))
    assert said == (
        "W-3317 out of QM-170 DYN-V into QM-164 DYN-V. 170-S08 X: DYN-V removed for QM-164, not "
        "replaced. Next: hardstand defect action 164-C02"
    )
    lines = [e for e in nh.journal.entries() if e.device == "S" and e.seq > before]
    assert [(e.airframe, e.kind) for e in lines] == [
        ("QM-170", "unit.removed"), ("QM-170", "defect.raised"),
        ("QM-164", "unit.removed"), ("QM-164", "unit.fitted"),
    ]  # fmt: skip
    assert len({e.at for e in lines}) == 1
    both = units.show(nh.journal, _NOW, "W-3317")
    assert [w.place for w in both.boxes] == ["QM-164 DYN-V"]
    assert [line.tail for line in both.lines] == ["QM-170", "QM-164"]
    donor = units.show(nh.journal, _NOW, "QM-170")
    assert donor.empty == ("DYN-V",)


def test_a_hole_counts_as_x_whatever_becomes_of_its_entry(monday: Path) -> None:
    """Source: whole-job C-15, every hole counts as X unless a list item permits it."""
    nh = pen(monday, "NH", "Mon 06:00")
    out = Taking(position="TX-2", serial="U-1301", goes_to="unserviceable store", reason="dead",
                 symbol="/")  # fmt: skip
    units.remove(nh, "QM-101", out, by=by("NH"))
    found = board(Standing(nh).past, _NOW, "101").verdicts[0]
    assert found.symbol == "X"
    texts = [r.text for r in found.reasons if r.column == "symbol"]
    assert texts[0] == "X — TX-2 is empty: TX-2 U-1301 removed to unserviceable store"
    from hardstand.flows.deferring import defer

    ms = handed(nh, "MS", "Mon 06:01")
    asked = PutOff(item="23-H-03", met=("no survey today",), reason="transmitter on order")
    defer(ms, "101-S01", asked, by=by("MS"))
    after = board(Standing(ms).past, time("Mon 06:02"), "101").verdicts[0]
    assert after.symbol == "/"
    assert {f.mission: f.word for f in after.missions}["SURVEY-N"] == "CANNOT"
    assert {f.mission: f.word for f in after.missions}["MAIL-N"] == "CAN"


def test_only_a_lead_orders_a_box_from_one_aircraft_into_another(monday: Path) -> None:
    """Source: whole-job authority 26."""
    nh = pen(monday, "NH", "Mon 06:00")
    with pytest.raises(Refusal) as caught:
        units.move(nh, "QM-170", "DYN-V", "QM-164",
                   Swap(position="DYN-V", serial="W-3317", out="W-3312", reason="noisy"),
                   by=by("NH"))  # fmt: skip
    assert caught.value.lines() == (
        "NH does not order a box from one aircraft into another.",
        "Rule: it needs shift lead; NH is technician",
        "Who could: MS (shift lead), OH (shift lead)",
        "Nothing was written.",
        "Name who ordered it: --ordered-by INITIALS",
    )
    assert units.show(nh.journal, _NOW, "QM-170").empty == ()


def test_a_box_in_an_aircraft_is_not_fitted_into_another(monday: Path) -> None:
    nh = pen(monday, "NH", "Mon 06:00")
    with pytest.raises(Refusal) as caught:
        units.fit(nh, "QM-101", swap("M-5113", "M-5101"), by=by("NH"))
    assert caught.value.what == "CRW-3010 M-5113 is in QM-113 at MOD"
    assert caught.value.hint == "hardstand unit move QM-113 MOD QM-101 MOD"


def test_a_serial_read_that_differs_is_written_with_an_entry(monday: Path) -> None:
    nh = pen(monday, "NH", "Mon 06:00")
    assert units.read(nh, "QM-101", "MOD", "m-5101", by=by("NH")) == (
        "QM-101 MOD: read M-5101. As recorded."
    )
    said = units.read(nh, "QM-101", "MOD", "M-5111", by=by("NH"))
    assert said == (
        "QM-101 MOD: read M-5111. 101-S01 -: unit not as recorded: MOD read M-5111, the record had "
        "M-5101."
    )


def test_the_bench_closes_what_goes_with_the_box(monday: Path) -> None:
    nh = pen(monday, "NH", "Mon 06:00")
    units.fit(nh, "QM-101", swap("M-5140", "M-5101"), by=by("NH"))
    for result, place in (
        ("in", "bench"), ("no_fault_found", "serviceable store"), ("scrapped", "scrapped"),
    ):  # fmt: skip
        body = b.UnitBenched(part="", serial="M-5101", result=result, by=by("BT"))  # type: ignore[arg-type]  # each a result
        assert units.shelve(nh, body) == f"CRW-3010 M-5101: {place}."
    with pytest.raises(Refusal) as caught:
        units.fit(nh, "QM-101", swap("M-5101", "M-5140"), by=by("NH"))
    assert caught.value.what == "CRW-3010 M-5101 was scrapped"


def test_a_box_removed_the_third_time_for_one_thing_is_a_rogue(monday: Path) -> None:
    """Source: whole-job C-16, C-4410; two removals stand on its card."""
    bt = pen(monday, "BT", "Fri 10:20")
    known = units.show(bt.journal, time("Fri 10:20"), "C-4410")
    assert known.rogues == ()
    assert [line.tail for line in known.lines] == ["QM-101", "QM-113", "QM-104"]
    asked = Swap(
        position="CTL-T", serial="C-4431", out="C-4410", reason="sidetone in and out",
        symptom="sidetone in and out",
    )  # fmt: skip
    units.fit(bt, "QM-104", asked, by=by("BT"))
    (rogue,) = units.show(bt.journal, time("Fri 10:21"), "C-4410").rogues
    assert (rogue.serial, rogue.days, len(rogue.removals)) == ("C-4410", 115, 3)


def test_what_was_read_on_a_box_stays_with_its_serial_wherever_it_goes(monday: Path) -> None:
    """Source: whole-job S-06, the card stays with the receiver; C-15, results of the box tested."""
    nh = pen(monday, "NH", "Mon 06:00")
    before = dial(nh.journal, "L-2207")
    asked = Swap(position="RX-LF", serial="L-2240", out="L-2207", reason="hum")
    units.fit(nh, "QM-107", asked, by=by("NH"))
    assert dial(nh.journal, "L-2207") == before
    with pytest.raises(NotThere) as caught:
        dial(nh.journal, "L-2240")
    assert caught.value.what == "The record holds no dial reading of serial L-2240."
    found = board(Standing(nh).past, time("Mon 06:01"), "107").verdicts[0]
    night = next(f for f in found.missions if f.mission == "MAIL-N")
    assert night.word == "UNKNOWN"
    assert "lf.rx (not tested since RX-LF L-2240 fitted from serviceable store)" in night.why


def test_a_box_or_tail_nobody_knows_is_said_so(monday: Path) -> None:
    nh = pen(monday, "NH", "Mon 06:00")
    with pytest.raises(NotThere) as caught:
        units.show(nh.journal, _NOW, "M-9999")
    assert caught.value.what == "'M-9999' is neither a box nor a tail of this record."
