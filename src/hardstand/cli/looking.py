"""status, open, why: what the shift lead asks, read from the record and from nothing else."""

from __future__ import annotations

from typing import Annotated

import typer

from hardstand.cli import hot
from hardstand.cli.session import session

At = Annotated[
    str | None,
    typer.Option("--at", metavar="TIME", help="As it was true then: 2027-03-08T06:00-03:00."),
]
AsJson = Annotated[bool, typer.Option("--json", help="JSON on standard output.")]
AsCsv = Annotated[bool, typer.Option("--csv", help="CSV; `open --columns` explains it.")]
Tail = Annotated[str, typer.Argument(metavar="[TAIL]", help="One airframe; its end is enough.")]


def status(context: typer.Context, tail: Tail = "", at: At = None, json: AsJson = False) -> None:
    """How each airframe stands: symbol and preflight, with reasons."""
    hot.status(session(context), tail, at=at, json=json)


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
    hot.open_items(
        session(context), tail, at=at, json=json, csv=csv, columns=columns, fit=fit, unit=unit,
        symbol=symbol, person=person, words=words, state=state, older_than_days=older,
    )  # fmt: skip


def why(
    context: typer.Context,
    what: Annotated[str, typer.Argument(metavar="TAIL|ENTRY", help="QM-161, 161 or 161-C01.")],
    at: At = None,
) -> None:
    """Why it stands as it does, down to the line of the record."""
    hot.why(session(context), what, at=at)


def walks(
    context: typer.Context,
    tail: Tail = "",
    close_up: Annotated[
        bool, typer.Option("--close-up", help="The safest order to put everything back.")
    ] = False,
) -> None:
    """Where was I: every walk not closed, its last answer, what is not put back."""
    hot.walks(session(context), tail, close_up=close_up)
