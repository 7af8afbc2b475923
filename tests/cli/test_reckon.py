"""`hardstand reckon` as it is called, and how little it loads."""

from __future__ import annotations

import subprocess
import sys
from io import BytesIO, TextIOWrapper
from pathlib import Path

import pytest
import typer
from typer.testing import CliRunner

from hardstand.cli.bench import answer, front, quick
from hardstand.cli.reckon import reckon
from hardstand.errors import NotThere, Usage

DOCS = Path(__file__).parents[2] / "docs" / "reference" / "reckon.md"


def _run(*words: str) -> str:
    app = typer.Typer()
    app.command()(reckon)
    result = CliRunner().invoke(app, list(words))
    assert result.exit_code == 0, result.output
    return result.stdout


def _loaded(call: str) -> set[str]:
    code = f"import sys; from hardstand.cli.bench import quick; {call}; print(*sys.modules)"
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    return set(run.stdout.split())


WORDS = [
    [],
    ["--json"],
    ["watts_dbm"],
    ["watts_dbm", "--json"],
    ["watts_dbm", "W=10"],
    ["watts_dbm", "W=10", "--json"],
    ["--json", "watts_dbm", "W=10"],
]


@pytest.mark.parametrize("words", WORDS, ids=" ".join)
def test_the_quick_way_says_what_the_command_says(words: list[str]) -> None:
    said = quick(words)
    assert said is not None
    assert _run(*words) == said + "\n"


def test_a_file_is_worked_line_by_line(tmp_path: Path) -> None:
    table = tmp_path / "watts.csv"
    table.write_bytes(b"\xef\xbb\xbf# meter 3\nW\n10\n1e3\n")
    wanted = (
        "W,dBm\n10,40.00\n1e3,reject: W: '1e3' is not read as a number: 'e3' stands behind '1'\n"
    )
    assert _run("watts_dbm", "--csv", str(table)) == wanted
    assert quick(["watts_dbm", f"--csv={table}"]) == wanted.removesuffix("\n")


def test_a_dash_reads_standard_input(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", TextIOWrapper(BytesIO(b"W\n10\n")))
    assert quick(["watts_dbm", "--csv", "-"]) == "W,dBm\n10,40.00"


@pytest.mark.parametrize("words", [["--help"], ["-h"], ["watts_dbm", "--plain"], ["--csv"]])
def test_what_the_quick_way_does_not_know_is_left_to_typer(words: list[str]) -> None:
    assert quick(words) is None


def test_the_front_answers_on_stdout_and_refuses_on_stderr(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert front(["watts_dbm", "--csv", "none.csv"]) == 1
    assert capsys.readouterr() == ("", "none.csv cannot be read: No such file or directory.\n")
    assert front(["watts_dbm", "W=1e3"]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err == (
        "W: '1e3' is not read as a number: 'e3' stands behind '1'\n"
        "Write digits with at most one point, as 4000 or 4000 W.\n"
    )
    assert front(["watts_dbm"]) == 0
    said = capsys.readouterr()
    assert said.out.startswith("watts_dbm: watts in dBm\n")
    assert said.err == ""
    assert front(["--help"]) is None
    assert capsys.readouterr() == ("", "")


def test_a_file_that_cannot_be_read_is_said_so(tmp_path: Path) -> None:
    missing = tmp_path / "none.csv"
    with pytest.raises(NotThere) as caught:
        answer("watts_dbm", (), table=str(missing), as_json=False)
    assert caught.value.what == f"{missing} cannot be read: No such file or directory."


def test_a_file_in_another_encoding_is_refused(tmp_path: Path) -> None:
    latin = tmp_path / "latin.csv"
    latin.write_bytes("W\n10\xb5".encode("latin-1"))
    with pytest.raises(Usage) as caught:
        answer("watts_dbm", (), table=str(latin), as_json=False)
    assert caught.value.lines() == (f"{latin} is not UTF-8 text.", "Save the table as UTF-8.")


@pytest.mark.parametrize(("name", "pairs"), [("", ()), ("watts_dbm", ("W=1",))])
def test_a_table_goes_with_one_name_and_no_pairs(name: str, pairs: tuple[str, ...]) -> None:
    with pytest.raises(Usage) as caught:
        answer(name, pairs, table="-", as_json=False)
    assert caught.value.what == "--csv takes the name of one sum and no KEY=VALUE."


def test_the_list_loads_no_family_and_no_decimals() -> None:
    loaded = _loaded("quick([])")
    assert "decimal" not in loaded
    assert "hardstand.domain.readings.family" not in loaded
    assert "typer" not in loaded


def test_one_sum_loads_its_own_family_and_nothing_heavy() -> None:
    loaded = _loaded("quick(['watts_dbm', 'W=10'])")
    assert "hardstand.domain.readings.feeder" in loaded
    assert "hardstand.domain.readings.dial" not in loaded
    assert not loaded & {"typer", "rich", "pydantic", "sqlalchemy", "ruamel", "numpy", "sqlite3"}


def test_the_reference_page_names_every_sum_with_its_columns() -> None:
    from hardstand.domain.readings.registry import REGISTRY, WORDS

    page = DOCS.read_text(encoding="utf-8")
    for name, family in REGISTRY.items():
        asked = ", ".join(f"`{ask.name}`" for ask in family.asks)
        answered = ", ".join(f"`{column}`" for column in family.answers)
        assert f"| `{name}` | {WORDS[name]} | {asked} | {answered} |" in page
