"""Entered in error: by the finder alone, by two people, and what is never taken back alone.

Outside source: none is published beyond "closed as an error and entered again" (DA PAM 738-751 and
TO 00-20-1, from memory); who may is whole-job 35, common practice.
"""

from __future__ import annotations

import pytest

from hardstand.domain import bodies as b
from hardstand.domain.bodies import By
from line_office import Office, done, ground, refused


def test_scenario_35_the_finders_own_is_taken_back_alone_but_not_once_others_acted() -> None:
    office = Office()
    office.raises("Fri 04:50", "BTR", "/")
    done(office.worse("Fri 04:51", "IO", "-"))
    told = refused(office.voids("Fri 04:53", "BTR"))
    assert told.rule == "it needs inspector or shift lead or chief; BTR is technician"
    done(office.voids("Fri 04:55", "MS"))
    assert office.facts().open == ()


@pytest.mark.parametrize("enrolled", [True, False])
def test_a_line_by_which_the_finder_takes_back_what_others_acted_on_does_not_hold(
    *, enrolled: bool
) -> None:
    """The program refuses it; a line of another program, which nobody signed, holds no more."""
    office = Office(ground(enrolled=enrolled))
    office.raises("Fri 04:50", "BTR", "/")
    done(office.worse("Fri 04:51", "IO", "-"))
    item = office.entry()
    assert item is not None
    alone = b.DefectVoided(number="107-S01", reason="x", by=By(doer="BTR"), seen=item.seen)
    office.write("Fri 04:52", "BTR", alone)
    (still,) = office.facts().open
    assert still.symbol == "-"
    assert still.disputes[0].text == (
        "BTR entered in error: x [S-3] does not hold: others have acted on it; "
        "a second person confirms"
    )


def test_scenario_35_an_x_entered_in_error_takes_its_finder_and_a_second_person() -> None:
    office = Office()
    office.raises("Fri 04:50", "BTR", "X")
    told = refused(office.voids("Fri 04:51", "DQ"))
    assert told.rule == (
        "an X is entered in error by two people: its finder says so, a second confirms"
    )
    assert told.who_could == "BTR says so first, by `hardstand defect void`"
    done(office.voids("Fri 04:53", "BTR"))
    assert office.verdict("Fri 05:00").symbol == "X"
    assert office.facts().open[0].voiders == ("BTR",)
    done(office.voids("Fri 04:54", "BTR"))
    assert office.verdict("Fri 05:00").symbol == "X"
    refused(office.voids("Fri 04:55", "BT"))
    done(office.voids("Fri 05:00", "DQ"))
    assert office.facts().open == ()


def test_without_people_an_x_is_entered_in_error_by_any_second_person() -> None:
    office = Office(ground(enrolled=False))
    office.raises("Fri 04:50", "BTR", "X")
    told = refused(office.voids("Fri 04:53", "BTR"))
    assert (told.rule, told.who_could) == (
        "an X entered in error needs a second person", "anyone but BTR",
    )  # fmt: skip
    done(office.voids("Fri 04:55", "IO"))
    assert office.facts().open == ()
