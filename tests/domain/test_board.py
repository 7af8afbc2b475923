"""The lead's board: one order, whose it is, what next. Source: human-factors BRD-01 to BRD-06."""

from __future__ import annotations

import random
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builders import MORNING
from hardstand.domain import board
from hardstand.domain.airframe import fold
from hardstand.domain.board import BoardLine, bank, drawn, entry_line, line_line, ordered, owner
from hardstand.domain.facts import AirframeFacts, Deferral, Line, OpenEntry, RecordFacts, Work
from hardstand.domain.people import Grant, Person
from hardstand.domain.quantity import Instant, later
from hardstand.domain.verdict import verdict
from strategies import GROUND

RECORD = RecordFacts(time_zone="-03:00")
EMPTY = fold(GROUND, ())


def _entry(symbol: str = "/", **changes: object) -> OpenEntry:
    whole = OpenEntry(
        number="161-A01", symbol=symbol, text="hum", found_at=MORNING, found_by="IO", state="open"
    )
    return whole._replace(**changes)  # type: ignore[arg-type]  # fields by name


def _line(item: str, kind: str, minutes: int = 0) -> Line:
    return Line(
        item=item, title=item, kind=kind, home="HOME", value="AWAY", by="IO", ref="A-7",
        since=later(MORNING, seconds=60 * minutes),
    )  # fmt: skip


def _told(entry: OpenEntry, *, repeated: bool = False, hours: float = 1) -> BoardLine:
    facts = EMPTY._replace(open=(entry,))
    found = verdict(facts, later(MORNING, hours=hours), RECORD, {})
    return entry_line(found, facts, found.open[0], (), repeated)


# -- order -----------------------------------------------------------------------------------------

_CLASSES = st.sampled_from(board.ORDER)
_LINES = st.builds(
    BoardLine, cls=_CLASSES, tail=st.sampled_from(["QM-101", "QM-107"]), what=st.just("hum"),
    since=st.integers(0, 9).map(lambda h: later(MORNING, hours=-h)), key=st.text("ab", min_size=1),
    until=st.sampled_from(["", later(MORNING, hours=2), later(MORNING, hours=50)]),
    rank=st.integers(0, 9),
)  # fmt: skip


@given(st.lists(_LINES, max_size=20, unique=True), st.randoms(use_true_random=False))
def test_the_order_is_the_same_whatever_order_the_lines_came_in(
    lines: list[BoardLine], shuffle: random.Random
) -> None:
    """Source: human-factors BRD-02, the same order every time."""
    again = list(lines)
    shuffle.shuffle(again)
    assert ordered(again) == ordered(lines)


@given(st.lists(_LINES, max_size=20))
def test_worst_first_then_due_soonest_then_oldest(lines: list[BoardLine]) -> None:
    found = ordered(lines)
    places = [(board.ORDER.index(x.cls), x.rank, x.until or "~", x.since) for x in found]
    assert places == sorted(places)
    assert len(found) == len(lines)


def test_the_battery_is_first_then_what_is_live_then_what_is_open_then_tools() -> None:
    """Source: human-factors BRD-01, what must not be powered or touched; by any age."""
    away = [
        _line("tools", "count", 0), _line("panel", "access", 1), _line("stand", "placed", 2),
        _line("plug", "disconnected", 3), _line("rx_power", "energy", 4),
        _line("battery", "energy", 5),
    ]  # fmt: skip
    found = ordered(line_line(EMPTY, line, None) for line in away)
    assert [x.what.split()[0] for x in found] == [
        "battery", "rx_power", "panel", "plug", "tools", "stand",
    ]  # fmt: skip
    assert {x.cls for x in found} == {"HAZARD"}
    assert [x.symbol for x in found] == ["X", "X", "X", "X", "", ""]


# -- what an entry is on the board -----------------------------------------------------------------

_PUT_OFF = Deferral(item="1", category="C", days=10, by="MS", ref="S-1", digest="d")


@pytest.mark.parametrize(
    ("entry", "cls", "then"),
    [
        (_entry("X"), "GROUNDS", "mend"),
        (_entry("-"), "UNKNOWN", "look or test, then record it"),
        (_entry("-", untested=("ch3",)), "UNKNOWN", "test ch3"),
        (_entry(), "OPEN", "rule, defer or mend"),
        (_entry(ruled="no list item touched"), "OPEN", "mend"),
    ],
)
def test_an_entry_is_of_the_class_of_its_symbol_and_says_what_is_next(
    entry: OpenEntry, cls: str, then: str
) -> None:
    found = _told(entry)
    assert (found.cls, found.next) == (cls, then)


def test_work_that_nobody_has_looked_at_is_half_done() -> None:
    work = Work(ref="A-2", digest="d", at=MORNING, by="BT", text="remade")
    found = _told(_entry(state="action_recorded", work=work))
    assert (found.cls, found.next, found.owner) == ("HALF DONE", "an inspector looks", "BT")


@pytest.mark.parametrize(
    ("seconds", "cls"), [(86_399, "DUE"), (86_400, "DUE"), (86_401, "OPEN"), (0, "GROUNDS")]
)
def test_what_runs_out_within_a_day_is_due_and_what_ran_out_grounds(seconds: int, cls: str) -> None:
    """Source: whole-job M-29, within 24 h; BRD-06, past due turns into grounds."""
    until = later(MORNING, seconds=3600 + seconds)
    put_off = _PUT_OFF._replace(runs_out=until)
    found = _told(_entry(state="deferred", deferral=put_off))
    assert found.cls == cls
    assert found.until == ("" if cls == "GROUNDS" else until)
    assert found.what == ("hum (ran out)" if cls == "GROUNDS" else "hum")


def test_what_came_back_is_a_repeat() -> None:
    assert _told(_entry(), repeated=True).cls == "REPEAT"


def test_a_long_note_is_cut_and_a_position_is_not_said_twice() -> None:
    """Source: whole-job scenario 59, lists show the beginning and how much more there is."""
    long = _told(_entry(text="z" * 4000, unit="RX-LF"))
    assert long.what == f"RX-LF: {'z' * 120} … + 3880"
    assert _told(_entry(text="DYN-V removed", unit="DYN-V")).what == "DYN-V removed"


def test_a_placard_stays_while_its_entry_is_open_and_comes_off_after() -> None:
    """Source: whole-job M-15, counted out again at clearing."""
    placard = _line("placard-161-A01", "tag")
    open_ = EMPTY._replace(open=(_entry(),), lines=(placard,))
    assert line_line(open_, placard, None).next == "leave it AWAY until 161-A01 is cleared"
    assert line_line(EMPTY, placard, None).next == "see it HOME"


def test_what_a_walk_in_progress_moved_is_half_done_and_no_hazard() -> None:
    found = line_line(EMPTY, _line("battery", "energy"), None, "A4")
    assert (found.cls, found.symbol, found.next) == ("HALF DONE", "", "part of walk A4")


# -- whose it is -----------------------------------------------------------------------------------


def _person(initials: str, role: str, ended: str = "") -> Person:
    grants = (Grant(role=role, since=later(MORNING, hours=-99), ref="S-1"),)  # type: ignore[arg-type]  # one of the roles
    return Person(initials=initials, name=initials, enrolled=MORNING, grants=grants, ended=ended)


@pytest.mark.parametrize(
    ("people", "taken", "whose"),
    [
        ((_person("IO", "technician"),), {}, "IO"),
        ((_person("IO", "pilot"),), {}, "NOBODY"),
        ((_person("IO", "technician", ended=MORNING),), {}, "NOBODY"),
        ((_person("IO", "technician"), _person("MS", "shift_lead")), {"161-A01": "MS"}, "MS"),
        ((_person("IO", "technician"), _person("MS", "pilot")), {"161-A01": "MS"}, "IO"),
        ((), {}, "IO"),
    ],
)
def test_an_entry_is_somebody_s_who_may_still_see_to_it(
    people: tuple[Person, ...], taken: dict[str, str], whose: str
) -> None:
    """Source: human-factors BRD-03, an empty owner prints NOBODY; whole-job scenario 68."""
    assert owner(_entry(), taken, people, later(MORNING, hours=1)) == whose


# -- the battery -----------------------------------------------------------------------------------


def test_ampere_hours_are_minutes_times_amperes_and_the_rest_is_rounded_down() -> None:
    """Source: whole-job C-12, battery_left_on; usable 34 × 0.8 - 14."""
    now = Instant("2027-03-11T19:47:00Z")
    battery = (Decimal(34), Decimal(14))
    switch = _line("battery", "energy")._replace(since=Instant("2027-03-11T17:31:00Z"))
    power = _line("rx_power", "energy")._replace(since=Instant("2027-03-11T17:35:00Z"))
    loads = [drawn(switch, Decimal(2), battery, now), drawn(power, Decimal("3.5"), battery, now)]
    assert [load.minutes for load in loads if load] == [136, 132]
    found = bank("QM-110", [load for load in loads if load])
    assert found is not None
    assert (f"{found.ah:.3f}", found.usable, found.minutes_left) == ("12.233", Decimal("13.2"), 10)
    assert drawn(_line("panel", "access"), None, battery, now) is None
    assert bank("QM-110", []) is None


def test_a_line_that_draws_says_for_how_long_and_how_much() -> None:
    facts: AirframeFacts = EMPTY
    load = drawn(_line("battery", "energy"), Decimal(2), None, later(MORNING, hours=1.5))
    found = line_line(facts, _line("battery", "energy"), load)
    assert found.what == "battery recorded AWAY, 90 min, about 3.0 Ah drawn"
