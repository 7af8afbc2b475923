"""Lines by which somebody entitled gives more than anybody may: another program could write them.

Outside sources: OD1610 as quoted (a circled X ends within a week); ORO.MLR.105(f) and FAA Order
8900.1 4-689 as quoted (an extension is at most the interval; A and, under one rule, D never).
"""

from __future__ import annotations

import pytest

from hardstand.domain import bodies as b
from hardstand.domain.bodies import By
from hardstand.domain.settings import Settings
from line_office import Office, done, ground


def _limited(office: Office, ends: str, limits: str = "by day") -> str:
    item = office.entry()
    assert item is not None
    body = b.SymbolLimited(number="107-S01", limits=limits, ends=ends, reason="x",
                           by=By(doer="LH"), seen=item.seen)  # fmt: skip
    office.write("Tue 05:40", "LH", body)
    return office.verdict("Wed 06:00").symbol


@pytest.mark.parametrize(
    ("ends", "limits", "symbol", "rule"),
    [
        ("2027-03-17T03:00:00Z", "by day", "(X)", ""),
        ("2027-03-18T03:00:01Z", "by day", "X",
         "a circled X ends at most 7 days after it was given, then it reads X again"),
        ("2028-01-01T00:00:00Z", "by day", "X",
         "a circled X ends at most 7 days after it was given, then it reads X again"),
        ("2027-03-12T20:00:00Z", "  ", "X", "a circled X needs written limits"),
        ("for ever", "by day", "X", "a circled X needs an end that reads as a time"),
    ],
)  # fmt: skip
def test_an_x_circled_for_longer_or_without_limits_reads_x_and_says_why(
    ends: str, limits: str, symbol: str, rule: str
) -> None:
    office = Office()
    office.raises("Tue 05:28", "IO", "X")
    assert _limited(office, ends, limits) == symbol
    (item,) = office.facts().open
    assert [d.text.partition("does not hold: ")[2] for d in item.disputes] == [rule] * bool(rule)


@pytest.mark.parametrize(
    ("profile", "item", "days", "holds"),
    [("faa", "23-H-05", 3, True), ("faa", "23-H-05", 4, False), ("faa", "23-H-09", 1, False),
     ("uk", "23-H-09", 120, True), ("uk", "23-H-09", 121, False), ("uk", "23-H-05", 0, False),
     ("uk", "23-H-05", -3, False)],
)  # fmt: skip
def test_an_extension_beyond_its_interval_adds_no_day(
    profile: str, item: str, days: int, *, holds: bool
) -> None:
    office = Office(ground(Settings(extensions="uk" if profile == "uk" else "faa")))
    office.raises("Mon 10:00", "RA")
    met = ("torch",) if item == "23-H-09" else ("jack", "phone")
    done(office.defers("Mon 10:30", "OH", item, met=met))
    entry = office.entry()
    assert entry is not None
    body = b.DefectProlonged(number="107-S01", days=days, reason="x", by=By(doer="LH"),
                             seen=entry.seen)  # fmt: skip
    office.write("Tue 09:00", "LH", body)
    after = office.entry()
    assert after is not None
    assert after.deferral is not None
    assert (after.deferral.extended, bool(after.disputes)) == (days if holds else 0, not holds)
