"""What an inspector's clearing writes: as what, with the placard, and the entry that follows.

Outside sources: TM 1-1520-240-BD para. c (a temporary repair is entered again), AMC M.A.403(d)
(the original date stays); 14 CFR 43.11(b) (placard); the look-after is whole-job M-16.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from hardstand.domain import bodies as b
from hardstand.domain.bodies import By
from hardstand.domain.clearing import Looked, clear
from hardstand.domain.codec import decode
from hardstand.domain.defects import Done
from hardstand.domain.entry import Entry
from hardstand.domain.facts import OpenEntry
from line_office import Office, at, done, refused


def _cleared(lines: tuple[Entry, ...]) -> b.DefectCleared:
    (found,) = (x for x in map(decode, lines) if isinstance(x, b.DefectCleared))
    return found


@pytest.mark.parametrize(("work", "looked", "reads", "look_after"), [
    ("rectified", "", "rectified", 0),
    ("could_not_duplicate", "", "could_not_duplicate", 5),
    ("rectified", "could_not_duplicate", "could_not_duplicate", 5),
    ("could_not_duplicate", "rectified", "rectified", 0),
])  # fmt: skip
def test_it_is_cleared_as_the_work_was_told_unless_the_inspector_says_otherwise(
    work: str, looked: str, reads: str, look_after: int
) -> None:
    office = Office()
    office.raises("Mon 08:00", "AF", "X", weakens=("lf.rx",))
    done(office.acts("Mon 10:00", "BT", Done(text="x", outcome=work)))  # type: ignore[arg-type]  # named by the test
    how = Looked(text="seen", outcome=looked)  # type: ignore[arg-type]  # named by the test
    found = _cleared(done(office.clears("Mon 11:00", "DQ", how=how)))
    assert (found.outcome, found.look_after) == (reads, look_after)
    assert len(office.facts().watched) == (reads == "could_not_duplicate")


def test_tv_1_17_what_follows_a_temporary_repair_is_the_same_entry_but_for_its_number() -> None:
    office = Office()
    office.raises(
        "Mon 08:00", "AF", "X", "hum", takes=("tx1",), weakens=("lf.rx",), untested=("mod",),
        step="ear", zone="cockpit", unit="RX-LF", symptom="hum", conditions="in cloud",
        found_at=at("Sun 08:00").replace("2027-03-14", "2027-03-07"),
    )  # fmt: skip
    done(office.acts("Mon 10:00", "BT", Done(text="taped", outcome="temporary")))
    before = office.entry()
    assert before is not None
    done(office.clears("Mon 11:00", "DQ"))
    (after,) = office.facts().open
    kept = (
        "symbol", "found_at", "logged_at", "takes", "weakens", "untested", "step", "zone", "unit",
        "serial", "symptom", "conditions",
    )  # fmt: skip
    assert {name: getattr(after, name) for name in kept} == {
        name: getattr(before, name) for name in kept
    }
    assert before.found_at < before.logged_at
    assert (after.number, after.successor_of, after.text, after.found_by) == (
        "107-S02", "107-S01", "temporary repair of 107-S01: hum", "DQ",
    )  # fmt: skip


def test_a_temporary_repair_of_a_temporary_repair_keeps_the_first_days() -> None:
    office = Office()
    office.raises("Mon 08:00", "AF", "X")
    days = []
    for day, number in (("Tue", "107-S01"), ("Thu", "107-S02"), ("Sat", "107-S03")):
        taped = Done(text="taped", outcome="temporary")
        done(office.acts(f"{day} 10:00", "BT", taped, number=number))
        done(office.clears(f"{day} 11:00", "DQ", number=number))
        (item,) = office.facts().open
        days.append((item.number, item.symbol, item.found_at, item.logged_at))
    first = at("Mon 08:00")
    assert days == [(f"107-S0{n}", "X", first, first) for n in (2, 3, 4)]


@pytest.mark.parametrize(("when", "reads"), [("Thu 23:59", "/"), ("Fri 00:00", "X")])
def test_what_follows_a_temporary_repair_counts_as_the_entry_counted(when: str, reads: str) -> None:
    """A deferral that has run out is not made good by a repair for a while: C-8, C-9."""
    office = Office()
    office.raises("Mon 08:00", "AF", "/")
    done(office.defers("Mon 09:00", "MS", "23-H-05", met=("jack", "told")))
    done(office.acts("Thu 10:00", "BT", Done(text="taped", outcome="temporary")))
    done(office.clears(when, "DQ", how=Looked(text="seen", placard_off=True)))
    (item,) = office.facts().open
    assert (item.number, item.symbol) == ("107-S02", reads)


def test_what_cannot_be_told_to_be_in_date_goes_on_as_x_after_a_temporary_repair() -> None:
    office = Office()
    office.raises("Mon 08:00", "AF", "/")
    done(office.defers("Mon 09:00", "MS", "23-H-05", met=("jack", "told")))
    done(office.acts("Tue 10:00", "BT", Done(text="taped", outcome="temporary")))
    how, by = Looked(text="seen", placard_off=True), By(doer="YB")
    found = office.does(
        "Tue 11:00", "YB",
        lambda f, c: clear(f, "107-S01", how, by, replace(c, trusted=False), device="S"),
    )  # fmt: skip
    done(found)
    assert [e.symbol for e in office.facts().open] == ["X"]


def test_a_placard_comes_off_when_its_entry_is_cleared_for_a_while_too() -> None:
    office = Office()
    office.raises("Mon 08:00", "AF", "/")
    done(office.defers("Mon 09:00", "MS"))
    done(office.acts("Mon 10:00", "BT", Done(text="taped", outcome="temporary")))
    told = refused(office.clears("Mon 11:00", "DQ"))
    assert (told.what, told.rule, told.hint) == (
        "placard for 107-S01 is recorded ON",
        "a placard is counted off the aircraft when its entry is cleared",
        "Take it off, then say so: --placard-off",
    )
    done(office.clears("Mon 11:00", "DQ", how=Looked(text="seen", placard_off=True)))
    facts = office.facts()
    assert facts.lines == ()
    assert [_words(e) for e in office.lines["S"] if e.kind == "ledger.moved"] == [
        'placard "use ALL": on the switch', "taken off at clearing",
    ]  # fmt: skip
    (item,) = facts.open
    assert item.deferral is None


def _words(entry: Entry) -> str:
    body = decode(entry)
    assert isinstance(body, b.LineMoved)
    return body.words


def test_an_entry_reads_back_as_it_was_raised() -> None:
    office = Office()
    office.raises(
        "Mon 08:00", "AF", "-", "hum", takes=("tx1",), weakens=("lf.rx",), untested=("mod",),
        step="ear", zone="cockpit", unit="RX-LF", symptom="low hum", conditions="in cloud",
        found_at=at("Mon 07:00"),
    )  # fmt: skip
    (item,) = office.facts().open
    line = office.lines["S"][0]
    told = item.acts[0]
    assert (told.ref, told.at, told.by, told.what) == ("S-1", line.at, "AF", "raised -: hum")
    assert item == OpenEntry(
        number="107-S01", symbol="-", text="hum", found_at=at("Mon 07:00"), found_by="AF",
        state="open", takes=("tx1",), weakens=("lf.rx",), untested=("mod",), unit="RX-LF",
        serial="L-2207", zone="cockpit", step="ear", acts=(told,), heads=(line.digest.hex(),),
        logged_at=at("Mon 08:00"), symptom="low hum", conditions="in cloud",
    )  # fmt: skip
