"""fleet load, show: which airframes there are and what they carry."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from hardstand.cli.session import session

app = typer.Typer(help="Load and show the fleet.", no_args_is_help=True)


@app.command("load")
def load(
    context: typer.Context,
    file: Annotated[Path, typer.Argument(help="The fleet file.")],
    by: Annotated[str | None, typer.Option(help="Your initials.")] = None,
) -> None:
    """Take a fleet file into the record; an earlier one stays readable."""
    from hardstand.flows import adopting, papers
    from hardstand.system.files import read
    from hardstand.views.output import tell

    here = session(context)
    pen = here.pen(here.who(by))
    adopting.adopt(pen, papers.papers(pen.journal, [(str(file), read(file))]))
    tell(f"Loaded: {', '.join(pen.journal.record().tails)}")


@app.command("show")
def show(context: typer.Context) -> None:
    """Show each airframe: type, fits by date, serials, tails that look alike."""
    from hardstand.flows.adopting import listed_fleet
    from hardstand.views import papers as view
    from hardstand.views.output import emit

    here = session(context)
    emit(view.fleet(listed_fleet(here.journal(read_only=True)), plain=here.plain))
