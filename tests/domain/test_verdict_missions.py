"""verdict's third answer: what bars every mission, and how the missions are told.

Outside source: a circled X bars missions unless its limits allow them (OD1610/OD1617, from
memory); the rest is whole-job C-9 and C-10: an X bars everything, untested is UNKNOWN.
"""

from __future__ import annotations

import pytest

from builders import MORNING
from hardstand.domain.checklist import Fit, Function, Mission, Unit
from hardstand.domain.dated import DatedFit
from hardstand.domain.facts import (
    Act,
    AirframeFacts,
    Finished,
    Limits,
    Line,
    OpenEntry,
    Proof,
    RecordFacts,
)
from hardstand.domain.mission_book import book_of
from hardstand.domain.plain import to_plain
from hardstand.domain.quantity import later
from hardstand.domain.verdict import Verdict, verdict

FIT = Fit(
    id="T", title="tiny set", items={}, controls={},
    units={"TR": Unit(title="transmitter-receiver")},
    functions={"tx": Function(title="transmit", fed_by=("TR",))},
    missions={
        "MAIL": Mission(needs="tx"),
        "NEAR": Mission(needs="tx", by_day=True),
        "SURVEY": Mission(needs="tx"),
        "TOW": Mission(never="no hook"),
    },
)  # fmt: skip
RECORD = RecordFacts(
    time_zone="-03:00", books={"T": to_plain(book_of(FIT))},
    daylight={"01-01": ("04:00", "20:00")},
)  # fmt: skip
FACTS = AirframeFacts(
    tail="QM-161", type="low", fits=(DatedFit(since="2026-01-01", fit="T"),), short="161",
    finished=Finished(walk="A1", checklist="L", revision="1", at=MORNING, by="IO", ref="A-9"),
    proved={"tx": Proof(at=MORNING, ref="A-9")},
)  # fmt: skip


def _entry(number: str, symbol: str = "/") -> OpenEntry:
    return OpenEntry(
        number=number, symbol=symbol, text="hum", found_at=MORNING, found_by="IO", state="open"
    )


def _at(facts: AirframeFacts, hours: float = 1, record: RecordFacts = RECORD) -> Verdict:
    return verdict(facts, later(MORNING, hours=hours), record, {})


def _said(found: Verdict) -> dict[str, tuple[str, str]]:
    return {f.mission: (f.word, f.why) for f in found.missions}


def _told(found: Verdict) -> list[tuple[str, tuple[str, ...]]]:
    return [(r.text, r.entries) for r in found.reasons if r.column == "missions"]


LIMITS = Limits(text="by day, to base", ends=later(MORNING, hours=6), by="LH", ref="A-3", digest="")
AWAY = Line(
    item="panel", title="panel 7", kind="access", home="SHUT", value="OPEN", since=MORNING,
    by="IO", ref="A-7",
)  # fmt: skip


@pytest.mark.parametrize(
    ("facts", "grounds"),
    [
        (FACTS._replace(open=(_entry("161-A01", "X"),)), ("161-A01",)),
        (FACTS._replace(lines=(AWAY,)), ("panel 7 not put back",)),
        (FACTS._replace(empty={"TR": ("removed", "A-8")}), ("TR empty",)),
        (FACTS._replace(unknown=("B-4",)), ("cannot say",)),
        (FACTS._replace(open=(_entry("161-A01", "X"), _entry("161-A02"), _entry("161-A03", "-")),
                        lines=(AWAY,), empty={"TR": ("removed", "A-8")}, unknown=("B-4",)),
         ("161-A01", "panel 7 not put back", "TR empty", "cannot say")),
    ],
    ids=["an entry", "a thing away", "an empty position", "an unread line", "all"],
)  # fmt: skip
def test_what_makes_the_aircraft_read_x_bars_every_mission_by_name(
    facts: AirframeFacts, grounds: tuple[str, ...]
) -> None:
    """Whole-job C-9, C-10: whatever counts as X bars, and nothing less does."""
    found = _at(facts)
    assert found.symbol == "X"
    assert {f.entries for f in found.missions} == {grounds}
    assert set(_said(found).values()) == {("BARRED", f"X: {', '.join(grounds)}")}
    assert _told(found) == [(f"TOW, MAIL, NEAR, SURVEY BARRED — X: {', '.join(grounds)}", grounds)]


def test_what_is_less_than_an_x_bars_nothing() -> None:
    found = _at(FACTS._replace(open=(_entry("161-A01"), _entry("161-A02", "-"))))
    assert _said(found)["MAIL"] == ("CAN", "")


def test_missions_are_told_together_where_word_and_why_are_the_same_and_not_where_they_can() -> (
    None
):
    """Whole-job C-10: UNKNOWN is never good and never bad."""
    facts = FACTS._replace(finished=None)
    found = _at(facts)
    assert _told(found) == [
        ("TOW CANNOT — no hook", ()),
        ("MAIL, NEAR, SURVEY UNKNOWN — no preflight", ()),
    ]
    able = _at(FACTS)
    assert _said(able)["MAIL"] == ("CAN", "")
    assert _told(able) == [("TOW CANNOT — no hook", ())]
    assert [r.column for r in able.reasons] == ["symbol", "preflight", "missions"]
    assert able.known is not None
    assert able.known.why_unknown == ""


def test_by_night_is_told_apart_from_what_an_entry_takes() -> None:
    night = _at(FACTS, hours=16)
    assert _told(night) == [("TOW CANNOT — no hook", ()), ("NEAR CANNOT — by night", ())]
    takes = _at(FACTS._replace(open=(_entry("161-A01")._replace(takes=("tx",)),)))
    assert ("MAIL, NEAR, SURVEY CANNOT — 161-A01 takes tx", ("161-A01",)) in _told(takes)


def test_without_a_table_of_daylight_it_is_unknown_whether_a_day_mission_can_fly() -> None:
    found = _at(FACTS, record=RECORD._replace(daylight=None))
    assert _said(found)["NEAR"][0] == "UNKNOWN"
    assert "the fleet file has no table of daylight" in _said(found)["NEAR"][1]


@pytest.mark.parametrize(("hours", "word", "why"), [
    (1, "CAN WITH LIMITS", "161-A01 by day, to base"), (6, "BARRED", "X: 161-A01"),
])  # fmt: skip
def test_a_circled_x_limits_every_mission_until_its_limits_end(
    hours: float, word: str, why: str
) -> None:
    circled = _entry("161-A01", "(X)")._replace(limits=LIMITS)
    found = _at(FACTS._replace(open=(circled, _entry("161-A02"))), hours)
    assert _said(found)["MAIL"] == (word, why)


@pytest.mark.parametrize(
    ("finished", "hours", "why"),
    [
        (False, 1, "no preflight"),
        (True, 24, "preflight ran out Tue 05:00"),
        (True, 30, "preflight ran out Tue 05:00"),
    ],
)
def test_without_a_preflight_in_date_missions_are_unknown_and_say_why(
    *, finished: bool, hours: float, why: str
) -> None:
    found = _at(FACTS if finished else FACTS._replace(finished=None), hours)
    assert _said(found)["MAIL"] == ("UNKNOWN", why)


def test_a_preflight_that_was_ended_is_told_as_that_even_when_it_would_have_run_out() -> None:
    ended = Act(ref="A-20", at=later(MORNING, hours=1), by="BT", what="panel 7 opened")
    assert FACTS.finished is not None
    facts = FACTS._replace(finished=FACTS.finished._replace(ended=ended))
    for hours in (1, 30):
        assert _said(_at(facts, hours))["MAIL"] == ("UNKNOWN", "preflight ended")


def test_no_third_answer_where_nobody_asks_or_the_fit_has_no_missions() -> None:
    assert verdict(FACTS, MORNING, RECORD, {}, missions=False).known is None
    none = RECORD._replace(books={"T": to_plain(book_of(FIT)._replace(tasks={}))})
    for record in (none, RECORD._replace(books=None), RECORD._replace(books={})):
        found = _at(FACTS, record=record)
        assert (found.missions, found.known) == ((), None)
        assert [r.column for r in found.reasons] == ["symbol", "preflight"]
