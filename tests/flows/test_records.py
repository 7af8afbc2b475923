"""A record is made with its first line, and says of itself whether it holds."""

from __future__ import annotations

from pathlib import Path

import pytest

from builders import MORNING, TAIL, Watch, begun, lines, on_disk, opened
from hardstand import __version__
from hardstand.domain import bodies as b
from hardstand.domain.codec import decode
from hardstand.errors import Refusal, Usage
from hardstand.flows.records import make, verified
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
