"""Scenarios 34, 37, 38 of the log outside a walk, and 56 to 62 of files and text."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from scenarios.stage import hardstand

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


def test_scenario_34_a_defect_seen_while_walking_past_is_one_command(quennock: Path) -> None:
    told = hardstand(quennock, "defect", "raise", "qm101", "panel L3 hangs open", "--by", "NH")
    assert told.status == 0
    assert told.err.startswith("101-S01 raised on QM-101: / red diagonal.")
    assert [(i["text"], i["found_by"]) for i in items(quennock, "QM-101")] == [
        ("panel L3 hangs open", "NH")
    ]


def test_scenario_37_three_faults_in_one_line_are_split_by_offer(quennock: Path) -> None:
    line = "key sticks; no sidetone; lamp out"
    told = hardstand(quennock, "defect", "raise", "QM-101", line, "--by", "NH")
    assert "More than one fault? `--split` writes one entry for each part" in told.err
    assert [i["text"] for i in items(quennock, "QM-101")] == [line]
    split = hardstand(quennock, "defect", "raise", "QM-104", line, "--by", "NH", "--split")
    assert split.status == 0
    assert [i["text"] for i in items(quennock, "QM-104")] == [
        "key sticks",
        "no sidetone",
        "lamp out",
    ]
    history = hardstand(quennock, "record", "history", "104-S02").out
    assert line in history, "each part keeps the line as it was told"


def test_scenario_38_a_fault_on_something_not_in_this_fit_stops(quennock: Path) -> None:
    told = hardstand(quennock, "defect", "raise", "QM-101", "dead", "--takes", "v.tx", "--by", "NH")
    assert told.status == 10
    assert "QM-101 carries fit H, which has no v.tx." in told.err
    assert "raise a dash: fit not as recorded" in told.err
    assert items(quennock, "QM-101") == []


def test_scenario_56_a_typo_is_told_with_its_place_and_the_old_list_stays(
    quennock: Path, tmp_path: Path
) -> None:
    folder = edited(tmp_path / "v", "    kind: look\n", "    kind: loook\n")
    line = (folder / "preflight.yaml").read_text("utf-8").splitlines().index("    kind: loook") + 1
    told = hardstand(quennock, "checklist", "adopt", str(folder), "--by", "ÅL")
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
    told = hardstand(quennock, "checklist", "adopt", str(folder), "--by", "ÅL")
    assert told.status == 0, told.err
    assert f"V-PREFLIGHT {word} digest" in hardstand(quennock, "checklist", "show").out


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
    fits = hardstand(quennock, "defect", "raise", "QM-101", "x" * 4000, "--by", "NH")
    assert fits.status == 0
    assert items(quennock, "QM-101")[0]["text"] == "x" * 4000


def test_scenario_60_any_language_is_kept_and_a_foreign_letter_is_no_tail(quennock: Path) -> None:
    words = "Å ø 中文 e\u0301 قف"
    assert hardstand(quennock, "defect", "raise", "QM-101", words, "--by", "NH").status == 0
    assert items(quennock, "QM-101")[0]["text"] == words
    told = hardstand(quennock, "defect", "raise", "QМ-107", "hum", "--by", "NH")
    assert told.status == 1
    assert "is no tail of this fleet" in told.err


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


def test_scenario_62_bom_and_windows_lines_are_read_and_other_encodings_named(
    tmp_path: Path,
) -> None:
    for name, change in {
        "bom": lambda data: b"\xef\xbb\xbf" + data,
        "windows": lambda data: data.replace(b"\n", b"\r\n"),
    }.items():
        folder = tmp_path / name
        folder.mkdir()
        for file in VHF.glob("*.yaml"):
            (folder / file.name).write_bytes(change(file.read_bytes()))
        assert hardstand(None, "checklist", "check", str(folder)).status == 0
    folder = edited(tmp_path / "latin", "title: VHF set, preflight", "title: VHF set, pr\xe9flight")
    file = folder / "preflight.yaml"
    file.write_bytes(file.read_text("utf-8").encode("latin-1", "replace"))
    told = hardstand(None, "checklist", "check", str(folder))
    assert told.status == 1
    assert "HS101" in told.out
    assert "0xe9" in told.out.lower() or "e9" in told.out.lower()
