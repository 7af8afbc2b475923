"""Scenarios that the Quennock week plays by itself; names carry their numbers.

Source: whole-job 4 and 7.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from demo import quennock_rules as rules
from scenarios.stage import hardstand


def at(when: str) -> str:
    """A time of the week as typed after --at."""
    return f"{rules.local(when).isoformat()[:16]}-03:00"


def board(week: Path, when: str) -> list[str]:
    return hardstand(week, "board", "--at", at(when)).out.splitlines()


def test_scenario_42_a_fix_that_did_not_hold_is_told_on_both_entries(week: Path) -> None:
    told = hardstand(week, "why", "107-A03", "--at", at("Thu 06:00")).out
    assert (
        "before: 107-A02 2027-03-08: could not duplicate on battery; bond strap remade, "
        "1.1 milliohm; it did not hold"
    ) in told
    lines = board(week, "Thu 06:00")
    assert "DID NOT HOLD QM-107: 107-A02 was cleared, 107-A03 reports it again." in lines
    assert not [x for x in board(week, "Wed 06:00") if x.startswith("DID NOT HOLD")]


def test_scenario_42_the_third_report_counts_them_all_and_names_what_was_done(week: Path) -> None:
    (line,) = [x for x in board(week, "Sat 09:00") if x.startswith("REPEAT QM-107")]
    assert line == (
        "REPEAT QM-107: hum, 3 reports in 6 flights (107-A02, 107-A03, 107-S02); did not hold: "
        "107-A02, 107-A03. Done before: could not duplicate on battery; bond strap remade, "
        "1.1 milliohm; bond strap of the LF tray renewed."
    )
    told = hardstand(week, "why", "107-S02", "--at", at("Sat 09:00")).out
    befores = [x.strip() for x in told.splitlines() if x.startswith("  before:")]
    assert [x.split()[1] for x in befores] == ["107-A03", "107-A02"], "the last fix first"


@pytest.mark.parametrize(
    ("when", "line"),
    [
        ("Wed 23:59", "OPEN"),
        ("Thu 00:00", "DUE"),
        ("Thu 23:59", "DUE"),
        ("Fri 00:00", "GROUNDS"),
    ],
)
def test_scenario_46_what_runs_out_at_midnight_is_due_the_day_before_and_grounds_after(
    week: Path, when: str, line: str
) -> None:
    here = next(x for x in board(week, when) if " 104-S01 " in x and "QM-104" in x[:20])
    assert here.startswith(line)


def test_scenario_46_a_walk_over_midnight_is_judged_at_off_block(week: Path) -> None:
    """The walk of Thursday 17:43 is in date on Friday at 06:05; the aircraft is at X all the same.

    Source: whole-job 7l.
    """
    tree = hardstand(week, "status", "104", "--at", at("Fri 06:05"), "--json").tree
    (found,) = tree["airframes"]
    assert (found["symbol"], found["preflight"]["state"]) == ("X", "in_date")


def test_scenario_47_flown_with_a_deferral_run_out_names_the_hours_and_keeps_the_x(
    week: Path,
) -> None:
    lines = board(week, "Fri 08:45")
    assert (
        "IRREGULARITY QM-104: MAIL-N RA, off Fri 06:05: off-block 6 h 05 min after the run-out of "
        "104-S01."
    ) in lines
    told = hardstand(week, "flight", "list", "QM-104").out
    assert "off-block 6 h 05 min after the run-out of 104-S01" in told
    kept = hardstand(week, "record", "history", "RA").out.splitlines()
    paper = next(x for x in kept if " accepted LATE" in x and "QM-104" in x)
    assert "paper True" in paper
    assert "list_of 2027-03-10T21:10:00Z" in paper, "the list it was made on stands beside it"
    stands = hardstand(week, "status", "104", "--at", at("Fri 09:00"), "--json").tree
    assert stands["airframes"][0]["symbol"] == "X"
    assert [x for x in board(week, "Sun 18:00") if x.startswith("IRREGULARITY QM-104")]


def test_scenario_48_an_irregularity_is_never_hidden_only_counted_after_a_month(
    week: Path,
) -> None:
    told = hardstand(week, "board", "--at", "2027-04-10T06:00-03:00").out
    assert "IRREGULARITY QM-104: MAIL-N RA, off 2027-03-12 06:05 -03:00: off-block" in told
    later = hardstand(week, "board", "--at", "2027-04-12T06:00-03:00").out
    assert "IRREGULARITY QM-104" not in later
    assert "IRREGULARITY: 1 over 30 days old: hardstand flight list." in later


def test_scenario_100_every_preflight_runs_out_by_itself(week: Path) -> None:
    """A week after the last line of it."""
    told = hardstand(week, "board", "--at", "2027-03-21T18:00-03:00").out
    assert "No entry since 2027-03-14 " in told
    tree = hardstand(week, "status", "--at", "2027-03-21T18:00-03:00", "--json").tree
    assert {a["preflight"]["state"] for a in tree["airframes"]} == {"none", "ran_out"}


def test_scenario_97_no_report_says_who_is_the_slowest(week: Path) -> None:
    """Source: human-factors REC-05, REC-08; no command or option asks for it."""
    for words in (("--help",), ("board", "--help"), ("people", "--help"), ("walks", "--help")):
        told = hardstand(week, *words).out.lower()
        assert not [w for w in ("slow", "fastest", "rank", "score") if w in told]
