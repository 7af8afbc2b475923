"""The record of years is one that this program could have written: it holds, and few stay open."""

from __future__ import annotations

from pathlib import Path

from bench.big import DEFECTS, OPEN_SHARE, build, tails
from builders import opened
from hardstand.flows.records import verified


def test_the_record_of_years_holds_and_one_defect_in_twenty_is_open(tmp_path: Path) -> None:
    path, fraction = tmp_path / "years.db", 0.0002
    lines = build(path, fraction, airframes=2)
    record = opened(path)
    assert verified(record, full=True).startswith(f"{lines + 4} lines hold, 8 devices: ")
    facts = [record.facts(tail) for tail in tails(2)]
    assert sum(len(each.open) for each in facts) == DEFECTS * fraction // OPEN_SHARE
    assert [dispute for each in facts for entry in each.open for dispute in entry.disputes] == []
    assert all(each.finished and not each.lines and not each.walks for each in facts)
