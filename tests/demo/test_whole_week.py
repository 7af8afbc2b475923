"""The week against a second program that reads only the paper's tables; and its last lists."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

import pytest

from demo import quennock_rules as rules
from domain.readings.blocks import block
from hardstand.domain.flight_facts import Flown, flown_of
from hardstand.domain.quantity import Instant, parse_instant
from hardstand.domain.verdict import Verdict
from hardstand.flows.leading import LeadBoard, lead_board
from hardstand.flows.past import Past
from hardstand.flows.queries import board
from hardstand.store.journal import SqlJournal
from scenarios.stage import hardstand

BEGIN, END = rules.local("Mon 00:07"), rules.local("Sun 18:00")
_EVERY_TWO_HOURS = [
    BEGIN + timedelta(hours=2 * n) for n in range(int((END - BEGIN) / timedelta(hours=2)) + 1)
]
_AS_THINGS_HAPPEN = sorted(
    {at for e in rules.ENTRIES for at, _ in e.symbols if BEGIN <= at <= END}
    | {w.end for w in rules.FINISHED}
    | {e.closed for e in rules.ENTRIES if e.closed and BEGIN <= e.closed <= END}
)
FLIGHTS = block("quennock_flights")[1]


def instant(at: datetime) -> Instant:
    found = parse_instant(f"{at.isoformat()[:16]}-03:00")
    assert found is not None
    return found


@pytest.fixture(scope="module")
def journal(week: Path) -> SqlJournal:
    return SqlJournal(week, read_only=True)


@pytest.fixture(scope="module")
def sunday(journal: SqlJournal) -> LeadBoard:
    return lead_board(Past(journal, instant(END)), instant(END))


@pytest.fixture(scope="module")
def flown(journal: SqlJournal) -> dict[str, Flown]:
    return {tail: flown_of(journal.facts(tail)) for tail in rules.TAILS}


@pytest.mark.parametrize(
    "times", [_EVERY_TWO_HOURS, _AS_THINGS_HAPPEN], ids=["every two hours", "as things happen"]
)
def test_the_boards_are_those_of_a_second_program(
    journal: SqlJournal, times: list[datetime]
) -> None:
    """Reference: quennock_rules, which reads the tables of walks and entries alone."""
    differ = []
    for at in times:
        stand = board(Past(journal, instant(at)), instant(at))
        for v in stand.verdicts:
            expected = rules.board(v.tail, at)
            until = instant(expected.until) if expected.until else None
            wanted = (
                expected.symbol, expected.preflight, until, expected.missions, set(expected.open)
            )  # fmt: skip
            if _said(v) != wanted:
                differ.append((at.isoformat(), v.tail, _said(v), wanted))
    assert not differ


def _said(v: Verdict) -> tuple[str, str, Instant | None, dict[str, str], set[str]]:
    missions: dict[str, str] = {f.mission: f.word for f in v.missions}
    numbers = {s.entry.number for s in v.open}
    return v.symbol, v.preflight.state, v.preflight.until, missions, numbers


def test_a_deferral_runs_out_at_midnight_with_nothing_entered(week: Path) -> None:
    """Source: whole-job 7l, Thursday 23:59 and Friday 00:00."""
    for at, symbol in (("2027-03-11T23:59", "/"), ("2027-03-12T00:00", "X")):
        told = hardstand(week, "status", "104", "--at", f"{at}-03:00", "--json").tree
        assert told["airframes"][0]["symbol"] == symbol


@pytest.mark.parametrize("row", FLIGHTS, ids=lambda r: f"flight {r['n']}")
def test_a_flight_left_under_the_symbol_printed(journal: SqlJournal, row: dict[str, str]) -> None:
    at = instant(rules.local(row["off"]))
    stand = board(Past(journal, at), at)
    assert next(v.symbol for v in stand.verdicts if v.tail == row["tail"]) == row["symbol"]


@pytest.mark.parametrize("row", FLIGHTS, ids=lambda r: f"flight {r['n']}")
def test_a_flight_ended_in_the_report_printed(flown: dict[str, Flown], row: dict[str, str]) -> None:
    off = instant(rules.local(row["off"]))
    flight = next(f for f in flown[row["tail"]].last if f.off == off)
    assert (flight.pilot, flight.mission) == (row["pilot"], row["flight"])
    day = row["off"].split()[0]
    assert flight.on == instant(rules.local(f"{day} {row['on']}"))
    if row["report"] == "none known":
        assert (flight.said, flight.entries) == ("none known", ())
    else:
        assert flight.said == "reported"
        assert flight.entries[0] in row["report"]


def test_seven_four_three_three_three_two_two_flights_were_flown(flown: dict[str, Flown]) -> None:
    counts = {tail: f.begun for tail, f in flown.items() if f.begun}
    assert counts == {
        "QM-107": 7, "QM-104": 4, "QM-161": 3, "QM-110": 3, "QM-113": 3, "QM-101": 2, "QM-164": 2,
    }  # fmt: skip
    assert sum(counts.values()) == len(FLIGHTS)


def test_flight_17_is_the_only_irregularity(sunday: LeadBoard) -> None:
    """Source: whole-job 7j, off-block 6 h 05 min after run-out."""
    ((tail, odd),) = sunday.irregular
    assert (tail, odd.pilot, odd.off) == ("QM-104", "RA", instant(rules.local("Fri 06:05")))
    assert odd.texts == ("off-block 6 h 05 min after the run-out of 104-S01",)


def test_sunday_s_other_lists_are_those_printed(sunday: LeadBoard) -> None:
    due = sorted((x.until, x.key) for x in sunday.lines if x.until)
    assert [key for _, key in due] == ["107-A01", "107-S02", "110-S03"]
    ((tail, repeat),) = sunday.repeats
    assert (tail, repeat.what, repeat.flights) == ("QM-107", "hum", 6)
    assert len(repeat.did_not_hold) == 2
    (rogue,) = sunday.rogues
    assert (rogue.serial, rogue.days) == ("C-4410", 115)
    assert [r.tail for r in rogue.removals] == ["QM-101", "QM-113", "QM-104"]
    assert [x.next for x in sunday.lines if "settles" in x.next] == []
    assert [initials for initials, _ in sunday.ending] == ["NH"]
    grounded = {p for v in sunday.stand.verdicts if v.known for p in v.known.grounded}
    assert grounded == {"170-S07", "170-S08"}


def test_one_disagreement_was_settled_and_one_entry_made_in_error(week: Path) -> None:
    lines = hardstand(week, "record", "history", "166-A02").out.splitlines()
    assert [x.count("insulator to be changed") for x in lines if " settled" in x] == [1]
    void = hardstand(week, "record", "history", "110-B01").out
    assert "entered in error" in void


def test_boxes_stand_where_the_paper_says_on_sunday(week: Path) -> None:
    """Source: whole-job 7c."""
    every = hardstand(week, "--plain", "unit", "show").out
    places = {
        line.split()[1]: " ".join(line.split()[2:])
        for line in every.splitlines()
        if line[:4] == "CRW-"
    }
    assert places["W-3317"] == "QM-164 DYN-V"
    assert places["M-5140"] == "QM-113 MOD"
    assert places["C-4431"] == "QM-104 CTL-T"
    for serial in ("M-5113", "W-3312", "C-4410"):
        assert places[serial] == "unserviceable store"
    for serial in ("L-2240", "A-2440", "U-1340", "F-8140"):
        assert places[serial] == "serviceable store"
    donor = hardstand(week, "--plain", "unit", "show", "QM-170").out
    assert "EMPTY   QM-170 DYN-V" in donor


def test_the_past_of_a_box_is_told_in_its_true_times_beside_what_the_clock_showed(
    week: Path,
) -> None:
    """Source: whole-job 7c, C-4410 out on Friday at 10:20; 7d, tablet A is 12 s slow."""
    for words in (("record", "history", "C-4410"), ("unit", "show", "C-4410")):
        lines = hardstand(week, *words).out.splitlines()
        told = next(line for line in lines if line.startswith("2027-03-12 10:20 -03:00"))
        assert told.endswith(", its clock 2027-03-12 10:19:48]")


def test_the_board_says_which_clock_was_wrong_and_since_when_it_is_right(week: Path) -> None:
    """Source: whole-job scenario 64, per-device error on the board; 7d."""
    for at, wrong in (("2027-03-08T06:00", ["A: 12 s slow", "C: 7 min 20 s fast"]),
                      ("2027-03-12T09:30", ["A: 12 s slow", "C: 7 min 20 s fast",
                                            "D: 24 h 00 min slow, put right since"])):  # fmt: skip
        lines = hardstand(week, "board", "--at", f"{at}-03:00").out.splitlines()
        said = [line.removeprefix("Clock of ") for line in lines if line.startswith("Clock of ")]
        assert said == [f"{text}; times shown are put right." for text in wrong]


def test_a_placard_belongs_there_while_its_entry_is_open(week: Path) -> None:
    """Source: whole-job M-15; the placard of 104-S01 comes off when it is cleared, Fri 10:35."""
    for at, row, line in (
        ("2027-03-12T10:30", "1 placard", "To stay on: placard for 104-S01, recorded ON Mon 22:50"),
        ("2027-03-12T10:36", "", ""),
    ):
        told = hardstand(week, "--plain", "status", "--at", f"{at}-03:00").out
        shown = next(x for x in told.splitlines() if x.startswith("QM-104"))
        assert shown.endswith(row)
        assert "not put back" not in shown
        assert line in hardstand(week, "status", "104", "--at", f"{at}-03:00").out


@pytest.mark.parametrize(
    ("when", "accepted", "aloft"),
    [
        ("Mon 05:54", "", ""),
        ("Mon 05:56", "Accepted: 107 MAIL-N AF Mon 05:55.", ""),
        ("Mon 06:12", "Accepted: 101 MAIL-N TV Mon 06:00.", "107 MAIL-N AF since Mon 06:10."),
        ("Mon 06:20", "", "101 MAIL-N TV since Mon 06:15; 107 MAIL-N AF since Mon 06:10."),
        (
            "Mon 08:05",
            "",
            (
                "101 MAIL-N TV since Mon 06:15; 107 MAIL-N AF since Mon 06:10; 161 "
                "SURVEY-N KS since Mon 08:00."
            ),
        ),
    ],
)
def test_the_board_says_what_is_taken_and_what_is_in_the_air(
    week: Path, when: str, accepted: str, aloft: str
) -> None:
    """Source: whole-job 7k."""
    at = f"{rules.local(when).isoformat()[:16]}-03:00"
    lines = hardstand(week, "board", "--at", at).out.splitlines()
    assert [x for x in lines if x.startswith("Accepted:")] == ([accepted] if accepted else [])
    said = [x.removeprefix("In the air: ") for x in lines if x.startswith("In the air:")]
    assert said == ([aloft] if aloft else [])


def test_nils_s_open_entry_is_nobody_s_until_marit_takes_it(journal: SqlJournal) -> None:
    """Source: whole-job 7j, 101-D01."""
    owners = []
    for when in ("Wed 16:59", "Wed 17:01", "Thu 09:09", "Thu 09:11"):
        at = instant(rules.local(when))
        lines = lead_board(Past(journal, at), at).lines
        owners.append(next(x.owner for x in lines if x.key == "101-D01"))
    assert owners == ["NH", "NOBODY", "NOBODY", "MS"]


def test_the_battery_left_on_is_told_with_minutes_and_ampere_hours(journal: SqlJournal) -> None:
    """Source: whole-job C-12, battery_left_on: 136 and 132 min, 12.233 Ah."""
    at = instant(rules.local("Thu 16:46") + timedelta(seconds=0))
    found = lead_board(Past(journal, at), at)
    (bank,) = found.banks
    assert (bank.tail, f"{bank.ah:.3f}") == ("QM-110", "12.142")
    hazards = [x.what for x in found.lines if x.cls == "HAZARD" and x.tail == "QM-110"]
    assert any("135 min, about 4.5 Ah drawn" in what for what in hazards)
    one_minute = (2 + 3.5) / 60
    assert f"{float(bank.ah) + one_minute:.3f}" == "12.233"


def test_the_record_of_the_week_verifies_in_full(week: Path) -> None:
    told = hardstand(week, "record", "verify", "--full")
    assert told.status == 0
