"""A line of the record in words: who did it, with whom, and what was typed in afterwards."""

from __future__ import annotations

import pytest

from builders import chain
from hardstand.domain import bodies as b
from hardstand.domain.bodies import By, Late
from hardstand.domain.quantity import zone
from hardstand.flows.history import Told
from hardstand.views.history import line

WHERE = zone("-03:00")


def _line(by: By) -> str:
    body = b.DefectNoted(number="161-A01", text="hums", by=by, seen=())
    (entry,) = chain([body])
    return line(Told(entry=entry, body=body, at=entry.at), WHERE)


@pytest.mark.parametrize(
    ("by", "hands"),
    [
        (By(doer="IO"), "by IO"),
        (By(doer="IO", with_=("BT", "NH")), "by IO with BT NH"),
        (By(doer="IO", with_=("BT",), late=Late(made_at="2027-03-08T07:30:00Z", typist="MS")),
         "by IO with BT, done 2027-03-08 04:30 -03:00, typed in by MS"),
        (By(doer="IO", late=Late(made_at="before dawn", typist="MS")),
         "by IO, done before dawn, typed in by MS"),
    ],
)  # fmt: skip
def test_hands_are_told_and_of_a_late_line_when_it_was_done_and_who_typed_it(
    by: By, hands: str
) -> None:
    said = _line(by)
    assert f": number 161-A01, text hums, {hands}  [A-1]" in said
    assert (" LATE: " in said) == (by.late is not None)
