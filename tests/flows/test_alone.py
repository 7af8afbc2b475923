"""No sequence of commands by one person alone closes an X.

One person is one passphrase: the others' keys never open. A machine of random commands plays every
act of the program under that person's name, and under others' names where nothing is signed.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Sequence
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builders import Watch, checklist, fleet
from hardstand.domain import bodies as b
from hardstand.domain.bodies import By
from hardstand.domain.clearing import Looked
from hardstand.domain.defects import Done
from hardstand.domain.putting_off import PutOff, Within
from hardstand.domain.quantity import Instant, later
from hardstand.domain.settings import Settings
from hardstand.errors import HardstandError, Refusal, WrongPassphrase
from hardstand.flows import clearing, deferring, enrolling
from hardstand.flows import logging_defects as log
from hardstand.flows.adopting import Paper, adopt
from hardstand.flows.clock_errors import Seen, observe
from hardstand.flows.pen import Pen
from hardstand.ports import Key
from hardstand.system.keys import DemoKeys
from quennock_record import founded, hand, raised

EVERYBODY = ("LH", "JW", "BT", "YB", "DQ", "MS", "ÅL", "AF", "NH", "IO", "RA")
"""RA is the finder of the X, whose initials anybody can type."""
X = "161-S01"


class OnePersons(DemoKeys):
    """Keys of which one person's alone opens; new ones are made for whoever is there."""

    def __init__(self, person: str) -> None:
        super().__init__()
        self.person = person

    def unlock(self, person: str, public: str, says: Sequence[str]) -> Key:  # type: ignore[override]  # a Key is all a signer gives
        """The key of the one person.

        Raises:
            WrongPassphrase: it is anybody else's.
        """
        if person != self.person:
            raise WrongPassphrase(f"That passphrase does not open the key of {person}.")
        return super().unlock(person, public, says)


def _granted(role: str) -> b.Granted:
    return b.Granted(role=role, since="2027-01-01T00:00:00Z")


def _paper(kind: str) -> Paper:
    loose = Settings(doer_clears_diagonal=True, again_by_doer="all", second_look_min=0)
    values: dict[str, object] = {
        "settings.adopted": loose,
        "fleet.loaded": replace(fleet(), airframes={
            k: v for k, v in fleet().airframes.items() if k != "QM-161"}),
        "checklist.adopted": replace(checklist(), revision="T9"),
    }  # fmt: skip
    return Paper(kind=kind, id="x", revision="", fit="T", text="(text)", value=values[kind])


def _commands(pen: Pen, who: str, other: str, n: str) -> dict[str, Callable[[], object]]:
    """Every act, by the person, or in another's name."""
    return {
        **_on_an_entry(pen, who, other, n),
        **_by_an_inspector(pen, who, n),
        **_by_authority(pen, who, n),
        **_on_people(pen, who, other),
        **_on_papers(pen),
    }


WORDS = "looked at it"


def _on_an_entry(pen: Pen, who: str, other: str, n: str) -> dict[str, Callable[[], object]]:
    by, beside = By(doer=who), By(doer=who, with_=(other,))
    return {
        "raise": lambda: raised(pen, who, "2027-03-09T08:00-03:00", "X"),
        "raise /": lambda: raised(pen, who, "2027-03-09T08:00-03:00", "/"),
        "action": lambda: log.acted(pen, n, Done(text=WORDS), by=by),
        "action with": lambda: log.acted(pen, n, Done(text=WORDS), by=beside),
        "temporary": lambda: log.acted(pen, n, Done(text=WORDS, outcome="temporary"), by=by),
        "void": lambda: log.act(pen, n, "void", (WORDS,), by=by),
        "lower": lambda: log.act(pen, n, "symbol", ("/", WORDS), by=by),
        "dash": lambda: log.act(pen, n, "symbol", ("-", WORDS), by=by),
        "prove": lambda: log.act(pen, n, "prove", ("", WORDS), by=by),
        "join": lambda: log.act(pen, n, "same-as", ("161-S02" if n == X else X,), by=by),
    }


def _by_an_inspector(pen: Pen, who: str, n: str) -> dict[str, Callable[[], object]]:
    by, again = By(doer=who), Looked(text="again", again_by_doer="alone here")
    return {
        "clear": lambda: clearing.clear(pen, n, Looked(text=WORDS), by=by),
        "clear again": lambda: clearing.clear(pen, n, again, by=by),
        "clear follow": lambda: clearing.clear(pen, n, Looked(text=WORDS, successor="/"), by=by),
        "reject": lambda: clearing.reject(pen, n, WORDS, by=by),
    }


def _by_authority(pen: Pen, who: str, n: str) -> dict[str, Callable[[], object]]:
    by = By(doer=who)
    within = Within(limits="x", ends=later(pen.clock.now(), hours=48), reason="x")
    asked = PutOff(item="23", met=(), reason="x")
    return {
        "rule": lambda: log.act(pen, n, "rule", (WORDS,), by=by),
        "order": lambda: log.ordered(pen, n, WORDS, by=by),
        "settle": lambda: log.settled(pen, n, WORDS, by=by),
        "limit": lambda: deferring.limit(pen, n, within, by=by),
        "defer": lambda: deferring.defer(pen, n, asked, by=by),
        "extend": lambda: deferring.extend(pen, n, 3, WORDS, by=by),
    }


def _on_people(pen: Pen, who: str, other: str) -> dict[str, Callable[[], object]]:
    inspector, witness = _granted("inspector"), "MS" if who != "MS" else "OH"
    newcomer = enrolling.Newcomer(
        initials="ZZ", name="Zed Zed", granted=(inspector, _granted("technician"))
    )
    return {
        "enrol": lambda: enrolling.enrol(pen, newcomer, witness=witness),
        "role": lambda: enrolling.grant(pen, other, inspector, WORDS, witness=witness),
        "own role": lambda: enrolling.grant(pen, who, inspector, WORDS, witness=other),
        "rekey": lambda: enrolling.rekey(pen, other, WORDS, witness="MS"),
        "end": lambda: enrolling.end(pen, other, pen.clock.now(), WORDS),
    }


def _on_papers(pen: Pen) -> dict[str, Callable[[], object]]:
    wrong = Seen(
        device="S", showed="2027-03-09T08:00-03:00", true="2027-03-01T08:00-03:00", words=WORDS
    )
    return {
        "settings": lambda: adopt(pen, [_paper("settings.adopted")]),
        "fleet": lambda: adopt(pen, [_paper("fleet.loaded")]),
        "list": lambda: adopt(pen, [_paper("checklist.adopted")]),
        "clock": lambda: observe(pen, wrong),
    }


NAMES = tuple(_commands(Pen(journal=founded().journal, clock=Watch(), author="LH"), "LH", "BT", X))

moves = st.lists(
    st.tuples(
        st.sampled_from(NAMES), st.booleans(), st.sampled_from(EVERYBODY),
        st.sampled_from([X, X, X, "161-S02", "161-S03"]),
    ),
    max_size=14,
)  # fmt: skip


def _reads_x(pen: Pen) -> bool:
    """Whether the aircraft is still there, and the X as grave as it was, or within limits."""
    facts = pen.journal.facts("QM-161")
    open_ = {e.number: e for e in facts.open}
    item = open_.get(X)
    joined = any(X in e.joined and e.symbol == "X" for e in facts.open)
    return joined or (item is not None and item.symbol in {"X", "(X)"})


@pytest.mark.parametrize("person", EVERYBODY)
@given(moves=moves, worked=st.sampled_from(["", "BT", "YB"]))
@settings(
    max_examples=25,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture],
)
def test_no_sequence_of_commands_by_one_person_alone_closes_an_x(
    person: str, moves: list[tuple[str, bool, str, str]], worked: str
) -> None:
    """Work recorded by somebody else may be cleared by an inspector: that makes two people."""
    pen = founded()
    raised(pen, "RA", "2027-03-08T08:00-03:00", "X")
    doer = worked if worked != person else ""
    if doer:
        log.acted(hand(pen, doer, "2027-03-08T09:00-03:00"), X, Done(text="done"),
                  by=By(doer=doer))  # fmt: skip
    alone = replace(pen, signer=OnePersons(person))
    at = Instant("2027-03-09T11:00:00Z")
    for name, own, other, number in moves:
        who = person if own else other
        at = later(at, seconds=3600)
        acting = replace(alone, author=who, clock=Watch(at=at, step=0))
        third = other if other != who else "BT"
        with contextlib.suppress(HardstandError):
            _commands(acting, who, third, number)[name]()
    inspector_over_anothers_work = person in {"DQ", "YB"} and bool(doer)
    assert _reads_x(pen) or inspector_over_anothers_work


def test_nobody_says_in_the_finders_name_that_an_x_was_an_error() -> None:
    """Scenario 35: an X takes two people, and initials that are only typed are nobody."""
    pen = founded()
    raised(pen, "RA", "2027-03-08T08:00-03:00", "X")
    alone = replace(pen, signer=OnePersons("DQ"), clock=Watch(at=Instant("2027-03-09T11:00:00Z")))
    with pytest.raises(WrongPassphrase):
        log.act(replace(alone, author="RA"), X, "void", ("wrong one",), by=By(doer="RA"))
    with pytest.raises(Refusal) as told:
        log.act(replace(alone, author="DQ"), X, "void", ("wrong one",), by=By(doer="DQ"))
    assert told.value.who_could == "RA says so first, by `hardstand defect void`"
    log.act(hand(pen, "RA", "2027-03-09T09:00-03:00"), X, "void", ("wrong one",), by=By(doer="RA"))
    (said,) = pen.journal.entries(kind="defect.voided")
    assert said.signature is not None
    log.act(hand(pen, "DQ", "2027-03-09T09:10-03:00"), X, "void", ("indeed",), by=By(doer="DQ"))
    assert not _reads_x(pen)


def test_the_machine_can_close_an_x_where_two_people_act() -> None:
    """So that the property above is not kept by commands that never do anything."""
    pen = founded()
    raised(pen, "RA", "2027-03-08T08:00-03:00", "X")
    at = Watch(at=Instant("2027-03-09T11:00:00Z"), step=0)
    _commands(replace(pen, author="BT", clock=at), "BT", "IO", X)["action"]()
    _commands(replace(pen, author="DQ", clock=at), "DQ", "IO", X)["clear"]()
    assert not _reads_x(pen)


@pytest.mark.parametrize("name", NAMES)
def test_each_command_of_the_machine_does_something_for_somebody(name: str) -> None:
    done = 0
    for who in EVERYBODY:
        pen = founded()
        raised(pen, "RA", "2027-03-08T08:00-03:00", "X")
        raised(pen, "RA", "2027-03-08T08:00-03:00", "/")
        if name.startswith(("clear", "reject")):
            log.acted(hand(pen, "BT", "2027-03-08T09:00-03:00"), X, Done(text="d"),
                      by=By(doer="BT"))  # fmt: skip
        at = Watch(at=Instant("2027-03-09T11:00:00Z"), step=0)
        acting = replace(pen, author=who, clock=at)
        before = sum(1 for line in pen.journal.entries() if line.kind != "attempt.refused")
        with contextlib.suppress(HardstandError):
            number = "161-S02" if name == "join" else X
            _commands(acting, who, "BT" if who != "BT" else "YB", number)[name]()
        done += sum(1 for e in pen.journal.entries() if e.kind != "attempt.refused") - before
    never = {
        "clear again",
        "lower",
        "dash",
        "prove",
        "defer",
        "extend",
        "settle",
        "own role",
        "fleet",
    }
    assert (done == 0) == (name in never)
