"""What stands, what is open, why, and where walks were left: now, and as it was true before."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from builders import IO, MORNING, TAIL, Watch, checklist, lines, on_disk
from good_hands import GoodHands
from hardstand.domain.bodies import By, Late
from hardstand.domain.quantity import Instant, later
from hardstand.errors import NotThere, Usage
from hardstand.flows.explaining import reasons
from hardstand.flows.listing import Filter, narrowed, open_list
from hardstand.flows.logging_defects import Told, raise_defect
from hardstand.flows.open_walks import open_walks
from hardstand.flows.past import Past
from hardstand.flows.pen import Pen
from hardstand.flows.queries import board
from hardstand.flows.starting import walk
from hardstand.store.reads import Reads
from hardstand.views import status
from scripted import Scripted

NOON = later(MORNING, hours=4)


@pytest.fixture
def pen(tmp_path: Path) -> Pen:
    """QM-161 walked and finished at 08:00, QM-164 left with the panel open at 10:00."""
    pen = on_disk(tmp_path)
    walk(pen, GoodHands(checklist(), {"plugs": "F", "tune": "S"}), by=IO)
    late = Pen(journal=pen.journal, clock=Watch(later(MORNING, hours=2)), author="IO")
    Scripted.until_left(late, lines("QM-164", until="plugs"))
    raise_defect(late, "QM-116", Told(words="lamp out", unit="TR"), by=IO)
    return late


@pytest.fixture
def reading(pen: Pen, tmp_path: Path) -> Iterator[Reads]:
    found = Reads(tmp_path / "record.db")
    yield found
    found.close()


def test_the_board_has_each_airframe_by_tail_with_its_symbol(reading: Reads) -> None:
    found = board(reading, NOON)
    assert [(v.tail, v.symbol, v.preflight.state) for v in found.verdicts] == [
        ("QM-116", "/", "none"), ("QM-161", "X", "in_date"), ("QM-164", "X", "none"),
    ]  # fmt: skip
    assert found.clock_behind is None


def test_no_line_under_the_table_is_broken_inside_a_word(
    reading: Reads, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys.stdout, "isatty", lambda: True, raising=False)
    monkeypatch.setenv("COLUMNS", "80")
    told = status.text(board(reading, NOON), one=False, plain=True).split("\n")
    assert told[-2:] == [
        "A record of checks answered by the people named; it does not release an",
        "  aircraft.",
    ]


def test_a_clock_before_the_newest_line_is_not_trusted(reading: Reads) -> None:
    assert board(reading, later(MORNING, hours=-1)).clock_behind == reading.newest()


@pytest.mark.parametrize("typed", ["QM-164", "qm164", "164", "164 "])
def test_the_end_of_a_tail_is_enough(reading: Reads, typed: str) -> None:
    assert [v.tail for v in board(reading, NOON, typed).verdicts] == ["QM-164"]


@pytest.mark.parametrize("typed", ["QM-999", "16", "QM", "1"])
def test_a_tail_nobody_has_or_two_have_is_not_there(reading: Reads, typed: str) -> None:
    with pytest.raises(NotThere, match=r"^There is no airframe "):
        board(reading, NOON, typed)


def test_the_open_list_is_worst_first_then_oldest(reading: Reads) -> None:
    found = open_list(reading, NOON)
    assert [(tail, e.number, symbol) for tail, e, symbol in found.items] == [
        (TAIL, "161-A01", "X"), (TAIL, "161-A02", "-"), ("QM-116", "116-A01", "/"),
    ]  # fmt: skip
    assert found.hidden == 0


@pytest.mark.parametrize(
    ("only", "numbers"),
    [
        (Filter(), ["161-A01", "161-A02", "116-A01"]),
        (Filter(symbol="X"), ["161-A01"]),
        (Filter(words="LAMP"), ["116-A01"]),
        (Filter(words="161-a02"), ["161-A02"]),
        (Filter(unit="TR"), ["161-A01", "116-A01"]),
        (Filter(fit="H"), []),
        (Filter(person="BT"), []),
        (Filter(person="IO", symbol="/"), ["116-A01"]),
        (Filter(older_than_days=1), []),
        (Filter(state="open"), ["161-A01", "161-A02", "116-A01"]),
    ],
)
def test_a_filter_says_how_many_it_hides(reading: Reads, only: Filter, numbers: list[str]) -> None:
    found = open_list(reading, NOON, only=only)
    assert [e.number for _, e, _ in found.items] == numbers
    assert found.hidden == 3 - len(numbers)


def test_a_word_that_narrows_nothing_known_is_refused() -> None:
    with pytest.raises(Usage) as raised:
        narrowed({"symbol": "x"})
    assert raised.value.lines() == ("--symbol 'x' is not known.", "One of: (X), -, /, X")
    assert narrowed({"person": "io"}) == Filter(person="IO")


def test_why_goes_down_to_the_entry_and_to_the_line(reading: Reads) -> None:
    why = reasons(reading, NOON, "161")
    texts = [reason.text for reason in why.verdict.reasons]
    assert texts[0] == "X — 161-A01 red X: plug not home"
    assert texts[1] == "- — 161-A02 red dash: receive not tested: no station on the air"
    assert texts[2].startswith("preflight in date — walk A1 finished by IO on T-PRE 1, 2 ")
    one = reasons(reading, NOON, "161-a01")
    assert one.entry is not None
    assert [act.what for act in one.entry.acts] == ["raised X: plug not home"]


def test_why_of_neither_tail_nor_entry_is_not_there(reading: Reads) -> None:
    for what in ("161-A99", "nonsense"):
        with pytest.raises(NotThere) as raised:
            reasons(reading, NOON, what)
        assert raised.value.lines()[0] == (
            f"{what!r} is neither a tail nor an open entry of this record."
        )


def test_open_walks_say_where_they_were_left(reading: Reads) -> None:
    (stand,) = open_walks(reading)
    assert (stand.tail, stand.walk.walk, stand.walk.by) == ("QM-164", "A2", "IO")
    assert {line.item for line in stand.lines} == {"tools", "panel"}
    assert stand.last is not None
    assert stand.last[:13] == "2027-03-08T10"
    assert open_walks(reading, "116") == ()


def test_a_walk_in_progress_keeps_its_open_panel_from_being_an_x(reading: Reads) -> None:
    at = open_walks(reading)[0].last
    assert at is not None
    standing = [board(reading, later(at, seconds=60 * m), "164").verdicts[0] for m in (14, 15)]
    assert [(v.symbol, v.in_progress) for v in standing] == [("clear", "A2"), ("X", "")]


# -- the past --------------------------------------------------------------------------------------


def test_the_past_is_told_by_the_lines_made_by_then(pen: Pen) -> None:
    first = next(e.at for e in pen.journal.entries(kind="defect.raised"))
    before, then = Past(pen.journal, later(first, seconds=-1)), Past(pen.journal, first)
    assert [v.symbol for v in board(before, first).verdicts] == ["clear", "clear", "clear"]
    assert [v.symbol for v in board(then, first).verdicts] == ["clear", "X", "clear"]


def test_the_past_at_the_newest_line_is_the_present(pen: Pen, reading: Reads) -> None:
    newest = reading.newest()
    assert newest is not None
    past = Past(pen.journal, newest)
    assert past.all_facts() == reading.all_facts()
    assert past.last_of_walk("A2") == reading.last_of_walk("A2")
    assert past.newest() is None


def test_before_everything_nothing_was_there(pen: Pen) -> None:
    past = Past(pen.journal, Instant("2000-01-01T00:00:00Z"))
    assert all(facts.open == () and facts.walks == () for facts in past.all_facts())
    assert past.last_of_walk("A1") is None


def test_a_walk_made_on_paper_is_in_the_past_from_when_it_was_made(tmp_path: Path) -> None:
    """Walked at 09:00 with a pencil, typed in at 12:00."""
    pen = on_disk(tmp_path)
    pen = replace(pen, clock=Watch(NOON))
    nine = later(MORNING, hours=1)
    walk(pen, GoodHands(checklist(), {}), by=By(doer="IO", late=Late(made_at=nine, typist="MS")))
    found = [Past(pen.journal, at).facts(TAIL).finished for at in (later(nine, seconds=-1), nine)]
    assert [f and f.at for f in found] == [None, nine]
