"""Steps of a defect that a temporary repair re-enters, as the tests of it say them."""

from __future__ import annotations

from dataclasses import replace

from hardstand.domain import bodies as b
from hardstand.domain.bodies import By
from hardstand.domain.clearing import Looked
from hardstand.domain.defects import Done, Refused
from hardstand.domain.facts import Deferral, OpenEntry
from line_office import Office, done

B, C, A20, D = "23-H-05", "23-H-04", "23-H-20", "23-H-09"
MET = {B: ("jack", "told"), C: ("on the switch",), A20: (), D: ("torch",)}
CATEGORY = {B: "B", C: "C", A20: "A", D: "D"}
FIRST, NEXT, THIRD = "107-S01", "107-S02", "107-S03"
WHILE = Looked(text="holds", outcome="temporary", placard_off=True, successor="/")


def repaired(office: Office, when: str, number: str = FIRST) -> None:
    """Taped by one, found to hold by another, who lets an entry follow; as X if it is too late."""
    done(office.acts(when, "BT", Done(text="taped", outcome="temporary"), number=number))
    if isinstance(office.clears(when, "DQ", number=number, how=WHILE), Refused):
        done(office.clears(when, "DQ", number=number, how=replace(WHILE, successor="")))


def put_off(office: Office, when: str, item: str, number: str = FIRST) -> object:
    """Put off under an item, every condition met."""
    return office.defers(when, "MS", item, met=MET[item], number=number)


def item_of(office: Office, number: str = NEXT) -> OpenEntry:
    item = office.entry(number)
    assert item is not None
    return item


def deferral_of(office: Office, number: str = NEXT) -> Deferral:
    found = item_of(office, number).deferral
    assert found is not None
    return found


def writes_deferral(office: Office, when: str, item: str, number: str) -> None:
    """The line another program may write, which asks nothing before."""
    body = b.DefectDeferred(
        number=number, item=item, category=CATEGORY[item], what="x", conditions=(), reason="x",
        days=20 if item == A20 else 0, by=By(doer="MS"), seen=item_of(office, number).seen,
    )  # fmt: skip
    office.write(when, "MS", body)


def writes_extension(office: Office, when: str, days: int, number: str) -> None:
    body = b.DefectProlonged(
        number=number, days=days, reason="x", by=By(doer="LH"), seen=item_of(office, number).seen
    )
    office.write(when, "LH", body)
