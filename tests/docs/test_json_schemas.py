"""What the program prints as JSON holds to the published schemas, and they allow nothing else.

Checked by the jsonschema library against JSON Schema, draft 2020-12.
"""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from docs.pages import TOP
from hardstand.cli.front import run

SCHEMAS = TOP / "docs/reference/schemas"
INSTANTS = ("2027-01-20T09:00-03:00", "2027-03-08T05:12-03:00", "2027-03-10T00:00-03:00")
Run = Callable[..., Any]


def _schema(name: str) -> Draft202012Validator:
    found = json.loads((SCHEMAS / f"{name}.schema.json").read_text(encoding="utf-8"))
    Draft202012Validator.check_schema(found)
    return Draft202012Validator(found)


@pytest.fixture
def answer(monday: Path, capfd: pytest.CaptureFixture[str]) -> Run:
    """Runs a command on the Monday record; what it printed, as JSON."""

    def ask(*words: str) -> Any:
        run(["--record", str(monday), *words])
        return json.loads(capfd.readouterr().out)

    return ask


@pytest.mark.parametrize("at", INSTANTS)
def test_the_board_holds_to_its_schema(answer: Run, at: str) -> None:
    found = answer("status", "--json", "--at", at)
    assert list(_schema("status-1").iter_errors(found)) == []
    assert len(found["airframes"]) == 10


@pytest.mark.parametrize("at", INSTANTS)
def test_the_open_list_holds_to_its_schema(answer: Run, at: str) -> None:
    found = answer("open", "--json", "--at", at)
    assert list(_schema("open-1").iter_errors(found)) == []
    assert len(found["items"]) > 0


@pytest.mark.parametrize("at", INSTANTS)
def test_the_lead_s_board_holds_to_its_schema(answer: Run, at: str) -> None:
    found = answer("board", "--json", "--at", at)
    assert list(_schema("board-1").iter_errors(found)) == []
    assert len(found["lines"]) > 0


def test_findings_hold_to_their_schema(answer: Run, tmp_path: Path) -> None:
    bad = tmp_path / "fit.yaml"
    bad.write_text("format: 1\nid: V\nunits: []\nnote: no\n", encoding="utf-8")
    found = answer("checklist", "check", "--json", str(bad), str(TOP / "checklists"))
    assert list(_schema("findings-1").iter_errors(found)) == []
    assert len(found["findings"]) > 0


@pytest.mark.parametrize("name", ["status-1", "open-1", "findings-1", "board-1"])
def test_a_key_more_or_less_is_against_the_schema(answer: Run, tmp_path: Path, name: str) -> None:
    empty = tmp_path / "fit.yaml"
    empty.write_text("format: 1\n", encoding="utf-8")
    words = {"status-1": ["status"], "open-1": ["open"], "board-1": ["board"]}
    found = answer(*words.get(name, ["checklist", "check", str(empty)]), "--json")
    rows = next(key for key in ("airframes", "items", "findings", "lines") if key in found)
    for key in found[rows][0]:
        shorter = copy.deepcopy(found)
        del shorter[rows][0][key]
        if key != "missions":
            assert not _schema(name).is_valid(shorter), key
    longer = copy.deepcopy(found)
    longer[rows][0]["more"] = 1
    assert not _schema(name).is_valid(longer)
