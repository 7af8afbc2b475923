"""Suspects against computations 12a: its table, and soundness on every single and double fault."""

from __future__ import annotations

from itertools import combinations

import pytest

from domain.proofs.models import checks
from domain.proofs.tables import names, sections
from hardstand.domain.suspects import Suspects, suspects

ROWS = sections("proof_model.txt")
NAMED = names(ROWS["checks"][0][0])
CHECKS = checks(*NAMED)


@pytest.mark.parametrize("row", ROWS["suspects"])
def test_suspects_of_computations_12a(row: list[str]) -> None:
    failed = names(row[0])
    wanted = {frozenset(s.split(" + ")) for s in row[1].split("; ")}
    found = suspects(CHECKS, {name: name not in failed for name in NAMED})
    assert {frozenset(units) for units in found.sets} == wanted
    assert found.next_check == ""


def test_with_two_outcomes_known_the_next_best_check_is_named() -> None:
    """Computations 12a, last row."""
    found = suspects(CHECKS, {"HF receive": False, "interphone": True})
    assert found.sets == (("HF aerial",), ("HF receiver",))
    assert found.next_check == "HF transmit"
    assert found.sentence() == (
        "The loss of HF aerial, or HF receiver would explain this. To tell them apart: HF transmit."
    )


@pytest.mark.parametrize(
    "lost", [c for size in (1, 2) for c in combinations(CHECKS.units, size)], ids=" + ".join
)
def test_the_fault_is_among_the_suspects_or_something_smaller_explains_it(
    lost: tuple[str, ...],
) -> None:
    seen = dict(zip(NAMED, CHECKS.good(frozenset(lost)), strict=True))
    found = suspects(CHECKS, seen)
    if all(seen.values()):
        assert found == Suspects(failed=False)
    else:
        assert lost in found.sets or len(found.sets[0]) < len(lost)


def test_nothing_failed_is_said_so() -> None:
    assert suspects(CHECKS, {"VHF 1": True}).sentence() == "Nothing failed."


def test_a_pattern_that_no_few_units_give_is_not_explained() -> None:
    """Two-way voice fails only with VHF and HF both gone; here both are good."""
    voice = checks("two-way voice", "VHF working", "HF receive", "HF transmit")
    seen = {"two-way voice": False, "VHF working": True, "HF receive": True, "HF transmit": True}
    found = suspects(voice, seen)
    assert found == Suspects(failed=True)
    assert found.sentence() == "No simple explanation: the fault may come and go, or be partial."


def test_two_units_together_are_joined_in_words() -> None:
    failed = {"HF receive", "LF nav receive"}
    found = suspects(CHECKS, {name: name not in failed for name in NAMED})
    assert found.sentence() == "The loss of HF receiver with loop aerial would explain this."
