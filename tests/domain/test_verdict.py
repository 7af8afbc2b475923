"""verdict: the symbol and the preflight at an instant, each with its reasons.

What ran out by itself is in test_run_out.py, the laws in test_status_laws.py.
"""

from __future__ import annotations

import pytest

from builders import MORNING
from hardstand.domain.airframe import fold
from hardstand.domain.checklist import ItemKind
from hardstand.domain.dated import DatedFit
from hardstand.domain.facts import (
    Act,
    AirframeFacts,
    Deferral,
    Dispute,
    Finished,
    Limits,
    Line,
    OpenEntry,
    OpenWalk,
    RecordFacts,
)
from hardstand.domain.quantity import Instant, later
from hardstand.domain.symbols import ORDER, is_graver, worst
from hardstand.domain.verdict import Verdict, fit_of, verdict
from strategies import GROUND

RECORD = RecordFacts(time_zone="-03:00")
EMPTY = fold(GROUND, ())
DONE = Finished(walk="A1", checklist="T-PRE", revision="1", at=MORNING, by="IO", ref="A-9")
WALK = OpenWalk(
    walk="A2", device="A", checklist="T-PRE", revision="1", digest="d", started=MORNING, by="IO",
    ref="A-12",
)  # fmt: skip

PUT_OFF = Deferral(
    item="i", category="C", days=10, by="MS", ref="A-3", digest="", runs_out="2027-03-19T03:00:00Z"
)


def _entry(symbol: str, number: str = "161-A01", found: Instant = MORNING) -> OpenEntry:
    return OpenEntry(
        number=number, symbol=symbol, text="hum", found_at=found, found_by="IO", state="open"
    )


def _circled(number: str) -> OpenEntry:
    limits = Limits(text="to base", ends=later(MORNING, hours=6), by="LH", ref="A-3", digest="")
    return _entry("(X)", number)._replace(limits=limits)


def _line(kind: ItemKind) -> Line:
    return Line(
        item="thing", title="the thing", kind=kind, home="HOME", value="AWAY", since=MORNING,
        by="IO", ref="A-7",
    )  # fmt: skip


def _at(facts: AirframeFacts, hours: float = 1, **last: Instant) -> Verdict:
    return verdict(facts, later(MORNING, hours=hours), RECORD, last)


def _texts(found: Verdict, column: str) -> list[str]:
    return [reason.text for reason in found.reasons if reason.column == column]


# -- the symbol ------------------------------------------------------------------------------------


def test_with_nothing_open_the_symbol_is_clear_and_says_why() -> None:
    found = _at(EMPTY)
    assert found.symbol == "clear"
    assert _texts(found, "symbol") == ["clear — nothing is open in the log"]


def test_the_worst_open_entry_is_the_symbol_and_every_one_is_a_reason_worst_first() -> None:
    facts = EMPTY._replace(open=(_entry("/", "161-A01"), _entry("X", "161-A02"),
                                 _entry("-", "161-A03")))  # fmt: skip
    found = _at(facts)
    assert found.symbol == "X"
    assert [s.entry.number for s in found.open] == ["161-A02", "161-A03", "161-A01"]
    assert _texts(found, "symbol") == [
        "X — 161-A02 red X: hum", "- — 161-A03 red dash: hum", "/ — 161-A01 red diagonal: hum",
    ]  # fmt: skip


def test_of_two_alike_the_older_comes_first() -> None:
    older = _entry("/", "161-B09", later(MORNING, hours=-1))
    found = _at(EMPTY._replace(open=(_entry("/"), older)))
    assert [s.entry.number for s in found.open] == ["161-B09", "161-A01"]


def test_a_recorded_action_changes_nothing_until_it_is_cleared() -> None:
    acted = _entry("X")._replace(state="action_recorded")
    found = _at(EMPTY._replace(open=(acted,)))
    assert found.symbol == "X"
    assert _texts(found, "symbol") == ["X — 161-A01 red X: hum (action recorded, not cleared)"]


@pytest.mark.parametrize("symbol", ["X", "-", "/"])
def test_symbols_rank_as_the_log_ranks_them(symbol: str) -> None:
    assert worst([symbol, "clear"]) == symbol
    assert worst([]) == "clear"
    assert [s for s in ORDER if is_graver(s, symbol)] == list(ORDER[: ORDER.index(symbol)])


def test_of_two_alike_found_at_once_the_lower_number_comes_first() -> None:
    found = _at(EMPTY._replace(open=(_entry("/", "161-A02"), _entry("/", "161-A01"))))
    assert [s.entry.number for s in found.open] == ["161-A01", "161-A02"]
    assert [r.entries for r in found.reasons[:2]] == [("161-A01",), ("161-A02",)]


def test_reasons_of_every_kind_stand_worst_first_each_with_what_it_rests_on() -> None:
    """TV-1.2, and the rank of records-and-status 1.2: the dash stands below the circled X."""
    facts = EMPTY._replace(
        open=(_entry("/", "161-A01"), _entry("-", "161-A02"), _entry("X", "161-A03"),
              _circled("161-A04")),
        lines=(_line("access"),), empty={"RX": ("removed by BT", "A-8")},
        doubtful={"TX": ("swapped", "A-11")},
    )  # fmt: skip
    found = _at(facts)
    assert [(r.text, r.entries) for r in found.reasons[:-1]] == [
        ("X — RX is empty: removed by BT", ("A-8",)),
        ("X — not put back: the thing recorded AWAY, home is HOME", ("A-7",)),
        ("X — 161-A03 red X: hum", ("161-A03",)),
        ("(X) — 161-A04 circled red X to 8 Mar 11:00, within limits: to base: hum", ("161-A04",)),
        ("- — 161-A02 red dash: hum", ("161-A02",)),
        ("- — TX is in doubt until read off the box", ("A-11",)),
        ("/ — 161-A01 red diagonal: hum", ("161-A01",)),
    ]


@pytest.mark.parametrize(
    ("facts", "symbol", "why"),
    [
        (EMPTY._replace(empty={"RX": ("removed", "A-8")}), "X", "X — RX is empty: removed"),
        (EMPTY._replace(doubtful={"TX": ("swapped", "A-11")}), "-",
         "- — TX is in doubt until read off the box"),
        (EMPTY._replace(unknown=("B-4",)), "X", "cannot say: needs a newer hardstand"),
    ],
    ids=["empty", "doubtful", "not read"],
)  # fmt: skip
def test_what_no_entry_tells_of_is_not_clear_either(
    facts: AirframeFacts, symbol: str, why: str
) -> None:
    """Condition unknown is a dash, TM 1-1520-240-BD (3)(b); a hole and the unread count as X."""
    found = _at(facts)
    assert (found.symbol, _texts(found, "symbol")) == (symbol, [why])


def test_lines_that_are_not_understood_come_before_all_that_is_and_are_named() -> None:
    found = _at(EMPTY._replace(unknown=("B-4", "B-5"), open=(_entry("X"),)))
    assert [r.entries for r in found.reasons[:2]] == [("B-4", "B-5"), ("161-A01",)]


@pytest.mark.parametrize(
    ("entry", "reads", "alone"),
    [
        (_entry("/")._replace(unit="RX"), "X", False),
        (_entry("-")._replace(unit="RX"), "X", False),
        (_entry("X")._replace(unit="RX"), "X", True),
        (_entry("X")._replace(unit="TX"), "X", False),
        (_entry("/")._replace(unit="RX", deferral=PUT_OFF), "/", True),
        (_circled("161-A01")._replace(unit="RX"), "(X)", True),
    ],
    ids=["diagonal", "dash", "an X", "an X elsewhere", "put off", "circled"],
)
def test_an_empty_position_counts_by_its_entry_once_that_is_put_off_or_an_x(
    entry: OpenEntry, reads: str, *, alone: bool
) -> None:
    found = _at(EMPTY._replace(open=(entry,), empty={"RX": ("removed", "A-8")}))
    assert found.symbol == reads
    assert ("X — RX is empty: removed" in _texts(found, "symbol")) == (not alone)


def test_a_disagreement_is_told_with_its_entry() -> None:
    fork = Dispute(text="BT cleared, YB raised", acts=("a",), parties=("BT", "YB"))
    found = _at(EMPTY._replace(open=(_entry("/")._replace(disputes=(fork,)),)))
    assert _texts(found, "symbol") == [
        "/ — 161-A01 red diagonal: hum (disagreement: BT cleared, YB raised)"
    ]


# -- what is away ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("kind", "symbol"),
    [("access", "X"), ("removed", "X"), ("disconnected", "X"), ("energy", "X"),
     ("placed", "clear"), ("tag", "clear"), ("count", "clear"), ("proof", "clear")],
)  # fmt: skip
def test_what_is_open_or_live_with_no_walk_in_progress_is_an_x(kind: ItemKind, symbol: str) -> None:
    found = _at(EMPTY._replace(lines=(_line(kind),)))
    assert found.symbol == symbol
    assert found.lines == (_line(kind),)
    if symbol == "X":
        assert _texts(found, "symbol") == [
            "X — not put back: the thing recorded AWAY, home is HOME"
        ]


@pytest.mark.parametrize(("minutes", "symbol"), [(0, "clear"), (14.9, "clear"), (15, "X")])
def test_a_walk_is_in_progress_for_fifteen_minutes_after_its_last_line(
    minutes: float, symbol: str
) -> None:
    facts = EMPTY._replace(lines=(_line("access"),), walks=(WALK,))
    last = later(MORNING, hours=3)
    found = verdict(facts, later(last, seconds=60 * minutes), RECORD, {"A2": last})
    assert found.symbol == symbol
    assert found.in_progress == ("A2" if symbol == "clear" else "")


def test_a_walk_left_for_a_while_is_not_in_progress_however_young() -> None:
    facts = EMPTY._replace(lines=(_line("energy"),), walks=(WALK._replace(broken=True),))
    found = verdict(facts, MORNING, RECORD, {"A2": MORNING})
    assert (found.symbol, found.in_progress) == ("X", "")
    assert "walk A2 was left for a while (IO, device A)" in _texts(found, "preflight")


def test_how_long_a_walk_is_in_progress_is_a_setting() -> None:
    facts = EMPTY._replace(lines=(_line("access"),), walks=(WALK,))
    longer = RECORD._replace(walk_alive_min=60)
    at = later(MORNING, seconds=59 * 60)
    assert verdict(facts, at, longer, {"A2": MORNING}).symbol == "clear"


# -- the preflight ---------------------------------------------------------------------------------


def test_without_a_finished_walk_there_is_no_preflight() -> None:
    found = _at(EMPTY)
    assert found.preflight.state == "none"
    assert _texts(found, "preflight") == ["no preflight — no finished walk on record"]


@pytest.mark.parametrize(
    ("seconds", "state"), [(0, "in_date"), (86399, "in_date"), (86400, "ran_out")]
)
def test_a_finished_preflight_counts_for_24_hours(seconds: int, state: str) -> None:
    found = verdict(EMPTY._replace(finished=DONE), later(MORNING, seconds=seconds), RECORD, {})
    assert (found.preflight.state, found.preflight.by) == (state, "IO")
    assert found.preflight.until == later(MORNING, hours=24)


def test_the_hours_of_a_preflight_are_a_setting() -> None:
    half = RECORD._replace(preflight_hours=12)
    found = verdict(EMPTY._replace(finished=DONE), later(MORNING, hours=12), half, {})
    assert found.preflight.state == "ran_out"


def test_a_preflight_that_was_ended_says_by_what() -> None:
    ended = Act(ref="A-20", at=later(MORNING, hours=1), by="BT", what="panel 7 opened")
    facts = EMPTY._replace(finished=DONE._replace(ended=ended))
    assert _at(facts, 0.5).preflight.state == "in_date"
    found = _at(facts, 1)
    assert found.preflight.state == "ended"
    (why,) = (reason for reason in found.reasons if reason.column == "preflight")
    assert why.entries == ("A-9", "A-20")
    assert why.text.endswith("ended by: panel 7 opened")


def test_an_open_entry_ends_no_preflight_and_a_preflight_hides_no_entry() -> None:
    found = _at(EMPTY._replace(finished=DONE, open=(_entry("X"),)))
    assert (found.symbol, found.preflight.state) == ("X", "in_date")


def test_a_preflight_tells_who_by_which_list_and_what_was_not_answered_ok() -> None:
    gaps = EMPTY._replace(finished=DONE._replace(gaps=2))
    found = _at(EMPTY._replace(finished=DONE))
    (whole,) = _texts(found, "preflight")
    assert whole == "preflight in date — walk A1 finished by IO on T-PRE 1"
    assert found.reasons[-1].entries == ("A-9",)
    assert _texts(_at(gaps), "preflight") == [f"{whole}, 2 not answered OK"]


@pytest.mark.parametrize(
    ("hours", "told"),
    [
        (1, "preflight ran out — CANNOT TELL, this clock is not trusted; walk A1 finished by IO"),
        (24, "preflight ran out — walk A1 finished by IO"),
    ],
)
def test_on_a_clock_that_is_not_trusted_a_preflight_counts_as_run_out(
    hours: float, told: str
) -> None:
    at = later(MORNING, hours=hours)
    found = verdict(EMPTY._replace(finished=DONE), at, RECORD, {}, trusted=False)
    assert found.preflight.state == "ran_out"
    assert _texts(found, "preflight") == [f"{told} on T-PRE 1"]


# -- what is told besides --------------------------------------------------------------------------


def test_every_walk_left_open_is_told_as_what_it_is_with_its_line() -> None:
    walks = (WALK, WALK._replace(walk="A3", ref="A-13"), WALK._replace(walk="A4", broken=True))
    found = verdict(EMPTY._replace(walks=walks), later(MORNING, hours=1), RECORD,
                    {"A3": later(MORNING, hours=1)})  # fmt: skip
    assert found.in_progress == "A3"
    assert [(r.text, r.entries, r.column) for r in found.reasons[1:4]] == [
        ("walk A2 was not finished (IO, device A)", ("A-12",), "preflight"),
        ("walk A3 is in progress (IO, device A)", ("A-13",), "preflight"),
        ("walk A4 was left for a while (IO, device A)", ("A-12",), "preflight"),
    ]


def test_lines_that_do_not_hold_and_weaker_clearings_are_told_with_what_they_rest_on() -> None:
    """TV-1.24: a second look by the doer is flagged in every report."""
    doubt = Act(ref="A-21", at=MORNING, by="BT", what="finished by BT, who may not")
    found = _at(EMPTY._replace(doubts=(doubt,), weaker=("161-A01", "161-A02")))
    assert [(r.text, r.entries, r.column) for r in found.reasons[1:-1]] == [
        ("finished by BT, who may not", ("A-21",), "preflight"),
        ("161-A01 was cleared by its doer, WEAKER until an inspector looks", ("161-A01",),
         "symbol"),
        ("161-A02 was cleared by its doer, WEAKER until an inspector looks", ("161-A02",),
         "symbol"),
    ]  # fmt: skip


def test_an_airframe_that_left_the_fleet_file_is_told_as_that_and_no_other() -> None:
    tail = EMPTY.tail
    for left, told in (((tail,), True), (("QM-999",), False)):
        found = verdict(EMPTY, MORNING, RECORD._replace(left=left), {})
        gone = [r for r in found.reasons if r.text == f"{tail} is in the fleet file no more"]
        assert [r.column for r in gone] == ["symbol"] * told
        assert all(r.entries == () for r in gone)


# -- the fit ---------------------------------------------------------------------------------------


def test_the_fit_changes_with_the_local_day() -> None:
    fits = (DatedFit(since="2026-01-01", fit="T"), DatedFit(since="2027-03-08", fit="H"))
    facts = EMPTY._replace(fits=fits)
    assert fit_of(facts, Instant("2027-03-08T02:59:59Z"), RECORD) == "T"
    assert fit_of(facts, Instant("2027-03-08T03:00:00Z"), RECORD) == "H"
    assert fit_of(facts, Instant("2025-06-01T00:00:00Z"), RECORD) == ""


@pytest.mark.parametrize(
    ("now", "fit"),
    [
        ("2027-03-07T12:00:00Z", ""),
        ("2027-03-08T02:59:59Z", ""),
        ("2027-03-08T03:00:00Z", "T"),
        ("2027-03-09T00:00:00Z", "T"),
    ],
)
def test_the_only_fit_is_carried_from_its_first_local_day_too(now: str, fit: str) -> None:
    facts = EMPTY._replace(fits=(DatedFit(since="2027-03-08", fit="T"),))
    assert fit_of(facts, Instant(now), RECORD) == fit
    assert fit_of(facts._replace(fits=()), Instant(now), RECORD) == ""
