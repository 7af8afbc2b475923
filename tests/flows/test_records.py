"""A record is made with its first line, and says of itself whether it holds."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from builders import IO, MORNING, TAIL, Watch, begun, lines, on_disk, opened
from hardstand import __version__
from hardstand.domain import bodies as b
from hardstand.domain.chain import seal
from hardstand.domain.codec import decode, encode
from hardstand.domain.entry import Entry
from hardstand.errors import Damaged, Refusal, Usage
from hardstand.flows.pen import Pen
from hardstand.flows.records import make, rebuild, verified
from hardstand.store import statements
from hardstand.store.journal import create
from memory import MemoryJournal
from scripted import Scripted


@pytest.mark.parametrize("demo", [True, False])
def test_a_record_begins_with_what_it_is_and_what_made_it(tmp_path: Path, demo: bool) -> None:
    path = tmp_path / "deep" / "er" / "record.db"
    make(create, lambda: opened(path), path, ("C", demo), Watch(), "ÅL")
    (line,) = opened(path).chains()
    assert (line.device, line.seq, line.author, line.at) == ("C", 1, "ÅL", MORNING)
    assert (line.kind, line.airframe) == ("record.made", None)
    assert decode(line) == b.RecordMade(demo=demo, program=__version__)
    assert opened(path).record().demo is demo


@pytest.mark.parametrize("device", ["", "a", "AB", "1", "Å"])
def test_a_device_is_one_letter(tmp_path: Path, device: str) -> None:
    path = tmp_path / "record.db"
    with pytest.raises(Usage) as raised:
        make(create, lambda: opened(path), path, (device, False), Watch(), "IO")
    assert raised.value.lines() == (f"--device {device!r} is no device.", "One letter, A to Z.")
    assert not path.exists()


def test_a_second_record_is_not_made_over_the_first(tmp_path: Path) -> None:
    pen = on_disk(tmp_path)
    path = tmp_path / "record.db"
    with pytest.raises(Refusal):
        make(create, lambda: opened(path), path, ("A", False), Watch(), "IO")
    assert len(list(pen.journal.chains())) == 4


def test_verify_counts_the_lines_and_names_the_end_of_each_chain() -> None:
    pen = begun(MemoryJournal())
    Scripted.until_left(pen, lines())
    pen.journal.device = "B"
    Scripted.until_left(pen, lines())
    heads = pen.journal.heads()
    count = sum(head.seq for head in heads.values())
    ends = ", ".join(f"{d} {heads[d].seq} {heads[d].digest.hex()[:12]}" for d in "AB")
    assert verified(pen.journal) == f"{count} lines hold, 2 devices: {ends}"


def test_the_same_acts_at_the_same_times_make_the_same_digests(tmp_path: Path) -> None:
    (tmp_path / "one").mkdir()
    (tmp_path / "two").mkdir()
    pens = [on_disk(tmp_path / "one"), on_disk(tmp_path / "two"), begun(MemoryJournal())]
    for pen in pens:
        Scripted.until_left(pen, lines(plugs=("f", "turns"), tune=("s", "6")))
    ends = [pen.journal.heads() for pen in pens]
    assert ends[0] == ends[1] == ends[2]
    assert pens[0].journal.facts(TAIL) == pens[2].journal.facts(TAIL)


def _sealed(pen: Pen, kind: str, body: bytes, tail: str | None = None, version: int = 1) -> Entry:
    """A line put at the end of the chain by somebody with another program."""
    head = pen.journal.heads()["A"]
    return seal(
        Entry("A", head.seq + 1, head.tick + 1, MORNING, "IO", tail, None, kind, version, body,
              head.digest, b"")
    )  # fmt: skip


@pytest.mark.parametrize(
    ("kind", "version", "tail"),
    [("moon.landed", 1, None), ("settings.adopted", 9, None), ("moon.landed", 1, TAIL)],
)
def test_a_line_that_needs_a_newer_program_is_kept_and_named(
    tmp_path: Path, kind: str, version: int, tail: str | None
) -> None:
    pen = on_disk(tmp_path)
    strange = _sealed(pen, kind, b'{"crater":"small"}', tail, version)
    with pen.journal.write() as writing:
        writing.append([strange])
    assert list(pen.journal.chains())[-1] == strange
    for full in (False, True):
        held, named = verified(pen.journal, full=full).splitlines()
        assert held.startswith("5 lines hold, 1 devices: A 5 ")
        assert named == f"Kept, and needs a newer hardstand: A-5 {kind} {version}"
    assert rebuild(pen.journal) == "Folded anew: 3 airframes."
    assert pen.journal.facts(TAIL).unknown == (("A-5",) if tail else ())


@pytest.mark.parametrize("number", ["", "-", "161", "161-A", "161-01", "161-Axy", "161-A\u0662"])
def test_an_entry_number_of_no_form_of_ours_is_named_at_its_line(
    tmp_path: Path, number: str
) -> None:
    pen = on_disk(tmp_path)
    body = encode(b.DefectRaised(number=number, symbol="/", text="hum", by=IO))
    forged = _sealed(pen, "defect.raised", body, TAIL)
    with pytest.raises(Damaged) as raised, pen.journal.write() as writing:
        writing.append([forged])
    what = f"Line A-5 of the record does not read: {number!r} is no entry number, such as 161-A01."
    assert raised.value.lines() == (
        what,
        "Nothing was written.",
        "Run `hardstand record verify`; keep this file.",
    )
    assert len(list(pen.journal.chains())) == 4
    held = MemoryJournal(lines=[*pen.journal.chains(), forged])
    with pytest.raises(Damaged) as raised:
        held.facts(TAIL)
    assert raised.value.what == what


def test_verify_names_the_line_that_no_fold_can_take(tmp_path: Path) -> None:
    pen = on_disk(tmp_path)
    body = encode(b.DefectRaised(number="hum", symbol="/", text="hum", by=IO))
    _put_by_another_program(tmp_path / "record.db", _sealed(pen, "defect.raised", body, TAIL))
    with pytest.raises(Damaged) as raised:
        verified(opened(tmp_path / "record.db"))
    assert raised.value.lines() == (
        (
            "The record does not hold:\n  "
            "Line A-5 of the record does not read: 'hum' is no entry number, such as 161-A01."
        ),
        "Nothing was changed; lines before the first break of a device still hold.",
        "Keep this file, compare with the other devices, go on with a verified backup.",
    )


def _put_by_another_program(path: Path, line: Entry) -> None:
    raw = sqlite3.connect(path, isolation_level=None)
    raw.execute(statements.ADD_ENTRY, line)
    raw.execute("UPDATE head SET seq = ?, digest = ?, tick = ?", (line.seq, line.digest, line.tick))
    raw.close()
