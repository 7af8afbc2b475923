"""Two revisions of a list side by side, from files and from the record."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from builders import checklist, on_disk, papers, step, steps
from command import command
from formats.small_files import FIT, LIST
from hardstand.errors import BadFile, NotThere, Usage
from hardstand.flows.adopting import adopt
from hardstand.flows.comparing import compared

HIGHER = LIST.replace("revision: 1\nmanual", "revision: 2\nmanual").replace(
    "high: 28.5", "high: 28"
)


def _files(**texts: str) -> dict[str, bytes]:
    return {f"{name}.yaml": text.encode() for name, text in texts.items()}


def test_files_are_compared_without_a_record() -> None:
    found = compared(None, ("a.yaml", "b.yaml"), _files(a=LIST, b=HIGHER).get)
    assert (found.old.revision, found.new.revision) == ("1", "2")
    assert found.changes.edited == (("meter", ("accept",)),)
    assert found.unexplained == ()
    assert found.again is None


def test_a_fit_beside_the_newer_file_says_what_to_walk_again() -> None:
    texts = {"a.yaml": LIST.encode(), "v/b.yaml": HIGHER.encode(), "v/fit.yaml": FIT.encode()}
    found = compared(None, ("a.yaml", "v/b.yaml"), texts.get)
    assert found.again == ("tools", "open", "meter", "shut", "fasteners", "count-out")


def test_a_file_that_does_not_read_is_told() -> None:
    with pytest.raises(BadFile, match=r"a\.yaml:5:1: HS104 unknown key 'purposes'"):
        compared(None, ("a.yaml", "b.yaml"), _files(a=LIST.replace("purpose:", "purposes:")).get)


def test_lists_of_two_fits_are_not_compared() -> None:
    other = LIST.replace("fit: V\n", "fit: H\n")
    with pytest.raises(Usage) as raised:
        compared(None, ("a.yaml", "b.yaml"), _files(a=LIST, b=other).get)
    assert raised.value.lines() == (
        "a.yaml is for fit V, b.yaml for fit H.", "Compare two revisions of one list.",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("nowhere.yaml", "Name a YAML file, or a list as ID@REVISION."),
        ("T-PRE@9", "Revisions of T-PRE here: 1."),
    ],
)
def test_what_is_neither_a_file_nor_a_list_is_not_there(
    name: str, said: str, tmp_path: Path
) -> None:
    with pytest.raises(NotThere) as raised:
        compared(on_disk(tmp_path).journal, ("t-pre", name), _files().get)
    assert raised.value.lines() == (
        f"{name!r} is neither a file nor a list of this record.", said,
    )  # fmt: skip


def _three(folder: Path) -> Path:
    pen = on_disk(folder)
    two = (
        replace(s, good="every word, twice", why="Dead air.") if s.id == "hear" else s
        for s in steps()
    )
    adopt(pen, papers(listed=checklist(listed=tuple(two), revision="2"))[2:])
    more = (*steps()[1:], step("tape", "log"), step("film", "log"), step("note", "log"))
    adopt(pen, papers(listed=checklist(listed=more, revision="3"))[2:])
    return folder / "record.db"


def test_the_command_tells_what_changed_and_what_to_walk_again(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    record = _three(tmp_path)
    assert command("--record", record, "--plain", "checklist", "compare", "T-PRE@1", "T-PRE@2") == 0
    told = capsys.readouterr().out.splitlines()
    assert told[0] == "T-PRE, fit T: 1 to 2"
    assert told[-6:] == [
        "changed  3.03 hear: why, good",
        "  why was: why of hear",
        "  why now: Dead air.",
        "  good was: good hear",
        "  good now: every word, twice",
        "To walk again where 1 was walked last: 5 of 15 steps: 1.02, 1.03, 3.01, 3.03, 4.01.",
    ]


def test_growth_without_a_reason_is_an_answer_no(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    record = _three(tmp_path)
    assert command("--record", record, "--plain", "checklist", "compare", "T-PRE@1", "T-PRE@3") == 1
    told = capsys.readouterr().out
    assert "Over a tenth more: steps, minutes. No reason is given: " in told
    assert "say why under revision_reason." in told
    for line in ("added    5.02 tape", "added    5.04 note", "removed  1.01 tools"):
        assert line in told
    growth = [line for line in told.splitlines() if "steps" in line and "%" in line]
    assert growth == [line for line in growth if line.endswith("+13 %")]
    assert len(growth) == 1


def test_two_equal_revisions_have_nothing_to_say(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    record = _three(tmp_path)
    assert command("--record", record, "checklist", "compare", "t-pre@2", "t-pre@2") == 0
    assert capsys.readouterr().out.splitlines()[-2:] == [
        "Nothing was added, removed, moved or changed.",
        "Nothing is to be walked again: no step asks otherwise.",
    ]


def test_what_changed_outside_the_steps_is_told_by_what_is_gone_and_what_is_new(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = Path(__file__).parents[2] / "checklists" / "vhf"
    text = (folder / "preflight.yaml").read_text(encoding="utf-8")
    old, new = tmp_path / "old.yaml", tmp_path / "new.yaml"
    old.write_text(text, encoding="utf-8")
    storm = text[text.index("      - hazard: Lightning") : text.index("  - id: compartment\n")]
    text = text.replace(storm, "").replace("  - torch\n", "").replace("revision: 4", "revision: 5")
    new.write_text(text, encoding="utf-8")
    assert command("--plain", "checklist", "compare", old, new) == 0
    told = capsys.readouterr().out.splitlines()
    assert told[told.index("zone     antenna: warning") :] == [
        "zone     antenna: warning",
        (
            "  warning gone: Lightning can strike a parked aircraft. It kills whoever holds on to "
            "it. Stop antenna and stand work when a storm is near."
        ),
        "list     manual, tools",
        "  manual was: title Approved maintenance manual of this VHF set, revision 4",
        "  manual now: title Approved maintenance manual of this VHF set, revision 5",
        "  tools gone: torch",
        "What to walk again is not worked out: fit V is not at hand.",
    ]
