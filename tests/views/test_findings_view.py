"""What `checklist check` prints: findings, then the ids of the steps they call by number."""

from __future__ import annotations

from pathlib import Path

from hardstand.flows.checking import check_files
from hardstand.views.findings import text

_FOLDER = Path(__file__).parents[2] / "checklists" / "vhf"


def _printed(old: str, new: str) -> list[str]:
    texts = {n: (_FOLDER / n).read_text(encoding="utf-8") for n in ("fit.yaml", "preflight.yaml")}
    assert texts["preflight.yaml"].count(old) == 1
    texts["preflight.yaml"] = texts["preflight.yaml"].replace(old, new)
    return text(check_files([(n, t.encode()) for n, t in texts.items()])).split("\n")


def test_steps_called_by_number_are_given_by_id_as_the_file_spells_them() -> None:
    printed = _printed("    wait_s: 60\n", "    wait_s: 60\n    if_fault: close-battery\n")
    assert printed[1:] == [
        (
            "  hint: 8.01 brings it to OFF, but FAULT at 6.04 passes over it: send the fault to "
            "8.01 or earlier."
        ),
        "preflight.yaml: 1.01 log-entries, 2.04 safe-talk, 3.01 ant-stand,",
        "  6.03 lis-battery, 6.04 lis-on, 8.01 close-lever, 8.02 close-battery,",
        "  9.04 pap-end",
        "1 to mend, 0 advice. Read: fit V; list V-PREFLIGHT V3: 45 steps.",
    ]


def test_numbers_that_are_no_steps_are_left_alone() -> None:
    printed = _printed(
        '    unit: fasteners\n    expect: "{dynamotor_bay.fasteners}"\n',
        '    unit: fasteners\n    expect: "7.5"\n',
    )
    assert printed[-1].startswith("1 to mend")
    assert not any(line.startswith("preflight.yaml: ") for line in printed)


def test_without_findings_one_line_says_what_was_read() -> None:
    assert _printed("revision: V3\n", "revision: V4\n") == [
        "0 to mend, 0 advice. Read: fit V; list V-PREFLIGHT V4: 45 steps."
    ]


def test_a_step_in_a_zone_the_list_does_not_have_has_no_number_to_give() -> None:
    printed = _printed("  - id: dynamotor\n    title: dynamotor bay\n", "")
    assert printed[-1].startswith("6 to mend, 0 advice.")
    assert not any(line.startswith("preflight.yaml: ") for line in printed)
