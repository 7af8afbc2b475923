"""More laws told as small stories: what nobody may give, take back alone, or write down late."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache

from domain.pairs import PAIRS, played, read
from domain.status_histories import Case
from domain.status_laws import Rules
from domain.status_laws_told import FIXED, _now, _one, _seen
from hardstand.domain import bodies as b
from hardstand.domain.bodies import By, Late
from hardstand.domain.facts import AirframeFacts
from hardstand.domain.ruling import rule
from hardstand.domain.settings import Settings
from line_office import Office, at, ground


def nobody_gives_more_than_anybody_may(rules: Rules, case: Case) -> None:
    """A circled X for over a week, more days than its interval, a longer one: none counts."""
    circled = _one("X")
    circled.write("Mon 09:00", "LH", b.SymbolLimited(
        number="107-S01", limits="by day", ends="2027-03-16T03:00:01Z", reason="x",
        by=By(doer="LH"), seen=_seen(circled)))  # fmt: skip
    item = _now(rules, circled)
    assert item is not None
    assert rules.effective(item, at("Mon 10:00")) == "X"
    put_off = _one("/")
    put_off.defers("Mon 12:00", "OH", "23-H-05", met=("a", "b"))
    put_off.write("Mon 13:00", "LH", b.DefectProlonged(
        number="107-S01", days=4, reason="x", by=By(doer="LH"), seen=_seen(put_off)))  # fmt: skip
    again = _one("/")
    again.defers("Mon 12:00", "OH", "23-H-05", met=("a", "b"))
    again.write("Mon 13:00", "OH", b.DefectDeferred(
        number="107-S01", item="x", category="C", what="x", conditions=(), reason="x",
        by=By(doer="OH"), seen=_seen(again)))  # fmt: skip
    for office in (put_off, again):
        after = _now(rules, office)
        assert after is not None
        assert rules.effective(after, at("Fri 00:00")) == "X"
    del case


def the_finder_takes_back_alone_what_nobody_has_acted_on(rules: Rules, case: Case) -> None:
    """And whatever the finder writes, what another has acted on stays."""
    for acted in (False, True):
        office = _one("/")
        if acted:
            office.worse("Mon 09:00", "IO", "-")
        office.write("Mon 09:30", "RA", b.DefectVoided(
            number="107-S01", reason="x", by=By(doer="RA"), seen=_seen(office)))  # fmt: skip
        assert (_now(rules, office) is not None) == acted
    del case


def what_eases_without_sight_of_an_x_does_not_hold_and_is_listed(rules: Rules, case: Case) -> None:
    """A ruling does not outlive an X it had not seen; a deferral is listed beside it."""
    for eased in ("ruling", "deferral", "deferral seen"):
        office = _one("/")
        if eased == "deferral seen":
            office.defers("Mon 08:50", "MS")
        office.exchange("S", "A", "C")
        office.worse("Mon 09:00", "IO", "X", "C")
        if eased == "deferral":
            office.defers("Mon 09:00", "MS", device="A")
        if eased == "ruling":
            office.does("Mon 09:00", "MS", lambda f, c: rule(
                f, "107-S01", "fly it", By(doer="MS"), c), "A")  # fmt: skip
        if eased == "deferral seen":
            office.acts("Mon 09:00", "BT", device="A")
        office.exchange("S", "A", "C")
        item = _now(rules, office)
        assert item is not None
        assert (item.symbol, item.ruled, bool(item.disputes)) == ("X", "", eased == "deferral")
    del case


def _walked(office: Office, when: str, late: str = "") -> None:
    by = By(doer="BT", late=Late(made_at=str(at(late)), typist="BT") if late else None)
    office.write(when, "BT", b.WalkClosed(
        outcome="finished", purpose="preflight", checklist="H", revision="H5", proved=("lf.rx",),
        gaps=(), open_lines=(), by=by))  # fmt: skip


def of_two_walks_the_one_made_later_counts(rules: Rules, case: Case) -> None:
    """Whenever each was written down; and so does what it proved."""
    for late in ("Mon 05:00", "Mon 07:00"):
        office = Office(_one("/").ground)
        _walked(office, "Mon 06:00")
        _walked(office, "Mon 12:00", late)
        facts: AirframeFacts = rules.fold(office.ground, office.lines["S"])
        assert facts.finished is not None
        newest = max(at("Mon 06:00"), at(late))
        assert facts.finished.at == newest
        assert (facts.proved or {})["lf.rx"].at == newest
    del case


def a_third_person_lets_one_act_stand_or_the_careful_reading(rules: Rules, case: Case) -> None:
    """Law 17 with a choice: the clearance, the X, a line that is none of the two, an older one."""
    for stands in ("cleared", "raised", "neither", "older"):
        office = _one("/")
        office.acts("Mon 09:00", "BT")
        office.exchange("S", "A", "C")
        office.worse("Mon 10:00", "IO", "X", "C")
        office.clears("Mon 10:00", "DQ", "A")
        office.exchange("S", "A", "C")
        last = {e.device: e.digest.hex() for e in office.lines["S"]}
        named = {"cleared": last["A"], "raised": last["C"], "neither": "00" * 32,
                 "older": office.lines["S"][0].digest.hex()}[stands]  # fmt: skip
        for who, settles in (("DQ", False), ("LH", True)):
            again = Office(office.ground, {"S": list(office.lines["S"])})
            again.write("Mon 11:00", who, b.DefectSettled(
                number="107-S01", stands=named, words="looked", by=By(doer=who),
                seen=_seen(office)))  # fmt: skip
            item = _now(rules, again)
            assert (item is None) == (settles and stands == "cleared")
            if item is not None:
                assert (item.symbol, bool(item.disputes)) == ("X", not settles)
    del case


def a_test_that_fails_undoes_the_work_and_a_good_one_does_not(rules: Rules, case: Case) -> None:
    """And a good one leaves the inspector's sight of the work as it was."""
    for answer in ("OK", "FAULT"):
        office = _one("X")
        office.acts("Mon 09:00", "BT")
        seen = _seen(office)
        office.write("Mon 09:30", "BT", b.DefectRetested(
            number="107-S01", step="hear", title="hear", answer=answer, by=By(doer="BT"),
            seen=seen))  # fmt: skip
        item = _now(rules, office)
        assert item is not None
        assert (item.work is not None, len(item.retested)) == (answer == "OK", 1)
        office.write("Mon 10:00", "DQ", b.DefectCleared(
            number="107-S01", text="x", by=By(doer="DQ"), seen=seen))  # fmt: skip
        assert (_now(rules, office) is None) == (answer == "OK")
    del case


def an_easing_stays_one_until_the_symbol_is_raised_over_it(rules: Rules, case: Case) -> None:
    """A line that says it raises, and raises nothing, hides no easing from whoever saw none."""
    for symbol, listed in (("/", True), ("-", False)):
        office = _one("-")
        office.exchange("S", "A", "C")
        office.worse("Mon 09:00", "MS", "/", "A")
        item = office.entry(device="A")
        assert item is not None
        office.write("Mon 09:10", "IO", b.SymbolRaised(
            number="107-S01", symbol="-" if symbol == "-" else "/", reason="x", by=By(doer="IO"),
            seen=item.seen), "A")  # fmt: skip
        office.acts("Mon 09:20", "BT", device="C")
        office.exchange("S", "A", "C")
        found = _now(rules, office)
        assert found is not None
        assert (found.symbol, bool(found.disputes)) == ("-", listed)
    circled = _one("X")
    circled.exchange("S", "A", "C")
    circled.limits("Mon 09:00", "LH", "Fri 17:00", device="A")
    circled.acts("Mon 09:20", "BT", device="C")
    circled.exchange("S", "A", "C")
    unseen = _now(rules, circled)
    assert unseen is not None
    assert (unseen.symbol, bool(unseen.disputes)) == ("X", True)
    del case


def pairs_of_acts_are_read_together_by_the_one_rule(rules: Rules, case: Case) -> None:
    """The two-tablet table and more of its kind, either tablet having made either act."""
    first = "A" if case.pick % 2 else "C"
    for pair in PAIRS:
        office = _played(pair[:3], first)
        assert read(_now(rules, office)) == pair[3:], pair


def what_counts_as_x_is_closed_as_an_x(rules: Rules, case: Case) -> None:
    """Each way to close by one person alone is open until the deferral runs out, and no longer."""
    for when, open_ in (("Thu 23:59", False), ("Fri 00:00", True)):
        for names, finder, body in _ALONE:
            office = Office(ground(Settings(doer_clears_diagonal=True)))
            office.raises("Mon 08:30", finder, "-" if names else "/", untested=names)
            office.defers("Mon 08:40", "MS", "23-H-05", met=("a", "b"))
            who = body.by.doer
            if who == "YB":
                office.acts("Mon 09:00", who)
            office.write(when, who, replace(body, seen=_seen(office)))
            assert (_now(rules, office) is not None) == open_, (when, body)
    del case


_ALONE: tuple[tuple[tuple[str, ...], str, b.DefectCleared | b.DefectProved | b.DefectVoided], ...]
_ALONE = (
    ((), "RA", b.DefectCleared(number="107-S01", text="x", by=By(doer="YB"), seen=())),
    (("rx",), "RA", b.DefectProved(number="107-S01", functions=("rx",), by=By(doer="BT"), seen=())),
    ((), "MS", b.DefectVoided(number="107-S01", reason="x", by=By(doer="MS"), seen=())),
    ((), "RA", b.DefectVoided(number="107-S01", reason="x", confirmed=True, by=By(doer="LH"),
                              seen=())),
)  # fmt: skip


@cache
def _played(pair: tuple[str, ...], first: str) -> Office:
    start, one, other = pair
    return played(start, one, other, first)


ALL_FIXED: tuple[Callable[[Rules, Case], None], ...] = (
    *FIXED,
    nobody_gives_more_than_anybody_may,
    the_finder_takes_back_alone_what_nobody_has_acted_on,
    what_eases_without_sight_of_an_x_does_not_hold_and_is_listed,
    of_two_walks_the_one_made_later_counts,
    a_third_person_lets_one_act_stand_or_the_careful_reading,
    a_test_that_fails_undoes_the_work_and_a_good_one_does_not,
    an_easing_stays_one_until_the_symbol_is_raised_over_it,
    pairs_of_acts_are_read_together_by_the_one_rule,
    what_counts_as_x_is_closed_as_an_x,
)
"""Every law that makes its own histories."""
