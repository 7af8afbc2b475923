"""What the pages of decisions claim of the program, where no other test holds it."""

from __future__ import annotations

import re
from importlib.metadata import version

import pytest

from docs.generated import tree
from docs.pages import TOP
from hardstand.cli.front import FLAG, QUICK, VALUE

EXCEPTION = re.compile(r"# (noqa|type: ignore)")
REASONED = re.compile(r"# (noqa: [A-Z]+\d+|type: ignore\[[a-z-]+\])  (# )?\w+\W{1,2}\w+")


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


def test_each_exception_to_a_check_has_its_reason_on_its_line() -> None:
    """DEVELOPERS.md, what the checks enforce; `# fmt: skip` keeps a layout and excepts nothing."""
    files = (file for folder in ("src", "tests") for file in (TOP / folder).rglob("*.py"))
    lines = (
        (file, number, line)
        for file in files
        for number, line in enumerate(file.read_text("utf-8").splitlines(), 1)
    )
    bare = [
        f"{file.relative_to(TOP)}:{number}: {line.strip()}"
        for file, number, line in lines
        if EXCEPTION.search(line) and not REASONED.search(line)
    ]
    assert bare == []
