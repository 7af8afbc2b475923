"""What a temporary repair re-enters: no day and no extension is gained, whatever its number.

Outside sources: AMC M.A.403(d) (a deferred item that is re-entered keeps its original date);
ORO.MLR.105(f) as published for the UK and FAA Order 8900.1 4-689 as quoted (one extension, of at
most the interval, A never); FAA PL-25 revision 24 (the days of B, C and D).
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from domain.re_entering import (
    FIRST,
    MET,
    NEXT,
    THIRD,
    WHILE,
    B,
    C,
    D,
    deferral_of,
    item_of,
    put_off,
    repaired,
    writes_deferral,
    writes_extension,
)
from hardstand.domain import bodies as b
from hardstand.domain.airframe import fold_on, folded
from hardstand.domain.bodies import By
from hardstand.domain.defects import Done
from hardstand.domain.facts import Deferral, shortest
from hardstand.domain.settings import Settings
from line_office import Office, at, done, ground, refused


def _extended(item: str = B, days: int = 3) -> Office:
    """Found on Monday the 8th, put off, extended by its chief, then repaired for a time."""
    office = Office()
    office.raises("Mon 10:00", "RA")
    put_off(office, "Mon 11:00", item)
    if days:
        done(office.extends("Mon 12:00", "LH", days))
    repaired(office, "Tue 10:00")
    return office


# -- the worked example: B found on the 8th runs to the 11th, extended to the 14th -----------------


def test_what_follows_is_not_put_off_for_longer_under_another_item() -> None:
    """Under C it would run to the 18th, and by a second extension to the 28th."""
    office = _extended()
    told = refused(office.defers("Tue 12:00", "MS", C, met=MET[C], number=NEXT))
    assert (told.what, told.rule, told.hint) == (
        f"{NEXT}: the item gives 10 days; the same defect was put off before, by {B} to 2027-03-14",
        "what was put off once gains no day, neither by a temporary repair nor by joining",
        "Put it off by an item of at most 3 days, mend it, or raise it to X.",
    )


def test_tv_3_16_what_follows_goes_on_to_the_day_its_forerunner_had() -> None:
    office = _extended()
    done(office.defers("Tue 12:00", "MS", B, met=MET[B], number=NEXT))
    assert (deferral_of(office).last_day, deferral_of(office).extended) == ("2027-03-14", 3)
    told = refused(office.extends("Tue 13:00", "LH", 1, number=NEXT))
    assert told.rule == "a deferral is extended once"


def test_what_follows_goes_on_after_the_interval_only_within_the_extension() -> None:
    office = _extended()
    done(office.defers("Sun 12:00", "MS", B, met=MET[B], number=NEXT))
    assert deferral_of(office).last_day == "2027-03-14"
    late = _extended()
    for item in (B, C):
        told = refused(
            late.defers("2027-03-15T00:00-03:00", "MS", item, met=MET[item], number=NEXT)
        )
        assert told.rule == "an X is never deferred; its deferral ran out, so it counts as X"


def test_what_follows_and_is_put_off_by_nobody_runs_out_when_its_forerunner_would() -> None:
    """Whole-job M-15: the original date counts, also when it is entered again."""
    office = _extended()
    assert item_of(office).deferral is None
    until = office.verdict("Sun 23:59")
    assert (until.symbol, until.reasons[0].text.partition(":")[0]) == (
        "/", "/ — 107-S02 red diagonal, runs out 14 Mar 24"
    )  # fmt: skip
    after = office.verdict("2027-03-15T00:00-03:00")
    assert (after.symbol, after.reasons[0].text.partition(":")[0]) == (
        "X", "X — 107-S02 deferral ran out 14 Mar 24"
    )  # fmt: skip
    assert office.verdict("Tue 12:00", trusted=False).symbol == "X"


def test_what_follows_too_late_is_given_no_milder_symbol_than_it_counts_as() -> None:
    office = Office()
    office.raises("Mon 10:00", "RA")
    put_off(office, "Mon 11:00", B)
    done(office.acts("Fri 10:00", "BT", Done(text="taped", outcome="temporary")))
    told = refused(office.clears("Fri 11:00", "DQ", how=WHILE))
    assert (told.what, told.rule) == (
        f"{FIRST} was put off to 2027-03-11, and that is over: what follows it counts as X",
        "what follows a temporary repair keeps the days of what it follows",
    )
    done(office.clears("Fri 11:00", "DQ", how=replace(WHILE, successor="")))
    assert item_of(office).symbol == "X"


def test_what_follows_what_nobody_put_off_has_no_day() -> None:
    office = Office()
    office.raises("Mon 10:00", "RA")
    repaired(office, "Tue 10:00")
    assert office.verdict("2028-03-15T00:00-03:00").symbol == "/"


def test_what_follows_and_names_an_earlier_day_is_held_to_that_one() -> None:
    """So it comes where the forerunner's device was found to be slow after it was repaired."""
    office = Office()
    office.raises("Mon 10:00", "RA")
    put_off(office, "Mon 11:00", B)
    told = b.DefectRaised(
        number=NEXT, symbol="/", text="hum", successor_of=FIRST,
        logged_at="2027-03-07T13:00:00Z", by=By(doer="DQ"),
    )  # fmt: skip
    office.write("Tue 10:00", "DQ", told)
    (before,) = item_of(office).put_off_before
    assert before.last_day == "2027-03-10"


def test_the_extension_not_yet_used_is_left_to_what_follows_once() -> None:
    office = _extended(days=0)
    done(office.defers("Tue 12:00", "MS", B, met=MET[B], number=NEXT))
    assert deferral_of(office).last_day == "2027-03-11"
    told = refused(office.extends("Tue 13:00", "LH", 4, number=NEXT))
    assert told.rule == "by the rule `faa` category B takes 1 to 3 days"
    done(office.extends("Tue 13:00", "LH", 3, number=NEXT))
    assert deferral_of(office).last_day == "2027-03-14"


def test_what_follows_a_follower_is_held_to_the_first() -> None:
    office = _extended()
    repaired(office, "Wed 10:00", NEXT)
    refused(office.defers("Wed 12:00", "MS", C, met=MET[C], number=THIRD))
    done(office.defers("Wed 12:00", "MS", B, met=MET[B], number=THIRD))
    assert deferral_of(office, THIRD).last_day == "2027-03-14"


def test_an_extension_counts_even_under_a_stricter_item() -> None:
    """C to the 18th, extended to the 28th; B gives what follows three days and no extension."""
    office = _extended(C, 10)
    done(office.defers("Tue 12:00", "MS", B, met=MET[B], number=NEXT))
    assert (deferral_of(office).last_day, deferral_of(office).extended) == ("2027-03-11", 0)
    told = refused(office.extends("Tue 13:00", "LH", 1, number=NEXT))
    assert (told.rule, told.who_could) == (
        "a deferral is extended once, and this defect's was before, to 2027-03-28",
        "nobody a second time; mend it before it runs out",
    )
    writes_extension(office, "Tue 13:00", 1, NEXT)
    assert deferral_of(office).last_day == "2027-03-11"
    assert [d.text.partition("does not hold: ")[2] for d in item_of(office).disputes] == [told.rule]


def test_what_follows_the_stricter_one_gets_that_ones_days() -> None:
    office = _extended(C, 10)
    done(office.defers("Tue 12:00", "MS", B, met=MET[B], number=NEXT))
    repaired(office, "Tue 14:00", NEXT)
    refused(office.defers("Tue 15:00", "MS", C, met=MET[C], number=THIRD))
    done(office.defers("Tue 15:00", "MS", B, met=MET[B], number=THIRD))
    assert deferral_of(office, THIRD).last_day == "2027-03-11"
    refused(office.extends("Tue 16:00", "LH", 1, number=THIRD))


def test_an_interval_of_category_a_is_not_lengthened_by_an_extension_before() -> None:
    """Under the UK rule D may be extended by 120 days; A never."""
    rules = Settings(extensions="uk")
    office = Office(ground(rules, enrolled=False))
    office.raises("Mon 10:00", "RA")
    done(office.defers("Mon 11:00", "MS", D, met=MET[D]))
    done(office.extends("Mon 12:00", "LH", 120))
    repaired(office, "Tue 10:00")
    body = b.DefectDeferred(
        number=NEXT, item="23-H-21", category="A", what="x", conditions=(), reason="x", days=120,
        by=By(doer="MS"), seen=item_of(office).seen,
    )  # fmt: skip
    office.write("Tue 12:00", "MS", body)
    assert (deferral_of(office).days, deferral_of(office).extended) == (120, 0)


def test_an_extension_ends_no_later_than_what_was_put_off_before_could() -> None:
    """An item of category A gave 20 days and no more; C gives 10 and by its extension 20."""
    office = Office(ground(enrolled=False))
    office.raises("Mon 10:00", "RA")
    short = b.DefectDeferred(
        number=FIRST, item="23-H-21", category="A", what="x", conditions=(), reason="x", days=15,
        by=By(doer="MS"), seen=item_of(office, FIRST).seen,
    )  # fmt: skip
    office.write("Mon 11:00", "MS", short)
    repaired(office, "Tue 10:00")
    done(office.defers("Tue 11:00", "MS", C, met=MET[C], number=NEXT))
    told = refused(office.extends("Tue 12:00", "LH", 6, number=NEXT))
    assert told.rule == (
        "by the rule `faa` category C takes 1 to 5 days, "
        "after what the defect was put off by before"
    )
    done(office.extends("Tue 12:00", "LH", 5, number=NEXT))
    assert deferral_of(office).last_day == "2027-03-23"


# -- other ways round ------------------------------------------------------------------------------


def test_an_x_circled_meanwhile_hides_no_extension() -> None:
    office = Office()
    office.raises("Mon 10:00", "RA")
    done(office.defers("Mon 11:00", "MS", B, met=MET[B]))
    done(office.extends("Mon 12:00", "LH", 3))
    done(office.worse("Mon 13:00", "BT"))
    done(office.limits("Mon 14:00", "LH", "Fri 10:00"))
    assert item_of(office, FIRST).deferral is None
    repaired(office, "Tue 10:00")
    refused(office.defers("Tue 12:00", "MS", C, met=MET[C], number=NEXT))
    done(office.defers("Tue 12:00", "MS", B, met=MET[B], number=NEXT))
    assert deferral_of(office).last_day == "2027-03-14"


@pytest.mark.parametrize("of_the_other", [False, True])
def test_an_x_raised_on_another_device_hides_nothing_either(*, of_the_other: bool) -> None:
    """S put it off and circled it; T, which had seen neither, made it an X, and that may stand."""
    office = Office()
    office.raises("Mon 10:00", "RA")
    office.lines["T"] = list(office.lines["S"])
    put_off(office, "Mon 11:00", B)
    done(office.worse("Mon 12:00", "BT"))
    done(office.limits("Mon 13:00", "LH", "Fri 10:00"))
    (grew,) = done(office.worse("Mon 14:00", "NH", device="T"))
    office.exchange("S", "T")
    assert [d.item for d in item_of(office, FIRST).put_off_before] == [B]
    stands = grew.digest.hex() if of_the_other else ""
    done(office.settles("Mon 15:00", "YB", stands))
    repaired(office, "Tue 10:00")
    refused(office.defers("Tue 12:00", "MS", C, met=MET[C], number=NEXT))


def test_what_follows_is_not_joined_to_one_put_off_for_longer() -> None:
    office = _extended()
    office.raises("Tue 12:00", "RA")
    done(office.defers("Tue 13:00", "MS", C, met=MET[C], number=THIRD))
    told = refused(office.joins("Tue 14:00", "MS", NEXT, THIRD))
    assert (told.what, told.hint) == (
        "107-S02 runs out before 107-S03",
        "Join 107-S03 to 107-S02 instead.",
    )
    done(office.joins("Tue 14:00", "MS", THIRD, NEXT))


def test_of_two_circled_the_one_whose_limits_end_later_joins_whatever_was_put_off_before() -> None:
    office = Office()
    for number, ends in ((FIRST, "Sun 10:00"), (NEXT, "Sat 10:00")):
        office.raises("Mon 10:00", "RA")
        if number == FIRST:
            put_off(office, "Mon 11:00", B)
        done(office.worse("Mon 12:00", "BT", number=number))
        done(office.limits("Mon 13:00", "LH", ends, number=number))
    done(office.joins("Tue 14:00", "MS", FIRST, NEXT))


def test_one_put_off_to_the_same_day_takes_what_follows() -> None:
    office = _extended(days=0)
    office.raises("Mon 10:00", "RA")
    done(office.defers("Tue 13:00", "MS", B, met=MET[B], number=THIRD))
    done(office.joins("Tue 14:00", "MS", NEXT, THIRD))
    assert deferral_of(office, THIRD).last_day == "2027-03-11"


def test_what_takes_a_follower_over_is_held_to_what_that_had() -> None:
    office = _extended()
    office.raises("Tue 12:00", "RA")
    told = refused(office.joins("Tue 14:00", "MS", NEXT, THIRD))
    assert told.hint == "Join 107-S03 to 107-S02 instead."
    office.write("Tue 14:00", "MS", b.DefectSameAs(
        number=NEXT, other=THIRD, by=By(doer="MS"), seen=item_of(office).seen))  # fmt: skip
    refused(office.defers("Tue 15:00", "MS", C, met=MET[C], number=THIRD))
    done(office.defers("Tue 15:00", "MS", B, met=MET[B], number=THIRD))
    assert deferral_of(office, THIRD).last_day == "2027-03-14"


def test_an_earlier_discovery_that_joins_moves_what_was_put_off_before_too() -> None:
    """The earlier day counts, so that the defect was to be mended by the 10th, not the 11th."""
    office = Office()
    office.raises("Mon 10:00", "RA")
    done(office.defers("Mon 11:00", "MS", B, met=MET[B]))
    repaired(office, "Tue 10:00")
    earlier = b.DefectRaised(
        number=THIRD, symbol="/", text="hum", logged_at="2027-03-07T13:00:00Z", by=By(doer="RA")
    )
    office.write("Tue 11:00", "RA", earlier)
    done(office.joins("Tue 12:00", "MS", THIRD, NEXT))
    (before,) = item_of(office).put_off_before
    assert (before.last_day, before.runs_out) == ("2027-03-10", "2027-03-11T03:00:00Z")


def test_a_line_that_names_its_forerunner_cannot_name_other_days() -> None:
    office = Office()
    office.raises("Mon 10:00", "RA")
    done(office.defers("Mon 11:00", "MS", B, met=MET[B]))
    late = b.DefectRaised(number=NEXT, symbol="/", text="hum", successor_of=FIRST, by=By(doer="DQ"))
    office.write("Wed 10:00", "DQ", late)
    item = item_of(office)
    assert (item.found_at, item.logged_at) == (at("Mon 10:00"), at("Mon 10:00"))
    assert [d.item for d in item.put_off_before] == [B]


def test_a_forerunner_that_is_in_no_line_bounds_nothing() -> None:
    office = Office()
    body = b.DefectRaised(number=NEXT, symbol="/", text="hum", successor_of=FIRST, by=By(doer="DQ"))
    office.write("Wed 10:00", "DQ", body)
    assert item_of(office).put_off_before == ()


# -- older lines, and what is kept -----------------------------------------------------------------


def test_older_lines_that_gave_more_run_out_with_the_first_and_say_so() -> None:
    office = _extended()
    writes_deferral(office, "Tue 12:00", C, NEXT)
    writes_extension(office, "Tue 13:00", 10, NEXT)
    assert deferral_of(office).last_day == "2027-03-14"
    (listed,) = item_of(office).disputes
    assert listed.text.endswith("does not hold: a deferral is extended once")
    assert office.verdict("Sun 23:59").symbol == "/"
    assert office.verdict("2027-03-15T00:00-03:00").symbol == "X"


def test_a_fold_gone_on_with_knows_what_the_open_forerunner_was_put_off_by() -> None:
    office = _extended()
    lines = office.lines["S"]
    raised = next(n for n, e in enumerate(lines) if e.kind == "defect.raised" and n > 0)
    for cut in range(len(lines) + 1):
        after = fold_on(folded(office.ground, lines[:cut]), lines[cut:], office.ground)
        assert after == folded(office.ground, lines), cut
    assert raised < len(lines) - 1


def test_a_follower_of_what_was_closed_before_needs_the_past() -> None:
    office = _extended()
    body = b.DefectRaised(
        number=THIRD, symbol="/", text="hum", successor_of=FIRST, by=By(doer="DQ")
    )
    before = folded(office.ground, office.lines["S"])
    line = office.write("Wed 10:00", "DQ", body)
    assert fold_on(before, [line], office.ground) is None
    assert [d.item for d in item_of(office, THIRD).put_off_before] == [B]


def test_of_intervals_as_long_the_one_that_was_extended_counts() -> None:
    plain = Deferral(item=B, category="B", days=3, by="MS", ref="S-2", digest="")
    longer, other = plain._replace(extended=3), plain._replace(days=10, extended=10)
    assert shortest([other, plain, longer]) == longer
    assert shortest([]) is None
