"""The life of an entry's symbol: up freely, down by authority, ended by clearing alone.

The published cases of status symbols (TV 1.x of the records paper): TM 1-1520-238-PM p. 8, TM
1-1520-240-BD, OD1610 as quoted, 14 CFR 121.369(b)(8), AMC M.A.403(d).
"""

from __future__ import annotations

import pytest

from domain.readings.blocks import block
from hardstand.domain import bodies as b
from hardstand.domain import defects
from hardstand.domain.authority import Case
from hardstand.domain.bodies import By
from hardstand.domain.checklist import Symbol
from hardstand.domain.clearing import Looked
from hardstand.domain.defects import Done, Refused, refused_by
from hardstand.domain.facts import AirframeFacts
from hardstand.domain.putting_off import Within, limit, operation_closed
from hardstand.domain.ruling import likely_same
from hardstand.domain.settings import Settings
from hardstand.domain.symbols import WORDS, worst
from line_office import Office, at, done, ground, refused

WORD = {word.removeprefix("red "): symbol for symbol, word in WORDS.items()} | {"X": "X"}


@pytest.mark.parametrize("row", block("status_worst")[1], ids=lambda r: r["entries"] or "nothing")
def test_the_aircraft_reads_the_worst_of_what_is_open(row: dict[str, str]) -> None:
    office = Office()
    for part in row["entries"].replace("/ - (X) X", "/ and - and (X) and X").split(" and "):
        _stands(office, part)
    assert office.verdict("Sat 12:00").symbol == WORD[row["symbol"]]


def _stands(office: Office, part: str) -> None:
    if not part:
        return
    symbol, _, what = part.partition(" ")
    raised: Symbol = "X" if symbol in {"X", "(X)"} else "-" if symbol == "-" else "/"
    number = office.raises("Mon 08:00", "IO", raised)
    if symbol == "(X)":
        found = office.does("Mon 08:10", "LH", lambda f, c: _circled(f, c, number))
        done(found)
    if what == "run out":
        done(office.defers("Mon 08:30", "OH", "23-H-05", met=("a", "b"), number=number))
    if what in {"action recorded", "cleared"}:
        done(office.acts("Mon 09:00", "BT", number=number))
    if what == "cleared":
        done(office.clears("Mon 10:00", "DQ", number=number))
    if what == "entered in error":
        done(office.voids("Mon 08:03", "IO", number=number))


def _circled(f: AirframeFacts, c: Case, number: str) -> tuple[b.Body, ...] | Refused:
    asked = Within(limits="by day", ends=at("Sat 17:00"), reason="move it")
    return limit(f, number, asked, By(doer="LH"), c)


@pytest.mark.parametrize(
    ("symbols", "overall"),
    [(("/", "/", "-"), "-"), (("/", "X", "(X)"), "X"), (("/", "(X)"), "(X)"), ((), "clear")],
)
def test_tv_1_1_to_1_4_the_worst_symbol_counts(symbols: tuple[str, ...], overall: str) -> None:
    assert worst(symbols) == overall


def test_tv_1_5_who_corrected_an_x_does_not_clear_it_though_an_inspector() -> None:
    office = Office()
    office.raises("Tue 05:22", "IO", "X")
    done(office.acts("Tue 05:44", "YB"))
    refused(office.clears("Tue 05:46", "YB"))
    assert office.verdict("Tue 06:00").symbol == "X"


def test_tv_1_6_another_inspector_clears_it_and_both_names_stay() -> None:
    office = Office()
    office.raises("Tue 05:22", "IO", "X")
    done(office.acts("Tue 05:44", "YB"))
    cleared = done(office.clears("Tue 06:05", "DQ"))
    assert office.verdict("Tue 06:06").symbol == "clear"
    assert [line.author for line in (*office.lines["S"][1:2], *cleared)] == ["YB", "DQ"]


def test_tv_1_8_a_technician_who_is_no_inspector_does_not_clear_it() -> None:
    office = Office()
    office.raises("Tue 05:22", "IO", "X")
    done(office.acts("Tue 05:44", "YB"))
    assert refused(office.clears("Tue 06:05", "BTR")).rule == (
        "it needs inspector; BTR is technician"
    )


def test_tv_1_9_corrected_and_not_looked_at_is_still_an_x() -> None:
    office = Office()
    office.raises("Tue 05:22", "IO", "X")
    done(office.acts("Tue 05:44", "YB"))
    item = office.entry()
    assert item is not None
    assert (item.state, office.verdict("Tue 06:00").symbol) == ("action_recorded", "X")
    assert office.verdict("Tue 06:00").reasons[0].text == (
        "X — 107-S01 red X: hum (action recorded, not cleared)"
    )


def test_tv_1_11_entered_in_error_by_its_finder_and_entered_again_as_x() -> None:
    office = Office()
    office.raises("Fri 04:50", "BTR", "/", "TX-2 dead")
    done(office.voids("Fri 04:53", "BTR"))
    office.raises("Fri 04:54", "BTR", "X", "TX-2 dead, again with 107-S01 in mind")
    assert [e.number for e in office.facts().open] == ["107-S02"]
    assert office.verdict("Fri 05:00").symbol == "X"
    assert len(office.lines["S"]) == 3


def test_tv_1_12_an_x_is_not_deferred_nor_a_circled_x() -> None:
    office = Office()
    office.raises("Tue 06:02", "IO", "X")
    assert refused(office.defers("Tue 06:30", "MS")).rule == ("an X is never deferred; it reads X")
    done(office.limits("Tue 07:00", "LH", "Fri 17:00"))
    assert refused(office.defers("Tue 07:30", "MS")).rule == (
        "an X is never deferred; it reads (X)"
    )


def test_tv_1_13_a_circled_x_takes_a_chief_limits_and_an_end_of_seven_days() -> None:
    office = Office()
    office.raises("Tue 05:28", "IO", "X")
    assert refused(office.limits("Tue 05:40", "BT", "Fri 17:00")).rule == (
        "it needs chief; BT is technician, crew lead"
    )
    assert refused(office.limits("Tue 05:40", "LH", "Fri 17:00", " ")).rule == (
        "a circled X needs written limits"
    )
    eight = refused(office.limits("Tue 05:40", "LH", "2027-03-18T00:00:01-03:00"))
    assert eight.rule == (
        "a circled X ends at most 7 days after it was given, then it reads X again"
    )
    refused(office.limits("Tue 05:40", "LH", "Tue 05:40"))
    done(office.limits("Tue 05:40", "LH", "2027-03-17T00:00-03:00"))
    assert office.verdict("Wed 06:00").symbol == "(X)"


def test_tv_1_13_the_end_of_the_seventh_day_is_within_seven_days_whatever_the_setting() -> None:
    for days in (7, 30):
        office = Office(ground(Settings(circled_x_days=days)))
        office.raises("Tue 05:28", "IO", "X")
        done(office.limits("Tue 05:40", "LH", "2027-03-17T00:00-03:00"))
        other = Office(ground(Settings(circled_x_days=days)))
        other.raises("Tue 05:28", "IO", "X")
        refused(other.limits("Tue 05:40", "LH", "2027-03-18T00:00-03:00"))


def test_tv_1_14_a_circled_x_reads_x_again_at_its_end_with_nothing_written() -> None:
    office = Office()
    office.raises("Tue 05:28", "IO", "X")
    done(office.limits("Tue 05:40", "LH", "Fri 17:00"))
    assert office.verdict("2027-03-12T16:59:59-03:00").symbol == "(X)"
    over = office.verdict("Fri 17:00")
    assert over.symbol == "X"
    assert over.reasons[0].text == "X — 107-S01 limits ran out 12 Mar 17:00: hum"


def test_tv_1_15_a_circled_x_for_one_operation_reads_x_again_when_it_is_closed() -> None:
    office = Office()
    office.raises("Tue 05:28", "IO", "X")
    done(office.limits("Tue 05:40", "LH", "Fri 17:00", one_operation=True))
    assert operation_closed(office.facts(), "flight 7", at("Tue 05:39"), By(doer="KS")) == ()
    for body in operation_closed(office.facts(), "flight 8", at("Tue 06:00"), By(doer="KS")):
        office.write("Tue 12:00", "KS", body)
    assert office.verdict("Tue 12:01").symbol == "X"
    assert office.facts().open[0].acts[-1].what == "made X: one operation, over: flight 8"


def test_tv_1_16_a_diagonal_raised_to_x_is_the_same_entry_with_both_on_view() -> None:
    office = Office()
    office.raises("Tue 05:28", "NH", "/")
    done(office.worse("Tue 05:36", "IO"))
    item = office.entry()
    assert item is not None
    assert item.symbol == "X"
    assert [(a.by, a.what) for a in item.acts] == [
        ("NH", "raised /: hum"), ("IO", "made X: grew"),
    ]  # fmt: skip


@pytest.mark.hf("LED-14")
@pytest.mark.parametrize("follow", ["", "/"])
def test_tv_1_17_a_temporary_repair_closes_by_the_entry_that_follows(follow: str) -> None:
    office = Office()
    office.raises("Mon 10:00", "IO", "X", "lead broken", takes=("tx1",))
    done(office.acts("Tue 10:00", "BT", Done(text="lead taped", outcome="temporary")))
    how = Looked(text="holds", successor="/" if follow else "")
    done(office.clears("Tue 11:00", "DQ", how=how))
    (new,) = office.facts().open
    assert (new.number, new.successor_of, new.found_at) == ("107-S02", "107-S01", at("Mon 10:00"))
    assert new.text == "temporary repair of 107-S01: lead broken"
    assert (new.symbol, new.takes) == (follow or "X", ("tx1",))


@pytest.mark.hf("LED-14")
def test_scenario_44_a_temporary_repair_without_its_follower_closes_nothing() -> None:
    office = Office()
    office.raises("Mon 10:00", "IO", "X")
    done(office.acts("Tue 10:00", "BT", Done(text="taped", outcome="temporary")))
    item = office.entry()
    assert item is not None
    cleared = b.DefectCleared(
        number="107-S01", text="holds", outcome="temporary", by=By(doer="DQ"), seen=item.seen
    )
    office.write("Tue 11:00", "DQ", cleared)
    assert office.verdict("Tue 12:00").symbol == "X"
    assert (
        office.facts()
        .open[0]
        .disputes[0]
        .text.endswith(
            "does not hold: a temporary repair is cleared only with the entry that follows it"
        )
    )


def test_tv_1_18_nobody_changes_anothers_symbol_but_by_an_entry_of_their_own() -> None:
    office = Office()
    office.raises("Tue 05:28", "NH", "-")
    lines = done(office.worse("Tue 06:00", "MS", "/"))
    assert [(line.author, line.kind) for line in lines] == [("MS", "defect.lowered")]
    assert [a.what for a in office.facts().open[0].acts] == ["raised -: hum", "lowered to /: grew"]


@pytest.mark.parametrize(("of", "to"), [("X", "/"), ("X", "-"), ("(X)", "/")])
def test_scenario_36_an_x_comes_down_by_clearing_or_within_limits_only(of: str, to: Symbol) -> None:
    for who in ("LH", "DQ", "MS", "BT"):
        office = Office()
        office.raises("Tue 05:28", "IO", "X")
        if of == "(X)":
            done(office.limits("Tue 05:40", "LH", "Fri 17:00"))
        told = refused(office.worse("Tue 06:00", who, to))
        assert told.rule == (
            f"a {WORDS[of]} comes down by clearing, or as an X within written limits"
        )
        assert told.who_could == "LH (chief) with limits, by `hardstand defect limit`"


def test_scenario_36_up_goes_at_once_and_down_only_by_authority_both_kept() -> None:
    office = Office()
    office.raises("Tue 05:28", "NH", "/")
    done(office.worse("Tue 05:29", "IO", "-"))
    assert refused(office.worse("Tue 05:30", "BT", "/")).rule == (
        "it needs shift lead or inspector or chief; BT is technician, crew lead"
    )
    done(office.worse("Tue 05:31", "DQ", "/"))
    assert len(office.facts().open[0].acts) == 3


def test_tv_1_22_a_rejection_opens_the_entry_at_its_symbol_and_nobody_overrules_it() -> None:
    office = Office()
    office.raises("Tue 05:28", "IO", "X")
    done(office.acts("Tue 06:40", "BT"))
    done(office.rejects("Tue 06:50", "DQ"))
    item = office.entry()
    assert item is not None
    assert (item.symbol, item.state) == ("X", "open")
    for who in ("BT", "MS", "LH", "YB"):
        told = refused(office.clears("Tue 07:00", who))
        assert told.rule == ("107-S01 has no action recorded; an entry is cleared over work done")


def test_a_dash_made_an_x_is_not_closed_by_its_test() -> None:
    office = Office()
    office.raises("Mon 05:11", "YB", "-", untested=("ch3",))
    done(office.worse("Mon 05:12", "IO"))
    found = office.does(
        "Mon 07:32", "YB",
        lambda f, c: defects.prove(f, "107-S01", (), "called, heard", By(doer="YB"), c),
    )  # fmt: skip
    done(found)
    (item,) = office.facts().open
    assert (item.symbol, item.untested) == ("X", ())


@pytest.mark.parametrize("who", ["DQ", "MS", "LH"])
def test_joining_never_makes_the_aircraft_look_better(who: str) -> None:
    office = Office()
    office.raises("Mon 05:11", "YB", "X", text="dead")
    office.raises("Mon 05:12", "YB", "/", text="dead too")
    told = refused(office.joins("Mon 06:00", who, "107-S01", "107-S02"))
    assert told.rule == "joining never makes an aircraft look better"
    done(office.joins("Mon 06:01", who, "107-S02", "107-S01"))
    assert office.verdict("Mon 06:02").symbol == "X"


def test_an_x_is_not_joined_to_what_counts_as_x_only_because_it_ran_out() -> None:
    """C-9: two that ran out may be joined; an X stays one whatever becomes of the other's days."""
    office = Office()
    for symbol in ("/", "/", "X"):
        office.raises("Mon 05:11", "YB", "X" if symbol == "X" else "/", text="dead")
    for number in ("107-S01", "107-S02"):
        done(office.defers("Mon 05:30", "MS", "23-H-05", met=("jack", "told"), number=number))
    told = refused(office.joins("Fri 06:00", "MS", "107-S03", "107-S01"))
    assert told.rule == "joining never makes an aircraft look better"
    done(office.joins("Fri 06:00", "MS", "107-S02", "107-S01"))


def test_a_line_that_joins_an_x_to_a_diagonal_makes_the_diagonal_an_x() -> None:
    """The program refuses it; a line of another program makes nothing look better."""
    office = Office()
    office.raises("Mon 05:11", "YB", "X", text="dead")
    office.raises("Mon 05:12", "YB", "/", text="dead too")
    x = office.entry()
    assert x is not None
    line = b.DefectSameAs(number="107-S01", other="107-S02", by=By(doer="MS"), seen=x.seen)
    office.write("Mon 06:00", "MS", line)
    (item,) = office.facts().open
    assert (item.number, item.symbol) == ("107-S02", "X")


def test_a_deferral_that_ends_sooner_is_not_lost_by_joining() -> None:
    office = Office()
    office.raises("Mon 05:11", "YB", "/", text="dead")
    office.raises("Mon 05:12", "YB", "/", text="dead too")
    done(office.defers("Mon 05:30", "MS", number="107-S01"))
    told = refused(office.joins("Mon 06:00", "MS", "107-S01", "107-S02"))
    assert told.what == "107-S01 runs out before 107-S02"


def test_scenario_33_two_reports_of_one_thing_are_joined_by_a_lead_the_earlier_day_counts() -> None:
    office = Office()
    office.raises("Mon 22:30", "RA", "/", "no sidetone", takes=("sidetone",))
    done(office.defers("Mon 22:50", "OH", "23-H-05", met=("jack", "phone")))
    office.raises("Wed 17:20", "RA", "/", "sidetone in and out", takes=("sidetone",))
    assert likely_same(office.facts(), "107-S02", 48) == ("107-S01",)
    assert refused(office.joins("Wed 17:50", "BT", "107-S02", "107-S01")).rule == (
        "it needs shift lead or inspector or chief; BT is technician, crew lead"
    )
    done(office.joins("Wed 18:00", "OH", "107-S02", "107-S01"))
    (item,) = office.facts().open
    assert (item.joined, item.found_at) == (("107-S02",), at("Mon 22:30"))
    assert item.deferral is not None
    assert item.deferral.last_day == "2027-03-11"
    assert "107-S02 joined to it: sidetone in and out" in [a.what for a in item.acts]


def test_the_demos_sidetone_reads_a_diagonal_on_thursday_and_an_x_on_friday() -> None:
    office = Office()
    office.raises("Mon 22:30", "RA", "/", "no sidetone")
    done(office.defers("Mon 22:50", "OH", "23-H-05", met=("jack", "phone")))
    assert office.verdict("2027-03-11T23:59:59-03:00").symbol == "/"
    friday = office.verdict("Fri 00:00")
    assert friday.symbol == "X"
    assert friday.reasons[0].text == "X — 107-S01 deferral ran out 11 Mar 24:00: no sidetone"
    assert refused_by(friday.open[0].entry, "defer", By(doer="OH"),
                      office.case("Fri 06:00", office.facts()))  # fmt: skip


def test_a_recorded_action_does_not_stop_a_deferral_from_running_out() -> None:
    office = Office()
    office.raises("Mon 22:30", "RA", "/")
    done(office.defers("Mon 22:50", "OH", "23-H-05", met=("jack", "phone")))
    done(office.acts("Thu 20:00", "BT"))
    assert office.verdict("Thu 23:00").symbol == "/"
    assert office.verdict("Fri 00:00").symbol == "X"
    done(office.clears("Fri 10:35", "DQ", how=Looked(text="seen", placard_off=True)))
    assert office.verdict("Fri 10:36").symbol == "clear"


def test_scenario_63_a_clock_that_is_not_trusted_counts_what_is_dated_as_run_out() -> None:
    office = Office()
    office.raises("Mon 22:30", "RA", "/")
    done(office.defers("Mon 22:50", "OH", "23-H-05", met=("jack", "phone")))
    assert office.verdict("Tue 09:00").symbol == "/"
    blind = office.verdict("Tue 09:00", trusted=False)
    assert blind.symbol == "X"
    assert blind.reasons[0].text == (
        "X — 107-S01 CANNOT TELL whether it ran out 11 Mar 24:00, so it counts as X: hum"
    )


def test_what_has_run_out_even_by_a_clock_that_is_behind_has_run_out() -> None:
    office = Office()
    office.raises("Mon 22:30", "RA", "/")
    done(office.defers("Mon 22:50", "OH", "23-H-05", met=("jack", "phone")))
    blind = office.verdict("Fri 09:00", trusted=False)
    assert blind.reasons[0].text == "X — 107-S01 deferral ran out 11 Mar 24:00: hum"
