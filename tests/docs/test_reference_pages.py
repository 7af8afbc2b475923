"""Nothing that a person can meet is missing from the reference: commands, fields, codes, keys."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path
from typing import get_args

import pytest

from docs.generated import CODES, MODELS, fields, region, rows_of, stops, tree
from docs.pages import TOP, regions
from hardstand.domain import checklist
from hardstand.domain.answering import KEYS
from hardstand.domain.asking import KEY_WORDS
from hardstand.domain.closing import OUTCOMES
from hardstand.domain.symbols import MEANING, ORDER, WORDS

REFERENCE = TOP / "docs/reference"
NOT_OF_A_FILE = frozenset[str]()
"""Dataclasses of the file modules that no file holds."""


def _page(name: str) -> str:
    return (REFERENCE / f"{name}.md").read_text(encoding="utf-8")


def _tables(page: str, heading: str) -> tuple[tuple[str, ...], ...]:
    part = re.split(r"^## ", page, flags=re.MULTILINE)
    found = next(p for p in part if p.startswith(heading))
    return rows_of(found)


def test_every_command_and_option_has_help() -> None:
    lacking = [words for words, command in tree() if not (command.help or "").strip()]
    lacking += [
        f"{words} {parameter.opts[0]}"
        for words, command in tree()
        for parameter in command.params
        if parameter.param_type_name == "option" and not parameter.help
    ]
    assert lacking == []


def test_every_command_is_on_the_page_of_commands() -> None:
    page = _page("cli")
    leaves = [words for words, c in tree() if not getattr(c, "commands", None)]
    assert [w for w in leaves if f"\n### `{w}`\n" not in page] == []
    assert len(leaves) == page.count("\n### `hardstand ")


@pytest.mark.parametrize("name", sorted(MODELS.keys() - NOT_OF_A_FILE))
def test_every_field_of_a_file_is_explained(name: str) -> None:
    kept = dict(regions(_page("checklist-format")))[f"fields {name}"]
    assert fields(name, kept) == kept
    assert [row[0] for row in rows_of(kept) if not row[3]] == [], "fields without a meaning"


def test_a_new_field_stands_without_a_meaning_until_somebody_writes_one() -> None:
    remade = region("fields Bounds", "| `low` | number | required | Lowest value. |")
    assert rows_of(remade)[0] == ("`low`", "number", "required", "Lowest value.")
    assert rows_of(remade)[1] == ("`high`", "number", "required", "")


def test_every_kind_of_step_and_item_is_explained() -> None:
    steps = {row[0].strip("`") for row in rows_of(_page("checklist-format")) if len(row) == 3}
    assert set(get_args(checklist.StepKind)) <= steps
    items = {row[0] for row in _tables(_page("glossary"), "Kinds of item")}
    assert items == set(get_args(checklist.ItemKind))


def test_every_code_is_on_the_page_of_findings_once() -> None:
    found = [row[0].strip("`") for row in rows_of(_page("findings")) if row[0].startswith("`HS")]
    assert sorted(found) == sorted(CODES)


def _asserted(path: Path) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield from re.findall(r"HS\d{3}", node.value)


def test_every_code_is_met_in_a_test() -> None:
    tests = [p for p in (TOP / "tests").rglob("*.py") if "docs" not in p.parent.name]
    vectors = " ".join(p.read_text("utf-8") for p in (TOP / "tests/vectors").glob("proof_*.txt"))
    met = {code for path in tests for code in _asserted(path)}
    met |= set(re.findall(r"HS\d{3}", vectors))
    assert sorted(CODES.keys() - met) == []


def test_every_deed_that_needs_a_role_is_explained() -> None:
    kept = dict(regions(_page("roles")))["powers"]
    assert region("powers", kept) == kept
    assert [row[0] for row in rows_of(kept) if not row[2]] == [], "deeds without a meaning"


def test_every_exit_status_is_on_its_page() -> None:
    rows = {(row[0], row[1].strip("`")) for row in rows_of(_page("exit-statuses"))}
    assert rows == {(str(e.exit_status), e.code) for e in stops()}


def test_every_variable_of_the_environment_is_on_the_page_of_commands() -> None:
    sources = (p.read_text(encoding="utf-8") for p in (TOP / "src").rglob("*.py"))
    read = {name for text in sources for name in re.findall(r"\b(?:HARDSTAND|XDG)_[A-Z_]+\b", text)}
    assert [name for name in sorted(read) if f"`{name}`" not in _page("cli")] == []


def test_the_glossary_has_every_word_that_the_screens_use() -> None:
    page = _page("glossary")
    words = {row[0] for row in _tables(page, "Words\n")}
    assert [answer for answer in KEYS.values() if answer not in words] == []
    symbols = {(r[0].strip("`"), r[1], r[2]) for r in _tables(page, "Symbols")}
    assert symbols == {(s, WORDS[s], MEANING[s]) for s in ORDER}
    ends = {row[0] for row in _tables(page, "How a walk ends")}
    assert ends == {"FINISHED", *OUTCOMES.values()}
    assert "rescue card" in words
    assert KEY_WORDS["R"] in words


def test_the_glossary_is_in_order_and_has_each_word_once() -> None:
    words = [row[0] for row in _tables(_page("glossary"), "Words\n")]
    assert words == sorted(words, key=str.casefold)
    assert len(words) == len(set(words))
