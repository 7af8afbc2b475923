"""What counts as X by itself: limits that ended, a deferral that ran out, a clock not trusted.

Outside source: a circled X goes back to X at its end (OD1610/OD1617, from memory); that a deferral
that has run out counts as X is whole-job C-9.
"""

from __future__ import annotations

import pytest

from builders import MORNING
from hardstand.domain.airframe import fold
from hardstand.domain.facts import Deferral, Limits, OpenEntry, RecordFacts
from hardstand.domain.quantity import later
from hardstand.domain.verdict import effective, runs_out, verdict
from strategies import GROUND

RECORD = RecordFacts(time_zone="-03:00")
EMPTY = fold(GROUND, ())


def _entry(symbol: str, number: str = "161-A01") -> OpenEntry:
    return OpenEntry(
        number=number, symbol=symbol, text="hum", found_at=MORNING, found_by="IO", state="open"
    )


def _circled() -> OpenEntry:
    limits = Limits(text="to base", ends=later(MORNING, hours=6), by="LH", ref="A-3", digest="")
    return _entry("(X)")._replace(limits=limits)


def _put_off(symbol: str = "/") -> OpenEntry:
    deferral = Deferral(
        item="i", category="C", days=10, by="MS", ref="A-3", digest="",
        runs_out="2027-03-19T03:00:00Z",
    )  # fmt: skip
    return _entry(symbol)._replace(deferral=deferral)


@pytest.mark.parametrize(
    ("entry", "hours", "symbol"),
    [
        (_circled(), 5.99, "(X)"),
        (_circled(), 6, "X"),
        (_circled()._replace(limits=None), 0, "X"),
        (_put_off(), 0, "/"),
        (_put_off("-"), 0, "-"),
        (_put_off(), 258.99, "/"),
        (_put_off(), 259, "X"),
        (_put_off("X"), 0, "X"),
        (_entry("X")._replace(closed="cleared"), 0, "clear"),
    ],
)
def test_tv_1_14_what_is_dated_counts_as_x_from_its_end_on(
    entry: OpenEntry, hours: float, symbol: str
) -> None:
    """D7 of records-and-status: limits end, then it reverts to X; without limits it is an X."""
    assert effective(entry, later(MORNING, hours=hours)) == symbol


def test_on_a_clock_that_is_not_trusted_all_that_is_dated_counts_as_run_out() -> None:
    for entry in (_circled(), _put_off(), _put_off("-")):
        assert effective(entry, MORNING, trusted=False) == "X"
    assert effective(_entry("/"), MORNING, trusted=False) == "/"


@pytest.mark.parametrize(
    ("entry", "ends"),
    [
        (_circled(), later(MORNING, hours=6)),
        (_circled()._replace(limits=None), ""),
        (_put_off(), "2027-03-19T03:00:00Z"),
        (_put_off("X"), ""),
        (_entry("/"), ""),
    ],
)
def test_an_entry_begins_to_count_as_x_by_itself_only_where_it_does_not_yet(
    entry: OpenEntry, ends: str
) -> None:
    assert runs_out(entry) == ends


@pytest.mark.parametrize(
    ("entry", "hours", "trusted", "told"),
    [
        (_circled(), 1, True, "(X) — 161-A01 circled red X to 8 Mar 11:00, within limits: to base"),
        (_circled(), 6, True, "X — 161-A01 limits ran out 8 Mar 11:00"),
        (_circled(), 6, False, "X — 161-A01 limits ran out 8 Mar 11:00"),
        (_circled(), 1, False,
         "X — 161-A01 CANNOT TELL whether it ran out 8 Mar 11:00, so it counts as X"),
        (_circled()._replace(limits=None), 1, True, "X — 161-A01 red X"),
        (_put_off(), 1, True, "/ — 161-A01 red diagonal, deferred to 18 Mar 24:00"),
        (_put_off("-"), 1, True, "- — 161-A01 red dash, deferred to 18 Mar 24:00"),
        (_put_off("X"), 1, True, "X — 161-A01 red X"),
        (_put_off(), 24 * 11, True, "X — 161-A01 deferral ran out 18 Mar 24:00"),
    ],
)  # fmt: skip
def test_a_reason_tells_until_when_the_symbol_holds_or_what_ran_out(
    entry: OpenEntry, hours: float, told: str, *, trusted: bool
) -> None:
    facts = EMPTY._replace(open=(entry, _entry("/", "161-A09")))
    found = verdict(facts, later(MORNING, hours=hours), RECORD, {}, trusted=trusted)
    assert f"{told}: hum" in [r.text for r in found.reasons]
