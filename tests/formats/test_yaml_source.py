"""YAML text to a located tree: what is read, and every refusal verbatim."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from formats.small_files import FIT, Bent, bent, cases, whole
from hardstand.formats import fit_yaml
from hardstand.formats.located import Items, Keys, Mark, Words
from hardstand.formats.yaml_source import read_tree


@cases(
    bent(
        "a tab inside a line is refused",
        "title: VHF set",
        "title:\tVHF set",
        "3:7: HS103 tabs are not used: line 3 | use spaces; two a level is usual",
    ),
    bent(
        "all lines with tabs are listed, the first five by number",
        "units:\n  TR-V: {title: transmitter-receiver, zone: bay}\n  DYN-V: {title: "
        "dynamotor}\nfunctions:\n  v.rx: {title: receive, fed_by: [TR-V]}\n  v.tx: {title: "
        "transmit, fed_by: [TR-V, DYN-V]}",
        "units:\t\n\tTR-V: x\n\tb: c\n\td: e\n\tf: g\n\th: i\n\t# j",
        "4:7: HS103 tabs are not used: lines 4, 5, 6, 7, 8 and 2 more | use spaces; two a "
        "level is usual",
    ),
    bent(
        "a bell in the text is refused by number",
        "title: VHF set",
        "title: VHF\x07 set",
        "3:11: HS102 hidden character U+0007: line 3 | take it out; only what a reader can see "
        "is accepted",
    ),
    bent(
        "a right-to-left override is refused by name",
        "title: VHF set",
        "title: VHF \u202eset",
        "3:12: HS102 hidden character U+202E RIGHT-TO-LEFT OVERRIDE: line 3 | take it out; "
        "only what a reader can see is accepted",
    ),
    bent(
        "a hidden character made by an escape is refused",
        "title: VHF set",
        'title: "VHF\\e set"',
        "3:8: HS102 an escape makes the character U+001B | take it out; only what a reader can "
        "see is accepted",
    ),
    bent(
        "a lone surrogate made by an escape is refused",
        "title: VHF set",
        'title: "VHF \\ud800"',
        "3:8: HS102 an escape makes the character U+D800 | take it out; only what a reader can "
        "see is accepted",
    ),
    bent(
        "an escape beyond Unicode is refused",
        "title: VHF set",
        'title: "VHF \\UFFFFFFFF"',
        "3:13: HS105 an escape inside double quotes names no character | use single quotes, or "
        "type the character itself",
    ),
    bent(
        "a key given twice names both lines",
        "id: V\ntitle: VHF set",
        "id: V\ntitle: VHF set\nid: W",
        "4:1: HS106 'id' is given twice, first on line 2 | keep one of them",
    ),
    bent(
        "an alias and its anchor are both refused",
        "id: V\ntitle: VHF set",
        "id: &a V\ntitle: *a",
        "2:5: HS107 anchors are not used: '&a' | take it out; put quotes round a text that "
        "begins with '&'",
        "3:8: HS107 aliases are not used: '*a' | write the value itself; put quotes round a "
        "text that begins with '*'",
    ),
    bent(
        "a tag is refused",
        "id: V\n",
        "id: !!str V\n",
        "2:5: HS108 tags are not used: '!!str' | take it out; put quotes round a text that "
        "begins with '!'",
    ),
    bent(
        "a merge key is refused, and what it would have brought is not missed",
        "id: V\ntitle: VHF set",
        "<<: *a",
        "2:1: HS109 merge keys are not used: '<<' | write the keys themselves",
        "2:5: HS107 aliases are not used: '*a' | write the value itself; put quotes round a "
        "text that begins with '*'",
    ),
    bent(
        "a second document is refused",
        "facts: [high_wing]\n",
        "facts: [high_wing]\n---\nformat: 1\n",
        "37:1: HS110 a second document begins | one file holds one; take the rest out",
    ),
    bent(
        "a directive is refused",
        "format: 1\nid",
        "%YAML 1.1\n---\nformat: 1\nid",
        "1:1: HS125 directives are not used: a line begins with '%' | take the line out",
    ),
    bent(
        "a key without a value is refused",
        "title: VHF set",
        "title:",
        "3:1: HS111 'title' has no value | give one, or take the key out; '' is an empty text",
    ),
    bent(
        "a list entry without a value is refused",
        "facts: [high_wing]",
        "facts:\n  - high_wing\n  -\n",
        "38:3: HS111 a list entry without a value | take the '-' out",
    ),
    bent(
        "a key that is a list is refused",
        "facts: [high_wing]",
        "? [a, b]\n: c",
        "36:3: HS124 a key that is not a plain word | write `key: value`; put quotes round a "
        "text that begins with '?'",
    ),
    bent(
        "a colon inside a plain text is explained",
        "title: VHF set",
        "title: VHF: set",
        "3:11: HS105 a ': ' that cannot stand here | line the key up with its neighbours; put "
        "quotes round a text that holds ': '",
    ),
    bent(
        "a key that does not line up is explained",
        "title: VHF set",
        " title: VHF set",
        "3:7: HS105 a ': ' that cannot stand here | line the key up with its neighbours; put "
        "quotes round a text that holds ': '",
    ),
    bent(
        "a quote never closed is placed where it opens",
        "title: VHF set",
        "title: 'VHF set",
        "3:8: HS105 a quote opened here is never closed | close it with the same quote",
    ),
    bent(
        "a quote round a part of a text is explained",
        "title: VHF set",
        "title: 'VHF' set",
        "3:14: HS105 this does not line up with what stands above | indent it like its "
        "neighbours; put quotes round a whole text, not a part of it",
    ),
    bent(
        "a list never closed is explained",
        "facts: [high_wing]",
        "facts: [high_wing",
        "37:1: HS105 the list opened with '[' on line 36 is not closed, or a ',' is missing | "
        "write `[one, two]`; put quotes round a text that begins with '['",
    ),
    bent(
        "a comma with nothing before it is explained",
        "facts: [high_wing]",
        "facts: [, high_wing]",
        "36:9: HS105 a value is missing here | put quotes round a text that begins with ',' ']' or "
        "'}'",
    ),
    bent(
        "a file indented but for its last key is explained",
        "format: 1\n",
        "  format: 1\n",
        "2:1: HS105 this does not line up with what stands above | indent it like its neighbours; "
        "put quotes round a whole text, not a part of it",
    ),
    bent(
        "a tag before its anchor is told by the name YAML gives it",
        "id: V\n",
        "id: !!str\n  &a V\n",
        "3:3: HS107 anchors are not used: '&a' | take it out; put quotes round a text that begins "
        "with '&'",
        "3:3: HS108 tags are not used: 'tag:yaml.org,2002:str' | take it out; put quotes round a "
        "text that begins with '!'",
    ),
    bent(
        "keys never closed are explained",
        "  - {battery: ON, panel: OPEN}",
        "  - {battery: ON panel: OPEN}",
        "30:23: HS105 the keys opened with '{' on line 30 are not closed, or a ',' is missing "
        "| write `{one: a, two: b}`; put quotes round a text that begins with '{'",
    ),
    bent(
        "a text that begins with a sign YAML keeps is explained",
        "title: VHF set",
        "title: @VHF",
        "3:8: HS105 a plain text cannot begin with this character | put quotes round the text",
    ),
    bent(
        "a text that begins with a star is explained",
        "title: VHF set",
        "title: * set",
        "3:8: HS105 a plain text cannot begin with '*' | put quotes round the text",
    ),
    bent(
        "a text that begins with an ampersand is explained",
        "title: VHF set",
        "title: & set",
        "3:8: HS105 a plain text cannot begin with '&' | put quotes round the text",
    ),
    bent(
        "a text that begins with an exclamation mark is explained",
        "title: VHF set",
        "title: !<x",
        "3:8: HS105 a plain text cannot begin with '!' | put quotes round the text",
    ),
    bent(
        "an unknown escape is explained",
        "title: VHF set",
        'title: "VHF \\q"',
        "3:14: HS105 an unknown '\\' sign inside double quotes | use single quotes, or write "
        "the backslash twice",
    ),
    bent(
        "an unfinished escape is explained",
        "title: VHF set",
        'title: "VHF \\x1"',
        "3:15: HS105 an unfinished '\\' sign inside double quotes | use single quotes, or "
        "write the backslash twice",
    ),
    bent(
        "a text on the line of its block sign is explained",
        "title: VHF set",
        "title: |VHF set",
        "3:9: HS105 a text cannot follow '|' or '>' on the same line | begin the text on the "
        "next line, or put quotes round it",
    ),
    bent(
        "a list entry beside its key is explained",
        "title: VHF set",
        "title: - VHF set",
        "3:8: HS105 a list entry '- ' that cannot stand here | begin the list on a new line "
        "under its key; put quotes round a text that begins '- '",
    ),
    bent(
        "a key without its colon is explained",
        "title: VHF set",
        "title VHF set",
        "3:1: HS105 a key without its ':' | write `key: value`; put quotes round a text that "
        "goes on over lines",
    ),
    bent(
        "too deep nesting is refused",
        "facts: [high_wing]",
        "facts: [[[[[[[[[[[[[[[[[[[[[[[[[[[[[[",
        "36:32: HS123 nested deeper than 24 levels | close the brackets; check the indentation",
    ),
)
def test_each_change_to_a_good_text_is_told_in_full(case: Bent) -> None:
    found = fit_yaml.read("x.yaml", case.of(FIT)).findings
    assert tuple(finding.text() for finding in found) == case.says


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "1:1: HS112 the file is empty | begin with `format: 1`"),
        (b"# nothing here\n", "1:1: HS112 the file is empty | begin with `format: 1`"),
        (b"- a\n", "1:1: HS112 expected keys with values, found a list | begin with `format: 1`"),
        (b"words", "1:1: HS112 expected keys with values, found a text | begin with `format: 1`"),
        (
            b"\xef\xbb\xbfformat: 1\r\nid: \xff",
            (
                "2:5: HS101 not UTF-8: byte 18 is 0xFF | save the file as UTF-8; the place is "
                "counted from the start of the file, first byte 0"
            ),
        ),
        (
            "format: 1".encode("utf-16"),
            (
                "1:1: HS101 not UTF-8: byte 0 is 0xFF | save the file as UTF-8; the place is "
                "counted from the start of the file, first byte 0"
            ),
        ),
        (
            "Å".encode() + b"\n\xc3\x85\xe9 e",
            (
                "2:2: HS101 not UTF-8: byte 5 is 0xE9 | save the file as UTF-8; the place is "
                "counted from the start of the file, first byte 0"
            ),
        ),
        (
            b"#" * (4 * 1024 * 1024 + 1),
            (
                "1:1: HS126 the file has 4194305 bytes; at most 4194304 are read | a list for one "
                "fit has some tens of thousands; is this the right file?"
            ),
        ),
        (
            b"# made later\n---\n\nformat: 12  # ours\n\tid:",
            (
                "4:9: HS114 made for a newer hardstand: format 12; this one reads format 1 | use "
                "that newer hardstand, or the former file"
            ),
        ),
    ],
)
def test_bytes_that_hold_no_file_of_ours_are_told_in_full(data: bytes, says: str) -> None:
    assert [f.text() for f in fit_yaml.read("x.yaml", data).findings] == [whole(says)]


@pytest.mark.parametrize(
    "typed",
    ["no", "on", "ON", "yes", "0329", "0o17", "12:30", "1e3", "1_000", "2027-03-01", "~", "null",
     "true", ".inf", "0x1F", "1.10", "NaN", "=", "Å ø 中文", "QM-107"],
)  # fmt: skip
def test_a_plain_word_is_read_as_typed_whatever_it_looks_like(typed: str) -> None:
    root, found = read_tree(f"a: {typed}\nb: [{typed}, x]\n".encode())
    assert found == ()
    assert isinstance(root, Keys)
    assert root.entries["a"].node == Words(typed, Mark(1, 4))
    assert root.entries["b"].node == Items(
        (Words(typed, Mark(2, 5)), Words("x", Mark(2, 7 + len(typed)))), Mark(2, 4)
    )


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_any_line_end_with_or_without_a_byte_order_mark_reads_alike(end: str, mark: bytes) -> None:
    plain = fit_yaml.read("x.yaml", FIT.encode())
    assert plain.usable
    assert fit_yaml.read("x.yaml", mark + FIT.replace("\n", end).encode()) == plain


def test_a_folded_text_is_one_line_without_a_line_end() -> None:
    root, _ = read_tree(b"a: >\n  one\n  two\n\nb: |\n  one\n  two\n")
    assert isinstance(root, Keys)
    texts = [e.node.text for e in root.entries.values() if isinstance(e.node, Words)]
    assert texts == ["one two", "one\ntwo"]


@given(
    st.text(
        st.characters(codec="utf-8", exclude_categories=("Cc", "Cf", "Cs", "Zl", "Zp", "Cn", "Co")),
        min_size=1,
    )
)
def test_a_quoted_text_is_read_back_as_it_was(text: str) -> None:
    """Law: nothing between the quotes is changed, whatever letters it is written in."""
    root, found = read_tree(f"a: {json.dumps(text, ensure_ascii=False)}\n".encode())
    assert found == ()
    assert isinstance(root, Keys)
    assert root.entries["a"].node == Words(text, Mark(1, 4))
