"""The laws of the fold: three devices, any history, any order of arrival, one result."""

from __future__ import annotations

import json
import random
from collections.abc import Sequence

from hypothesis import given, settings
from hypothesis import strategies as st

from builders import IO
from hardstand.domain import bodies as b
from hardstand.domain.airframe import fold
from hardstand.domain.chain import seal
from hardstand.domain.checklist import Symbol
from hardstand.domain.defects import Report, raised
from hardstand.domain.entry import Entry
from hardstand.domain.facts import AirframeFacts, RecordFacts
from hardstand.domain.quantity import later
from hardstand.domain.symbols import ORDER
from hardstand.domain.verdict import Verdict, verdict
from strategies import GROUND, MIDNIGHT, Tablet, histories

CLOSING = {"defect.cleared", "defect.voided", "defect.same_as", "defect.proved", "defect.settled"}
hours = st.integers(0, 60)


def _rank(found: Verdict) -> int:
    """How grave a symbol is: 0 is the worst."""
    return ORDER.index(found.symbol)


def _at(facts: AirframeFacts, hour: int) -> Verdict:
    return verdict(facts, later(MIDNIGHT, hours=hour), RecordFacts(), {})


@given(histories, st.randoms(use_true_random=False))
def test_the_order_in_which_lines_arrive_changes_nothing(
    entries: list[Entry], dice: random.Random
) -> None:
    whole = fold(GROUND, entries)
    for _ in range(3):
        dice.shuffle(entries)
        assert fold(GROUND, entries) == whole


@given(histories)
def test_an_entry_stays_open_until_a_line_that_can_close_it_names_it(entries: list[Entry]) -> None:
    named = {json.loads(e.body).get("number") for e in entries if e.kind in CLOSING}
    numbers = {json.loads(e.body)["number"] for e in entries if e.kind == "defect.raised"}
    still = {e.number for e in fold(GROUND, entries).open}
    assert numbers - named <= still <= numbers


@given(histories)
def test_no_number_is_given_twice_and_paper_numbers_are_gone_on_from(entries: list[Entry]) -> None:
    numbers = [json.loads(e.body)["number"] for e in entries if e.kind == "defect.raised"]
    assert len(numbers) == len(set(numbers))
    assert all(int(n[-2:]) > 6 for n in numbers if n.startswith("161-B"))


@given(histories, st.sampled_from(["X", "-", "/"]), hours)
def test_nothing_improves_by_another_open_entry(
    entries: list[Entry], symbol: Symbol, hour: int
) -> None:
    tablet = Tablet("C", list(entries))
    before = _at(tablet.facts(), hour)
    report = Report(symbol=symbol, text="one more")
    tablet.write(raised(tablet.facts(), report, device="C", by=IO), minute=90)
    after = _at(tablet.facts(), hour)
    assert _rank(after) <= min(_rank(before), ORDER.index(symbol))
    assert {s.entry.number for s in before.open} < {s.entry.number for s in after.open}


@given(histories, st.lists(hours, min_size=2, max_size=5).map(sorted))
def test_nothing_improves_by_a_later_time(entries: list[Entry], when: Sequence[int]) -> None:
    facts = fold(GROUND, entries)
    ranks = [_rank(_at(facts, hour)) for hour in when]
    assert ranks == sorted(ranks, reverse=True)


@given(histories, hours)
def test_every_verdict_has_its_reasons_and_they_name_what_is_open(
    entries: list[Entry], hour: int
) -> None:
    facts = fold(GROUND, entries)
    found = _at(facts, hour)
    told = {name for reason in found.reasons for name in reason.entries}
    assert {e.number for e in facts.open if not e.closed} <= told
    assert {reason.column for reason in found.reasons} == {"symbol", "preflight"}
    assert all(reason.text for reason in found.reasons)


@given(histories)
def test_a_panel_open_with_no_walk_in_progress_is_an_x(entries: list[Entry]) -> None:
    facts = fold(GROUND, entries)
    if facts.line("panel") is not None:
        found = _at(facts, 1)
        assert found.symbol == "X"
        assert "X — not put back: panel 7 recorded OPEN, home is SHUT" in {
            reason.text for reason in found.reasons
        }


@settings(max_examples=40)
@given(histories)
def test_an_unknown_kind_makes_the_airframe_read_cannot_say(entries: list[Entry]) -> None:
    tablet = Tablet("C", list(entries))
    made = tablet.write(b.WalkBroken(step="", by=IO), minute=99)
    tablet.known[-1] = seal(made._replace(kind="moon.landed"))
    facts = tablet.facts()
    assert facts.unknown == (made.ref,)
    found = _at(facts, 2)
    assert found.symbol == "X"
    assert found.reasons[0].text == "cannot say: needs a newer hardstand"
    assert found.reasons[0].entries == (made.ref,)
