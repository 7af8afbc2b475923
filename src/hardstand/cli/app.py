"""The command tree, and the one boundary where an error becomes words and an exit status."""

from __future__ import annotations

import signal
import sys
from types import FrameType
from typing import Annotated, NoReturn

import typer

from hardstand.cli import checklist, defect, demo, fleet, looking, reckon, record, walk
from hardstand.errors import HardstandError, Interrupted

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
) -> None:
    """Keep what stands before the verb."""
    context.obj = {"record": record, "plain": plain}


app.command("walk")(walk.walk)
app.command("walks")(walk.walks)
app.command("status")(looking.status)
app.command("open")(looking.open_items)
app.command("why")(looking.why)
app.add_typer(defect.app, name="defect")
app.command("clear")(defect.clear)
app.add_typer(checklist.app, name="checklist")
app.add_typer(fleet.app, name="fleet")
app.add_typer(record.app, name="record")
app.command("reckon")(reckon.reckon)
app.command("demo")(demo.demo)


def _interrupted(_signal: int, _frame: FrameType | None) -> NoReturn:
    raise Interrupted("Interrupted. What was acknowledged is in the record.")


def run() -> int:
    """Run the command line; the exit status, with every error told in words."""
    signal.signal(signal.SIGINT, _interrupted)
    try:
        app()
    except HardstandError as error:
        return _told(error)
    except BrokenPipeError:
        sys.stderr.close()
        return 0
    except SystemExit as end:
        return end.code if isinstance(end.code, int) else 1
    except Exception as error:  # noqa: BLE001  the one boundary: a bug is told, never dumped
        from hardstand.system.bug import reported

        return _told(reported(error))
    return 0


def _told(error: HardstandError) -> int:
    sys.stdout.flush()
    for line in error.lines():
        sys.stderr.write(line + "\n")
    return error.exit_status
