"""The one way into the record: decide on fresh facts, seal, append, all or nothing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest

from builders import IO, MORNING, TAIL, Watch, begun
from hardstand.domain import bodies as b
from hardstand.domain.chain import digest_of, verify
from hardstand.domain.codec import decode
from hardstand.domain.defects import Refused, Report, raised
from hardstand.domain.facts import AirframeFacts
from hardstand.errors import NotThere, Refusal
from hardstand.flows.pen import Pen
from hardstand.flows.recording import record, write
from memory import MemoryJournal


@pytest.fixture
def pen() -> Pen:
    return begun(MemoryJournal())


def _raise(facts: AirframeFacts) -> Sequence[b.Body]:
    return (raised(facts, Report(symbol="/", text="lamp out"), device="A", by=IO),)


def test_what_is_decided_is_sealed_onto_the_chain_and_read_back(pen: Pen) -> None:
    before = pen.journal.heads()["A"]
    (line,) = record(pen, TAIL, _raise)
    assert (line.device, line.seq, line.tick) == ("A", before.seq + 1, before.tick + 1)
    assert (line.prev, line.digest) == (before.digest, digest_of(line))
    assert (line.author, line.airframe, line.walk) == ("IO", TAIL, None)
    assert (line.kind, line.version) == ("defect.raised", 1)
    assert decode(line) == b.DefectRaised(number="161-A01", symbol="/", text="lamp out", by=IO)
    assert list(verify(pen.journal.chains(), pen.journal.heads())) == []


def test_one_write_bears_one_time_and_its_lines_follow_each_other(pen: Pen) -> None:
    clock = Watch(at=MORNING, step=60)
    lines = record(
        replace(pen, clock=clock), TAIL, lambda facts: (*_raise(facts), *_raise(facts)), walk="A1"
    )
    assert {line.at for line in lines} == {MORNING}
    assert {line.walk for line in lines} == {"A1"}
    assert [line.tick for line in lines] == [lines[0].tick, lines[0].tick + 1]


def test_each_decision_is_made_on_the_facts_as_they_are(pen: Pen) -> None:
    seen = list[int]()

    def decide(facts: AirframeFacts) -> Sequence[b.Body]:
        seen.append(len(facts.open))
        return _raise(facts)

    for _ in range(3):
        record(pen, TAIL, decide)
    assert seen == [0, 1, 2]
    assert [e.number for e in pen.journal.facts(TAIL).open] == ["161-A01", "161-A02", "161-A03"]


def test_a_decision_without_lines_writes_nothing(pen: Pen) -> None:
    before = list(pen.journal.chains())
    assert record(pen, TAIL, lambda _: ()) == ()
    assert list(pen.journal.chains()) == before


def test_a_refused_decision_is_told_with_its_rule_and_who_could(pen: Pen) -> None:
    before = list(pen.journal.chains())
    refused = Refused(what="161-A01 stays as it is", rule="nobody clears", who_could="BT", hint="x")
    with pytest.raises(Refusal) as stop:
        record(pen, TAIL, lambda _: refused)
    assert stop.value.exit_status == 10
    assert stop.value.lines() == (
        "161-A01 stays as it is", "Rule: nobody clears", "Who could: BT", "Nothing was written.",
        "x",
    )  # fmt: skip
    assert list(pen.journal.chains()) == before


def test_an_airframe_that_is_not_in_the_fleet_is_not_written_on(pen: Pen) -> None:
    with pytest.raises(NotThere, match=r"^There is no airframe QM-999 in this record\.$"):
        record(pen, "QM-999", _raise)


def test_a_name_with_a_line_end_is_not_sealed_and_leaves_nothing(pen: Pen) -> None:
    before = list(pen.journal.chains())
    odd = replace(pen, author="I\nO")
    with pytest.raises(ValueError, match="cannot hold a line end"), pen.journal.write() as writing:
        write(odd, writing, (b.WalkBroken(step="", by=IO),), tail=TAIL)
    assert list(pen.journal.chains()) == before
