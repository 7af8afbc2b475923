"""Canonical bytes by RFC 8785, in the examples that lie in our subset; values there and back."""

from __future__ import annotations

import json
import re
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builders import checklist, fit, fleet
from hardstand.domain.bodies import By
from hardstand.domain.checklist import Bounds, Checklist, Fit
from hardstand.domain.fleet import Fleet
from hardstand.domain.plain import canonical, from_plain, to_plain
from strategies import trees


def test_strings_and_literals_are_written_as_rfc_8785_section_3_2_2_shows() -> None:
    given_there = (
        '{"string": "\\u20ac$\\u000F\\u000aA\'\\u0042\\u0022\\u005c\\\\\\"\\/",'
        ' "literals": [null, true, false]}'
    )
    expected = '{"literals":[null,true,false],"string":"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}'
    assert canonical(json.loads(given_there)) == expected.encode()


@pytest.mark.parametrize(
    ("char", "written"),
    [
        ("\u0008", b'"\\b"'),
        ("\u0009", b'"\\t"'),
        ("\u000a", b'"\\n"'),
        ("\u000c", b'"\\f"'),
        ("\u000d", b'"\\r"'),
        ("\u0000", b'"\\u0000"'),
        ("\u001f", b'"\\u001f"'),
        ('"', b'"\\""'),
        ("\\", b'"\\\\"'),
        ("\u007f", b'"\x7f"'),
        ("/", b'"/"'),
        ("\u2028", '"\u2028"'.encode()),
        ("\U0001f600", '"\U0001f600"'.encode()),
    ],
)
def test_each_character_has_the_one_form_of_section_3_2_2_2(char: str, written: bytes) -> None:
    assert canonical(char) == written


def test_keys_are_sorted_as_section_3_2_3_shows_for_its_ascii_keys() -> None:
    assert (
        canonical({"1": "One", "\r": "Carriage Return"}) == b'{"\\r":"Carriage Return","1":"One"}'
    )


def test_keys_are_sorted_at_every_depth_and_arrays_are_left_as_they_are() -> None:
    tree = {"b": [{"d": 1, "c": 2}, "z", "a"], "B": 0, "a": {}}
    assert canonical(tree) == b'{"B":0,"a":{},"b":[{"c":2,"d":1},"z","a"]}'


@pytest.mark.parametrize("number", [0, 1, -1, 9007199254740991, -9007199254740991])
def test_integers_are_written_as_appendix_b_lists_them(number: int) -> None:
    assert canonical(number) == str(number).encode()


@pytest.mark.parametrize(
    ("value", "message"),
    [
        (9007199254740992, "9007199254740992 is beyond the integers that JSON readers agree on"),
        (1.5, "float has no canonical form"),
        (float("nan"), "float has no canonical form"),
        (Decimal("1.5"), "Decimal has no canonical form"),
        (b"bytes", "bytes has no canonical form"),
        ({"ö": 1}, "'ö' cannot be a key of the record: keys are ASCII"),
        ({1: 1}, "1 cannot be a key of the record: keys are ASCII"),
        ([{"a": [0.0]}], "float has no canonical form"),
    ],
)
def test_a_tree_outside_the_subset_is_refused(value: object, message: str) -> None:
    with pytest.raises(ValueError, match=f"^{re.escape(message)}$"):
        canonical(value)


def test_half_of_a_surrogate_pair_is_refused_as_section_3_2_2_2_demands() -> None:
    with pytest.raises(ValueError, match="surrogates not allowed"):
        canonical("\ud800")


@given(trees)
def test_canonical_bytes_read_back_to_the_tree_and_to_the_same_bytes(tree: Any) -> None:
    written = canonical(tree)
    assert json.loads(written) == tree
    assert canonical(json.loads(written)) == written


@given(st.dictionaries(st.text("abAB_1", min_size=1), st.integers(0, 9), min_size=2))
def test_the_order_in_which_keys_arrive_does_not_matter(tree: dict[str, int]) -> None:
    assert canonical(dict(reversed(tree.items()))) == canonical(tree)


# -- values


@pytest.mark.parametrize(
    ("cls", "value"), [(Fit, fit()), (Checklist, checklist()), (Fleet, fleet())]
)
def test_adopted_files_read_back_equal(cls: type[Any], value: object) -> None:
    assert from_plain(cls, json.loads(canonical(to_plain(value)))) == value


def test_decimals_are_kept_as_the_text_they_were_given_in() -> None:
    plain = to_plain(Bounds(low=Decimal("1.10"), high=Decimal("1E+2")))
    assert plain == {"low": "1.10", "high": "100"}


def test_a_field_named_like_a_keyword_is_written_without_its_underscore() -> None:
    assert to_plain(By(doer="IO", with_=("BT",))) == {"doer": "IO", "with": ["BT"]}


def test_a_tree_with_a_field_too_many_or_too_few_names_the_fields() -> None:
    with pytest.raises(ValueError, match=r"^By does not read: doer, nobody$"):
        from_plain(By, {"nobody": 1})
