"""The number grammar: what is read, what is refused, and that nothing is guessed."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hardstand.domain.readings.grammar import MOST_DIGITS, measured, number
from hardstand.errors import Usage

READ = {
    "0": "0",
    "28": "28",
    "28.0": "28.0",
    "-5": "-5",
    "+5": "5",
    "004": "4",
    "0.5": "0.5",
    "123456789012345": "123456789012345",
}

BROKEN = [
    *("", ".", "-", "+", "--3", "+-3", "-+3", "3-", "- 3", "1e3", "1E3", "1e", "e3", "1.2.3"),
    *("12,5", "1,000", "1'000", "1_000", " 1", "1 ", "1 2", "2 8", "\t1", "1\n", "1\r", "\n"),
    *("1O", "l1", "O", "0x10", "0b1", "1/2", "1:2", "½", "²", "1²", "٣", "１２", "−3", "–3"),
    *("1..2", "..1", ".5", "5.", "1.", "-.5", "inf", "-inf", "nan", "NaN", "Infinity", "sNaN"),
    *("1%", "1 kHz", "1kHz", "1  ", "1;2", "1=2", "=1", "(1)", "[1]", '"1"', "'1'", "1!", "?"),
    *("~1", "1~", "about 5", "5 or 6", "5-6", "5±1", "<5", ">5", "≤5", "1\u00a0", "\u00a01"),
    *(
        "1\u200b",
        "\ufeff1",
        "1\x00",
        "\x001",
        "1+1",
        "1*2",
        "2**3",
        "1j",
        "True",
        "None",
        "-",
        "#1",
    ),
]


@pytest.mark.parametrize(("text", "value"), READ.items())
def test_plain_digits_are_read_as_they_stand(text: str, value: str) -> None:
    assert str(number(text)) == value


@pytest.mark.parametrize("text", BROKEN, ids=repr)
def test_anything_else_is_refused(text: str) -> None:
    with pytest.raises(Usage):
        number(text)


def test_a_refusal_shows_the_text_and_what_would_be_read() -> None:
    with pytest.raises(Usage) as caught:
        number("12,5")
    assert caught.value.lines() == (
        "'12,5' is not read as a number: ',5' stands behind '12'",
        "Write digits with at most one point, as 4000 or 0.5, with no unit.",
    )


@pytest.mark.parametrize("text", ["28", "28 V", "28V"])
def test_the_unit_asked_for_may_stand_behind_the_number(text: str) -> None:
    assert measured(text, ("V",)) == 28


@pytest.mark.parametrize("text", ["28 mV", "28 A", "28 v", "28  V", "28 V ", "28 VV", "V 28", "V"])
def test_another_unit_is_refused_and_never_converted(text: str) -> None:
    with pytest.raises(Usage) as caught:
        measured(text, ("V",))
    assert caught.value.hint == "Write digits with at most one point, as 4000 or 4000 V."


def test_more_digits_than_a_meter_shows_are_refused() -> None:
    assert number("9" * MOST_DIGITS) == int("9" * MOST_DIGITS)
    with pytest.raises(Usage, match="has more than 15 digits"):
        number("9" * (MOST_DIGITS + 1))


def test_minus_zero_is_zero() -> None:
    assert str(number("-0.0")) == "0.0"


@given(st.decimals(-(10**9), 10**9, places=4))
def test_a_number_written_plainly_is_read_back(value: Decimal) -> None:
    assert number(f"{value:f}") == value


@given(st.text(max_size=12), st.sampled_from(["", "V", "kHz", "°F"]))
def test_any_text_is_read_whole_or_refused_with_our_own_error(text: str, unit: str) -> None:
    units = (unit,) if unit else ()
    try:
        value = measured(text, units)
    except Usage:
        return
    digits = text.removesuffix(unit).removesuffix(" ") if unit else text
    assert digits.isascii()
    assert value == Decimal(digits)


@given(st.integers(0, 9999), st.text("abcdefghijklmnopqrstuvwxyzVAΩµ°%", min_size=1, max_size=4))
def test_only_the_very_unit_is_accepted(n: int, unit: str) -> None:
    if unit == "kHz":
        return
    with pytest.raises(Usage):
        measured(f"{n} {unit}", ("kHz",))
