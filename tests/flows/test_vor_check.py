"""A VOR check in a walk: what must be kept of it, and what a failed one keeps from flying.

Source: 14 CFR 91.171(d) (date, place, bearing error, signature); records TV 2.17 and 2.18.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from builders import GOOD, TAIL, Watch, checklist, fit, opened, papers, step, steps
from formats.small_files import LIST
from hardstand.domain import bodies as b
from hardstand.domain.checklist import Bounds, Checklist, Fit, Function, Mission, OnFault
from hardstand.domain.codec import decode
from hardstand.domain.readings.registry import REGISTRY
from hardstand.flows.adopting import adopt, begin_record
from hardstand.flows.pen import Pen
from hardstand.flows.queries import board
from hardstand.formats import checklist_yaml
from hardstand.store.journal import create
from hardstand.store.reads import Reads
from scripted import Scripted

CHECK = step(
    "vor", "test", "reading", do="Read the bearing shown with the test signal tuned.",
    unit="°", meter="bearing indicator", possible=Bounds(low=Decimal(0), high=Decimal(360)),
    judge={"name": "vor_check", "method": "vot", "reference": "0"}, proves=("vor",),
    on_fault=OnFault(takes=("vor",), symbol="/", text="VOR check"),
)  # fmt: skip


def _fit() -> Fit:
    """The tiny set with a VOR receiver, and the same flight by sight and by instruments."""
    plain = fit()
    functions = {**plain.functions, "vor": Function(title="VOR bearing", fed_by=("TR",))}
    flights = {
        "by sight": Mission(needs="rx and tx"),
        "by VOR": Mission(needs="rx and tx and vor"),
    }
    return replace(plain, functions=functions, missions=flights)


def _list() -> Checklist:
    at = [s.id for s in steps()].index("volts")
    return checklist(listed=(*steps()[:at], CHECK, *steps()[at:]))


def _typed(*bearing: str) -> list[str]:
    typed = [TAIL, "c", "c"]
    for one in _list().steps:
        if one.id != "wing":
            answer, *rest = bearing if one.id == "vor" else GOOD[one.id]
            typed += [answer, *(["c"] if one.critical else []), *rest]
    return [*typed, "c"]


@pytest.fixture
def pen(tmp_path: Path) -> Pen:
    create(tmp_path / "record.db", "A")
    pen = Pen(journal=opened(tmp_path / "record.db"), clock=Watch(), author="IO")
    begin_record(pen, demo=False, program="test")
    adopt(pen, papers(listed=_list(), fitted=_fit()))
    return pen


def _can(pen: Pen, folder: Path) -> dict[str, str]:
    (standing,) = board(Reads(folder / "record.db"), pen.clock.now(), TAIL).verdicts
    return {f.mission: f.word for f in standing.missions}


def test_tv_2_18_a_failed_check_is_a_defect_that_bars_only_the_flight_by_vor(
    pen: Pen, tmp_path: Path
) -> None:
    Scripted.until_left(pen, _typed("4.1", "4.1", ""))
    raised = [decode(e) for e in pen.journal.entries(kind="defect.raised")]
    assert [(r.symbol, r.takes) for r in raised if isinstance(r, b.DefectRaised)] == [
        ("/", ("vor",))
    ]
    assert _can(pen, tmp_path) == {"by sight": "CAN", "by VOR": "CANNOT"}


def test_tv_2_17_a_check_keeps_day_place_error_and_who_and_its_place_cannot_be_left_out(
    pen: Pen, tmp_path: Path
) -> None:
    Scripted.until_left(pen, _typed("356.5"))
    (line,) = [e for e in pen.journal.entries(kind="step.answered") if b'"vor"' in e.body]
    kept = decode(line)
    assert isinstance(kept, b.StepAnswered)
    assert (line.at[:10], line.author, kept.value, kept.unit) == ("2027-03-08", "IO", "356.5", "°")
    again = REGISTRY["vor_check"].judge(dict(j.split("=", 1) for j in kept.judged[1:]))
    assert again.figures["error_deg"] == "-3.5"
    assert _list().step("vor").place == "at vor"
    nowhere = LIST.replace("    place: seat\n", "", 1)
    assert nowhere != LIST
    said = [f.text() for f in checklist_yaml.read("x.yaml", nowhere.encode()).findings]
    assert [x for x in said if "'place' is missing" in x]


def test_a_check_that_passes_bars_neither(pen: Pen, tmp_path: Path) -> None:
    Scripted.until_left(pen, _typed("4.0"))
    assert list(pen.journal.entries(kind="defect.raised")) == []
    assert _can(pen, tmp_path) == {"by sight": "CAN", "by VOR": "CAN"}
