"""Deferrals: the published categories by the calendar, and what is refused.

Outside sources: FAA PL-25 revision 24 (categories, day of discovery); ORO.MLR.105(f) as published
for the UK (extension); FAA Order 8900.1 4-689 (no extension of D), as quoted.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from domain.readings.blocks import block
from hardstand.domain import bodies as b
from hardstand.domain.bodies import By
from hardstand.domain.clearing import Looked
from hardstand.domain.defects import Done
from hardstand.domain.deferral import (
    DAYS,
    NotYet,
    Profile,
    conditions,
    days_of,
    is_looser,
    is_placard,
    last_day,
    most_extension,
    runs_out,
)
from hardstand.domain.facts import OpenEntry
from hardstand.domain.quantity import Instant, instant, later, local_day, parse_instant, zone
from hardstand.domain.settings import Settings
from line_office import Office, at, done, ground, refused

DUE = block("deferral_due")[1]
INTERVALS = block("deferral_intervals")[1]


def _utc(text: str) -> Instant:
    found = parse_instant(f"{text.replace(' ', 'T')}Z")
    assert found is not None
    return found


@pytest.mark.parametrize("row", DUE, ids=lambda r: f"{r['cat']} {r['found_local']} {r['basis']}")
def test_a_deferral_runs_out_at_the_end_of_its_last_day_in_the_day_basis(
    row: dict[str, str],
) -> None:
    hours = int(row["offset"])
    local = zone(f"{'+' if hours > 0 else '-'}{abs(hours):02d}:00")
    found = parse_instant(f"{row['found_local'].replace(' ', 'T')}{'+' if hours > 0 else '-'}"
                          f"{abs(hours):02d}:00")  # fmt: skip
    assert found is not None
    where = local if row["basis"] == "local" else zone("UTC")
    day = last_day(found, DAYS[row["cat"]], where)
    assert local_day(found, where).isoformat() == row["day_of_discovery"]
    assert day.isoformat() == row["last_day"]
    assert runs_out(day, where) == _utc(row["runs_out_utc"])


@pytest.mark.parametrize("row", INTERVALS, ids=lambda r: f"TV {r['tv']} {r['zone']}")
def test_tv_3_the_last_valid_day_by_category_and_profile(row: dict[str, str]) -> None:
    recorded = parse_instant(row["recorded_utc"])
    days = days_of(row["category"], row["interval"])
    assert recorded is not None
    assert isinstance(days, int)
    profile: Profile = "uk" if row["profile"] == "uk" else "faa"
    longer = int(row["extension"])
    assert longer <= most_extension(row["category"], days, profile)
    day = last_day(recorded, days + longer, zone(row["zone"]))
    assert day.isoformat() == row["last_day"]


def test_tv_3_7_the_local_limit_is_the_end_of_the_local_day_in_utc() -> None:
    assert runs_out(date(2026, 1, 29), zone("America/New_York")) == _utc("2026-01-30 05:00")


def test_tv_3_8_a_change_of_legal_time_moves_no_day() -> None:
    """London goes to summer time on 29 March 2026: 71 hours elapse, three days count."""
    where = zone("Europe/London")
    day = last_day(_utc("2026-03-28 12:00"), 3, where)
    assert (day.isoformat(), runs_out(day, where)) == ("2026-03-31", _utc("2026-03-31 23:00"))


@pytest.mark.parametrize("interval", ["4 flights", "2 flight-days", "25 hours", ""])
def test_tv_3_10_and_3_11_intervals_in_flights_and_hours_are_not_counted_yet(interval: str) -> None:
    assert days_of("A", interval) == NotYet(interval=interval)


def test_tv_3_11_an_item_in_flight_days_is_refused_with_not_yet() -> None:
    office = Office(ground(enrolled=False))
    office.raises("Mon 05:09", "IO")
    told = refused(office.defers("Mon 05:40", "MS", "23-H-21", met=()))
    assert (told.what, told.rule) == (
        "23-H-21 is category A, and its interval is not in calendar days: 2 flight-days",
        "not yet: flights, flight days and hours are not counted by this hardstand",
    )


def test_tv_3_9_a_category_a_item_in_calendar_days_counts_them() -> None:
    office = Office(ground(enrolled=False))
    office.raises("Mon 05:09", "IO")
    done(office.defers("Mon 05:40", "MS", "23-H-20", met=()))
    item = office.entry()
    assert item is not None
    assert item.deferral is not None
    assert (item.deferral.days, item.deferral.last_day) == (20, "2027-03-28")


@pytest.mark.parametrize(
    ("category", "days", "profile", "most"),
    [("B", 3, "faa", 3), ("C", 10, "faa", 10), ("D", 120, "faa", 0), ("A", 90, "faa", 0),
     ("B", 3, "uk", 3), ("C", 10, "uk", 10), ("D", 120, "uk", 120), ("A", 90, "uk", 0)],
)  # fmt: skip
def test_tv_3_12_to_3_14_what_may_be_extended_and_by_how_much(
    category: str, days: int, profile: str, most: int
) -> None:
    assert most_extension(category, days, "uk" if profile == "uk" else "faa") == most


def test_tv_3_12_under_the_uk_rule_three_days_more_and_not_four() -> None:
    office = Office(ground(Settings(extensions="uk")))
    office.raises("Mon 10:00", "RA")
    done(office.defers("Mon 10:30", "OH", "23-H-05", met=("on the jack", "by telephone")))
    assert refused(office.extends("Tue 09:00", "LH", 4)).rule == (
        "by the rule `uk` category B takes 1 to 3 days"
    )
    done(office.extends("Tue 09:00", "LH", 3))
    item = office.entry()
    assert item is not None
    assert item.deferral is not None
    assert (item.deferral.last_day, item.deferral.extended) == ("2027-03-14", 3)


def test_tv_3_14_d_is_not_extended_under_the_faa_rule_nor_anything_twice() -> None:
    office = Office()
    office.raises("Mon 10:00", "BTR")
    done(office.defers("Mon 10:30", "MS", "23-H-09", met=("torch",)))
    assert refused(office.extends("Tue 09:00", "LH", 1)).rule == (
        "by the rule `faa` category D takes no extension"
    )
    other = Office()
    other.raises("Mon 10:00", "BTR")
    done(other.defers("Mon 10:30", "MS"))
    done(other.extends("Tue 09:00", "LH", 5))
    assert refused(other.extends("Tue 10:00", "LH", 5)).rule == "a deferral is extended once"


def test_tv_3_15_the_day_it_was_logged_counts_and_both_days_are_kept() -> None:
    office = Office()
    office.raises("Tue 08:00", "RA", found_at=at("Mon 22:00"))
    done(office.defers("Tue 09:00", "OH", "23-H-05", met=("on the jack", "by telephone")))
    item = office.entry()
    assert item is not None
    assert item.deferral is not None
    assert (item.found_at, item.logged_at) == (at("Mon 22:00"), at("Tue 08:00"))
    assert item.deferral.last_day == "2027-03-12"


def test_tv_3_16_and_1_21_an_entry_that_follows_another_keeps_the_first_days() -> None:
    """Re-entered after a temporary repair: the clock is not restarted (AMC M.A.403(d))."""
    office = Office()
    office.raises("Mon 10:00", "RA")
    done(office.acts("Tue 10:00", "BT", Done(text="lead taped", outcome="temporary")))
    done(office.clears("Wed 10:00", "DQ"))
    new = office.entry("107-S02")
    assert new is not None
    assert (new.found_at, new.logged_at) == (at("Mon 10:00"), at("Mon 10:00"))
    done(office.defers("Wed 11:00", "OH", "23-H-05", met=("jack", "phone"), number="107-S02"))
    put_off = office.entry("107-S02")
    assert put_off is not None
    assert put_off.deferral is not None
    assert put_off.deferral.last_day == "2027-03-11"


def test_tv_3_17_a_list_may_be_stricter_than_the_master_and_not_looser() -> None:
    assert is_looser("D", "C")
    assert not is_looser("B", "C")
    assert not is_looser("C", "C")


def test_deferring_again_gains_no_day() -> None:
    office = Office()
    office.raises("Mon 10:00", "RA")
    done(office.defers("Mon 10:30", "OH", "23-H-05", met=("jack", "phone")))
    told = refused(office.defers("Tue 10:30", "OH", "23-H-04"))
    assert (told.what, told.rule) == (
        "107-S01 is deferred to 2027-03-11 already",
        "deferring again never gains a day; one extension by a chief may",
    )


def test_tv_3_14_what_was_extended_is_not_put_off_afresh_to_be_extended_again() -> None:
    office = Office()
    office.raises("Mon 10:00", "RA")
    done(office.defers("Mon 11:00", "MS", "23-H-05", met=("jack", "told")))
    done(office.extends("Tue 10:00", "LH", 3))
    told = refused(office.defers("Wed 11:00", "MS", "23-H-05", met=("jack", "told")))
    assert told.rule == "a deferral is extended once, and what was extended is not put off afresh"
    afresh = b.DefectDeferred(
        number="107-S01", item="23-H-05", category="B", what="x", conditions=(), reason="x",
        by=By(doer="MS"), seen=_entry(office).seen,
    )  # fmt: skip
    office.write("Wed 11:00", "MS", afresh)
    again = b.DefectProlonged(
        number="107-S01", days=3, reason="x", by=By(doer="LH"), seen=_entry(office).seen
    )
    office.write("Wed 12:00", "LH", again)
    kept = _entry(office)
    assert kept.deferral is not None
    assert (kept.deferral.last_day, kept.deferral.extended) == ("2027-03-14", 3)
    assert [d.parties for d in kept.disputes] == [("MS",), ("LH",)]


def _entry(office: Office) -> OpenEntry:
    item = office.entry()
    assert item is not None
    return item


def test_a_deferral_that_would_be_over_already_is_none() -> None:
    office = Office()
    office.raises("Mon 10:00", "RA")
    told = refused(office.defers("Fri 10:30", "OH", "23-H-05", met=("jack", "phone")))
    assert told.rule == (
        "a deferral counts from the day the entry was logged, and never starts afresh"
    )


def test_every_condition_is_answered_or_nothing_is_deferred() -> None:
    office = Office()
    office.raises("Mon 10:00", "RA")
    told = refused(office.defers("Mon 10:30", "OH", "23-H-05", met=("jack", " ")))
    assert told.what == "not deferred: not answered how this was met: tower told"
    assert told.hint == "Say how, once for each condition in order: --met WORDS"


def test_scenario_45_what_the_list_does_not_name_is_not_put_off() -> None:
    office = Office()
    office.raises("Mon 10:00", "RA")
    told = refused(office.defers("Mon 10:30", "OH", "23-H-99"))
    assert told.what == "23-H-99 is no item of the permitted-defects list of fit H"
    assert told.rule == "only what the list names is put off"


def test_a_category_a_item_in_calendar_days_waits_for_whoever_may_defer_in_a() -> None:
    office = Office()
    office.raises("Mon 10:00", "RA")
    told = refused(office.defers("Mon 10:30", "MS", "23-H-20", met=()))
    assert told.rule == "MS defers B, C, D, not A"


def test_a_placard_becomes_a_line_of_the_ledger_and_is_counted_off_at_clearing() -> None:
    office = Office()
    office.raises("Mon 10:00", "RA")
    done(office.defers("Mon 10:30", "MS"))
    line = office.facts().line("placard-107-S01")
    assert line is not None
    assert (line.title, line.value, line.words) == (
        "placard for 107-S01", "ON", 'placard "use ALL": on the switch',
    )  # fmt: skip
    assert office.facts().due_home == ()
    done(office.acts("Tue 10:00", "BT"))
    told = refused(office.clears("Tue 11:00", "DQ"))
    assert told.what == "placard for 107-S01 is recorded ON"
    done(office.clears("Tue 11:00", "DQ", how=Looked(text="seen", placard_off=True)))
    assert office.facts().lines == ()


def test_conditions_stand_between_semicolons() -> None:
    assert conditions(' placard "use ALL"; tower told ;') == ('placard "use ALL"', "tower told")
    assert is_placard('Placard "use ALL"')
    assert not is_placard("tower told")


ZONES = ("UTC", "Etc/GMT+3", "Europe/London", "America/New_York", "Asia/Tokyo")
moments = st.integers(0, 2 * 366 * 86400).map(
    lambda s: datetime(2027, 1, 1, tzinfo=UTC) + timedelta(seconds=s)
)


@given(moments, st.sampled_from("BCD"), st.sampled_from(ZONES))
def test_a_deferral_never_ends_before_its_whole_days_nor_a_day_later(
    logged: datetime, category: str, name: str
) -> None:
    where, days = zone(name), DAYS[category]
    given_at = instant(logged)
    ends = runs_out(last_day(given_at, days, where), where)
    over = local_day(ends, where) - timedelta(days=1)
    assert over == local_day(given_at, where) + timedelta(days=days)
    assert local_day(later(ends, seconds=-1), where) == over
