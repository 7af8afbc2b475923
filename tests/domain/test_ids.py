"""Names said aloud: tails found as typed, look-alikes named, numbers that stay apart."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hardstand.domain.ids import (
    bearers,
    entry_number,
    entry_ref,
    find_tail,
    is_device,
    is_initials,
    is_tail,
    short_tail,
    twins,
    walk_name,
)

TAILS = ("QM-101", "QM-107", "QM-161", "QM-164")
tails = st.from_regex(r"[A-Z0-9]{2,3}-[A-Z0-9]{2,3}", fullmatch=True)


@pytest.mark.parametrize(
    "typed", ["QM-161", "qm-161", "QM161", "q m 1 6 1", " qm161 ", "Q-M-1-6-1"]
)
def test_case_spaces_and_hyphens_do_not_keep_a_tail_from_being_found(typed: str) -> None:
    assert find_tail(typed, TAILS) == "QM-161"


@pytest.mark.parametrize("typed", ["", " ", "-", "161", "QM-16", "QM-1611", "QM_161", "QΜ-161",
                                   "ＱＭ161", "QM-161\n", "[QM-161]"])  # fmt: skip
def test_a_part_of_a_tail_or_another_alphabet_finds_nothing(typed: str) -> None:
    assert find_tail(typed, TAILS) is None


def test_the_likeliest_twin_comes_first_a_swap_then_signs_that_look_alike() -> None:
    fleet = ("QM-104", "QM-107", "QM-108", "QM-170", "QM-101")
    assert twins("QM-107", fleet) == ("QM-170", "QM-101", "QM-104", "QM-108")
    assert twins("QM-108", ("QM-107", "QM-103", "QM-188")) == ("QM-103", "QM-188", "QM-107")


@given(tails)
def test_a_tail_typed_as_painted_is_found(tail: str) -> None:
    assert is_tail(tail)
    assert find_tail(tail, (tail,)) == tail
    assert find_tail(tail.replace("-", "").lower(), (tail,)) == tail


@pytest.mark.parametrize("text", ["", "-QM", "QM-", "QM--1", "qm-1", "QM 1", "QÄ-1", "QM-1\n"])
def test_what_is_no_tail(text: str) -> None:
    assert not is_tail(text)


def test_a_twin_is_one_character_or_one_swap_of_neighbours_away() -> None:
    fleet = ("QM-161", "QM-116", "QM-164", "QM-611", "QM-1610", "QM-199", "QM-661")
    assert twins("QM-161", fleet) == ("QM-116", "QM-611", "QM-164", "QM-661")


def test_two_changed_places_that_are_no_swap_are_no_twin() -> None:
    assert twins("QM-161", ("QM-172", "QM-061", "MQ-161")) == ("MQ-161", "QM-061")


@given(tails, tails)
def test_being_a_twin_goes_both_ways(one: str, other: str) -> None:
    assert bool(twins(one, (other,))) == bool(twins(other, (one,)))


def test_entry_numbers_take_the_last_three_or_the_whole_where_two_tails_end_alike() -> None:
    fleet = ("QM-161", "QN-161", "QM-107")
    assert [short_tail(t, fleet) for t in fleet] == ["QM161", "QN161", "107"]


@given(st.lists(tails, min_size=2, max_size=6, unique_by=lambda t: t.replace("-", "")))
def test_no_two_airframes_share_their_short_tail(fleet: list[str]) -> None:
    assert len({short_tail(t, fleet) for t in fleet}) == len(fleet)


def test_numbers_lines_and_walks_are_named_as_the_design_says() -> None:
    assert entry_number("107", "A", 1) == "107-A01"
    assert entry_number("107", "A", 100) == "107-A100"
    assert entry_ref("C", 12) == "C-12"
    assert walk_name("C", 1) == "C1"


@pytest.mark.parametrize("text", ["IO", "BTR", "DQQQ", "ÅL", "ЖЮ", "io", "明子"])
def test_two_to_four_letters_of_any_alphabet_are_initials(text: str) -> None:
    assert is_initials(text)


@pytest.mark.parametrize("text", ["", "I", "ABCDE", "I.O", "I O", "IO1", "I_O", "IO\n"])
def test_what_is_no_initials(text: str) -> None:
    assert not is_initials(text)


@pytest.mark.parametrize(("text", "good"), [("A", True), ("Z", True), ("a", False), ("AB", False),
                                            ("", False), ("Ä", False), ("1", False)])  # fmt: skip
def test_a_device_is_one_capital_letter(text: str, good: bool) -> None:
    assert is_device(text) is good


@pytest.mark.parametrize(
    ("number", "found"),
    [
        ("161-A01", ("QM-161",)),
        ("QM161-A01", ("QM-161",)),
        ("61-A01", ("QM-161",)),
        ("107-A01", ("QM-107", "QX-107")),
        ("QM-161", ()),
        ("A01", ()),
        ("", ()),
    ],
)
def test_an_entry_number_can_be_of_those_whose_tail_ends_as_it_begins(
    number: str, found: tuple[str, ...]
) -> None:
    assert bearers(number, ("QM-107", "QX-107", "QM-161")) == found
