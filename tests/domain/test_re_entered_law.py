"""Through whatever is done to a defect: never put off for longer than any item of it allowed.

Outside sources: FAA PL-25 revision 24 (the days of B, C and D); FAA Order 8900.1 4-689 as quoted
(one extension of B or C, of at most the interval); AMC M.A.403(d) (what is re-entered keeps its
original date).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from domain.re_entering import (
    A20,
    FIRST,
    MET,
    B,
    C,
    D,
    item_of,
    repaired,
    writes_deferral,
    writes_extension,
)
from hardstand.domain.defects import Refused
from hardstand.domain.quantity import Instant, later
from line_office import Office, at, done, ground

MOST = {B: 3 + 3, C: 10 + 10, D: 120, A20: 20}
"""Days by PL-25 with the one extension that FAA Order 8900.1 4-689 allows to B and C."""


@dataclass(slots=True)
class _Chain:
    """One defect through whatever is done to it; the last entry it goes on as is `number`."""

    office: Office = field(default_factory=lambda: Office(ground(enrolled=False)))
    now: Instant = field(default_factory=lambda: at("Mon 10:00"))
    number: str = FIRST
    items: list[str] = field(default_factory=list)
    extensions: int = 0

    def __post_init__(self) -> None:
        self.office.raises(self.now, "RA")

    def act(self, what: str, hours: int, item: str, days: int) -> None:
        self.now = later(self.now, hours=hours)
        getattr(self, what)(item, days)

    def puts_off(self, item: str, _: int) -> None:
        found = self.office.defers(self.now, "MS", item, met=MET[item], number=self.number)
        self.items += [] if isinstance(found, Refused) else [item]

    def writes_that_it_is_put_off(self, item: str, _: int) -> None:
        before = item_of(self.office, self.number).deferral
        writes_deferral(self.office, self.now, item, self.number)
        self.items += [] if item_of(self.office, self.number).deferral == before else [item]

    def extends(self, _: str, days: int) -> None:
        found = self.office.extends(self.now, "LH", days, number=self.number)
        self.extensions += not isinstance(found, Refused)

    def writes_that_it_is_extended(self, _: str, days: int) -> None:
        before = item_of(self.office, self.number).deferral
        writes_extension(self.office, self.now, days, self.number)
        self.extensions += item_of(self.office, self.number).deferral != before

    def is_settled(self, _: str, days: int) -> None:
        disputes = item_of(self.office, self.number).disputes
        stands = disputes[0].acts[0] if disputes and days % 2 else ""
        self.office.settles(self.now, "OH", stands, number=self.number)

    def has_a_temporary_repair(self, *_: object) -> None:
        self.office.settles(self.now, "OH", number=self.number)
        repaired(self.office, self.now, self.number)
        self.number = self.office.facts().open[-1].number

    def is_an_x_within_limits(self, *_: object) -> None:
        self.office.worse(self.now, "BT", number=self.number)
        self.office.limits(self.now, "LH", later(self.now, hours=24), number=self.number)

    def is_found_again(self, *_: object) -> None:
        other = self.office.raises(self.now, "RA")
        found = self.office.joins(self.now, "MS", self.number, other)
        if isinstance(found, Refused):
            found = self.office.joins(self.now, "MS", other, self.number)
        else:
            self.number = other
        done(found)


DEEDS = (
    "puts_off", "writes_that_it_is_put_off", "extends", "writes_that_it_is_extended",
    "is_settled", "has_a_temporary_repair", "is_an_x_within_limits", "is_found_again",
)  # fmt: skip
ACTS = st.tuples(
    st.sampled_from(DEEDS), st.integers(0, 30), st.sampled_from([B, C, A20, D]), st.integers(1, 20)
)


@settings(max_examples=250)
@given(st.lists(ACTS, min_size=2, max_size=9))
def test_whatever_is_done_a_defect_is_put_off_no_later_than_any_item_of_it_allowed(
    acts: list[tuple[str, int, str, int]],
) -> None:
    chain = _Chain()
    for act in acts:
        chain.act(*act)
        assert chain.extensions <= 1
        put_off = item_of(chain.office, chain.number).waits_by
        if put_off is not None:
            latest = date(2027, 3, 8) + timedelta(days=min(MOST[i] for i in chain.items))
            assert date.fromisoformat(put_off.last_day) <= latest
