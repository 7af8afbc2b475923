"""The bars that an entry itself sets, each told with who could instead.

Outside sources: 14 CFR 121.371(c) (own work), 121.369(b)(8) (an inspector is not overruled);
AMC4 145.A.48(b) (re-inspection by the doer); the rest is whole-job C-8, C-11, C-13 and 41, 43.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from hardstand.domain.authority import Case, may
from hardstand.domain.clearing import Looked
from hardstand.domain.defects import Done
from hardstand.domain.people import find
from hardstand.domain.settings import Settings
from line_office import Office, at, done, ground, people, refused

AGAIN = Looked(text="again", again_by_doer="alone on the island")


def _office(symbol: str = "/", **settings: object) -> Office:
    office = Office(ground(Settings(**settings)))  # type: ignore[arg-type]  # named by the test
    office.raises("Tue 05:00", "IO", "X" if symbol == "X" else "-" if symbol == "-" else "/")
    return office


def test_tv_4_9_nothing_is_rejected_before_anything_was_done_nor_ones_own_work_ever() -> None:
    office = _office("X")
    told = refused(office.rejects("Tue 06:00", "DQ"))
    assert (told.rule, told.who_could) == (
        "107-S01 has no action recorded; there is nothing to reject",
        "anyone, once `hardstand defect action` says what was done",
    )
    done(office.acts("Tue 06:00", "YB"))
    assert refused(office.rejects("Tue 06:10", "YB")).rule.startswith("nobody clears their own")
    assert refused(office.rejects("Tue 06:10", "MS")).rule.startswith("it needs inspector")
    done(office.rejects("Tue 06:10", "DQ"))


def test_a_diagonal_that_its_doer_may_clear_is_still_not_cleared_by_who_taught_the_doer() -> None:
    office = _office(doer_clears_diagonal=True)
    done(office.acts("Tue 06:00", "BT", Done(text="retuned", taught_by=("YB",))))
    assert refused(office.clears("Tue 06:30", "YB")).rule == (
        "YB taught this task, and who taught it does not clear it"
    )


def test_scenario_41_where_any_may_be_looked_at_again_an_x_may() -> None:
    office = _office("X", again_by_doer="all")
    done(office.acts("Tue 06:00", "YB"))
    done(office.rules("Tue 06:05", "LH", again_by_doer=True))
    done(office.clears("Tue 06:30", "YB", how=AGAIN))
    assert office.facts().open == ()


def test_tv_1_24_a_chief_who_did_the_work_does_not_order_their_own_second_look() -> None:
    yb = find(people(), "YB")
    chief = find(people(), "LH")
    assert yb is not None
    assert chief is not None
    all_of_it = yb._replace(grants=(*yb.grants, *chief.grants))
    office = Office(ground(Settings(again_by_doer="all", second_look_min=0)))
    office.ground = replace(
        office.ground, people=tuple(all_of_it if p == yb else p for p in people())
    )
    office.raises("Tue 05:00", "IO", "X")
    done(office.acts("Tue 06:00", "YB"))
    done(office.rules("Tue 06:05", "YB", again_by_doer=True))
    told = refused(office.clears("Tue 08:00", "YB", how=AGAIN))
    assert told.who_could == "LH (chief) orders it, by `hardstand defect rule --again-by-doer`"
    done(office.rules("Tue 08:05", "LH", again_by_doer=True))
    done(office.clears("Tue 08:10", "YB", how=AGAIN))


def test_tv_4_9_a_second_look_needs_work_to_look_at() -> None:
    office = _office("X", again_by_doer="all")
    done(office.acts("Tue 06:00", "YB"))
    done(office.rejects("Tue 06:10", "DQ"))
    done(office.rules("Tue 06:15", "LH", again_by_doer=True))
    assert refused(office.clears("Tue 07:00", "YB", how=AGAIN)).rule == (
        "107-S01 has no action recorded; an entry is cleared over work done"
    )


def test_without_people_no_symbol_comes_down_but_a_dashs() -> None:
    office = Office(ground(enrolled=False))
    office.raises("Tue 05:00", "IO", "X")
    told = refused(office.worse("Tue 06:00", "BT", "/"))
    assert told.rule == (
        "symbols go up freely and come down only by authority; "
        "this record has no people enrolled yet"
    )
    assert told.who_could == "nobody yet; record the action and have the entry cleared"


@pytest.mark.parametrize(("symbol", "reads"), [("/", "/ red diagonal"), ("-", "- red dash")])
def test_tv_1_13_only_an_x_is_circled(symbol: str, reads: str) -> None:
    told = refused(_office(symbol).limits("Tue 06:00", "LH", "Wed 06:00"))
    assert (told.rule, told.who_could) == (
        f"only a red X is circled; 107-S01 reads {reads}", "nobody, while it is no X",
    )  # fmt: skip


def test_tv_1_13_a_circled_x_is_not_circled_again_before_it_has_run_out() -> None:
    office = _office("X")
    done(office.limits("Tue 06:00", "LH", "Wed 06:00"))
    refused(office.limits("Wed 05:59", "LH", "Thu 06:00"))
    facts = office.facts()
    blind = replace(office.case("Wed 05:59", facts), trusted=False)
    assert may("limit", "LH", blind, office.entry()) is None
    done(office.limits("Wed 06:00", "LH", "Thu 06:00"))
    assert office.verdict("Wed 06:00").symbol == "(X)"


def test_what_ran_out_or_cannot_be_told_is_not_put_off_again() -> None:
    office = _office()
    done(office.defers("Tue 06:00", "MS", "23-H-05", met=("jack", "told")))
    told = refused(office.defers("Sat 06:00", "MS", "23-H-05", met=("jack", "told")))
    assert told.rule == "an X is never deferred; its deferral ran out, so it counts as X"
    assert refused(office.extends("Sat 06:00", "LH", 1)).rule == told.rule
    case = replace(office.case("Wed 06:00", office.facts()), trusted=False)
    assert may("defer", "MS", case, office.entry(), category="B") is not None
    assert may("extend", "LH", case, office.entry()) is not None
    assert may("extend", "LH", replace(case, trusted=True), office.entry()) is None


def test_nothing_is_extended_that_was_not_put_off_nor_settled_that_agrees() -> None:
    office = _office()
    told = refused(office.extends("Tue 06:00", "LH", 1))
    assert (told.rule, told.who_could) == (
        "107-S01 is not deferred", "nobody, as it stands",
    )  # fmt: skip
    told = refused(office.settles("Tue 06:00", "LH"))
    assert (told.rule, told.who_could) == (
        "nothing about 107-S01 disagrees", "nobody, as it is",
    )  # fmt: skip


def test_scenario_43_a_third_could_not_duplicate_bars_no_repair_and_a_leads_word_lifts_it() -> None:
    case = Case(people=people(), at=at("Tue 07:00"), fit="H", cnd_before=2)
    office = _office()
    done(office.acts("Tue 06:00", "BT", Done(text="not on battery", outcome="could_not_duplicate")))
    assert may("clear", "DQ", case, office.entry()) is not None
    assert may("clear", "DQ", replace(case, cnd_before=1), office.entry()) is None
    done(office.rules("Tue 06:30", "MS"))
    assert may("clear", "DQ", case, office.entry()) is None
    mended = _office()
    done(mended.acts("Tue 06:00", "BT", Done(text="strap remade")))
    assert may("clear", "DQ", case, mended.entry()) is None


def test_scenario_35_who_could_confirm_an_error_leaves_out_its_finder() -> None:
    office = Office()
    office.raises("Tue 05:00", "DQ", "X")
    done(office.voids("Tue 05:10", "DQ"))
    told = may("confirm_void", "DQ", office.case("Tue 05:20", office.facts()), office.entry())
    assert told is not None
    assert told.rule == "an X entered in error needs a second person"
    assert told.who_could == (
        "LH (chief), YB (technician, inspector), MS (shift lead), OH (shift lead)"
    )
