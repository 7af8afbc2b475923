"""card dial, call, gear: papers to print and carry, made from the record."""

from __future__ import annotations

from typing import Annotated

import typer

from hardstand.cli.session import instant, session

app = typer.Typer(
    help="Print the card of a dial, of a test call, of a meter.", no_args_is_help=True
)
At = Annotated[
    str | None,
    typer.Option("--at", metavar="TIME", help="For then: 2027-03-08T05:15-03:00."),
]


@app.command("dial")
def dial(
    context: typer.Context,
    serial: Annotated[str, typer.Argument(help="Serial number of a receiver, as read off it.")],
) -> None:
    """Show what a receiver's dial reads, and where to set it."""
    from hardstand.flows import cards
    from hardstand.views import cards as view
    from hardstand.views.output import emit

    journal = session(context).journal(read_only=True)
    emit(view.dial(cards.dial(journal, serial), journal.record()))


@app.command("call")
def call(
    context: typer.Context,
    tail: Annotated[str, typer.Argument(help="The airframe.")],
    at: At = None,
) -> None:
    """Show the test calls: station, frequency, words, ten seconds, on watch now or not."""
    from hardstand.flows import cards
    from hardstand.views import cards as view
    from hardstand.views.output import emit

    here = session(context)
    journal, reading = here.journal(read_only=True), here.reading()
    now = instant(at) or here.clock(reading).now()
    emit(view.call(cards.call(journal, reading, tail, now), journal.record()))


@app.command("stations")
def stations(
    context: typer.Context,
    tail: Annotated[str, typer.Argument(help="The airframe.")],
    at: At = None,
) -> None:
    """Show which stations can check each receiver now, their idents, and why others cannot."""
    from hardstand.flows import cards
    from hardstand.views import cards as view
    from hardstand.views.output import emit

    here = session(context)
    journal, reading = here.journal(read_only=True), here.reading()
    now = instant(at) or here.clock(reading).now()
    emit(view.stations(cards.stations(journal, reading, tail, now), journal.record()))


@app.command("gear")
def gear(
    context: typer.Context,
    name: Annotated[str, typer.Argument(help="A meter or calibrator of the fleet file.")],
) -> None:
    """Show every verdict that a meter had a part in after its check was due."""
    from hardstand.flows import cards
    from hardstand.views import cards as view
    from hardstand.views.output import emit

    journal = session(context).journal(read_only=True)
    due, touched = cards.gear(journal, name)
    emit(view.gear(name, due, touched, journal.record()))
