"""What the quick questions load: counted in sys.modules, since counts do not flake."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from builders import TAIL, close_all, lines, on_disk
from scripted import Scripted

HEAVY = ("sqlalchemy", "pydantic", "ruamel", "rich", "cryptography")
HOT = ("status", "open", "why", "walks")


def _loaded(*words: str) -> set[str]:
    """The modules a command of the front door has loaded when it leaves with 0."""
    code = (
        "import sys\n"
        "from hardstand.__main__ import main\n"
        "status = 0\n"
        "try:\n    main()\n"
        "except SystemExit as end:\n    status = end.code or 0\n"
        "sys.stderr.write('\\n'.join(sys.modules))\n"
        "sys.exit(status)\n"
    )
    run = subprocess.run(
        [sys.executable, "-c", code, *words], capture_output=True, text=True, check=False
    )
    assert run.returncode == 0, run.stderr
    assert run.stdout
    return set(run.stderr.split())


def _tops(modules: set[str]) -> set[str]:
    return {name.split(".")[0] for name in modules}


@pytest.fixture(scope="module")
def record(tmp_path_factory: pytest.TempPathFactory) -> str:
    """A record with a walk in it that was left, so that every question has something to say."""
    folder = tmp_path_factory.mktemp("record")
    Scripted.until_left(on_disk(folder), lines(plugs=("f", "turns by hand"), until="volts"))
    close_all()
    return str(folder / "record.db")


def test_the_version_loads_nothing_but_the_package() -> None:
    ours = {name for name in _loaded("--version") if name.startswith("hardstand")}
    assert ours == {"hardstand", "hardstand.__main__"}


def test_the_version_loads_no_framework() -> None:
    assert not _tops(_loaded("--version")) & {"typer", "click", "json", "sqlite3", *HEAVY}


@pytest.mark.parametrize("words", [["--help"], ["walk", "--help"], ["record", "--help"]])
def test_help_loads_typer_and_none_of_the_work(words: list[str]) -> None:
    loaded = _loaded(*words)
    assert "typer" in _tops(loaded)
    assert not _tops(loaded) & {"sqlite3", *HEAVY}
    work = [n for n in loaded if n.startswith(("hardstand.flows", "hardstand.store."))]
    assert work == []


@pytest.mark.parametrize("verb", HOT)
def test_a_hot_read_is_answered_from_the_standard_library(record: str, verb: str) -> None:
    words = [verb, TAIL] if verb == "why" else [verb]
    loaded = _loaded("--record", record, *words)
    assert "sqlite3" in _tops(loaded)
    assert not _tops(loaded) & {"typer", *HEAVY}
    assert "hardstand.store.journal" not in loaded
    assert not [name for name in loaded if name.startswith("hardstand.formats")]


@pytest.mark.parametrize("words", [["status", "--json"], ["open", "--json"], ["open", "--csv"],
                                   ["status", TAIL]])  # fmt: skip
def test_no_form_of_an_answer_loads_more(record: str, words: list[str]) -> None:
    assert not _tops(_loaded("--record", record, *words)) & {"typer", *HEAVY}


def test_no_command_module_loads_more_than_typer_when_it_is_imported() -> None:
    folder = Path(__file__).parents[2] / "src" / "hardstand" / "cli"
    names = sorted(f"hardstand.cli.{path.stem}" for path in folder.glob("[a-z]*.py"))
    assert len(names) >= 10
    code = f"import sys, {', '.join(names)}\nprint(*sys.modules)"
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert not _tops(set(run.stdout.split())) & {"sqlite3", *HEAVY}
