"""What the pages of decisions claim of the program, where no other test holds it."""

from __future__ import annotations

import subprocess
import sys
from importlib.metadata import version
from pathlib import Path

import pytest

from docs.generated import tree
from hardstand.cli.front import FLAG, QUICK, VALUE

HEAVY = frozenset({"typer", "sqlalchemy", "pydantic", "ruamel", "rich", "cryptography"})
LOADED = """
import sys
from hardstand.cli.front import run
status = run(sys.argv[1:])
sys.stderr.write("loaded " + " ".join(sorted({name.split(".")[0] for name in sys.modules})))
sys.exit(status)
"""


def _loaded(*words: str) -> set[str]:
    """The packages loaded once a command has answered."""
    done = subprocess.run(
        [sys.executable, "-c", LOADED, *words], capture_output=True, text=True, check=True
    )
    return set(done.stderr.rpartition("loaded ")[2].split())


@pytest.mark.parametrize("words", [("status",), ("status", "QM-107"), ("open",), ("walks",),
                                   ("why", "107-A01")])  # fmt: skip
def test_a_quick_question_loads_nothing_heavy(monday: Path, words: tuple[str, ...]) -> None:
    """Decisions 6 and 7."""
    assert _loaded("--record", str(monday), *words) & HEAVY == set()


def test_a_question_about_the_past_may_load_more(monday: Path) -> None:
    found = _loaded("--record", str(monday), "status", "--at", "2027-03-08T06:00-03:00")
    assert "sqlalchemy" in found, "the test above would not see what it looks for"


def test_typer_is_older_than_the_one_that_loads_pydantic() -> None:
    """Decision 7."""
    major, minor = (int(part) for part in version("typer").split(".")[:2])
    assert (0, 24) <= (major, minor) < (0, 29)


@pytest.mark.parametrize("verb", sorted(QUICK))
def test_the_front_door_reads_options_as_the_command_does(verb: str) -> None:
    """Decision 7: an option of a quick question is written twice, and means the same."""
    command = dict(tree())[f"hardstand {verb}"]
    known = {
        name: FLAG if parameter.is_flag else VALUE
        for parameter in command.params
        if parameter.param_type_name == "option"
        for name in parameter.opts
    }
    assert {name: known.get(name) for name in QUICK[verb]} == QUICK[verb]
