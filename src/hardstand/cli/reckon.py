"""`hardstand reckon`: the bench sums."""

from __future__ import annotations

from typing import Annotated

import typer

Name = Annotated[str, typer.Argument(help="The sum; without it, the list of them.")]
Pairs = Annotated[
    list[str] | None, typer.Argument(metavar="KEY=VALUE...", help="Its inputs; a unit may follow.")
]
Table = Annotated[
    str, typer.Option("--csv", metavar="FILE", help="Work each line of a CSV file; - reads stdin.")
]
AsJson = Annotated[bool, typer.Option("--json", help="Answer as JSON.")]


def reckon(name: Name = "", pairs: Pairs = None, csv: Table = "", as_json: AsJson = False) -> None:
    """Do the sums of the radio bench, with their limits and sources."""
    from hardstand.cli.bench import answer
    from hardstand.views.output import emit

    emit(answer(name, pairs or [], table=csv, as_json=as_json))
