"""checklist check, show, adopt: the author's verbs."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from hardstand.cli.session import session

app = typer.Typer(help="Check, show and adopt checklists and fits.", no_args_is_help=True)
Files = Annotated[list[Path], typer.Argument(help="YAML files, or folders of them.")]


@app.command("check")
def check(
    files: Files, json: Annotated[bool, typer.Option("--json", help="findings/1.")] = False
) -> None:
    """Say everything that is wrong with the files, at once, with line and column."""
    from hardstand.flows.checking import check_files
    from hardstand.system.files import read, yaml_files
    from hardstand.views import findings as view
    from hardstand.views.output import emit

    checked = check_files([(str(f), read(f)) for f in yaml_files(files)])
    emit(view.json_text(checked.findings) if json else view.text(checked))
    raise typer.Exit(0 if checked.may_be_used else 1)


@app.command("show")
def show(
    context: typer.Context,
    name: Annotated[str, typer.Argument(help="Id of an adopted list; none lists them.")] = "",
    text: Annotated[bool, typer.Option(help="The YAML as adopted, to the byte.")] = False,
) -> None:
    """Show an adopted list, or which lists are adopted."""
    from hardstand.flows.adopting import shown
    from hardstand.views import papers as view
    from hardstand.views.output import emit

    emit(view.checklist(shown(session(context).journal(read_only=True), name), text=text))


@app.command("adopt")
def adopt(
    context: typer.Context,
    files: Files,
    by: Annotated[str | None, typer.Option(help="Your initials.")] = None,
) -> None:
    """Take fits and lists into the record, all or none."""
    from hardstand.flows import adopting, papers
    from hardstand.system.files import read, yaml_files
    from hardstand.views.output import tell

    here = session(context)
    pen = here.pen(here.who(by))
    found = papers.papers(pen.journal, [(str(f), read(f)) for f in yaml_files(files)])
    adopting.adopt(pen, found)
    tell(
        "Adopted: "
        + ", ".join(f"{p.kind.split('.')[0]} {p.id} {p.revision}".rstrip() for p in found)
    )
