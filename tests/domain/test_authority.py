"""Who may do what: the rows of the demo's people, the bars, and what a refusal says.

Outside sources: 14 CFR 121.371(c) (own work), 121.369(b)(8) (an inspector is not overruled);
TM 1-1520-238-PM p. 8 (X and circled X); AMC4 145.A.48(b) (re-inspection by the doer).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from domain.readings.blocks import block
from hardstand.domain.authority import Barred, Case, Deed, answers_for, may
from hardstand.domain.clearing import Looked
from hardstand.domain.defects import Done
from hardstand.domain.people import find, holders
from hardstand.domain.settings import Settings
from line_office import Office, at, done, ground, people, refused

ROWS = {row["n"]: row for row in block("authority")[1]}


def _case(when: str, fit: str = "H") -> Case:
    return Case(people=people(), at=at(when), fit=fit)


def _asked(deed: Deed, who: str, when: str, with_: tuple[str, ...] = ()) -> Barred | None:
    return may(deed, who, _case(when), with_=with_)


def _x(*, cleared_by: str = "") -> Office:
    office = Office()
    office.raises("Tue 05:28", "NH", "X")
    if cleared_by:
        done(office.acts("Tue 05:44", cleared_by))
    return office


def _on(office: Office, deed: Deed, who: str, when: str, category: str = "") -> Barred | None:
    facts = office.facts()
    return may(deed, who, office.case(when, facts), office.entry(), category=category)


def _deferred(*, extended: bool = False) -> Office:
    office = Office()
    office.raises("Mon 22:30", "RA")
    done(office.defers("Mon 22:50", "OH", "23-H-05", met=("jack", "phone")))
    if extended:
        done(office.extends("Thu 10:00", "LH", 3))
    return office


def _fork() -> Office:
    office = Office()
    office.raises("Wed 15:20", "IO")
    done(office.acts("Fri 09:20", "BT"))
    office.exchange("S", "A", "C")
    done(office.worse("Fri 09:58", "YB", device="C"))
    done(office.clears("Fri 10:05", "DQ", device="A"))
    office.exchange("S", "A", "C")
    return office


JUDGED: dict[str, Callable[[], Barred | None]] = {
    "1": lambda: _asked("answer", "IO", "Mon 04:40", ("BT",)),
    "2": lambda: _asked("answer", "IO", "Mon 04:40"),
    "3": lambda: _asked("finish", "IO", "Mon 05:24"),
    "4": lambda: _asked("raise", "RA", "Mon 22:30"),
    "5": lambda: _asked("raise", "CA", "Mon 22:30"),
    "6": lambda: _asked("raise_symbol", "IO", "Tue 06:02"),
    "7": lambda: _on(_x(), "limit", "MS", "Tue 05:40"),
    "8": lambda: _on(_x(), "limit", "LH", "Tue 05:40"),
    "9": lambda: _asked("lower_symbol", "BT", "Thu 17:00"),
    "10": lambda: _on(_x(), "defer", "MS", "Tue 06:30", category="C"),
    "11": lambda: may("defer", "MS", _case("Mon 05:40"), category="C"),
    "13": lambda: _on(_deferred(), "extend", "MS", "Thu 20:00"),
    "15": lambda: _on(_deferred(extended=True), "extend", "LH", "Sun 10:00"),
    "16": lambda: _on(_x(cleared_by="YB"), "clear", "YB", "Tue 05:46"),
    "17": lambda: _on(_x(cleared_by="YB"), "clear", "DQ", "Tue 06:05"),
    "18": lambda: _on(_x(cleared_by="BT"), "clear", "BTR", "Sat 07:20"),
    "19": lambda: _on(_x(cleared_by="BTR"), "clear", "YB", "Thu 19:00"),
    "20": lambda: _on(_x(cleared_by="BTR"), "clear", "DQ", "2028-01-01T00:00-03:00"),
    "21": lambda: _asked("answer", "NH", "Thu 09:00"),
    "22": lambda: _asked("answer", "NH", "Wed 11:09"),
    "25": lambda: _on(_fork(), "settle", "DQ", "Fri 10:30"),
    "26": lambda: _asked("order_move", "MS", "Wed 05:40"),
}
"""Each row as a question; 23 belongs to flights and 28 to the register, tested there."""


@pytest.mark.parametrize("n", JUDGED, ids=lambda n: f"row {n}: {ROWS[n]['act']}")
def test_the_demo_people_may_what_the_rows_say(n: str) -> None:
    barred = JUDGED[n]()
    assert (barred is None) == (ROWS[n]["allowed"] == "yes"), (ROWS[n], barred)
    if barred is not None:
        assert barred.rule
        assert barred.who_could


def test_every_row_but_those_of_flights_and_the_register_is_judged_here() -> None:
    assert set(ROWS) - set(JUDGED) == {"23", "28"}


@pytest.mark.parametrize(
    ("n", "rule", "who_could"),
    [
        ("2", "IO is a trainee and needs a supervisor at the work, who signs for it",
         "IO with BT (technician, crew lead), YB (technician, inspector), DQ (inspector)"),
        ("5", "CA is auditor and reads only", "anyone on the line"),
        ("7", "it needs chief; MS is shift lead", "LH (chief)"),
        ("9", "it needs shift lead or inspector or chief; BT is technician, crew lead", None),
        ("10", "an X is never deferred; it reads X",
         "nobody; mend it, or LH (chief) sets written limits"),
        ("13", "it needs chief; MS is shift lead", "LH (chief)"),
        ("15", "a deferral is extended once", "nobody a second time"),
        ("16", "nobody clears their own work; YB did it", "DQ (inspector)"),
        ("18", "it needs inspector; BTR is technician",
         "YB (technician, inspector), DQ (inspector)"),
        ("20", "the authority of DQ ended 2028-01-01T03:00:00Z", "YB (technician, inspector)"),
        ("21", "the authority of NH ended 2027-03-10T20:00:00Z", None),
        ("25", "DQ is a party: DQ, YB wrote what disagrees", "LH (chief)"),
    ],
)  # fmt: skip
def test_a_refusal_names_the_rule_and_who_could(n: str, rule: str, who_could: str | None) -> None:
    barred = JUDGED[n]()
    assert barred is not None
    assert barred.rule == rule
    if who_could is not None:
        assert barred.who_could == who_could


def test_scenario_39_the_inspector_who_mended_it_is_refused_and_told_who_may() -> None:
    told = refused(_x(cleared_by="YB").clears("Tue 05:46", "YB"))
    assert (told.what, told.rule, told.who_could) == (
        "107-S01 stays as it is", "nobody clears their own work; YB did it", "DQ (inspector)",
    )  # fmt: skip


def test_scenario_40_the_inspector_who_taught_the_doer_is_refused_likewise() -> None:
    office = _x()
    done(office.acts("Tue 06:40", "BTR", Done(text="retuned", taught_by=("DQ",))))
    told = refused(office.clears("Tue 07:00", "DQ"))
    assert told.rule == "DQ taught this task, and who taught it does not clear it"
    assert told.who_could == "YB (technician, inspector)"


@pytest.mark.parametrize("beside", ["YB", "DQ"])
def test_whoever_took_part_as_a_pair_of_hands_does_not_clear_it(beside: str) -> None:
    office = _x()
    done(office.acts("Tue 06:40", "BT", with_=(beside,)))
    assert refused(office.clears("Tue 07:00", beside)).rule.startswith("nobody clears their own")


def test_the_supervisor_of_a_trainee_signs_for_the_work_and_does_not_clear_it() -> None:
    office = _x()
    lines = done(office.acts("Tue 06:40", "IO", with_=("YB",)))
    assert lines[0].author == "YB"
    assert refused(office.clears("Tue 07:00", "YB")).rule == (
        "nobody clears their own work; YB, IO did it"
    )
    assert answers_for("IO", ("YB",), _case("Tue 06:40")) == "YB"
    assert answers_for("BT", ("YB",), _case("Tue 06:40")) == "BT"


def test_a_trainee_alone_records_no_work() -> None:
    told = refused(_x().acts("Tue 06:40", "IO"))
    assert told.rule == "IO is a trainee and needs a supervisor at the work, who signs for it"


def test_an_administrator_signs_no_maintenance_whatever_else_they_hold() -> None:
    both = find(people(), "JW")
    assert both is not None
    also = both._replace(grants=(*both.grants, *(g._replace(role="inspector")
                                                 for g in both.grants)))  # fmt: skip
    case = replace(_case("Tue 07:00"), people=(*(p for p in people() if p != both), also))
    office = _x(cleared_by="BT")
    barred = may("clear", "JW", case, office.entry())
    assert barred is not None
    assert barred.rule == "an administrator signs no maintenance"
    assert may("register", "JW", case) is None


def test_authority_is_for_the_fits_named() -> None:
    only = find(people(), "DQ")
    assert only is not None
    narrow = only._replace(grants=tuple(g._replace(fits=("V",)) for g in only.grants))
    case = replace(_case("Tue 07:00"), people=(narrow,))
    barred = may("clear", "DQ", case, _x(cleared_by="BT").entry())
    assert barred is not None
    assert barred.rule == "DQ is inspector on fit V, not on fit H"
    assert may("clear", "DQ", replace(case, fit="V"), _x(cleared_by="BT").entry()) is None


def test_authority_begins_when_it_was_given() -> None:
    barred = may("act", "IO", _case("2027-02-28T09:00-03:00"), with_=("BT",))
    assert barred is not None
    assert barred.rule == "it needs technician or crew lead; IO is without a role"


def test_somebody_not_enrolled_signs_nothing() -> None:
    barred = may("clear", "ZZ", _case("Tue 07:00"), _x(cleared_by="BT").entry())
    assert barred is not None
    assert barred.rule == "ZZ is not enrolled in this record"


def test_tv_1_23_the_day_after_authority_ended_and_the_day_before() -> None:
    office = _x(cleared_by="BT")
    assert _on(office, "clear", "DQ", "2027-12-31T23:59-03:00") is None
    barred = _on(office, "clear", "DQ", "2028-01-01T00:00-03:00")
    assert barred is not None


def test_tv_1_7_the_doer_clears_a_diagonal_only_under_the_setting() -> None:
    for allowed in (False, True):
        office = Office(ground(Settings(doer_clears_diagonal=allowed)))
        office.raises("Tue 05:28", "IO", "/")
        done(office.acts("Tue 06:40", "YB"))
        found = office.clears("Tue 07:00", "YB")
        assert isinstance(found, tuple) == allowed
    office = Office(ground(Settings(doer_clears_diagonal=True)))
    office.raises("Tue 05:28", "IO", "-")
    done(office.acts("Tue 06:40", "YB"))
    refused(office.clears("Tue 07:00", "YB"))


def _alone(settings: Settings, symbol: str = "/") -> Office:
    office = Office(ground(settings))
    office.raises("Tue 05:28", "IO", "X" if symbol == "X" else "/")
    done(office.acts("Tue 06:00", "YB"))
    return office


AGAIN = Looked(text="looked again", again_by_doer="DQ is ill, nobody else on the island")


def test_scenario_41_the_only_inspector_did_it_and_the_rules_do_not_allow_it() -> None:
    told = refused(_alone(Settings()).clears("Tue 08:00", "YB", how=AGAIN))
    assert told.rule == (
        "this operator does not let a doer inspect their own work on a red diagonal"
    )
    assert told.who_could == "DQ (inspector)"


def test_tv_1_24_re_inspection_by_the_doer_takes_a_reason_a_chiefs_order_and_a_pause() -> None:
    settings = Settings(again_by_doer="below_x")
    office = _alone(settings)
    assert refused(office.clears("Tue 08:00", "YB")).rule.startswith("nobody clears their own")
    told = refused(office.clears("Tue 08:00", "YB", how=AGAIN))
    assert told.rule == (
        "a doer looks at their own work only by the order of a chief, for unforeseen need"
    )
    assert told.who_could == ("LH (chief) orders it, by `hardstand defect rule --again-by-doer`")
    done(office.rules("Tue 06:05", "LH", again_by_doer=True))
    assert refused(office.clears("Tue 06:29", "YB", how=AGAIN)).rule == (
        "a second look at one's own work comes after a pause of 30 minutes"
    )
    done(office.clears("Tue 06:30", "YB", how=AGAIN))
    assert office.facts().open == ()
    assert office.facts().weaker == ("107-S01",)
    assert office.verdict("Tue 07:00").reasons[-2].text == (
        "107-S01 was cleared by its doer, WEAKER until an inspector looks"
    )


def test_scenario_41_an_x_is_not_cleared_by_its_doer_where_only_lesser_ones_may_be() -> None:
    office = _alone(Settings(again_by_doer="below_x"), "X")
    done(office.rules("Tue 06:05", "LH", again_by_doer=True))
    assert refused(office.clears("Tue 08:00", "YB", how=AGAIN)).rule == (
        "this operator does not let a doer inspect their own work on a red X"
    )


def test_scenario_43_the_third_could_not_duplicate_waits_for_a_leads_word() -> None:
    office = Office()
    for n, day in enumerate(("Mon", "Tue", "Wed"), 1):
        number = office.raises(f"{day} 08:00", "AF", weakens=("lf.rx",))
        cnd = Done(text="not on battery", outcome="could_not_duplicate")
        done(office.acts(f"{day} 10:00", "BT", cnd, number=number))
        found = office.clears(f"{day} 11:00", "DQ", number=number)
        if n < 3:
            done(found)
            continue
        assert refused(found).rule == (
            "could not duplicate 2 times before; a lead first says what will be different"
        )
    assert [w.look_after for w in office.facts().watched] == [5, 5]


def test_a_clock_that_is_not_trusted_cannot_tell_whether_authority_has_ended() -> None:
    office = _x(cleared_by="BT")
    case = replace(office.case("Tue 07:00", office.facts()), trusted=False)
    barred = may("clear", "DQ", case, office.entry())
    assert barred is not None
    assert barred.rule == (
        "CANNOT TELL whether their authority has ended: this clock is not trusted"
    )
    assert may("clear", "YB", case, office.entry()) is None


def test_who_could_leaves_out_who_is_barred_otherwise() -> None:
    assert [p.initials for p in holders(people(), ("inspector",), at("Tue 07:00"))] == ["YB", "DQ"]
    told = refused(_x(cleared_by="YB").clears("Tue 07:00", "BTR"))
    assert told.who_could == "DQ (inspector)"
