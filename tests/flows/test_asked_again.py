"""A mistyped passphrase is asked for again where somebody sits; each wrong one is kept."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from hardstand.domain.bodies import By
from hardstand.domain.defects import Done
from hardstand.errors import WrongPassphrase
from hardstand.flows.logging_defects import acted
from hardstand.flows.pen import Pen
from hardstand.system.keys import DemoKeys, Unlocked
from quennock_record import founded, hand, raised
from quick_keys import Spoken

KNOWN = "quennock"


class Seated(DemoKeys):
    """Demo keys, with or without somebody at the terminal who can be asked again."""

    def __init__(self, spoken: Spoken, *, there: bool) -> None:
        super().__init__(spoken)
        self.there = there

    def unlock(self, person: str, public: str, says: Sequence[str]) -> Unlocked:
        try:
            return super().unlock(person, public, says)
        except WrongPassphrase as wrong:
            wrong.again = self.there
            raise


def _attempts(pen: Pen) -> int:
    return len(list(pen.journal.entries(kind="attempt.refused")))


@pytest.mark.parametrize(
    ("said", "there", "asked", "signed"),
    [
        (("typo", KNOWN), True, 2, True),
        (("typo", "typo", KNOWN), True, 3, True),
        (("typo", "typo", "typo", KNOWN), True, 3, False),
        (("typo", KNOWN), False, 1, False),
    ],
)
def test_it_is_asked_twice_more_and_no_oftener(
    said: tuple[str, ...], asked: int, *, there: bool, signed: bool
) -> None:
    pen = founded()
    number = raised(pen, "IO", "2027-03-08T05:00-03:00")
    spoken = Spoken(*said)
    yusuf = hand(pen, "YB", "2027-03-08T06:00-03:00", signer=Seated(spoken, there=there))
    if signed:
        acted(yusuf, number, Done(text="strap remade"), by=By(doer="YB"))
    else:
        with pytest.raises(WrongPassphrase):
            acted(yusuf, number, Done(text="strap remade"), by=By(doer="YB"))
    assert (len(spoken.asked), _attempts(pen)) == (asked, asked - signed)
    (entry,) = pen.journal.facts("QM-161").open
    assert (entry.work is not None) == signed
    told = [line for line in spoken.shown if "tries left" in line]
    assert told[:1] == [
        "That passphrase does not open the key of YB. Nothing was signed; tries left: 2."
    ] * (asked > 1)
