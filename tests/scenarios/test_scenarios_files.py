"""Nasty scenarios 56 to 62: files that an author gets wrong, and what people write."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from builders import IO, TAIL, on_disk
from hardstand.flows.logging_defects import Told, raise_defect
from scenarios.stage import answer_of, hardstand, pen_at, sit

TOP = Path(__file__).parents[2]
VHF = TOP / "checklists" / "vhf"


def edited(folder: Path, old: str, new: str) -> Path:
    """The VHF files with one change in the list."""
    folder.mkdir()
    (folder / "fit.yaml").write_bytes((VHF / "fit.yaml").read_bytes())
    text = (VHF / "preflight.yaml").read_text("utf-8")
    assert old in text
    (folder / "preflight.yaml").write_text(text.replace(old, new, 1), "utf-8")
    return folder


def items(record: Path, tail: str) -> list[dict[str, object]]:
    found: list[dict[str, object]] = json.loads(hardstand(record, "open", tail, "--json").out)[
        "items"
    ]
    return found


def test_scenario_56_a_typo_is_told_with_its_place_and_the_old_list_stays(
    quennock: Path, tmp_path: Path
) -> None:
    folder = edited(tmp_path / "v", "    kind: look\n", "    kind: loook\n")
    line = (folder / "preflight.yaml").read_text("utf-8").splitlines().index("    kind: loook") + 1
    told = hardstand(quennock, "checklist", "adopt", str(folder), "--by", "ÅL", "--second", "DQ")
    assert told.status == 1
    assert f"preflight.yaml:{line}:11: HS" in told.err
    assert "look" in told.err
    assert "Nothing was written." in told.err
    assert "V-PREFLIGHT V3" in hardstand(quennock, "checklist", "show").out


def test_scenario_57_what_is_given_twice_names_both_lines(tmp_path: Path) -> None:
    folder = edited(tmp_path / "v", "  - id: log-gate\n", "  - id: log-entries\n")
    lines = (folder / "preflight.yaml").read_text("utf-8").splitlines()
    first, second = (n for n, line in enumerate(lines, 1) if line == "  - id: log-entries")
    told = hardstand(None, "checklist", "check", str(folder))
    assert told.status == 1
    assert f"preflight.yaml:{second}:" in told.out
    assert f"line {first}" in told.out


def test_scenario_57_a_key_given_twice_names_both_lines(tmp_path: Path) -> None:
    folder = edited(tmp_path / "v", "purpose: preflight\n", "purpose: preflight\npurpose: look\n")
    lines = (folder / "preflight.yaml").read_text("utf-8").splitlines()
    second = lines.index("purpose: look") + 1
    told = hardstand(None, "checklist", "check", str(folder))
    assert f"preflight.yaml:{second}:1: HS106" in told.out
    assert f"line {second - 1}" in told.out


@pytest.mark.parametrize("word", ["no", "on", "0329", "12:30", "1e3", "2027-03-01", "~", "true"])
def test_scenario_58_a_word_is_read_as_typed_and_never_as_something_else(
    word: str, quennock: Path, tmp_path: Path
) -> None:
    folder = edited(tmp_path / "v", "revision: V3\n", f"revision: {word}\n")
    told = hardstand(quennock, "checklist", "adopt", str(folder), "--by", "ÅL", "--second", "DQ")
    assert told.status == 0, told.err
    assert f"V-PREFLIGHT {word} digest" in hardstand(quennock, "checklist", "show").out


def test_scenario_58_a_switch_position_is_the_word_on_its_plate(quennock: Path) -> None:
    pen = pen_at(quennock, "2027-03-08T04:50-03:00")
    sit(pen, "QM-161", until="lis-on")
    given = answer_of(pen.journal, "QM-161", "lis-battery")
    assert (given.answer, given.state) == ("OK", "ON"), "neither true nor yes"


@pytest.mark.parametrize("word", ["0329", "1e3", "no", "12:30"])
def test_scenario_58_a_number_is_a_number_or_refused(word: str, tmp_path: Path) -> None:
    folder = edited(tmp_path / "v", "    minutes: 1\n", f"    minutes: {word}\n")
    told = hardstand(None, "checklist", "check", str(folder))
    assert told.status == 1
    assert word in told.out


def test_scenario_59_a_note_of_60000_characters_is_refused_with_its_count(quennock: Path) -> None:
    told = hardstand(quennock, "defect", "raise", "QM-101", "x" * 60000, "--by", "NH")
    assert told.status == 2
    assert "This note has 60000 characters; one note holds 4000." in told.err
    assert items(quennock, "QM-101") == []
    assert "write it as two notes" in told.err


def test_scenario_59_a_note_of_4000_characters_is_kept_and_a_list_shows_its_beginning(
    quennock: Path,
) -> None:
    assert hardstand(quennock, "defect", "raise", "QM-101", "x" * 4000, "--by", "NH").status == 0
    assert items(quennock, "QM-101")[0]["text"] == "x" * 4000, "kept whole"
    for question in ("open", "status"):
        shown = hardstand(quennock, question, "101").out
        assert f"{'x' * 120} … + 3880" in shown
        assert "x" * 121 not in shown
    assert "x" * 4000 in hardstand(quennock, "why", "101-S01").out, "and shown whole when asked"


def test_scenario_60_any_language_is_kept_and_a_foreign_letter_is_no_tail(quennock: Path) -> None:
    words = "Å ø 中文 e\u0301 قف"
    assert hardstand(quennock, "defect", "raise", "QM-101", words, "--by", "NH").status == 0
    assert items(quennock, "QM-101")[0]["text"] == words
    for typed in ("\u00e9", "E\u0301", "\u00c5", "中文"):
        found = hardstand(quennock, "open", "101", "--words", typed, "--json").tree
        assert [i["text"] for i in found["items"]] == [words], "found however it is typed"
    assert hardstand(quennock, "open", "101", "--words", "ö", "--json").tree["hidden"] == 1
    told = hardstand(quennock, "defect", "raise", "QМ-107", "hum", "--by", "NH")
    assert told.status == 1
    assert "is no tail of this fleet" in told.err
    assert "stands" not in hardstand(quennock, "walk", "--by", "NH", typed=["QМ-107"]).out


def test_scenario_60_the_same_words_have_the_same_digest_on_every_device(tmp_path: Path) -> None:
    words = "Å ø 中文 e\u0301 قف"
    seen = set()
    for device in "AB":
        (tmp_path / device).mkdir()
        pen = on_disk(tmp_path / device, device="A")
        told = Told(words=words, symbol="/")
        raise_defect(pen, TAIL, told, by=IO)
        seen.add(pen.journal.heads()["A"].digest)
    assert len(seen) == 1


@pytest.mark.parametrize("name", ["plugs-é", "plugs-а", "plugs 1"])
def test_scenario_60_a_foreign_letter_is_no_id(name: str, tmp_path: Path) -> None:
    folder = edited(tmp_path / "v", "  - id: log-gate\n", f"  - id: {name}\n")
    told = hardstand(None, "checklist", "check", str(folder))
    assert told.status == 1
    assert name in told.out


def test_scenario_61_what_could_act_on_a_screen_is_shown_by_name(quennock: Path) -> None:
    words = "=1+1 \x1b[31mred\x1b[0m \u202eabc\u202c [red]x[/] [/] a\u200bb"
    assert hardstand(quennock, "defect", "raise", "QM-101", words, "--by", "NH").status == 0
    assert items(quennock, "QM-101")[0]["text"] == words, "stored exactly"
    shown = hardstand(quennock, "open", "QM-101").out
    for name in ("⟨ESC⟩", "⟨RLO⟩", "⟨ZWSP⟩", "[red]x[/] [/]"):
        assert name in shown
    assert not set("\x1b\u202e\u200b") & set(shown)
    cells = hardstand(quennock, "open", "QM-101", "--csv").out
    assert "'=1+1" in cells


def test_scenario_61_a_note_in_a_walk_is_kept_exactly_and_cannot_act(quennock: Path) -> None:
    words = "\x1b[2Jgone\b\b \u202eback\u200b"
    pen = pen_at(quennock, "2027-03-08T04:50-03:00")
    sit(pen, "QM-161", until="log-gate", then=["d", words, "3"])
    assert pen.journal.facts("QM-161").open[0].text == words
    screen = sit(pen, "QM-161", until="log-gate")
    asked = hardstand(quennock, "record", "history", "161-S01").out
    for shown in (screen.said, asked, hardstand(quennock, "why", "161-S01").out):
        assert not set("\x1b\b\u202e\u200b") & set(shown)
    assert "⟨ESC⟩[2Jgone⟨BS⟩⟨BS⟩ ⟨RLO⟩back⟨ZWSP⟩" in asked


def test_scenario_62_bom_and_windows_lines_are_read_and_other_encodings_named(
    tmp_path: Path,
) -> None:
    windows = {b"\n": b"\r\n"}
    for name, start, ends in (("bom", b"\xef\xbb\xbf", {}), ("windows", b"", windows)):
        folder = tmp_path / name
        folder.mkdir()
        for file in VHF.glob("*.yaml"):
            data = file.read_bytes().replace(b"\n", ends.get(b"\n", b"\n"))
            (folder / file.name).write_bytes(start + data)
        assert hardstand(None, "checklist", "check", str(folder)).status == 0
    folder = edited(tmp_path / "latin", "title: VHF set, preflight", "title: VHF set, pr\xe9flight")
    file = folder / "preflight.yaml"
    file.write_bytes(file.read_text("utf-8").encode("latin-1", "replace"))
    told = hardstand(None, "checklist", "check", str(folder))
    assert told.status == 1
    assert "HS101" in told.out
    assert "0xe9" in told.out.lower() or "e9" in told.out.lower()
