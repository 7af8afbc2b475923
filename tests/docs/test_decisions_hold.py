"""What the pages of decisions claim of the program, where no other test holds it."""

from __future__ import annotations

from importlib.metadata import version

import pytest

from docs.generated import tree
from hardstand.cli.front import FLAG, QUICK, VALUE


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
