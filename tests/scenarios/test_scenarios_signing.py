"""Scenarios of people and signing, from the command line and through the flows."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from hardstand.domain.bodies import By
from hardstand.domain.clearing import Looked
from hardstand.domain.clocks import is_trusted
from hardstand.domain.defects import Done
from hardstand.domain.quantity import Instant
from hardstand.errors import Interrupted, Refusal
from hardstand.flows import clearing
from hardstand.flows.adopting import lists
from hardstand.flows.clock_errors import Seen, observe
from hardstand.flows.logging_defects import act, acted
from hardstand.flows.pen import Pen
from hardstand.flows.queries import board
from hardstand.flows.signing import case_of
from hardstand.flows.starting import open_walk
from hardstand.store.reads import Reads
from hardstand.system.keys import DEMO_PASSPHRASE, DemoKeys
from hardstand.views.clearing import queue_text, screen
from hardstand.views.people import text as people_text
from hardstand.views.walk_screen import pages
from line_office import Office, at, done
from quennock_record import founded, founded_on_disk, hand, raised
from quick_keys import descriptor
from scripted import Scripted

MONDAY = "2027-03-08T05:00-03:00"
KNOWN = DEMO_PASSPHRASE.decode()
WRONG = "a wrong one"


def _worked(pen: Pen, doer: str = "BT") -> str:
    number = raised(pen, "IO", MONDAY)
    acted(hand(pen, doer, "2027-03-08T06:00-03:00"), number,
          Done(text="crystal changed", units_out=("TR T-5",), units_in=("TR T-9",),
               reference="para 4"), by=By(doer=doer))  # fmt: skip
    return number


def test_scenario_39_the_queue_shows_what_one_may_clear_and_nothing_else() -> None:
    pen = founded()
    number = _worked(pen, "YB")
    other = raised(pen, "IO", "2027-03-08T06:30-03:00", "/")
    now = hand(pen, "DQ", "2027-03-08T07:00-03:00")
    assert [x.entry.number for x in clearing.queue(now, "DQ")] == [number]
    for who in ("YB", "BT", "MS", "LH", "CA", "ZZ"):
        assert clearing.queue(now, who) == ()
        assert queue_text((), who, "UTC", plain=True) == f"Nothing waits for {who} to clear."
    assert other not in queue_text(clearing.queue(now, "DQ"), "DQ", "UTC", plain=True)


def test_scenario_76_reject_is_as_quick_as_clear_and_no_urgency_is_on_the_screen() -> None:
    pen = founded()
    number = _worked(pen)
    inspector = hand(pen, "DQ", "2027-03-08T07:00-03:00")
    shown = clearing.evidence(inspector, number)
    lines = screen(shown)
    assert lines[:2] == (
        f"{number} on QM-161: X red X", "FOUND 2027-03-08 05:00 -03:00 by IO: hum",
    )  # fmt: skip
    assert "OUTCOME rectified; OUT TR T-5; IN TR T-9; REFERENCE para 4" in lines
    assert not any(w in " ".join(lines).lower() for w in ("urgent", "take-off", "late", "minutes"))
    prompter = Scripted(["2", "still loose"])
    said = clearing.ask(inspector, shown, lines, prompter, by=By(doer="DQ"))
    assert said == f"{number} on QM-161: rejected, open again; it reads X red X."
    assert len(prompter.asked) == 2
    (entry,) = pen.journal.facts("QM-161").open
    assert (entry.symbol, entry.state) == ("X", "open")


def test_a_long_story_is_on_one_screen_of_24_lines_and_what_is_left_out_is_said() -> None:
    pen = founded()
    number = _worked(pen, "YB")
    clearing.reject(hand(pen, "DQ", "2027-03-08T06:30-03:00"), number, "still loose",
                    by=By(doer="DQ"))  # fmt: skip
    for n in range(4):
        long = Done(text=f"{n}: key relay cleaned and set, contacts had burnt; called twice")
        acted(hand(pen, "BT", f"2027-03-08T07:{n}0-03:00"), number, long, by=By(doer="BT"))
    act(hand(pen, "MS", "2027-03-08T08:00-03:00"), number, "rule", ("call twice before clearing",),
        by=By(doer="MS"))  # fmt: skip
    inspector = hand(pen, "DQ", "2027-03-08T09:00-03:00")
    shown = clearing.evidence(inspector, number)
    prompter = Scripted(["b"])
    clearing.ask(inspector, shown, screen(shown), prompter, by=By(doer="DQ"))
    ((question, _),) = prompter.asked
    assert len(pages(question, 80, 24 - 1)) == 1
    told = "\n".join(screen(shown))
    assert f"WORDS 1 earlier: hardstand defect show {number}" in told
    assert "HANDS YB, BT" in told
    assert "still loose" in told
    assert "DONE 2027-03-08 07:30 -03:00 by BT: 3: key relay cleaned" in told


def test_leaving_the_screen_writes_nothing() -> None:
    pen = founded()
    number = _worked(pen)
    inspector = hand(pen, "DQ", "2027-03-08T07:00-03:00")
    before = len(list(pen.journal.entries()))
    shown = clearing.evidence(inspector, number)
    said = clearing.ask(inspector, shown, screen(shown), Scripted(["b"]), by=By(doer="DQ"))
    assert said == f"{number} stays as it is."
    with pytest.raises(Interrupted):
        clearing.ask(inspector, shown, screen(shown), Scripted([]), by=By(doer="DQ"))
    assert len(list(pen.journal.entries())) == before


def test_whoever_may_not_clear_is_refused_before_anything_is_asked() -> None:
    pen = founded()
    number = _worked(pen)
    doer = hand(pen, "BT", "2027-03-08T07:00-03:00")
    prompter = Scripted(["1", "looks fine"])
    shown = clearing.evidence(doer, number)
    with pytest.raises(Refusal) as told:
        clearing.ask(doer, shown, screen(shown), prompter, by=By(doer="BT"))
    assert told.value.rule == "nobody clears their own work; BT did it"
    assert prompter.asked == []
    assert [e.kind for e in pen.journal.entries()][-1] == "attempt.refused"


def test_tv_4_5_what_is_signed_shows_name_meaning_and_time() -> None:
    from hardstand.flows.history import history
    from hardstand.views.history import text

    pen = founded()
    number = _worked(pen)
    told = text(history(pen.journal, number), "Etc/GMT+3")
    assert "2027-03-08 06:00 -03:00  BT  QM-161  action recorded, signed BT: " in told


def test_tv_4_9_nothing_is_cleared_before_anything_was_done() -> None:
    pen = founded()
    number = raised(pen, "IO", MONDAY)
    with pytest.raises(Refusal) as told:
        clearing.clear(hand(pen, "DQ", "2027-03-08T07:00-03:00"), number,
                       Looked(text="fine"), by=By(doer="DQ"))  # fmt: skip
    assert told.value.rule.endswith("an entry is cleared over work done")


def test_scenario_63_a_tablet_that_wakes_in_the_wrong_year_counts_what_is_dated_as_run_out() -> (
    None
):
    assert not is_trusted(Instant("1970-01-01T00:00:00Z"), None, 120)
    pen = founded()
    wrong = replace(hand(pen, "DQ", "1970-01-01T00:00-03:00"), trusted=False)
    number = _worked(pen)
    with pytest.raises(Refusal) as told:
        clearing.clear(wrong, number, Looked(text="fine"), by=By(doer="DQ"))
    assert "DQ" in told.value.lines()[1] or "CANNOT TELL" in told.value.rule


def test_scenario_63_the_board_says_that_it_cannot_tell(tmp_path: Path) -> None:
    pen = founded_on_disk(tmp_path)
    raised(pen, "IO", MONDAY, "/")
    reading = Reads(tmp_path / "record.db")
    behind = board(reading, Instant("2027-03-08T07:57:59Z"))
    assert behind.clock_behind == Instant("2027-03-08T08:00:00Z")
    assert board(reading, Instant("2027-03-08T07:58:00Z")).clock_behind is None
    reading.close()


def test_scenario_64_a_clock_error_is_an_entry_and_moves_what_the_device_dated() -> None:
    pen = founded()
    number = raised(pen, "IO", "2027-03-08T05:29-03:00")
    seen = Seen(device="S", showed="2027-03-08T09:07:20-03:00", true="2027-03-08T09:00:00-03:00",
                words="held against the laptop")  # fmt: skip
    head = pen.journal.heads()["S"].seq
    said = observe(hand(pen, "MS", "2027-03-08T09:08-03:00"), seen)
    assert said == (
        "Device S was 7 min fast; its lines are dated by that.\n"
        f"So is all it writes after S-{head}, until it is compared again. If it was put right "
        f"then, say the same again with --line {head} --put-right."
    )
    entry = pen.journal.facts("QM-161").entry(number)
    assert entry is not None
    assert entry.found_at == Instant("2027-03-08T08:21:40Z")
    with pytest.raises(Refusal) as told:
        observe(hand(pen, "BT", "2027-03-08T09:08-03:00"), seen)
    assert told.value.rule == (
        "it needs administrator or shift lead or chief; BT is technician, crew lead"
    )


def test_scenario_65_days_are_local_and_times_keep_their_offset() -> None:
    """The day a clock change makes longer or shorter is still one day; see test_deferral."""
    office = Office()
    office.raises("Mon 23:59", "RA")
    done(office.defers("Tue 00:10", "OH", "23-H-05", met=("jack", "phone")))
    item = office.entry()
    assert item is not None
    assert item.deferral is not None
    assert item.deferral.last_day == "2027-03-11"
    assert item.found_at == at("Mon 23:59")


def test_scenario_69_authority_that_ends_in_mid_job_is_judged_at_the_time_of_each_act() -> None:
    office = Office()
    office.raises("Wed 15:20", "IO")
    done(office.acts("Wed 16:59", "NH"))
    refused_after = office.acts("Wed 17:00", "NH")
    assert not isinstance(refused_after, tuple)
    done(office.acts("Wed 17:30", "BT"))
    item = office.entry()
    assert item is not None
    assert item.doers == ("NH", "BT")


def test_scenario_69_who_ends_within_thirty_days_is_shown() -> None:
    people = founded().journal.record().people
    soon = people_text(people, Instant("2027-12-15T12:00:00Z"), "Etc/GMT+3", plain=True)
    assert "ends soon: inspector" in soon
    assert "inspector on T until 2028-01-01 00:00" in soon
    early = people_text(people, Instant("2027-03-15T12:00:00Z"), "Etc/GMT+3", plain=True)
    assert "ends soon" not in early


def test_scenario_71_a_trainee_alone_begins_no_walk_and_finishes_none() -> None:
    pen = founded()
    known = lists(pen.journal)
    digest = next(iter(known.current))
    alone = hand(pen, "IO", MONDAY)
    facts = pen.journal.facts("QM-161")
    with pytest.raises(Refusal) as told:
        open_walk(alone, facts, known, digest, planned="", by=By(doer="IO"))
    assert told.value.lines()[:3] == (
        "IO does not walk QM-161 now.",
        "Rule: IO is a trainee and needs a supervisor at the work, who signs for it",
        "Who could: IO with BT (technician, crew lead), YB (technician, inspector), DQ (inspector)",
    )
    begun = open_walk(alone, facts, known, digest, planned="", by=By(doer="IO", with_=("BT",)))
    assert begun.walk


def test_scenario_74_an_earlier_time_may_be_said_and_the_time_of_writing_stays() -> None:
    pen = founded()
    raised(pen, "IO", MONDAY)
    (line,) = pen.journal.entries(kind="defect.raised")
    assert line.at == Instant("2027-03-08T08:00:00Z")
    with pytest.raises(Refusal):
        clearing.clear(hand(pen, "NH", "2027-03-08T09:00-03:00"), "161-S01",
                       Looked(text="x"), by=By(doer="DQ"))  # fmt: skip


def test_who_is_not_enrolled_raises_nothing_once_people_are() -> None:
    with pytest.raises(Refusal) as told:
        raised(founded(), "ZZ", MONDAY)
    assert told.value.rule == "ZZ is not enrolled in this record"
    assert told.value.who_could == "anyone on the line"


def test_a_record_without_people_signs_nothing_and_goes_on_as_before() -> None:
    pen = founded()
    case = case_of(pen, pen.journal.record()._replace(people=(), founded=None))
    assert case.people == ()


# -- nothing secret shows --------------------------------------------------------------------------


def _run(record: Path, *words: str, said: str, tmp: Path) -> subprocess.CompletedProcess[str]:
    with descriptor(said) as number:
        return subprocess.run(
            [sys.executable, "-m", "hardstand", "--record", str(record), "--passphrase-fd",
             str(number), *words],
            capture_output=True, text=True, pass_fds=(number,), check=False,
            env={**os.environ, "XDG_STATE_HOME": str(tmp / "state")},
        )  # fmt: skip


def test_a_passphrase_from_a_descriptor_signs_and_shows_nowhere(tmp_path: Path) -> None:
    pen = founded_on_disk(tmp_path)
    number = _worked(pen)
    record = tmp_path / "record.db"
    wrong = _run(record, "clear", number, "seen", "--by", "DQ", said=WRONG,
                 tmp=tmp_path)  # fmt: skip
    assert wrong.returncode == 10
    assert wrong.stderr.splitlines()[0] == "That passphrase does not open the key of DQ."
    assert WRONG not in wrong.stdout + wrong.stderr
    right = _run(record, "clear", number, "seen", "--by", "DQ", said=KNOWN, tmp=tmp_path)
    assert right.returncode == 0, right.stderr
    assert right.stderr == f"{number} on QM-161: cleared; it is closed.\n"
    data = b"".join(f.read_bytes() for f in tmp_path.rglob("*") if f.is_file())
    assert WRONG.encode() not in data
    assert KNOWN.encode() not in data


@pytest.mark.parametrize("words", [("--passphrase", "x"), ("--passphrase=x",)])
def test_no_option_takes_a_passphrase_itself(tmp_path: Path, words: tuple[str, ...]) -> None:
    from scenarios.stage import hardstand

    told = hardstand(tmp_path / "none.db", *words, "status")
    assert told.status == 2


def test_without_a_terminal_and_a_descriptor_nothing_is_signed(tmp_path: Path) -> None:
    from scenarios.stage import hardstand

    pen = founded_on_disk(tmp_path)
    number = _worked(pen)
    told = hardstand(tmp_path / "record.db", "clear", number, "seen", "--by", "DQ",
                     typed=["quennock"])  # fmt: skip
    assert told.status == 10
    assert told.err.splitlines() == [
        "There is no terminal to ask for the passphrase at.",
        "Rule: a passphrase is asked for each time, never taken from arguments",
        "Nothing was written.",
        "Run it at a terminal, or give a descriptor: --passphrase-fd N",
    ]


def test_the_hot_reads_load_no_cryptography(tmp_path: Path) -> None:
    founded_on_disk(tmp_path)
    code = (
        "import sys; from hardstand.cli.front import run; "
        f"run(['--record', {str(tmp_path / 'record.db')!r}, 'status']); "
        "print(sorted({m.split('.')[0] for m in sys.modules} & "
        "{'cryptography', 'pydantic', 'sqlalchemy'}))"
    )
    done_ = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done_.stdout.splitlines()[-1] == "[]"


def test_the_demo_keys_say_that_they_are_demo() -> None:
    keys = {p.initials: p.key.demo for p in founded().journal.record().people if p.key}
    assert set(keys.values()) == {True}
    assert DemoKeys().demo
