"""Sums from typed pairs and from tables: what is read, what is refused, what stays in its place."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hardstand.domain.readings.registry import REGISTRY
from hardstand.errors import NotThere, Usage
from hardstand.flows import reckoning

VECTORS = Path(__file__).parents[1] / "vectors"


def _answers(name: str, text: str) -> list[tuple[str, ...]]:
    return [worked.row for worked in reckoning.table(name, text)]


@pytest.mark.parametrize("name", list(REGISTRY))
def test_a_block_fed_back_as_a_table_comes_out_as_printed(name: str) -> None:
    text = (VECTORS / f"{name}.csv").read_text(encoding="utf-8")
    lines = csv.DictReader(line for line in text.splitlines() if not line.startswith("#"))
    columns = REGISTRY[name].columns
    wanted = [tuple(row[column] for column in columns) for row in lines]
    assert _answers(name, text) == wanted


@pytest.mark.parametrize("name", list(REGISTRY))
def test_the_input_columns_alone_in_any_order_are_enough(name: str) -> None:
    text = (VECTORS / f"{name}.csv").read_text(encoding="utf-8")
    rows = list(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))
    asked = [ask.name for ask in REGISTRY[name].asks][::-1]
    given_rows = [[row[column] for column in asked] for row in rows]
    lines = ["# a comment", ",".join(asked)]
    lines += [",".join(f'"{cell}"' for cell in row) for row in given_rows]
    wanted = [tuple(row[column] for column in REGISTRY[name].columns) for row in rows]
    assert _answers(name, "\n".join(lines)) == wanted


def test_a_refused_value_is_a_line_with_its_reason_and_the_rest_goes_on() -> None:
    text = "volts,case\n1e3,external\n28.0,spare\n,normal\n28 mV,normal\n28 V,normal\n"
    assert _answers("bus_voltage", text) == [
        (
            *("1e3", "external"),
            "reject: volts: '1e3' is not read as a number: 'e3' stands behind '1'",
            *("", "reject"),
        ),
        (
            *("28.0", "spare"),
            "reject: case: 'spare' is not one of external, normal, abnormal",
            *("", "reject"),
        ),
        ("", "normal", "reject: volts: nothing given", "", "reject"),
        (
            *("28 mV", "normal"),
            "reject: volts: '28 mV' is not read as a number: ' mV' stands behind '28'",
            *("", "reject"),
        ),
        ("28 V", "normal", "22.0", "29.0", "pass"),
    ]


def test_a_reading_the_sum_itself_refuses_is_a_line_too() -> None:
    assert _answers("swr_from_power", "forward_W,reflected_W\n10,12\n25,1\n") == [
        (
            *("10", "12"),
            "reject: reflected power is above forward power, a bad reading",
            *("", "", "", ""),
        ),
        ("25", "1", "0.2000", "1.500", "13.98", "0.177", "24.000"),
    ]


def test_a_decimal_comma_shifts_the_cells_and_is_refused() -> None:
    assert _answers("watts_dbm", "W,note\n1,5,meter\n") == [
        ("1", "reject: 3 cells under 2 columns")
    ]


def test_a_short_line_is_refused() -> None:
    assert _answers("bond_millivolt", "millivolts,amps,limit_milliohm\n25,10\n") == [
        ("25", "10", "", "reject: 2 cells under 3 columns", "reject")
    ]


def test_lines_with_a_hash_and_empty_lines_are_left_out() -> None:
    assert _answers("watts_dbm", "# a\n\nW\n# b\n10\n\n") == [("10", "40.00")]


def test_line_ends_of_any_machine_are_read() -> None:
    assert _answers("watts_dbm", "W\r\n10\r\n1\r\n") == [("10", "40.00"), ("1", "30.00")]


def test_a_budget_ends_with_its_total_whether_asked_or_not() -> None:
    lines = "item,amps,minutes\nlamps,2.0,42\nkey down,22.0,1.5\n"
    wanted = [
        ("lamps", "2.0", "42", "1.400"),
        ("key down", "22.0", "1.5", "0.550"),
        ("total", "", "", "1.950"),
    ]
    assert _answers("ah_budget", lines) == wanted
    assert _answers("ah_budget", lines + "total,,\n") == wanted


def test_a_total_is_refused_while_a_line_above_it_is() -> None:
    assert _answers("ah_budget", "item,amps,minutes\nlamps,2O,42\n")[-1] == (
        *("total", "", ""),
        "reject: a line above could not be reckoned",
    )


def test_an_earlier_total_is_not_counted_twice() -> None:
    lines = "item,amps,minutes\nlamps,2,30\ntotal,,\nlamps,2,30\n"
    assert [row[-1] for row in _answers("ah_budget", lines)] == ["1.000", "1.000", "1.000", "2.000"]


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("", "The table is empty."),
        ("# only words\n", "The table is empty."),
        ("W,W\n1,1\n", "The header has the column 'W' twice."),
        ("watts\n1\n", "The header has no column W."),
        ('W\n"1\n', "The text is not CSV: unexpected end of data."),
    ],
)
def test_what_is_no_table_of_the_sum_is_refused_whole(text: str, what: str) -> None:
    with pytest.raises(Usage) as caught:
        reckoning.table("watts_dbm", text)
    assert caught.value.what == what


def test_one_sum_keeps_what_was_typed() -> None:
    worked = reckoning.one("dial_error", ["dial_khz=201.0 kHz", "true_khz=200.0", "limit_pct=0.5"])
    assert worked.typed["dial_khz"] == "201.0 kHz"
    assert worked.judged is not None
    assert worked.judged.verdict == "pass"
    assert worked.judged.limit == "0.5 % of 200.0 kHz, either way, inclusive"


@pytest.mark.parametrize(
    ("pairs", "what"),
    [
        (["10"], "'10' is not an input of watts_dbm."),
        (["watts=10"], "'watts=10' is not an input of watts_dbm."),
        (["W=10", "W=11"], "W is given twice."),
        (["W=1O"], "W: '1O' is not read as a number: 'O' stands behind '1'"),
        (["W=0"], "W: 0 is not a number in W above 0"),
        ([], "watts_dbm also needs W."),
    ],
)
def test_a_pair_that_does_not_fit_is_refused(pairs: list[str], what: str) -> None:
    with pytest.raises(Usage) as caught:
        reckoning.one("watts_dbm", pairs)
    assert caught.value.what == what


def test_an_unknown_sum_names_the_nearest() -> None:
    with pytest.raises(NotThere) as caught:
        reckoning.family("dial_eror")
    assert caught.value.lines() == (
        "There is no sum 'dial_eror'.",
        "Nearest: dial_error, dial_grain.",
    )
    with pytest.raises(NotThere) as caught:
        reckoning.family("zzz")
    assert caught.value.hint == "See the list: hardstand reckon."


@given(st.sampled_from(list(REGISTRY)), st.text(max_size=60))
def test_any_text_as_a_table_gives_lines_or_our_own_error(name: str, text: str) -> None:
    header = ",".join(ask.name for ask in REGISTRY[name].asks)
    try:
        worked = reckoning.table(name, f"{header}\n{text}")
    except Usage:
        return
    assert all(len(line.row) == len(REGISTRY[name].columns) for line in worked)
