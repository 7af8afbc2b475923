"""A wrong clock: what it makes untold, what is told again once it was compared, and by whom.

Source: whole-job C-17 and scenarios 63, 64; common practice.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

import pytest

from builders import Watch, opened
from hardstand.domain import bodies as b
from hardstand.domain.bodies import By
from hardstand.domain.codec import decode
from hardstand.domain.defects import Done
from hardstand.domain.quantity import Instant
from hardstand.errors import Refusal
from hardstand.flows.attested import clock_notes
from hardstand.flows.clock_errors import Seen, observe
from hardstand.flows.enrolling import end
from hardstand.flows.logging_defects import act, acted
from hardstand.flows.past import Past
from hardstand.flows.pen import Pen
from hardstand.flows.queries import board
from hardstand.flows.recording import record
from hardstand.store.reads import Reads
from quennock_record import TAIL, founded, founded_on_disk, hand, raised

NOON = Instant("2027-03-08T15:00:00Z")


def _tablet_years_ahead(folder: Path) -> Path:
    """The office's record, with a line that tablet D wrote in 2031."""
    founded_on_disk(folder)
    path = folder / "record.db"
    tablet = replace(founded(), journal=opened(path, "D"))
    raised(tablet, "RA", "2031-03-08T10:00-03:00", "/")
    return path


def test_scenario_64_one_tablet_years_ahead_leaves_the_office_able_to_tell_once_compared(
    tmp_path: Path,
) -> None:
    path = _tablet_years_ahead(tmp_path)
    reading = Reads(path)
    assert board(reading, NOON).clock_behind == Instant("2031-03-08T13:00:00Z")
    office = replace(founded(), journal=opened(path, "S"))
    seen = Seen(device="D", showed="2031-03-08T12:00-03:00", true="2027-03-08T11:00-03:00",
                words="held against the laptop", put_right=True)  # fmt: skip
    observe(hand(office, "MS", "2027-03-08T11:00-03:00"), seen)
    stand = board(reading, NOON)
    assert stand.clock_behind is None
    assert reading.devices()["D"] == Instant("2027-03-08T14:00:00Z")
    ((entry, _),) = {v.tail: v.open for v in stand.verdicts}[TAIL]
    assert entry.found_at == Instant("2027-03-08T12:00:00Z")
    reading.close()


def test_a_tablet_put_right_is_heard_at_its_true_times_again(tmp_path: Path) -> None:
    path = _tablet_years_ahead(tmp_path)
    office = replace(founded(), journal=opened(path, "S"))
    seen = Seen(device="D", showed="2031-03-08T12:00-03:00", true="2027-03-08T11:00-03:00",
                words="laptop", put_right=True)  # fmt: skip
    observe(hand(office, "MS", "2027-03-08T11:00-03:00"), seen)
    tablet = replace(founded(), journal=opened(path, "D"))
    raised(tablet, "RA", "2027-03-08T13:00-03:00", "/")
    reading = Reads(path)
    assert reading.devices()["D"] == Instant("2027-03-08T16:00:00Z")
    assert board(reading, NOON).clock_behind == Instant("2027-03-08T16:00:00Z")
    assert Past(opened(path), NOON).devices()["D"] == Instant("2027-03-08T12:00:00Z")
    reading.close()


def test_a_clock_not_said_to_be_put_right_dates_what_follows_and_says_so(
    tmp_path: Path,
) -> None:
    path = _tablet_years_ahead(tmp_path)
    line = opened(path).heads()["D"].seq
    raised(replace(founded(), journal=opened(path, "D")), "RA", "2027-03-08T13:00-03:00", "/")
    office = hand(replace(founded(), journal=opened(path, "S")), "MS", "2027-03-08T14:00-03:00")
    seen = Seen(device="D", showed="2031-03-08T12:00-03:00", true="2027-03-08T11:00-03:00",
                words="laptop", seq=line)  # fmt: skip
    told, hint = observe(office, seen).split("\n")
    assert told.endswith(" fast; its lines are dated by that.")
    assert hint == (
        f"So is all it writes after D-{line}, until it is compared again. If it was put right "
        f"then, say the same again with --line {line} --put-right."
    )
    assert _newest_found(path) < "2024"
    assert observe(office, replace(seen, put_right=True)) == told
    assert _newest_found(path) == "2027-03-08T16:00:00Z"


def _newest_found(path: Path) -> str:
    return opened(path, read_only=True).facts(TAIL).open[-1].found_at


def test_a_clock_that_was_right_needs_no_hint() -> None:
    pen = founded()
    raised(pen, "IO", "2027-03-08T05:29-03:00")
    right = Seen(device="S", showed="2027-03-08T09:00-03:00", true="2027-03-08T09:00-03:00",
                 words="laptop")  # fmt: skip
    assert "\n" not in observe(hand(pen, "MS", "2027-03-08T09:08-03:00"), right)


def test_authority_is_judged_by_what_is_known_of_this_devices_own_clock() -> None:
    """The tablet is ten minutes slow: at five past five it shows five to five."""
    pen = founded()
    number = raised(pen, "IO", "2027-03-08T05:00-03:00")
    end(hand(pen, "LH", "2027-03-08T06:00-03:00"), "BT", Instant("2027-03-08T20:00:00Z"), "leaves")
    seen = Seen(device="S", showed="2027-03-08T11:50-03:00", true="2027-03-08T12:00-03:00",
                words="time signal")  # fmt: skip
    observe(hand(pen, "MS", "2027-03-08T11:50-03:00"), seen)
    with pytest.raises(Refusal) as told:
        acted(hand(pen, "BT", "2027-03-08T16:55-03:00"), number, Done(text="x"), by=By(doer="BT"))
    assert told.value.rule == "the authority of BT ended 2027-03-08T20:00:00Z"
    acted(hand(pen, "BT", "2027-03-08T16:49-03:00"), number, Done(text="x"), by=By(doer="BT"))


@dataclass
class Slipping(Watch):
    """A clock that somebody sets by an hour and a half in mid-session."""

    moved: int = 0
    ever: bool = False

    def slipped(self) -> int:
        told, self.moved = self.moved, 0
        self.ever = self.ever or bool(told)
        return told

    def has_slipped(self) -> bool:
        return self.ever


def test_scenario_63_a_clock_that_moves_in_mid_session_is_noted_and_dates_nothing_more() -> None:
    pen = founded()
    number = raised(pen, "IO", "2027-03-08T05:00-03:00")
    acted(hand(pen, "BT", "2027-03-08T06:00-03:00"), number, Done(text="x"), by=By(doer="BT"))
    clock = Slipping(at=Instant("2027-03-08T10:00:00Z"), step=0)
    session = replace(pen, clock=clock, author="RA")
    assert session.dates
    clock.moved = 5400
    note = b.DefectNoted(number=number, text="hums", by=By(doer="RA"), seen=())
    _write(session, note)
    (jump,) = _jumps(session)
    assert (jump.seconds, session.dates) == (5400, False)
    assert clock_notes(session.journal)[-1].endswith(
        "its clock moved by 1 h 30 min while it was used"
    )
    with pytest.raises(Refusal) as told:
        act(replace(session, author="DQ"), number, "clear", ("seen",), by=By(doer="DQ"))
    assert told.value.rule == (
        "CANNOT TELL whether their authority has ended: this clock is not trusted"
    )


def _write(pen: Pen, body: b.Body) -> None:
    record(pen, TAIL, lambda _: (body,))


def _jumps(pen: Pen) -> list[b.ClockJumped]:
    found = (decode(e) for e in pen.journal.entries(kind="clock.jumped"))
    return [body for body in found if isinstance(body, b.ClockJumped)]


def test_a_jump_between_two_looks_is_a_step_at_its_line() -> None:
    """Right at ten; set an hour forward at eleven, and noted; an hour fast at one."""
    pen = founded()
    ten = Seen(device="S", showed="2027-03-08T10:00-03:00", true="2027-03-08T10:00-03:00",
               words="laptop", put_right=True)  # fmt: skip
    observe(hand(pen, "MS", "2027-03-08T10:00-03:00"), ten)
    before = raised(pen, "RA", "2027-03-08T10:50-03:00", "/")
    clock = Slipping(at=Instant("2027-03-08T15:10:00Z"), step=0, moved=3600)
    after = b.DefectRaised(number="161-S09", symbol="/", text="x", by=By(doer="RA"))
    _write(replace(pen, clock=clock, author="RA"), after)
    one = Seen(device="S", showed="2027-03-08T14:00-03:00", true="2027-03-08T13:00-03:00",
               words="laptop", put_right=True)  # fmt: skip
    observe(hand(pen, "MS", "2027-03-08T14:00-03:00"), one)
    found = {e.number: e.found_at for e in pen.journal.facts(TAIL).open}
    assert found == {before: "2027-03-08T13:50:00Z", "161-S09": "2027-03-08T14:10:00Z"}
