"""Notes: any language, exactly; nothing in them can act on a screen, a table or a spreadsheet."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hardstand.domain.words import brief, cell, is_storable, same_text, sought, too_long, visible


@pytest.mark.parametrize(
    ("code", "name"),
    [
        # The explicit and implicit directional formatting characters of UAX 9, section 2.
        (0x202A, "LRE"), (0x202B, "RLE"), (0x202C, "PDF"), (0x202D, "LRO"), (0x202E, "RLO"),
        (0x2066, "LRI"), (0x2067, "RLI"), (0x2068, "FSI"), (0x2069, "PDI"),
        (0x200E, "LRM"), (0x200F, "RLM"), (0x061C, "ALM"),
        # Names of control characters by the Unicode NameAliases file.
        (0x00, "NUL"), (0x07, "BEL"), (0x08, "BS"), (0x09, "TAB"), (0x0A, "LF"), (0x0B, "VT"),
        (0x0C, "FF"), (0x0D, "CR"), (0x1B, "ESC"), (0x7F, "DEL"), (0x85, "NEL"),
        (0xFEFF, "BOM"), (0x200B, "ZWSP"),
        # Those without a short name of ours are shown by their code point.
        (0x01, "U+0001"), (0x9B, "U+009B"), (0x206A, "U+206A"), (0xE0041, "U+E0041"),
    ],
)  # fmt: skip
def test_control_and_direction_characters_are_shown_by_name(code: int, name: str) -> None:
    assert visible(f"a{chr(code)}b") == f"a⟨{name}⟩b"


@given(st.text())
def test_nothing_shown_can_move_a_cursor_or_turn_a_line(text: str) -> None:
    acting = {"Cc", "Cf", "Cs", "Zl", "Zp"}
    assert not any(unicodedata.category(c) in acting for c in visible(text))


@given(st.text(st.characters(exclude_categories=("Cc", "Cf", "Cs", "Zl", "Zp"))))
def test_everything_else_is_shown_as_it_was_written(text: str) -> None:
    assert visible(text) == text


@pytest.mark.parametrize(
    "text",
    ["[bold]X[/bold]", "[/]", "[red]", "\\[x]", ":warning:", "**x**", "<b>x</b>", "{x}", "%s",
     "пеленг не держит", "雑音が大きい", "ضعيف الصوت", "schwächer als sonst", "🛠"],
)  # fmt: skip
def test_square_brackets_and_any_language_are_shown_as_typed(text: str) -> None:
    assert visible(text) == text


def test_a_note_of_4000_characters_fits_and_one_of_4001_is_refused_with_its_count() -> None:
    assert too_long("й" * 4000) is None
    assert too_long("й" * 4001) == (
        "This note has 4001 characters; one note holds 4000. "
        "Nothing was cut: write it as two notes."
    )


def test_half_of_a_surrogate_pair_cannot_be_stored_and_all_else_can() -> None:
    assert not is_storable("a\ud800")
    assert not is_storable("\udcff")
    assert is_storable("\U0001f600\x00\u202e")


def test_two_spellings_of_one_letter_read_the_same_and_are_not_made_equal() -> None:
    assert same_text("Å", "A\u030a")
    assert not same_text("A", "Å")


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("=1+1", "'=1+1"),
        ("+49", "'+49"),
        ("-5 dB", "'-5 dB"),
        ("@cmd", "'@cmd"),
        ("-", "-"),
        ("weak", "weak"),
        ("\t=1", "⟨TAB⟩=1"),
        ("\r=1", "⟨CR⟩=1"),
    ],
)
def test_no_cell_is_taken_for_a_formula(text: str, written: str) -> None:
    assert cell(text) == written


def test_a_list_shows_the_beginning_of_a_note_and_how_much_more_there_is() -> None:
    assert brief("x" * 120) == "x" * 120
    assert brief("x" * 121) == "x" * 120 + " … + 1"
    assert brief(f"hum {'y' * 4000}") == f"hum {'y' * 116} … + 3884"


def test_words_are_found_however_their_accents_and_capitals_are_written() -> None:
    assert sought("Åpning") == sought("a\u030aPNING")
    assert sought("Straße") == sought("STRASSE")
    assert sought("hum") != sought("hun")
