"""Every row of every block is a test; the source of each stands on top of its file."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from domain.readings.blocks import FOLDER, block
from hardstand.domain.readings.registry import CONTENTS, REGISTRY, WORDS
from hardstand.errors import Usage

TEST_DATA_ONLY = {"voltage_drop": {"printed_V", "agrees_to_printed_digits"}}
TOTALS = {"ah_budget": "total"}


def _rows() -> list[tuple[str, dict[str, str]]]:
    return [
        (name, row)
        for name in REGISTRY
        for row in block(name)[1]
        if row.get("item") != TOTALS.get(name, "")
    ]


@pytest.mark.parametrize("name", list(REGISTRY))
def test_a_sum_has_the_columns_of_its_block_in_their_order(name: str) -> None:
    header, rows = block(name)
    kept = tuple(c for c in header if c not in TEST_DATA_ONLY.get(name, set()))
    assert REGISTRY[name].columns == kept
    assert rows


@pytest.mark.parametrize(
    ("name", "row"), _rows(), ids=lambda value: value if isinstance(value, str) else ""
)
def test_a_row_of_a_block_comes_out_as_printed(name: str, row: dict[str, str]) -> None:
    family = REGISTRY[name]
    typed = {ask.name: row[ask.name] for ask in family.asks}
    answers = family.judge(typed).figures
    assert family.row(typed, answers) == tuple(row[column] for column in family.columns)


@pytest.mark.parametrize("path", sorted(FOLDER.glob("*.csv")), ids=lambda p: p.stem)
def test_every_block_names_its_source_before_its_header(path: Path) -> None:
    comments = []
    for line in path.read_text(encoding="utf-8").splitlines():
        if not line.startswith("#"):
            break
        comments.append(line)
    assert comments[0].startswith(f"# {path.stem}: ")
    assert any(line.startswith("# Source: ") for line in comments)


def test_each_sum_is_found_where_the_list_says_and_nowhere_else() -> None:
    assert list(REGISTRY) == list(WORDS)
    assert len(REGISTRY) == sum(len(sums) for _, _, sums in CONTENTS)
    for module, _, sums in CONTENTS:
        for name, _ in sums:
            assert REGISTRY[name].name == name
            assert REGISTRY[name].compute.__module__ == f"hardstand.domain.readings.{module}"


@pytest.mark.parametrize("name", list(REGISTRY))
def test_a_sum_says_its_formula_its_source_and_what_each_input_is(name: str) -> None:
    family = REGISTRY[name]
    assert family.formula
    assert family.source
    assert all(ask.words for ask in family.asks)
    assert family.answers


def test_a_step_lays_down_some_inputs_and_the_person_reads_the_rest() -> None:
    family = REGISTRY["dial_grain"]
    laid_down = {"true_khz": "329", "limit_pct": "1.0", "g_khz": "0.5"}
    (ask,) = family.left_to_read(laid_down)
    assert (ask.name, ask.units[0]) == ("dial_khz", "kHz")
    judged = family.judge({**laid_down, ask.name: "330.5 kHz"})
    assert (judged.verdict, judged.value, judged.unit) == ("in", Decimal("1.5"), "kHz")
    assert judged.limit == "1.0 % of 329 kHz, dial read to 0.5 kHz"
    assert judged.basis == family.source


def test_a_step_cannot_lay_down_an_input_the_sum_does_not_have() -> None:
    with pytest.raises(Usage) as caught:
        REGISTRY["dial_grain"].left_to_read({"true_mhz": "0.329"})
    assert caught.value.lines() == (
        "dial_grain has no input 'true_mhz'",
        "Its inputs: true_khz, dial_khz, limit_pct, g_khz.",
    )
