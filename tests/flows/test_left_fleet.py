"""An aircraft left out of a fleet file by somebody who had not heard of what is open on it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from builders import fleet, opened
from hardstand.domain.bodies import By
from hardstand.domain.defects import Done
from hardstand.domain.quantity import Instant
from hardstand.errors import Refusal
from hardstand.flows.adopting import Paper, adopt, listed_fleet
from hardstand.flows.logging_defects import act, acted
from hardstand.flows.past import Past
from hardstand.flows.pen import Pen
from hardstand.flows.queries import board
from hardstand.ports import Journal
from hardstand.store.journal import create
from hardstand.store.reads import Reads
from hardstand.system.keys import DemoKeys
from memory import MemoryJournal
from quennock_record import TAIL, founded, hand, raised

NOON = Instant("2027-03-09T15:00:00Z")


def _without(tail: str) -> Paper:
    rest = {t: a for t, a in fleet().airframes.items() if t != tail}
    value = replace(fleet(), airframes=rest)
    return Paper(kind="fleet.loaded", id="fleet", revision="", fit="", text="(less)", value=value)


def _apart() -> list[Journal]:
    """The line office and a tablet: the office drops QM-161, the tablet raises an X on it."""
    office = founded().journal
    tablet = MemoryJournal("A", tuple(office.chains()))
    pen = Pen(journal=tablet, clock=hand(founded(), "RA", "2027-03-09T08:00-03:00").clock,
              author="RA", signer=DemoKeys())  # fmt: skip
    raised(pen, "RA", "2027-03-09T08:00-03:00", "X", "wire broken")
    adopt(hand(_pen(office), "ÅL", "2027-03-09T08:30-03:00"), [_without(TAIL)])
    return [office, tablet]


def _pen(journal: Journal) -> Pen:
    return replace(founded(), journal=journal)


def _together(folder: Path) -> Path:
    """What both hold, in one file."""
    path = folder / "record.db"
    create(path, "S")
    journal = opened(path)
    lines = {(e.device, e.seq): e for one in _apart() for e in one.chains()}
    with journal.write() as writing:
        writing.append(sorted(lines.values(), key=lambda e: (e.device, e.seq)))
    return path


def test_an_x_the_office_had_not_heard_of_keeps_the_aircraft_on_the_board(tmp_path: Path) -> None:
    path = _together(tmp_path)
    reading = Reads(path)
    found = {v.tail: v for v in board(reading, NOON).verdicts}
    assert found[TAIL].symbol == "X"
    assert f"{TAIL} is in the fleet file no more" in [r.text for r in found[TAIL].reasons]
    assert reading.record().left == (TAIL,)
    assert TAIL not in listed_fleet(opened(path)).airframes
    assert {f.tail for f in Past(opened(path), NOON).all_facts()} == set(found)
    assert opened(path).stale() == ()
    reading.close()


def test_it_leaves_the_board_when_nothing_is_open_any_more(tmp_path: Path) -> None:
    path = _together(tmp_path)
    pen = _pen(opened(path))
    acted(hand(pen, "BT", "2027-03-09T09:00-03:00"), "161-A01", Done(text="mended"),
          by=By(doer="BT"))  # fmt: skip
    act(hand(pen, "DQ", "2027-03-09T10:00-03:00"), "161-A01", "clear", ("seen",), by=By(doer="DQ"))
    reading = Reads(path)
    assert TAIL not in {v.tail for v in board(reading, NOON).verdicts}
    assert [v.tail for v in board(reading, NOON, TAIL).verdicts] == [TAIL]
    reading.close()


def test_the_next_fleet_file_names_it_while_anything_is_open(tmp_path: Path) -> None:
    pen = hand(_pen(opened(_together(tmp_path))), "ÅL", "2027-03-09T09:00-03:00")
    with pytest.raises(Refusal) as told:
        adopt(pen, [_without(TAIL)])
    assert told.value.rule == "an airframe leaves the fleet when nothing is open on it"
