"""The Monday of the demo week, as the Quennock paper says it must stand at 06:00.

The board is the week's own acceptance table, "Mon 06:00".
"""

from __future__ import annotations

from pathlib import Path

from scenarios.stage import hardstand

AT = "2027-03-08T06:00-03:00"
BOARD = {
    "QM-101": ("clear", "in_date", "2027-03-09T08:26:00Z", []),
    "QM-104": ("clear", "none", None, []),
    "QM-107": ("/", "in_date", "2027-03-09T08:24:00Z", ["107-A01"]),
    "QM-110": ("/", "none", None, ["110-S03"]),
    "QM-113": ("clear", "none", None, []),
    "QM-116": ("clear", "none", None, []),
    "QM-161": ("-", "in_date", "2027-03-09T08:16:00Z", ["161-C01"]),
    "QM-164": ("/", "none", None, ["164-S05"]),
    "QM-166": ("clear", "none", None, []),
    "QM-170": ("X", "none", None, ["170-S07"]),
}
AGES = {"107-A01": 0, "110-S03": 47, "161-C01": 0, "164-S05": 6, "170-S07": 17}


def test_monday_0600_symbol_preflight_and_open_entries(week: Path) -> None:
    tree = hardstand(week, "status", "--at", AT, "--json").tree
    found = {
        one["tail"]: (
            one["symbol"], one["preflight"]["state"], one["preflight"]["until"], one["open"]
        )
        for one in tree["airframes"]
    }  # fmt: skip
    assert found == BOARD


def test_monday_0600_ages_are_local_days_since_found(week: Path) -> None:
    tree = hardstand(week, "open", "--at", AT, "--json").tree
    assert {item["entry"]: item["age_days"] for item in tree["items"]} == AGES
    assert tree["hidden"] == 0


def test_the_demo_built_twice_has_the_same_digests(week: Path, tmp_path: Path) -> None:
    again = tmp_path / "again.db"
    assert hardstand(None, "demo", str(again)).status == 0
    first, second = (hardstand(path, "record", "verify") for path in (week, again))
    assert first.status == 0
    assert first.out == second.out


def test_what_stops_107_since_when_and_who_has_it_takes_two_commands(week: Path) -> None:
    said = hardstand(week, "status", "107", "--at", AT).out
    assert "QM-107" in said
    entry = "107-A01 red diagonal, deferred to 18 Mar 24:00"
    assert f"{entry}: range filter switch does not stay in VOICE" in said
    told = hardstand(week, "why", "107-A01", "--at", AT).out
    assert "found: 2027-03-08 05:09 -03:00 by IO" in told
