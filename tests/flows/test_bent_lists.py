"""A shipped list with lines gone, doubled or moved is told what is wrong, and nothing breaks."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from domain.proofs.random_lists import Dice
from hardstand.flows.checking import Checked, check_files
from hardstand.views.findings import json_text, text

_FOLDER = Path(__file__).parents[2] / "checklists" / "vhf"
FIT = (_FOLDER / "fit.yaml").read_bytes()
LIST = (_FOLDER / "preflight.yaml").read_text(encoding="utf-8")


def _bent(dice: Dice) -> str:
    """The list with one to three runs of its blocks gone, doubled or moved elsewhere.

    A block is an entry of a list with what is indented under it, or one line of a step.
    """
    lines = LIST.splitlines(keepends=True)
    for _ in range(1 + dice.below(3)):
        whole = dice.chance(50)
        heads = [n for n, x in enumerate(lines) if x.startswith("  - id: " if whole else "    ")]
        start = dice.pick(heads)
        end = next((n for n in heads if n > start), start + 1) if whole else start + 1
        block = lines[start:end]
        if dice.chance(60):
            del lines[start:end]
        if dice.chance(60):
            at = dice.pick([n for n, x in enumerate(lines) if x.startswith("  - id: ")])
            lines[at:at] = block
    return "".join(lines)


@cache
def _checked(seed: int) -> tuple[str, Checked]:
    """A bent list and what the check says of it; both tests below read the same forty."""
    bent = _bent(Dice(seed))
    return bent, check_files([("fit.yaml", FIT), ("preflight.yaml", bent.encode())])


@pytest.mark.parametrize("seed", range(40))
def test_whatever_is_bent_the_check_tells_it_or_reads_it(seed: int) -> None:
    bent, checked = _checked(seed)
    assert text(checked)
    assert json_text(checked.findings)
    last = len(bent.splitlines()) + 1
    for found in checked.findings:
        assert found.file in {"fit.yaml", "preflight.yaml"}
        assert 1 <= found.line <= max(last, len(FIT.splitlines()))


def test_most_of_what_is_bent_is_found() -> None:
    """What is not found was a line that teaches, or stands twice in effect."""
    assert sum(bool(_checked(seed)[1].findings) for seed in range(40)) >= 25
