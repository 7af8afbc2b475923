"""What counts as X is closed as an X: by two people, never by one who waited for it to run out.

Outside source: none beyond whole-job C-9 (a deferral that has run out counts as X) and 14 CFR
121.371(c) (nobody inspects his own work); that the two are read together is ours.
"""

from __future__ import annotations

import pytest

from hardstand.domain import bodies as b
from hardstand.domain import defects
from hardstand.domain.bodies import By
from hardstand.domain.clearing import Looked
from hardstand.domain.settings import Settings
from line_office import Office, at, done, ground, refused

BEFORE, AFTER = "Thu 23:59", "Fri 00:00"
"""Category B logged on Monday: last day Thursday, which ends at 24:00."""


def _seen(office: Office) -> tuple[str, ...]:
    item = office.entry()
    assert item is not None
    return item.seen


def _put_off(office: Office, who: str = "RA", *, untested: tuple[str, ...] = ()) -> None:
    office.raises("Mon 10:00", who, "-" if untested else "/", untested=untested)
    done(office.defers("Mon 11:00", "MS", "23-H-05", met=("jack", "told")))


@pytest.mark.parametrize(("when", "closes"), [(BEFORE, True), (AFTER, False)])
def test_tv_1_7_a_doer_clears_a_diagonal_until_its_deferral_runs_out(
    when: str, *, closes: bool
) -> None:
    office = Office(ground(Settings(doer_clears_diagonal=True)))
    _put_off(office)
    done(office.acts("Thu 10:00", "YB"))
    how = Looked(text="seen", placard_off=True)
    if closes:
        done(office.clears(when, "YB", how=how))
        assert office.facts().open == ()
    else:
        assert refused(office.clears(when, "YB", how=how)).rule == (
            "nobody clears their own work; YB did it"
        )
        line = b.DefectCleared(number="107-S01", text="x", by=By(doer="YB"), seen=_seen(office))
        office.write(when, "YB", line)
        assert office.verdict(when).symbol == "X"


def test_scenario_41_a_second_look_below_x_is_none_at_what_counts_as_x() -> None:
    office = Office(ground(Settings(again_by_doer="below_x", second_look_min=0)))
    _put_off(office)
    done(office.acts("Thu 10:00", "YB"))
    done(office.rules("Thu 10:05", "LH", again_by_doer=True))
    how = Looked(text="seen", placard_off=True, again_by_doer="alone on the island")
    assert refused(office.clears(AFTER, "YB", how=how)).rule == (
        "this operator does not let a doer inspect their own work on a red X"
    )
    done(office.clears(BEFORE, "YB", how=how))


@pytest.mark.parametrize(("when", "closes"), [(BEFORE, True), (AFTER, False)])
def test_scenario_35_whoever_put_off_their_own_entry_takes_it_back_until_it_runs_out(
    when: str, *, closes: bool
) -> None:
    office = Office()
    _put_off(office, "MS")
    done(office.voids(when, "MS"))
    assert (office.facts().open == ()) == closes
    if not closes:
        assert office.verdict(when).symbol == "X"
        assert office.facts().open[0].voiders == ("MS",)
        done(office.voids(when, "DQ"))
        assert office.facts().open == ()


def test_scenario_35_a_lead_alone_says_of_nothing_that_counts_as_x_that_it_was_an_error() -> None:
    office = Office()
    _put_off(office)
    assert refused(office.voids(AFTER, "LH")).rule == (
        "an X is entered in error by two people: its finder says so, a second confirms"
    )
    done(office.voids(BEFORE, "LH"))


@pytest.mark.parametrize(("when", "closes"), [(BEFORE, True), (AFTER, False)])
def test_a_dash_is_closed_by_its_test_until_its_deferral_runs_out(
    when: str, *, closes: bool
) -> None:
    office = Office()
    _put_off(office, untested=("lf.rx",))
    by = By(doer="BT")
    done(office.does(when, "BT", lambda f, c: defects.prove(f, "107-S01", (), "heard", by, c)))
    assert (office.facts().open == ()) == closes
    assert office.verdict(when).symbol == ("clear" if closes else "X")


def test_scenario_35_what_the_finder_says_of_an_x_without_a_signature_is_not_heard() -> None:
    """Initials are typed; only a signed line of the finder counts as the first of the two."""
    office = Office()
    office.raises("Fri 04:50", "BTR", "X")
    typed = b.DefectVoided(number="107-S01", reason="x", by=By(doer="BTR"), seen=_seen(office))
    office.write("Fri 04:52", "BTR", typed)
    (still,) = office.facts().open
    assert still.voiders == ()
    assert still.disputes[0].text == (
        "BTR entered in error: x [S-2] does not hold: an X is entered in error by two people: "
        "its finder says so, a second confirms"
    )
    assert still.found_at == at("Fri 04:50")
