"""The command tree."""

from __future__ import annotations

from typing import Annotated

import typer

from hardstand.cli import (
    board,
    card,
    checklist,
    defect,
    demo,
    fleet,
    flight,
    looking,
    people,
    reckon,
    record,
    unit,
    walk,
)

app = typer.Typer(
    name="hardstand",
    help="Radio inspection checklists and defect log: a record of checks, not a release.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)


@app.callback()
def options(
    context: typer.Context,
    record: Annotated[
        str | None,
        typer.Option("--record", metavar="PATH", help="The record; else HARDSTAND_RECORD."),
    ] = None,
    plain: Annotated[
        bool, typer.Option("--plain", help="Words only: no cursor moves, tables or bold.")
    ] = False,
    passphrase_fd: Annotated[
        int | None,
        typer.Option("--passphrase-fd", metavar="N", help="Read passphrases from descriptor N."),
    ] = None,
) -> None:
    """Keep what stands before the verb."""
    context.obj = {"record": record, "plain": plain, "passphrase_fd": passphrase_fd}


app.command("walk")(walk.walk)
app.command("walks")(looking.walks)
app.command("status")(looking.status)
app.command("open")(looking.open_items)
app.command("why")(looking.why)
app.command("board")(board.board)
app.add_typer(board.app, name="handover")
app.add_typer(defect.app, name="defect")
app.command("clear")(defect.clear)
app.add_typer(flight.app, name="flight")
app.command("accept")(flight.accept)
app.add_typer(unit.app, name="unit")
app.add_typer(people.app, name="people")
app.add_typer(checklist.app, name="checklist")
app.add_typer(fleet.app, name="fleet")
app.add_typer(record.app, name="record")
app.add_typer(card.app, name="card")
app.command("reckon")(reckon.reckon)
app.command("demo")(demo.demo)
