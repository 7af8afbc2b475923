"""More laws told as small stories: what nobody may give, take back alone, or write down late."""

from __future__ import annotations

from collections.abc import Callable

from domain.status_laws import Case, Rules
from domain.status_laws_told import FIXED, _now, _one, _seen
from hardstand.domain import bodies as b
from hardstand.domain.bodies import By, Late
from hardstand.domain.facts import AirframeFacts
from hardstand.domain.ruling import rule
from line_office import Office, at


def nobody_gives_more_than_anybody_may(rules: Rules, case: Case) -> None:
    """A circled X for over a week, and an extension beyond its interval, count for nothing."""
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
    after = _now(rules, put_off)
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


ALL_FIXED: tuple[Callable[[Rules, Case], None], ...] = (
    *FIXED,
    nobody_gives_more_than_anybody_may,
    the_finder_takes_back_alone_what_nobody_has_acted_on,
    what_eases_without_sight_of_an_x_does_not_hold_and_is_listed,
    of_two_walks_the_one_made_later_counts,
)
"""Every law that makes its own histories."""
