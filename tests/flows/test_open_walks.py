"""PLC-15: where was I? One short command, no walk opened: aircraft, step, state, what is away."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from builders import IO, checklist, lines, on_disk, steps
from dry_walk import DryWalk
from hardstand.domain import bodies as b
from hardstand.domain.plain import to_plain
from hardstand.domain.walk_lines import WalkLine, place
from scenarios.stage import bodies, hardstand
from scripted import Scripted


@pytest.fixture
def record(tmp_path: Path) -> Path:
    pen = on_disk(tmp_path)
    Scripted.until_left(pen, [*lines(until="volts"), "245", "b", "b"])
    return tmp_path / "record.db"


def test_plc_15_it_tells_aircraft_step_state_and_what_is_not_put_back(record: Path) -> None:
    told = hardstand(record, "walks").out.splitlines()
    assert told[0].startswith("QM-161  walk A1 on device A, T-PRE 1, begun Mon 05:00 by IO, left")
    assert told[2:5] == [
        "  last answer 3.01 Do power: recorded ON OK 05:00 by IO",
        "  goes on at 3.02 Do volts, half done: it starts again from its first word",
        "  not put back: BATTERY switch, recorded ON by IO",
    ]
    assert told[-1] == "  go on with: hardstand walk QM-161"


@pytest.mark.hf("LED-07", "PLC-15")
def test_what_holds_energy_is_told_first_of_what_is_not_put_back(tmp_path: Path) -> None:
    pen = on_disk(tmp_path)
    Scripted.until_left(pen, [*lines(until="hear"), "a", "1", "panel L4", "b", "b"])
    told = hardstand(tmp_path / "record.db", "walks").out.splitlines()
    assert [x for x in told if "not put back" in x] == [
        "  not put back: BATTERY switch, recorded ON by IO",
        "  not put back: panel L4, recorded MOVED by IO",
        "  not put back: tools, recorded 9 by IO",
    ]


def test_it_writes_nothing(record: Path) -> None:
    before = record.read_bytes()
    hardstand(record, "walks")
    assert record.read_bytes() == before


def test_a_walk_with_nothing_answered_says_what_is_first(tmp_path: Path) -> None:
    Scripted.until_left(on_disk(tmp_path), lines(until="tools"))
    told = hardstand(tmp_path / "record.db", "walks").out
    assert "last answer" not in told
    assert "  goes on at 1.01 Do tools" in told.splitlines()


def test_a_walk_before_its_close_says_so(tmp_path: Path) -> None:
    Scripted.until_left(on_disk(tmp_path), lines()[:-1])
    told = hardstand(tmp_path / "record.db", "walks").out.splitlines()
    assert "  goes on at its close" in told
    assert [x for x in told if x.startswith("  last answer 5.01 Do sign: recorded OK ")]


def test_what_is_held_is_told_and_is_not_next(tmp_path: Path) -> None:
    listed = checklist(
        listed=[replace(s, beside=("test",)) if s.id == "hear" else s for s in steps()]
    )
    pen = on_disk(tmp_path, listed=listed)
    Scripted.until_left(pen, [*lines(until="hear"), "e"])
    told = hardstand(tmp_path / "record.db", "walks").out.splitlines()
    assert "  held 3.03 Do hear" in told
    assert "  goes on at 3.04 Do tune" in told


@pytest.mark.parametrize("until", [s.id for s in steps() if s.id not in {"tools", "safe", "wing"}])
def test_it_reads_the_place_as_the_walk_itself_folds_it(until: str) -> None:
    bench = DryWalk().walk(until=until)
    bench.undo("safe")
    bench.give("safe")
    bench.write([b.StepHeld(step="hear", by=IO)])
    rows = [WalkLine(e.kind, _tree(e.body), e.at, e.author) for e in bench.entries]
    found = place(rows, [to_plain(s) for s in bench.state.plan.checklist.steps])
    assert found.answered == len(bench.state.given)
    assert found.last is not None
    assert found.last.body["step"] == bench.state.last_three[-1].body.step
    open_ = [s for s in bench.state.plan.steps if not bench.state.answer(s.id)]
    after = [s for s in open_ if s.id not in bench.state.held]
    number = bench.state.plan.checklist.number
    assert found.next_step.split(" ")[0] == number(after[0].id)


def _tree(body: bytes) -> dict[str, object]:
    found: dict[str, object] = json.loads(body)
    return found


def test_where_it_was_left_is_where_it_goes_on_also_at_a_step_for_some_types_only(
    tmp_path: Path,
) -> None:
    pen = on_disk(tmp_path)
    Scripted.until_left(pen, [*lines("QM-164", until="wing"), "b", "1"])
    told = hardstand(tmp_path / "record.db", "walks").out.splitlines()
    assert "  goes on at 3.06 Do wing" in told


def test_who_left_at_a_question_after_an_answer_goes_on_at_the_next_step(tmp_path: Path) -> None:
    pen = on_disk(tmp_path)
    Scripted.until_left(pen, [*lines(until="hear"), "s", "4", "b", "1"])
    assert bodies(pen.journal, "walk.broken")[-1].step == "hear"
    told = hardstand(tmp_path / "record.db", "walks").out.splitlines()
    assert "  goes on at 3.04 Do tune" in told
