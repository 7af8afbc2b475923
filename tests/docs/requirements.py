"""The requirements on a walk, and the tests that carry each: read from the tests themselves.

A test carries a requirement by its name, `test_plc_01_…`, or by a marker where its name says
something else, `@pytest.mark.hf("PLC-01")`; nothing else is kept.
"""

from __future__ import annotations

import ast
import csv
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

TESTS = Path(__file__).resolve().parents[1]
LISTED = TESTS / "human_factors" / "requirements.csv"
EXCEPTED = TESTS / "human_factors" / "exceptions.csv"
MARKER = "hf"
NAMED = re.compile(r"(?:ans|plc|led|wcn|ui|key|lrn|acc)_\d\d_")


@dataclass(frozen=True, slots=True, kw_only=True)
class Requirement:
    """One requirement: its id, how grave (S5 worst), what it asks."""

    id: str
    severity: str
    asks: str


def listed() -> tuple[Requirement, ...]:
    """Every requirement of the two gravest ranks, in order."""
    with LISTED.open(encoding="utf-8", newline="") as rows:
        return tuple(Requirement(**row) for row in csv.DictReader(rows))


def excepted() -> dict[str, str]:
    """What is not held to, or not in full, with the reason; by id."""
    with EXCEPTED.open(encoding="utf-8", newline="") as rows:
        return {row["id"]: row["reason"] for row in csv.DictReader(rows)}


def carried() -> dict[str, set[tuple[str, str]]]:
    """The tests that carry each id: file below tests/ and name in words."""
    found: dict[str, set[tuple[str, str]]] = {}
    for file in sorted(TESTS.rglob("test_*.py")):
        for name, requirement in _carrying(ast.parse(file.read_text(encoding="utf-8"))):
            words = NAMED.sub("", name.removeprefix("test_")).replace("_", " ")
            where = file.relative_to(TESTS).as_posix()
            found.setdefault(requirement, set()).add((where, words))
    return found


def _carrying(tree: ast.Module) -> Iterator[tuple[str, str]]:
    """Each test by its name, with each requirement it carries."""
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef) and node.name.startswith("test_"):
            for wanted in _named(node.name):
                yield node.name, wanted
            for decorator in node.decorator_list:
                yield from ((node.name, wanted) for wanted in _ids(decorator))


def _named(name: str) -> Iterator[str]:
    """The ids that a name begins with."""
    rest = name.removeprefix("test_")
    while found := NAMED.match(rest):
        yield found[0].rstrip("_").replace("_", "-").upper()
        rest = rest[found.end() :]


def _ids(decorator: ast.expr) -> Iterator[str]:
    if (
        not isinstance(decorator, ast.Call)
        or ast.unparse(decorator.func) != f"pytest.mark.{MARKER}"
    ):
        return
    for argument in decorator.args:
        assert isinstance(argument, ast.Constant), "a requirement is named, never reckoned"
        yield str(argument.value)


def rows() -> Iterator[tuple[str, str, str, str]]:
    """One row a requirement: id, severity, what it asks, its tests."""
    tests = carried()
    for one in listed():
        told = (f"{words} (`{file}`)" for file, words in sorted(tests.get(one.id, ())))
        yield one.id, one.severity, one.asks, "; ".join(told) or "none: see below"
