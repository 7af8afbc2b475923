"""Mutants of the fold and of the verdict: each is one wrong line, and each falls to a law.

A mutant that no law tells from the truth would mean that a wrong program passes as a right one.
Those known to be equivalent are not listed; why is said in EQUIVALENT.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import ModuleType

import pytest

import hardstand.domain
from domain.status_histories import pool
from domain.status_laws import DRAWN, TRUE, Rules
from domain.status_laws_more import ALL_FIXED

FOLDER = Path(hardstand.domain.__file__).parent
MODULES = ("verdict", "authority", "changes", "disagreement", "life", "logbook", "airframe")
"""Loaded afresh in this order, so that each sees the mutant of those before it."""


def _read() -> tuple[tuple[str, str, str], ...]:
    """The mutants as written in the file beside this one."""
    found, module, old = list[tuple[str, str, str]](), "", ""
    for line in (Path(__file__).parent / "status_mutants.txt").read_text("utf-8").splitlines():
        text = line[2:].replace("\\n", "\n")
        if line.startswith("["):
            module = line.strip("[]")
        elif line.startswith("- "):
            old = text
        elif line.startswith("+ "):
            found.append((module, old, text))
    return tuple(found)


MUTANTS = _read()

EQUIVALENT = """
- `worst` over a list instead of a generator: the same values in the same order.
- `careful` of one node without its early return: the node rebuilt from its own parts.
- `dict.fromkeys` left out where the parts are unique already.
"""


@contextmanager
def mutated(module: str, old: str, new: str) -> Iterator[Rules]:
    """The implementation with one piece of one module's text replaced."""
    names = [f"hardstand.domain.{name}" for name in MODULES]
    kept = {name: sys.modules[name] for name in names}
    try:
        for short, name in zip(MODULES, names, strict=True):
            text = (FOLDER / f"{short}.py").read_text(encoding="utf-8")
            if short == module:
                assert text.count(old) == 1, f"{text.count(old)} places in {module}: {old}"
                text = text.replace(old, new)
            fresh = ModuleType(name)
            sys.modules[name] = fresh
            exec(compile(text, name, "exec"), fresh.__dict__)  # noqa: S102  our own source, one line changed
        air, say = sys.modules[names[-1]], sys.modules[names[0]]
        yield Rules(air.fold, say.verdict, say.effective)
    finally:
        sys.modules.update(kept)


CASES = pool(40)


def _falls_to(rules: Rules) -> str:
    """A law that tells these rules from true ones; empty if none does.

    Every law is tried on one history before the next, as most mutants fall on any history.
    """
    for number, case in enumerate(CASES):
        for law in (*ALL_FIXED, *DRAWN) if number < 4 else DRAWN:
            try:
                law(rules, case)
            except Exception:  # noqa: BLE001  a mutant may break in any way, and that is its fall
                return law.__name__
    return ""


def test_the_truth_falls_to_no_law_on_these_histories() -> None:
    assert _falls_to(TRUE) == ""
    with mutated("verdict", "return entry.symbol\n\n", "return entry.symbol\n\n") as same:
        assert _falls_to(same) == ""


@pytest.mark.parametrize("mutant", MUTANTS, ids=lambda m: f"{m[0]}: {' '.join(m[2].split())[:60]}")
def test_the_mutant_falls(mutant: tuple[str, str, str]) -> None:
    with mutated(*mutant) as rules:
        assert _falls_to(rules)


def test_there_are_histories_of_every_kind_to_try_them_on() -> None:
    kinds = {line.kind for case in CASES for line in case.lines}
    assert kinds >= {
        "defect.raised", "defect.symbol", "defect.lowered", "defect.action", "defect.cleared",
        "defect.rejected", "defect.deferred", "defect.prolonged", "defect.limited",
        "defect.voided", "defect.same_as", "defect.proved",
    }  # fmt: skip
    forks = [case for case in CASES if any(e.disputes for e in TRUE.fold(
        case.office.ground, case.lines).open)]  # fmt: skip
    assert len(forks) >= 5
