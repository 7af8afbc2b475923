"""Which role counts where: the fit, the day, the category, the supervisor, and what is told.

Outside sources: 14 CFR 121.371(d) (inspectors are listed by name and by what they may inspect);
M.A.403(b) (who decides what is deferred); the rest is whole-job C-11 and M-27.
"""

from __future__ import annotations

from dataclasses import replace
from typing import get_args

import pytest

from domain.readings.blocks import block
from hardstand.domain import bodies as b
from hardstand.domain.authority import Case, Deed, answers_for, judged_as, may, who_could
from hardstand.domain.bodies import By
from hardstand.domain.ground import disowning
from hardstand.domain.people import ROLES, Grant, Person, Role
from hardstand.domain.quantity import Instant
from line_office import Office, at, done, ground, people

NOW = at("Tue 07:00")


def _person(initials: str, *grants: Grant, ended: str = "") -> Person:
    return Person(
        initials=initials, name=initials, enrolled=Instant("2026-11-01T12:00:00Z"), grants=grants,
        ended=ended,
    )  # fmt: skip


def _grant(
    role: Role,
    *fits: str,
    since: str = "2027-01-01T00:00:00Z",
    until: str = "",
    categories: str = "",
) -> Grant:
    return Grant(
        role=role, since=Instant(since), fits=fits, until=until, categories=tuple(categories)
    )


def _rule(deed: Deed, who: str, case: Case, category: str = "") -> str:
    barred = may(deed, who, case, category=category)
    return barred.rule if barred else ""


def test_scenario_73_a_line_that_its_author_disowns_does_nothing_whatever_their_role() -> None:
    barred = may("clear", "DQ", Case(people=people(), at=NOW, fit="H", disowned=True))
    assert barred is not None
    assert (barred.rule, barred.who_could) == (
        "DQ says this line is not theirs", "a third person",
    )  # fmt: skip
    office = Office()
    office.raises("Mon 05:11", "RA", "X")
    done(office.acts("Mon 06:00", "BT"))
    (cleared,) = done(office.clears("Mon 07:00", "DQ"))
    digest = cleared.digest.hex()
    for named, still in (("YB", 0), ("DQ", 1)):
        office.ground = replace(ground(), disowned=frozenset({disowning(digest, named)}))
        assert len(office.facts().open) == still


def test_who_holds_the_role_on_another_fit_is_not_named_as_who_could() -> None:
    known = (
        _person("AA", _grant("inspector", "V")),
        _person("BB", _grant("inspector", "H")),
        _person("CC", _grant("chief", "V")),
    )
    case = Case(people=known, at=NOW, fit="H")
    assert who_could("clear", case) == "BB (inspector)"
    assert who_could("limit", case) == "CC (chief)"
    assert may("limit", "CC", case) is None
    assert who_could("defer", case) == "nobody enrolled now; it needs shift lead"
    assert who_could("limit", Case()) == "another chief"
    assert who_could("clear", case, but=("BB",)) == "nobody enrolled now; it needs inspector"


def test_whoever_cannot_tell_if_they_still_may_is_not_named_as_who_could() -> None:
    case = Case(people=people(), at=NOW, fit="H", trusted=False)
    barred = may("clear", "DQ", case)
    assert barred is not None
    assert barred.who_could == "YB (technician, inspector)"
    assert _rule("clear", "BT", case) == "it needs inspector; BT is technician, crew lead"


@pytest.mark.parametrize(("until", "told"), [
    (("", "2027-12-31T00:00:00Z"), ""),
    (("2027-12-31T00:00:00Z", "2027-12-31T00:00:00Z"),
     "CANNOT TELL whether their authority has ended: this clock is not trusted"),
])  # fmt: skip
def test_one_role_without_an_end_is_enough_where_the_clock_cannot_tell(
    until: tuple[str, str], told: str
) -> None:
    both = _person("AA", _grant("technician", until=until[0]), _grant("crew_lead", until=until[1]))
    assert _rule("act", "AA", Case(people=(both,), at=NOW, trusted=False)) == told


def test_a_line_is_judged_by_whoever_is_named_as_doer_only_if_its_author_answers_for_them() -> None:
    case = Case(people=people(), at=NOW, fit="H")
    assert judged_as("YB", By(doer="DQ"), case) == "YB"
    assert judged_as("DQ", By(doer="IO", with_=("DQ",)), case) == "IO"
    assert answers_for("IO", ("ZZ", "BTR", "BT"), case) == "BT"
    assert answers_for("IO", (), case) == "IO"


def test_an_inspector_who_writes_anothers_name_as_doer_clears_nothing() -> None:
    office = Office()
    office.raises("Mon 05:11", "RA", "X")
    done(office.acts("Mon 06:00", "YB"))
    item = office.entry()
    assert item is not None
    line = b.DefectCleared(number="107-S01", text="x", by=By(doer="DQ"), seen=item.seen)
    office.write("Mon 07:00", "YB", line)
    (still,) = office.facts().open
    assert still.disputes[0].text.endswith("does not hold: nobody clears their own work; YB did it")


def test_an_inspector_who_is_no_technician_signs_for_a_trainee_they_supervise() -> None:
    """Each task is signed after it is done, and a trainee's countersigned: AMC 145.A.48(c)."""
    office = Office()
    office.raises("Mon 05:11", "RA", "X")
    item = office.entry()
    assert item is not None
    by = By(doer="IO", with_=("DQ",))
    office.write("Mon 06:00", "DQ", b.ActionRecorded(number="107-S01", text="x", by=by,
                                                     seen=item.seen))  # fmt: skip
    (mended,) = office.facts().open
    assert mended.work is not None
    assert mended.disputes == ()


def test_a_trainee_is_told_who_may_supervise_on_that_fit() -> None:
    known = (
        _person("IO", _grant("trainee")),
        _person("BT", _grant("crew_lead", "V")),
        _person("DQ", _grant("inspector", "H")),
    )
    case = Case(people=known, at=NOW, fit="H")
    barred = may("act", "IO", case)
    assert barred is not None
    assert barred.who_could == "IO with DQ (inspector)"
    assert may("act", "IO", case, with_=("BT",)) is not None
    alone = may("act", "IO", replace(case, people=known[:1]))
    assert alone is not None
    assert alone.who_could == "IO with a supervisor"


def test_an_auditor_reads_only_and_a_person_without_a_role_is_none() -> None:
    none = _person("AA")
    case = Case(people=(*people(), none), at=NOW, fit="H")
    assert _rule("raise", "CA", case) == "CA is auditor and reads only"
    assert _rule("answer", "CA", case) == "it needs technician or crew lead; CA is auditor"
    assert _rule("raise", "AA", case).endswith("; AA is without a role")


ENDS = "2027-03-09T10:00:00Z"


@pytest.mark.parametrize(("when", "told"), [
    ("2027-03-09T09:59:59Z", "it needs inspector; AA is technician"),
    (ENDS, f"the authority of AA ended {ENDS}"),
])  # fmt: skip
def test_tv_1_23_who_has_left_is_told_so_from_that_instant_on(when: str, told: str) -> None:
    ends = _grant("technician", since=ENDS, until=ENDS)
    left = _person("AA", _grant("technician"), ends, ended=ENDS)
    case = Case(people=(left,), at=Instant(when))
    assert _rule("clear", "AA", case) == told
    assert _rule("act", "AA", case) == ("" if when < ENDS else told)


@pytest.mark.parametrize(("when", "told"), [
    ("2027-03-09T09:59:59Z", f"AA is inspector only from {ENDS}"),
    (ENDS, ""),
    ("2027-03-10T09:59:59Z", ""),
    ("2027-03-10T10:00:00Z", "the authority of AA ended 2027-03-10T10:00:00Z"),
])  # fmt: skip
def test_a_role_holds_from_its_first_instant_and_no_more_at_its_last(when: str, told: str) -> None:
    """Two roles that overlap are each judged alone: TV 1.23's rule at other instants."""
    dated = _grant("inspector", since=ENDS, until="2027-03-10T10:00:00Z")
    case = Case(people=(_person("AA", _grant("technician"), dated),), at=Instant(when))
    assert _rule("clear", "AA", case) == told
    assert _rule("act", "AA", case) == ""


@pytest.mark.parametrize(("fits", "fit", "told"), [
    (("V",), "H", "AA is inspector on fit V, not on fit H"),
    (("V", "H"), "H", ""),
    ((), "H", ""),
    (("V",), "", ""),
])  # fmt: skip
def test_an_inspector_is_one_for_the_fits_listed(
    fits: tuple[str, ...], fit: str, told: str
) -> None:
    case = Case(people=(_person("AA", _grant("inspector", *fits, since=NOW)),), at=NOW, fit=fit)
    assert _rule("clear", "AA", case) == told


def test_why_a_role_is_lacking_names_the_fit_only_where_the_fit_is_why() -> None:
    lead = _person("AA", _grant("shift_lead", "V", categories="B"))
    case = Case(people=(lead,), at=NOW, fit="H")
    assert _rule("defer", "AA", case, "C") == "AA defers B, not C"
    assert _rule("defer", "AA", case, "B") == ""
    everything = _person("BB", _grant("shift_lead"))
    assert _rule("defer", "BB", replace(case, people=(everything,)), "A") == (
        "BB defers B, C, D, not A"
    )


@pytest.mark.parametrize("row", block("deeds")[1], ids=lambda row: row["deed"])
def test_each_deed_is_for_the_roles_of_the_table_on_the_fits_of_the_table(
    row: dict[str, str],
) -> None:
    deed = next(d for d in get_args(Deed) if d == row["deed"])
    beside = _person("BT", _grant("crew_lead"))
    for role in ROLES:
        for held, here in (("H", True), ("V", row["fit"] == "any")):
            case = Case(people=(_person("AA", _grant(role, held)), beside), at=NOW, fit="H")
            allowed = here and role in row["roles"].split()
            assert (may(deed, "AA", case) is None) == allowed, (role, held)
            supervised = allowed or (role == "trainee" and row["trainee"] == "yes" and held == "H")
            assert (may(deed, "AA", case, with_=("BT",)) is None) == supervised, (role, held)


def test_the_table_of_deeds_names_every_one() -> None:
    assert {row["deed"] for row in block("deeds")[1]} == set(get_args(Deed))


def test_an_administrator_who_holds_every_role_does_only_what_signs_no_maintenance() -> None:
    whole = _person("AA", *(_grant(role) for role in ROLES if role != "trainee"))
    for row in block("deeds")[1]:
        deed = next(d for d in get_args(Deed) if d == row["deed"])
        barred = may(deed, "AA", Case(people=(whole,), at=NOW))
        assert (barred is None) == (row["administrator"] == "yes"), row["deed"]
