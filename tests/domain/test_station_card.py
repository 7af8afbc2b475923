"""Stations to use now, from the shipped fleet and list, against the printed block."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from domain.readings.blocks import block
from hardstand.domain.checklist import Checklist
from hardstand.domain.fleet import Daylight, Fleet
from hardstand.domain.station_card import Band, station_card, sun_on
from hardstand.flows.checking import check_files

TOP = Path(__file__).parents[2]
FILES = [*sorted(TOP.glob("checklists/*/*.yaml")), TOP / "demo/quennock/fleet.yaml"]
CHECKED = check_files([(str(f), f.read_bytes()) for f in FILES])
LIST: Checklist = next(c for c in CHECKED.checklists if c.fit == "H")
SUN = Daylight(since="03-01", rises="06:41", sets="18:52")
POSITION = {"LF": "RX-LF", "HF-A": "RX-HFA", "HF-B": "RX-HFB"}


def _fleet() -> Fleet:
    assert CHECKED.fleet is not None
    return CHECKED.fleet


def _bands(clock: str, *, sun: Daylight | None = SUN, days: int = 0) -> dict[str, Band]:
    found = station_card(LIST, _fleet().stations or {}, clock, sun, days)
    return {band.position: band for band in found}


@pytest.mark.parametrize("row", block("stations_now")[1], ids=lambda r: f"{r['local']} {r['band']}")
def test_the_shipped_stations_give_the_printed_block(row: dict[str, str]) -> None:
    """Whole-job C-3, block stations_now."""
    name, reach = row["band"].split(" ")
    band = _bands(row["local"])[POSITION[name]]
    assert f"{band.low}-{band.high}" == reach
    assert (len(band.usable), band.result) == (int(row["usable"]), row["result"])


def test_m_07_each_station_left_out_says_why() -> None:
    reasons = {h.ident: why for b in _bands("12:00").values() for h, why in b.left_out}
    assert reasons == {"HLO": "night only", "TOWER": "not a calibration point"}
    reasons = {h.ident: why for b in _bands("04:40").values() for h, why in b.left_out}
    assert reasons["MSH"] == reasons["AQX"] == reasons["VQX"] == "off the air"
    old = _bands("12:00", days=181)
    assert all(not band.usable for band in old.values())
    assert {why for b in old.values() for _, why in b.left_out} == {
        "list older than 180 days", "not a calibration point",
    }  # fmt: skip
    assert _bands("12:00", days=180) == _bands("12:00")


def test_without_a_table_of_daylight_what_hangs_on_it_is_left_out() -> None:
    reasons = {h.ident: why for b in _bands("12:00", sun=None).values() for h, why in b.left_out}
    assert reasons["HLO"] == reasons["AQX"] == "day or night not known"


def test_an_ident_is_shown_as_it_sounds() -> None:
    codes = {h.ident: h.code for b in _bands("05:15").values() for h in b.usable}
    assert codes["TK"] == "- -.-"
    assert codes["MSH"] == "-- ... ...."


def test_a_day_before_the_first_row_has_the_sun_of_the_last() -> None:
    table = (SUN, replace(SUN, since="10-01", rises="05:55", sets="18:05"))
    assert sun_on(table, "03-01") == SUN
    assert sun_on(table, "09-30") == SUN
    assert sun_on(table, "02-28") == table[1]
    assert sun_on((), "03-01") is None
