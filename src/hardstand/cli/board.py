"""board and handover: what the shift lead reads, and hands on."""

from __future__ import annotations

from typing import Annotated

import typer

from hardstand.cli import hot
from hardstand.cli.session import Session, instant, session

app = typer.Typer(help="Hand the shift on: a sheet, read back line by line.", no_args_is_help=True)
At = Annotated[
    str | None,
    typer.Option("--at", metavar="TIME", help="As it was true then: 2027-03-08T06:00-03:00."),
]
By = Annotated[str | None, typer.Option(help="Your initials; else HARDSTAND_PERSON.")]


def board(
    context: typer.Context,
    tail: Annotated[
        str, typer.Argument(metavar="[TAIL]", help="What one aircraft needs to fly each mission.")
    ] = "",
    at: At = None,
    say: Annotated[bool, typer.Option(help="A sentence for each aircraft, to say.")] = False,
    wanted: Annotated[
        str, typer.Option(metavar="MISSION=N,...", help="How many of these flights can be flown.")
    ] = "",
    take_off: Annotated[
        str, typer.Option(metavar="TAIL=HH:MM,...", help="By when each walk must begin.")
    ] = "",
    people: Annotated[int, typer.Option(help="How many can walk at once.")] = 1,
    json: Annotated[bool, typer.Option("--json", help="JSON on standard output.")] = False,
) -> None:
    """Everything a lead sees to, worst first; the first block is read in a minute."""
    here = session(context)
    if json:
        _json(here, at, alone=not (tail or say or wanted or take_off))
    elif wanted or take_off:
        hot.plan(here, at=at, wanted=wanted, take_off=take_off, people=people)
    else:
        hot.lead(here, tail, at=at, say=say)


def _json(here: Session, at: str | None, *, alone: bool) -> None:
    from hardstand.errors import Usage
    from hardstand.flows.leading import lead_board
    from hardstand.views.board_json import json_text
    from hardstand.views.output import emit

    if not alone:
        raise Usage("--json tells the whole board.", hint="Leave out TAIL and other options.")
    now = instant(at)
    reading = here.reading(now)
    emit(json_text(lead_board(reading, now or here.clock(reading).now())))


@app.command("show")
def show(context: typer.Context) -> None:
    """The sheet as it would be given now, to read aloud."""
    from hardstand.flows import leading, shift
    from hardstand.views import handover as view
    from hardstand.views.output import emit

    here = session(context)
    reading = here.reading()
    found = leading.lead_board(reading, here.clock(reading).now())
    emit(view.sheet(shift.prepared(here.journal(read_only=True), found)))


@app.command("give")
def give(
    context: typer.Context,
    words: Annotated[list[str] | None, typer.Option("--words", help="Words to add.")] = None,
    by: By = None,
) -> None:
    """Give the sheet, made from the record; you have the shift until it is read back."""
    from hardstand.flows import leading, shift
    from hardstand.views import handover as view
    from hardstand.views.output import emit, tell

    here = session(context)
    who = here.who(by)
    pen = here.pen(who)
    sheet = shift.prepared(pen.journal, leading.lead_board(here.reading(), pen.clock.now()))
    said = shift.give(pen, sheet, words or (), by=who)
    emit(view.sheet(sheet, words or ()))
    tell(said)


@app.command("take")
def take(context: typer.Context, by: By = None) -> None:
    """Read the sheet back line by line, one key each; the shift is yours on the last."""
    from hardstand.flows import shift
    from hardstand.views.output import tell

    here = session(context)
    who = here.who(by)
    tell(shift.ask_back(here.pen(who), here.prompter(), by=who))
