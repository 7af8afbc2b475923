"""What stands in place of an entry made in error: it gains no day by being entered again.

Outside source: AMC M.A.403(d) (a deferred item that is re-entered keeps its original date).
"""

from __future__ import annotations

import pytest

from domain.re_entering import (
    FIRST,
    MET,
    NEXT,
    THIRD,
    B,
    C,
    deferral_of,
    item_of,
    put_off,
)
from hardstand.domain import bodies as b
from hardstand.domain import defects
from hardstand.domain.airframe import fold_on, folded
from hardstand.domain.bodies import By
from hardstand.domain.quantity import zone
from line_office import Office, at, done, refused


def _instead(office: Office, when: str, other: str = NEXT) -> None:
    """The first is said to be an error by two people, who name what stands in its place."""
    for who, asked in (("RA", True), ("DQ", False)):
        body = b.DefectVoided(
            number=FIRST, reason="wrong unit", other=other, asked=asked, confirmed=not asked,
            by=By(doer=who), seen=item_of(office, FIRST).seen,
        )  # fmt: skip
        office.write(when, who, body)
    assert office.entry(FIRST) is None


def test_what_stands_in_place_of_an_error_keeps_its_days_and_what_it_was_put_off_by() -> None:
    """Whole-job M-15: the original date counts, also when it is entered again."""
    office = Office()
    office.raises("Mon 10:00", "RA")
    put_off(office, "Mon 11:00", B)
    office.raises("Thu 10:00", "RA")
    _instead(office, "Thu 11:00")
    item = item_of(office)
    assert (item.found_at, item.logged_at) == (at("Mon 10:00"), at("Mon 10:00"))
    assert item.acts[-1].what == f"stands in place of {FIRST}: hum"
    assert office.verdict("Thu 23:59").symbol == "/"
    assert office.verdict("Fri 00:00").symbol == "X"
    refused(office.defers("Thu 12:00", "MS", C, met=MET[C], number=NEXT))


def test_its_own_deferral_counts_from_the_day_of_the_error() -> None:
    office = Office()
    office.raises("Mon 10:00", "RA")
    office.raises("Wed 10:00", "RA")
    done(office.defers("Wed 11:00", "MS", C, met=MET[C], number=NEXT))
    assert deferral_of(office).last_day == "2027-03-20"
    _instead(office, "Wed 12:00")
    assert deferral_of(office).last_day == "2027-03-18"


@pytest.mark.parametrize("other", ["", FIRST, "116-S01"])
def test_an_error_in_whose_place_nothing_stands_on_this_airframe_dates_nothing(other: str) -> None:
    office = Office()
    office.raises("Mon 10:00", "RA")
    office.raises("Wed 10:00", "RA")
    _instead(office, "Wed 12:00", other)
    assert item_of(office).logged_at == at("Wed 10:00")


def test_a_fold_gone_on_with_knows_the_days_of_the_error() -> None:
    office = Office()
    office.raises("Mon 10:00", "RA")
    put_off(office, "Mon 11:00", B)
    office.raises("Thu 10:00", "RA")
    _instead(office, "Thu 11:00")
    lines = office.lines["S"]
    for cut in range(len(lines) + 1):
        after = fold_on(folded(office.ground, lines[:cut]), lines[cut:], office.ground)
        assert after in (None, folded(office.ground, lines)), cut
    assert fold_on(folded(office.ground, lines[:-1]), lines[-1:], office.ground) is not None


def test_on_another_airframe_it_never_counts_from_a_later_day_nor_runs_out_later() -> None:
    office, utc3 = Office(), zone("-03:00")
    office.raises("Mon 10:00", "RA")
    office.raises("Mon 12:00", "RA")
    office.raises("Tue 12:00", "RA")
    error, same_day, later = (item_of(office, n) for n in (FIRST, NEXT, THIRD))
    assert defects.not_instead(error, same_day, utc3) is None
    assert defects.not_instead(later, error, utc3) is None
    refused = defects.not_instead(error, later, utc3)
    assert refused is not None
    assert refused.what == "107-S03 counts from 2027-03-09, and 107-S01 from 2027-03-08"
    assert "`hardstand defect raise --instead-of 107-S01`" in refused.hint
    put_off(office, "Mon 13:00", B)
    refused = defects.not_instead(item_of(office, FIRST), same_day, utc3)
    assert refused is not None
    assert refused.what == "107-S01 runs out before 107-S02"
    done(office.defers("Mon 14:00", "MS", C, met=MET[C], number=NEXT))
    assert defects.not_instead(item_of(office, FIRST), item_of(office), utc3) is not None
    assert defects.not_instead(item_of(office), item_of(office, FIRST), utc3) is None
