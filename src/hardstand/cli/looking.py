"""status, open, why: what the shift lead asks, read from the record and from nothing else."""

from __future__ import annotations

from typing import Annotated

import typer

from hardstand.cli.session import instant, session

At = Annotated[
    str | None,
    typer.Option("--at", metavar="TIME", help="As it was true then: 2027-03-08T06:00-03:00."),
]
AsJson = Annotated[bool, typer.Option("--json", help="JSON on standard output.")]
AsCsv = Annotated[bool, typer.Option("--csv", help="CSV; `open --columns` explains it.")]
Tail = Annotated[str, typer.Argument(metavar="[TAIL]", help="One airframe; its end is enough.")]


def status(context: typer.Context, tail: Tail = "", at: At = None, json: AsJson = False) -> None:
    """How each airframe stands: symbol and preflight, with reasons."""
    from hardstand.flows import queries
    from hardstand.views import status as view
    from hardstand.views.output import emit

    now = instant(at)
    here = session(context)
    reading = here.reading(now)
    board = queries.board(reading, now or here.clock(reading).now(), tail)
    emit(view.json_text(board) if json else view.text(board, one=bool(tail), plain=here.plain))


def open_items(
    context: typer.Context,
    tail: Tail = "",
    at: At = None,
    json: AsJson = False,
    csv: AsCsv = False,
    columns: Annotated[bool, typer.Option(help="Explain the CSV columns.")] = False,
    fit: Annotated[str, typer.Option(help="Only this fit.")] = "",
    unit: Annotated[str, typer.Option(help="Only this unit position.")] = "",
    symbol: Annotated[str, typer.Option(help="Only this symbol: X (X) - /")] = "",
    person: Annotated[str, typer.Option(help="Only found or worked on by these initials.")] = "",
    words: Annotated[str, typer.Option(help="Only with these words.")] = "",
    state: Annotated[str, typer.Option(help="Only: open, ruled, deferred, action_recorded.")] = "",
    older: Annotated[
        int | None,
        typer.Option(metavar="DAYS", help="Only found more than so many days ago."),
    ] = None,
) -> None:
    """What is open, on what, since when: worst first, then oldest."""
    from hardstand.flows import queries
    from hardstand.views import open_items as view
    from hardstand.views.output import emit

    now = instant(at)
    here = session(context)
    reading = here.reading(now)
    only = queries.Filter(
        fit=fit, unit=unit, symbol=symbol, person=person.upper(), words=words, state=state,
        older_than_days=older,
    )  # fmt: skip
    found = queries.open_list(reading, now or here.clock(reading).now(), tail, only)
    form = "columns" if columns else "json" if json else "csv" if csv else "text"
    emit(view.render(found, form, plain=here.plain))


def why(
    context: typer.Context,
    what: Annotated[str, typer.Argument(metavar="TAIL|ENTRY", help="QM-161, 161 or 161-C01.")],
    at: At = None,
) -> None:
    """Why it stands as it does, down to the line of the record."""
    from hardstand.flows import queries
    from hardstand.views import why as view
    from hardstand.views.output import emit

    now = instant(at)
    here = session(context)
    reading = here.reading(now)
    emit(view.text(queries.reasons(reading, now or here.clock(reading).now(), what)))
