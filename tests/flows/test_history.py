"""Every line about an entry, an airframe or a person, as written, oldest first."""

from __future__ import annotations

import pytest

from builders import IO, TAIL, begun, lines
from hardstand.domain.bodies import By
from hardstand.domain.quantity import Instant
from hardstand.errors import NotThere
from hardstand.flows.enrolling import end, rekey
from hardstand.flows.history import history
from hardstand.flows.logging_defects import Told, act, raise_defect
from hardstand.flows.pen import Pen
from memory import MemoryJournal
from quennock_record import founded, hand
from scripted import Scripted


@pytest.fixture
def pen() -> Pen:
    pen = begun(MemoryJournal())
    raise_defect(pen, TAIL, Told(words="hum"), by=IO)
    raise_defect(pen, "QM-116", Told(words="hum too"), by=By(doer="BT", with_=("NH",)))
    act(pen, "161-A01", "action", ("strap remade",), by=By(doer="NH"))
    Scripted.until_left(pen, lines(until="gate"))
    return pen


def _kinds(pen: Pen, what: str) -> list[str]:
    return [told.entry.kind for told in history(pen.journal, what)]


@pytest.mark.parametrize("what", ["QM-161", "qm161", " qm-161 "])
def test_an_airframe_has_every_line_of_its_own(pen: Pen, what: str) -> None:
    assert _kinds(pen, what) == [
        "defect.raised", "defect.action", "walk.started", "log.read", "step.answered",
        "ledger.moved", "step.answered",
    ]  # fmt: skip


def test_an_entry_has_the_lines_that_name_it(pen: Pen) -> None:
    assert _kinds(pen, "161-a01") == ["defect.raised", "defect.action"]


def test_a_person_has_the_lines_they_wrote_or_had_a_hand_in(pen: Pen) -> None:
    assert _kinds(pen, "NH") == ["defect.raised", "defect.action"]
    assert _kinds(pen, "bt") == ["defect.raised"]
    assert len(_kinds(pen, "IO")) == len(list(pen.journal.chains()))


def test_a_person_has_the_lines_about_them_too() -> None:
    pen = founded()
    rekey(hand(pen, "JW", "2027-03-08T08:00-03:00"), "YB", "forgotten", witness="MS")
    end(hand(pen, "JW", "2027-03-08T09:00-03:00"), "YB", Instant("2027-04-01T12:00:00Z"), "leaves")
    kinds = ["person.enrolled", "person.keyed", "person.ended"]
    assert [kind for kind in _kinds(pen, "YB") if kind in kinds] == kinds


@pytest.mark.parametrize("what", ["QM-999", "161-A99", "ZZ", "", "%", "\x1b[2J"])
def test_what_has_no_line_is_not_there(pen: Pen, what: str) -> None:
    with pytest.raises(NotThere) as raised:
        history(pen.journal, what)
    assert raised.value.lines() == (
        f"The record holds no line about {what!r}.",
        "Name a tail, an entry number such as 107-A01, a serial, or initials.",
    )
