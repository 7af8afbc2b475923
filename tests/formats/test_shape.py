"""Text to dataclasses: keys, shapes, words and numbers, every refusal verbatim."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from hypothesis import example, given
from hypothesis import strategies as st

from formats.small_files import FIT, LIST, Bent, bent, cases
from hardstand.domain.checklist import Bounds, Fit, OnFault
from hardstand.formats import checklist_yaml, fit_yaml
from hardstand.formats.shape import load


@cases(
    bent(
        "an unknown key lists what is accepted and the nearest",
        "title: VHF set",
        "titel: VHF set",
        "1:1: HS116 'title' is missing | add the key",
        "3:1: HS104 unknown key 'titel' | nearest: title; accepted: id, title, units, "
        "functions, items, controls, never, missions, permitted, facts, "
        "answered",
    ),
    bent(
        "an unknown key inside names where it stands",
        "draws: 2.50",
        "drawz: 2.50",
        "15:5: HS104 unknown key 'drawz' in items/battery | nearest: draws; accepted: title, "
        "kind, home, actions, hazard, draws",
    ),
    bent(
        "the field from_ is spelled from",
        "{from: ON, to: OFF}",
        "{from_: ON, to: OFF}",
        "18:9: HS116 'from' is missing in items/battery/actions/#2 | add the key",
        "18:10: HS104 unknown key 'from_' in items/battery/actions/#2 | nearest: from; "
        "accepted: from, to, only_with, zone",
    ),
    bent(
        "a missing key inside names where it is missing",
        "{plate: VHF, positions",
        "{positions",
        "28:10: HS116 'plate' is missing in controls/lever | add the key",
    ),
    bent(
        "all missing keys of one place are one finding",
        "{what: lamp out, category: D, condition: none, example: true}",
        "{example: true}",
        "35:12: HS116 'what', 'category', 'condition' are missing in permitted/23-V-09 | add "
        "the keys",
    ),
    bent(
        "a wrong word lists what is accepted and the nearest",
        "kind: energy",
        "kind: enregy",
        "13:11: HS117 'enregy' is not a word accepted for items/battery/kind | nearest: "
        "energy; accepted: access, removed, disconnected, energy, placed, tag, count, proof",
    ),
    bent(
        "a list for a word is of the wrong shape",
        "kind: energy",
        "kind: [energy]",
        "13:11: HS118 items/battery/kind: expected one word, found a list | accepted: access, "
        "removed, disconnected, energy, placed, tag, count, proof",
    ),
    bent(
        "a text for a list is of the wrong shape",
        "facts: [high_wing]",
        "facts: high_wing",
        "36:8: HS118 facts: expected a list, found a text | write `[one, two]`, or each entry "
        "on its own line after '- '",
    ),
    bent(
        "a list for keys is of the wrong shape",
        "never:\n  - {battery: ON, panel: OPEN}",
        "never:\n  - [battery, panel]",
        "30:5: HS118 never/#1: expected keys with values, found a list | write `key: value`, "
        "one a line",
    ),
    bent(
        "keys for a text are of the wrong shape",
        "title: VHF set",
        "title: {VHF: set}",
        "3:8: HS118 title: expected a text, found keys with values | write one text; quotes "
        "help where it holds special signs",
    ),
    bent(
        "a text for a group of keys is of the wrong shape",
        "{plate: VHF, positions: [OFF, ON], unit: TR-V}",
        "VHF",
        "28:10: HS118 controls/lever: expected keys with values, found a text | write `key: "
        "value`, one a line",
    ),
    bent(
        "a list for a decimal is of the wrong shape",
        "draws: 2.50",
        "draws: [2.50]",
        "15:12: HS118 items/battery/draws: expected a decimal number, found a list | write "
        "digits, as 12.5",
    ),
    bent(
        "keys for a truth are of the wrong shape",
        "example: true",
        "example: {a: b}",
        "35:68: HS118 permitted/23-V-09/example: expected true or false, found keys with "
        "values | write true or false",
    ),
    bent(
        "a decimal with a comma is refused",
        "draws: 2.50",
        "draws: 2,5",
        "15:12: HS120 '2,5' is not a decimal number | digits with at most one point, as 0, 7.5 "
        "or 120; no leading zero",
    ),
    bent(
        "yes is not true",
        "example: true",
        "example: yes",
        "35:68: HS121 'yes' is not true or false | accepted: true, false",
    ),
    bent(
        "an empty text where words are needed is refused",
        "title: VHF set",
        "title: ''",
        "3:8: HS122 title is an empty text | say it in words, or take it out",
    ),
    bent(
        "an empty text in a list is refused",
        "facts: [high_wing]",
        "facts: [high_wing, ' ']",
        "36:20: HS122 facts/#2 is an empty text | say it in words, or take it out",
    ),
    bent(
        "a file without its format is refused",
        "format: 1\n",
        "",
        "1:1: HS113 'format' is missing | the first line of the file is `format: 1`",
    ),
    bent(
        "a format that is not the first key is refused",
        "format: 1\nid: V",
        "id: V\nformat: 1",
        "2:1: HS113 'format' is not the first key | the first line of the file is `format: 1`",
    ),
    bent(
        "a format with a leading zero is not known",
        "format: 1",
        "format: 01",
        "1:9: HS115 the format '01' is not known | accepted: 1",
    ),
    bent(
        "format 0 is not known",
        "format: 1",
        "format: 0",
        "1:9: HS115 the format '0' is not known | accepted: 1",
    ),
    bent(
        "a format without a value is one finding",
        "format: 1",
        "format:",
        "1:1: HS111 'format' has no value | give one, or take the key out; '' is an empty text",
    ),
    bent(
        "a file for a newer hardstand says nothing else",
        "format: 1\nid: V",
        "format: 2\nid:\tV\nfoo: bar",
        "1:9: HS114 made for a newer hardstand: format 2; this one reads format 1 | use that "
        "newer hardstand, or the former file",
    ),
)
def test_each_change_of_shape_is_told_in_full(case: Bent) -> None:
    found = fit_yaml.read("x.yaml", case.of(FIT)).findings
    assert tuple(finding.text() for finding in found) == case.says


@cases(
    bent(
        "numbers follow strict grammars",
        "graduation: 0.5",
        "graduation: 1_000\n    wait_s: 007\n    stale_after_min: 1e3\n    minutes: .5\n    "
        "hold: on",
        "55:17: HS120 '1_000' is not a decimal number | digits with at most one point, as 0, "
        "7.5 or 120; no leading zero",
        "56:13: HS119 '007' is not a whole number | digits only, as 0, 7 or 120; no leading "
        "zero, at most 15 digits",
        "57:22: HS119 '1e3' is not a whole number | digits only, as 0, 7 or 120; no leading "
        "zero, at most 15 digits",
        "58:14: HS120 '.5' is not a decimal number | digits with at most one point, as 0, 7.5 "
        "or 120; no leading zero",
        "59:11: HS121 'on' is not true or false | accepted: true, false",
    ),
    bent(
        "a negative zero is no decimal",
        "graduation: 0.5",
        "graduation: -0",
        "55:17: HS120 '-0' is not a decimal number | digits with at most one point, as 0, 7.5 "
        "or 120; no leading zero",
    ),
    bent(
        "a number of 16 digits is refused",
        "graduation: 0.5",
        "wait_s: 1234567890123456",
        "55:13: HS119 '1234567890123456' is not a whole number | digits only, as 0, 7 or 120; "
        "no leading zero, at most 15 digits",
    ),
)
def test_a_number_that_is_none_is_told_in_full(case: Bent) -> None:
    found = checklist_yaml.read("x.yaml", case.of(LIST)).findings
    assert tuple(finding.text() for finding in found) == case.says


@dataclass(frozen=True, slots=True, kw_only=True)
class Dials:
    """Stands for any dataclass a file is made of, such as the settings of an operator."""

    hours: int = 24
    grain: Decimal = Decimal("0.5")
    strict: bool = True
    basis: Literal["local", "utc"] = "local"
    words: str = ""


def test_a_file_of_defaults_is_the_default_value() -> None:
    assert load("x.yaml", b"format: 1\n", Dials).value == Dials()


def test_each_type_of_field_is_read() -> None:
    text = b"format: 1\nhours: -7\ngrain: 2.50\nstrict: false\nbasis: utc\nwords: ''\n"
    value = load("x.yaml", text, Dials).value
    assert value == Dials(hours=-7, grain=Decimal("2.50"), strict=False, basis="utc", words="")
    assert str(value.grain) == "2.50"


def test_everything_wrong_in_a_file_is_told_at_once() -> None:
    text = b"format: 1\nhours: 07\ngrain: 1e3\nstrict: on\nbasis: lokal\nwordz: x\n"
    assert [d.text() for d in load("s.yaml", text, Dials).findings] == [
        (
            "s.yaml:2:8: HS119 '07' is not a whole number\n"
            "  hint: digits only, as 0, 7 or 120; no leading zero, at most 15 digits"
        ),
        (
            "s.yaml:3:8: HS120 '1e3' is not a decimal number\n"
            "  hint: digits with at most one point, as 0, 7.5 or 120; no leading zero"
        ),
        "s.yaml:4:9: HS121 'on' is not true or false\n  hint: accepted: true, false",
        (
            "s.yaml:5:8: HS117 'lokal' is not a word accepted for basis\n"
            "  hint: nearest: local; accepted: local, utc"
        ),
        (
            "s.yaml:6:1: HS104 unknown key 'wordz'\n"
            "  hint: nearest: words; accepted: hours, grain, strict, basis, words"
        ),
    ]


def test_a_good_fit_is_the_value_its_file_says() -> None:
    fit = fit_yaml.parse("x.yaml", FIT.encode())
    assert isinstance(fit, Fit)
    assert fit.items["battery"].actions[0].from_ == "OFF"
    assert fit.items["battery"].actions[0].only_with == {"panel": "SHUT"}
    assert str(fit.items["battery"].draws) == "2.50"
    assert fit.items["tools"].home == "0"
    assert fit.never == ({"battery": "ON", "panel": "OPEN"},)
    assert fit.permitted is not None
    assert fit.permitted["23-V-09"].example is True


def test_what_a_step_leaves_out_takes_the_default() -> None:
    checklist = checklist_yaml.read("x.yaml", LIST.encode()).value
    assert checklist is not None
    hear, meter = checklist.step("hear"), checklist.step("meter")
    assert (hear.minutes, hear.if_fault, hear.accept) == (Decimal(1), "go_on", None)
    assert hear.on_fault == OnFault()
    assert meter.accept == Bounds(low=Decimal(24), high=Decimal("28.5"), example=True)


def _typed(field: str, text: str) -> object:
    value = load("x.yaml", f"format: 1\n{field}: '{text}'\n".encode(), Dials).value
    return None if value is None else getattr(value, field)


_NUMBERLIKE = st.text("0123456789+-._eE ,x", max_size=8)


@given(st.one_of(_NUMBERLIKE, st.integers().map(str)))
@example("1_000")
@example(" 12")
@example("+5")
@example("0x1F")
@example("\u0663")
def test_a_whole_number_accepted_is_the_number_typed(text: str) -> None:
    """Law: what is accepted reads back as the very text; nothing is rounded or reinterpreted."""
    number = _typed("hours", text)
    assert number is None or str(number) == text
    if re.fullmatch(r"[1-9][0-9]{0,14}", text):
        assert number == int(text)


@given(st.one_of(_NUMBERLIKE, st.decimals(allow_nan=True, allow_infinity=True).map(str)))
@example("1e3")
@example("NaN")
@example("0.0000001")
@example("00.5")
def test_a_decimal_accepted_is_the_number_typed(text: str) -> None:
    """Law: what is accepted reads back as the very text, its last zeros included."""
    number = _typed("grain", text)
    assert number is None or (isinstance(number, Decimal) and format(number, "f") == text)
    if re.fullmatch(r"[1-9][0-9]{0,14}\.[0-9]{1,15}", text):
        assert number == Decimal(text)


@given(st.text("truefalsyno01TF", max_size=6))
@example("true")
@example("false")
@example("True")
@example("yes")
def test_only_two_words_are_a_truth(text: str) -> None:
    assert _typed("strict", text) is {"true": True, "false": False}.get(text)
