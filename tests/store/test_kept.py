"""What is kept of an airframe stays the fold of all its lines, and is folded anew only when due."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest
from sqlalchemy import Connection

from builders import IO, TAIL, Watch, checklist, entry, fleet, on_disk, opened, papers
from hardstand.domain import bodies as b
from hardstand.domain.facts import FOLD, AirframeFacts, Folded
from hardstand.domain.ground import Ground
from hardstand.domain.people import NOT_ENROLLED
from hardstand.domain.quantity import Instant
from hardstand.flows.adopting import adopt
from hardstand.flows.enrolling import Newcomer, enrol
from hardstand.flows.pen import Pen
from hardstand.flows.recording import record
from hardstand.store import kept
from hardstand.store.reads import Reads
from quennock_record import founded_on_disk, hand, raised

TUESDAY, WEDNESDAY = "2027-03-09T09:00-03:00", "2027-03-10T09:00-03:00"
WHEN = Instant("2027-03-09T12:30:00Z")


@pytest.fixture
def anew(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The tails that were folded from their first line on, as it happens."""
    seen = list[str]()
    whole: Callable[[Connection, Ground], Folded] = kept._anew

    def counted(connection: Connection, described: Ground) -> Folded:
        seen.append(described.tail)
        return whole(connection, described)

    monkeypatch.setattr(kept, "_anew", counted)
    return seen


def _raise(pen: Pen, tail: str, n: int) -> None:
    body = b.DefectRaised(number=f"{tail[-3:]}-A{n:02d}", symbol="/", text="hum", by=IO)
    record(pen, tail, lambda _: (body,))


def _new(initials: str, *, since: str = "") -> Newcomer:
    granted = (b.Granted(role="inspector", fits=("T",), since=since),)
    return Newcomer(initials=initials, name=f"Somebody {initials}", granted=granted)


def test_an_append_goes_on_and_folds_nothing_anew(tmp_path: Path, anew: list[str]) -> None:
    pen = on_disk(tmp_path)
    anew.clear()
    for n in range(1, 6):
        _raise(pen, TAIL, n)
    assert anew == []
    assert pen.journal.stale() == ()


def test_a_list_put_in_force_folds_no_airframe_anew(tmp_path: Path, anew: list[str]) -> None:
    pen = on_disk(tmp_path)
    _raise(pen, TAIL, 1)
    anew.clear()
    adopt(pen, papers(listed=replace(checklist(), revision="2"))[2:])
    assert anew == []
    assert pen.journal.stale() == ()


def test_a_fleet_folds_anew_only_those_it_describes_otherwise(
    tmp_path: Path, anew: list[str]
) -> None:
    pen = on_disk(tmp_path)
    _raise(pen, TAIL, 1)
    anew.clear()
    known = fleet()
    other = {
        **{t: a for t, a in known.airframes.items() if t != "QM-116"},
        "QM-164": replace(known.airframes["QM-164"], type="low"),
        "QM-107": known.airframes["QM-161"],
    }
    adopt(pen, papers(flown=replace(known, airframes=other))[:1])
    assert sorted(anew) == ["QM-107", "QM-164"]
    assert pen.journal.stale() == ()


def test_somebody_enrolled_now_changes_nothing_that_was_judged_before(
    tmp_path: Path, anew: list[str]
) -> None:
    pen = founded_on_disk(tmp_path)
    raised(pen, "IO", TUESDAY)
    before = pen.journal.facts(TAIL)
    anew.clear()
    enrol(hand(pen, "JW", WEDNESDAY), _new("QQ"), witness="LH")
    assert anew == []
    assert "QQ" in [p.initials for p in pen.journal.record().people]
    assert pen.journal.facts(TAIL) == before
    anew.clear()
    assert pen.journal.stale() == ()


def test_a_role_dated_back_is_judged_from_the_first_line_on(
    tmp_path: Path, anew: list[str]
) -> None:
    pen = founded_on_disk(tmp_path)
    raised(pen, "IO", WEDNESDAY)
    anew.clear()
    back = "2027-03-01T03:00:00Z"
    enrol(hand(pen, "JW", WEDNESDAY), _new("QQ", since=back), witness="LH")
    assert set(anew) == {"QM-116", "QM-161", "QM-164"}
    assert pen.journal.stale() == ()


def test_a_line_of_somebody_unknown_is_told_otherwise_once_they_are_enrolled(
    tmp_path: Path, anew: list[str]
) -> None:
    pen = founded_on_disk(tmp_path)
    number = raised(pen, "IO", TUESDAY)
    item = pen.journal.facts(TAIL).entry(number)
    assert item is not None
    body = b.ActionRecorded(number=number, text="made good", by=b.By(doer="QQ"), seen=item.heads)
    _append(pen, body, author="QQ")
    told = [d.text for d in pen.journal.facts(TAIL).open[0].disputes]
    assert [text for text in told if NOT_ENROLLED in text] == told != []
    anew.clear()
    enrol(hand(pen, "JW", WEDNESDAY), _new("QQ"), witness="LH")
    assert set(anew) == {TAIL}
    assert pen.journal.stale() == ()


def test_lines_that_others_were_written_after_are_folded_in_from_the_first(
    tmp_path: Path, anew: list[str]
) -> None:
    pen = on_disk(tmp_path)
    _raise(pen, TAIL, 1)
    anew.clear()
    body = b.DefectRaised(number="161-B01", symbol="/", text="hum", by=IO)
    with pen.journal.write() as writing:
        writing.append([entry(body, device="B", seq=1, tick=2)])
    assert anew == [TAIL]
    assert pen.journal.stale() == ()


def _append(pen: Pen, body: b.Body, *, author: str) -> None:
    """Write a line of another device without asking whether its author may."""
    with pen.journal.write() as writing:
        tick = writing.tick() + 1
        line = entry(body, device="B", seq=1, tick=tick, at=WHEN, author=author)
        writing.append([line])


# -- what an earlier fold kept ---------------------------------------------------------------------


@pytest.fixture
def earlier(tmp_path: Path) -> Path:
    """A record whose facts of one airframe an earlier fold kept, which said less."""
    pen = on_disk(tmp_path)
    _raise(pen, TAIL, 1)
    path = tmp_path / "record.db"
    with closing(sqlite3.connect(path)) as raw:
        raw.execute(
            "UPDATE now SET facts = json_remove(facts, '$.open', '$.fold') WHERE tail = ?", (TAIL,)
        )
        raw.commit()
    return path


def _hums(facts: AirframeFacts) -> list[str]:
    return [e.number for e in facts.open]


def test_what_an_earlier_fold_kept_is_folded_anew_before_anybody_reads_it(
    earlier: Path, anew: list[str]
) -> None:
    for read_only in (False, True):
        assert _hums(opened(earlier, read_only=read_only).facts(TAIL)) == ["161-A01"]
    reading = Reads(earlier)
    assert _hums(reading.facts(TAIL)) == ["161-A01"]
    assert [_hums(f) for f in reading.all_facts()] == [[], ["161-A01"], []]
    reading.close()
    assert set(anew) == {TAIL}


def test_what_an_earlier_fold_kept_is_no_fault_of_the_record(earlier: Path) -> None:
    journal = opened(earlier)
    assert journal.stale() == ()
    with closing(sqlite3.connect(earlier)) as raw:
        raw.execute("UPDATE now SET facts = '{}' WHERE tail = ?", (TAIL,))
        raw.commit()
    assert journal.stale() == (TAIL,)


@pytest.mark.parametrize("read_before", [False, True])
def test_an_append_brings_what_an_earlier_fold_kept_up_to_date_once(
    earlier: Path, anew: list[str], *, read_before: bool
) -> None:
    pen = Pen(journal=opened(earlier), clock=Watch(WHEN), author="IO")
    if read_before:
        pen.journal.facts(TAIL)
    for n in (2, 3):
        with pen.journal.write() as writing:
            body = b.DefectRaised(number=f"161-B0{n}", symbol="/", text="hum", by=IO)
            writing.append([entry(body, device="B", seq=n - 1, tick=writing.tick() + 1)])
    assert anew == [TAIL]
    after = opened(earlier).facts(TAIL)
    assert (_hums(after), after.fold) == (["161-A01", "161-B02", "161-B03"], FOLD)
    assert opened(earlier).stale() == ()
    assert (after.raised or {})["B"] == 3


def test_what_is_kept_of_an_airframe_the_fleet_lost_is_left_as_it_is(earlier: Path) -> None:
    """Only a record that another program wrote keeps facts of such a one."""
    with closing(sqlite3.connect(earlier)) as raw:
        raw.execute("UPDATE now SET tail = 'QM-999' WHERE tail = ?", (TAIL,))
        raw.commit()
    assert _hums(opened(earlier).facts("QM-999")) == []
