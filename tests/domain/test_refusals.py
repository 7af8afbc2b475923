"""Every refusal by authority names the rule and who could, whoever asks for whatever."""

from __future__ import annotations

from collections.abc import Callable
from typing import get_args

import pytest

from hardstand.domain.authority import may
from hardstand.domain.defects import Refused
from hardstand.domain.powers import Deed
from hardstand.flows.recording import refusal
from line_office import Office, done, ground, people


def _plain(symbol: str) -> Callable[[], Office]:
    def made() -> Office:
        office = Office()
        office.raises("Mon 08:00", "RA", "X" if symbol == "X" else "-" if symbol == "-" else "/")
        return office

    return made


def _worked() -> Office:
    office = _plain("X")()
    done(office.acts("Mon 09:00", "YB"))
    return office


def _deferred() -> Office:
    office = _plain("/")()
    done(office.defers("Mon 09:00", "OH", "23-H-05", met=("jack", "phone")))
    return office


def _extended() -> Office:
    office = _deferred()
    done(office.extends("Mon 10:00", "LH", 1))
    return office


def _circled() -> Office:
    office = _plain("X")()
    done(office.limits("Mon 09:00", "LH", "Fri 17:00"))
    return office


def _forked() -> Office:
    office = _worked()
    office.exchange("S", "A", "C")
    done(office.clears("Mon 10:00", "DQ", "A"))
    done(office.rejects("Mon 10:00", "DQ", "C"))
    office.exchange("S", "A", "C")
    return office


STATES = {
    "X": _plain("X"), "-": _plain("-"), "/": _plain("/"), "worked on": _worked,
    "deferred": _deferred, "extended": _extended, "circled": _circled, "forked": _forked,
}  # fmt: skip


@pytest.mark.parametrize("state", STATES)
@pytest.mark.parametrize("deed", get_args(Deed))
@pytest.mark.parametrize("when", ["Mon 12:00", "2028-06-01T12:00-03:00"])
def test_whoever_is_barred_is_told_the_rule_and_who_could(
    state: str, deed: Deed, when: str
) -> None:
    office = STATES[state]()
    facts, item = office.facts(), office.entry()
    for who in (*(p.initials for p in people()), "ZZ"):
        barred = may(deed, who, office.case(when, facts), item, category="C")
        if barred is not None:
            assert barred.rule.strip(), (who, deed)
            assert barred.who_could.strip(), (who, deed, barred.rule)


@pytest.mark.parametrize("deed", get_args(Deed))
def test_so_is_whoever_is_barred_where_nobody_is_enrolled(deed: Deed) -> None:
    for made in STATES.values():
        known = made()
        office = Office(ground(enrolled=False), known.lines)
        barred = may(deed, "YB", office.case("Mon 12:00", office.facts()), office.entry())
        assert barred is None or (barred.rule and barred.who_could)


def test_a_rule_that_lets_nobody_says_so() -> None:
    told = refusal(Refused(what="it stays", rule="no list names it"))
    assert told.lines()[:3] == (
        "it stays", "Rule: no list names it", "Who could: nobody, as it stands",
    )  # fmt: skip
    assert refusal(Refused(what="X is not open")).who_could == ""
