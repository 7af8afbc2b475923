"""The golden boards of the Quennock week: every cell, each at its time, from one record."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest

from domain.readings.blocks import block
from hardstand.domain.quantity import Instant, day_time, zone
from scenarios.stage import hardstand

ISLAND = zone("-03:00")
DAYS = {"Mon": 8, "Tue": 9, "Wed": 10, "Thu": 11, "Fri": 12, "Sat": 13, "Sun": 14}
MISSIONS = ("MAIL-D", "MAIL-N", "SURVEY-N", "SURVEY-F")
_ROWS = block("golden_boards")[1]
_TIMES = tuple(dict.fromkeys(row["at"] for row in _ROWS))


def at(words: str) -> str:
    """A time of the week as it is typed after --at."""
    day, clock = words.split()
    return f"2027-03-{DAYS[day]:02d}T{clock}-03:00"


def asked(week: Path, *words: str) -> Any:
    """What a command prints as JSON."""
    told = hardstand(week, *words, "--json")
    assert told.status == 0, told.err
    return told.tree


@pytest.fixture(scope="module")
def boards(week: Path) -> dict[str, dict[str, Any]]:
    """Per time and tail, what status says."""
    return {
        when: {a["tail"]: a for a in asked(week, "status", "--at", at(when))["airframes"]}
        for when in _TIMES
    }


@pytest.fixture(scope="module")
def open_lists(week: Path) -> dict[str, list[Any]]:
    """Per time, what open says."""
    return {when: asked(week, "open", "--at", at(when))["items"] for when in _TIMES}


def _id(row: dict[str, str]) -> str:
    return f"{row['at']} {row['tail']}"


@pytest.mark.parametrize("row", _ROWS, ids=_id)
def test_an_airframe_reads_the_symbol_and_preflight_printed(
    row: dict[str, str], boards: dict[str, dict[str, Any]]
) -> None:
    found = boards[row["at"]][row["tail"]]
    assert found["symbol"] == row["symbol"]
    preflight = found["preflight"]
    until = day_time(Instant(preflight["until"]), ISLAND) if preflight["until"] else ""
    said = {"none": "none", "in_date": f"to {until}", "ran_out": f"ran out {until}"}
    assert said[preflight["state"]] == row["preflight"]


@pytest.mark.parametrize("row", _ROWS, ids=_id)
def test_an_airframe_can_fly_what_is_printed(
    row: dict[str, str], boards: dict[str, dict[str, Any]]
) -> None:
    missions = boards[row["at"]][row["tail"]]["missions"]
    assert {name: missions[name] for name in MISSIONS} == {name: row[name] for name in MISSIONS}


@pytest.mark.parametrize("row", _ROWS, ids=_id)
def test_the_ferry_is_flown_by_day_by_what_is_not_barred(
    row: dict[str, str], boards: dict[str, dict[str, Any]]
) -> None:
    """Source: whole-job 7l; sunrise 06:41, sunset 18:52."""
    ferry = boards[row["at"]][row["tail"]]["missions"]["FERRY-D"]
    by_day = "06:41" <= row["at"].split()[1] < "18:52"
    expected = "BARRED" if row["symbol"] == "X" else "CAN WITH LIMITS" if by_day else "CANNOT"
    assert ferry == expected


@pytest.mark.parametrize("row", _ROWS, ids=_id)
def test_an_airframe_has_open_what_is_printed(
    row: dict[str, str], open_lists: dict[str, list[Any]]
) -> None:
    here = [i for i in open_lists[row["at"]] if i["tail"] == row["tail"]]
    assert sorted(_printed(item) for item in here) == sorted(filter(None, row["open"].split("|")))


def _printed(item: dict[str, Any]) -> str:
    """An open entry as the board prints it: `104-S01 /→X run out (4; 11 Mar)`."""
    symbol = item["symbol"]
    ran_out = symbol != item["raised"]
    shown = f"{item['raised']}→{symbol} run out" if ran_out else symbol
    if item["runs_out"] is None:
        return f"{item['entry']} {shown} ({item['age_days']})"
    last = date.fromisoformat(day_before(item["runs_out"]))
    return f"{item['entry']} {shown} ({item['age_days']}; {last.day} {last:%b})"


def day_before(runs_out: str) -> str:
    """The local day at whose end that is: island days end at 03:00 UTC."""
    day, clock = runs_out.rstrip("Z").split("T")
    assert clock == "03:00:00"
    return date.fromordinal(date.fromisoformat(day).toordinal() - 1).isoformat()
