"""hardstand card: what is printed from a record, and what is said when there is nothing."""

from __future__ import annotations

from pathlib import Path

import pytest

from hardstand.domain.bodies import By
from scenarios.stage import Told, hardstand, pen_at, sit

BTR = By(doer="BTR")
MONDAY = "2027-03-08T04:35-03:00"


@pytest.fixture(scope="module")
def walked(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo before Monday's walks, three aircraft walked up to the filter."""
    path = tmp_path_factory.mktemp("cards") / "quennock.db"
    built = hardstand(None, "demo", str(path), "--until", "2027-03-08T04:00-03:00")
    assert built.status == 0, built.err
    pen = pen_at(path, MONDAY, author="BTR")
    sit(pen, "QM-107", until="filter-all", by=BTR)
    sit(pen, "QM-101", until="filter-all", then=["z", "s", "1"], by=BTR)
    sit(pen, "QM-166", {"dial-lf-329": ["239", "332"]}, until="filter-all", by=BTR)
    return path


def card(record: Path, *words: str) -> Told:
    return hardstand(record, "card", *words)


def test_a_dial_card_is_the_receivers_and_not_the_aircrafts(walked: Path) -> None:
    told = card(walked, "dial", "l-2216")
    assert told.status == 0, told.err
    lines = told.out.splitlines()
    assert lines[:2] == [
        "DEMO RECORD — example limits, its own clock.", "DIAL CARD  RX-LF  serial L-2216",
    ]  # fmt: skip
    assert [line.split()[:3] for line in lines[4:7]] == [
        ["212", "214", "+2"], ["329", "332", "+3"], ["446", "450", "+4"],
    ]  # fmt: skip
    assert "too close" in lines[4]
    assert "Not covered below 212 and above 446 kHz: no figure is given there." in lines
    assert max(len(line) for line in lines) <= 72


def test_a_number_looked_at_again_is_not_on_the_card(walked: Path) -> None:
    assert "239" not in card(walked, "dial", "L-2216").out


def test_a_reading_taken_back_is_not_on_the_card(walked: Path) -> None:
    told = card(walked, "dial", "B-2601").out
    assert told.count("QM-101") == 1
    assert "8000" not in told
    assert "One point: no line." in told


def test_a_serial_nobody_read_names_those_that_were(walked: Path) -> None:
    told = card(walked, "dial", "L-9999")
    assert told.status == 1
    known = "A-2401, A-2407, A-2416, B-2601, B-2607, B-2616, L-2201, L-2207, L-2216"
    assert told.err.splitlines() == [
        "The record holds no dial reading of serial L-9999.", f"Serials with readings: {known}.",
    ]  # fmt: skip


def test_a_call_card_says_who_is_on_watch_now_and_what_to_say(walked: Path) -> None:
    told = card(walked, "call", "161", "--at", "2027-03-08T05:15-03:00")
    assert told.status == 0, told.err
    assert "7.02  CHANNEL 1  122.1 MHz  Tarrick Tower" in told.out
    assert "ON WATCH now: Tarrick Tower on CHANNEL 1, 04:30-22:45 local." in told.out
    assert "NOT on watch now: keeper at Great Fennoway" in told.out
    assert "Say: Tarrick Tower, QM-161, RADIO CHECK, 122.1. ONE, TWO, THREE." in told.out
    assert "10 s at most, from key down to key up." in told.out
    assert max(map(len, told.out.splitlines())) <= 72
    noon = card(walked, "call", "161", "--at", "2027-03-08T12:00-03:00")
    assert "ON WATCH now: keeper at Great Fennoway" in noon.out


def test_the_stations_to_use_now_are_told_with_the_sound_of_their_idents(walked: Path) -> None:
    told = card(walked, "stations", "107", "--at", "2027-03-08T04:40-03:00")
    assert told.status == 0, told.err
    assert "RX-LF  200 to 500 kHz  part: fifth 5 missing" in told.out
    assert "   329  TK   - -.-" in told.out
    assert "   446  MSH  not now: off the air" in told.out
    assert max(map(len, told.out.splitlines())) <= 72
    noon = card(walked, "stations", "107", "--at", "2027-03-08T12:00-03:00").out
    assert "RX-HFB  5600 to 9400 kHz  full" in noon
    assert "   271  HLO  not now: night only" in noon
    none = card(walked, "stations", "161")
    assert none.err.splitlines()[0] == (
        "No list adopted for QM-161, fit V, reads the dial of a receiver."
    )


def test_an_unknown_tail_or_meter_is_told_with_exit_1(walked: Path) -> None:
    assert card(walked, "call", "QM-999").status == 1
    told = card(walked, "gear", "M-3")
    assert (told.status, told.err.splitlines()[-1]) == (1, "It has: none.")
