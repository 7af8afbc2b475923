"""defect raise, show, symbol, action, prove, same-as, void; and clear: the log outside a walk."""

from __future__ import annotations

from typing import Annotated

import typer

from hardstand.cli.session import session

app = typer.Typer(help="Write in the defect log and act on its entries.", no_args_is_help=True)
Entry = Annotated[str, typer.Argument(metavar="ENTRY", help="Its number, such as 107-A01.")]
By = Annotated[str | None, typer.Option(help="Your initials; else HARDSTAND_PERSON.")]
Words = Annotated[str, typer.Argument(metavar="WORDS", help="In words, in quotes.")]


@app.command("raise")
def raise_(
    context: typer.Context,
    tail: Annotated[str, typer.Argument(help="The tail as on the aircraft.")],
    words: Words,
    symbol: Annotated[str, typer.Option(help="X, - or /")] = "/",
    by: By = None,
    unit: Annotated[str, typer.Option(help="Unit position, such as TR-V.")] = "",
    takes: Annotated[str, typer.Option(help="Functions lost, such as ch1,ch2.")] = "",
    weakens: Annotated[str, typer.Option(help="Functions weakened.")] = "",
    zone: Annotated[str, typer.Option(help="Where on the aircraft.")] = "",
    symptom: Annotated[str, typer.Option(help="The symptom in a word or two.")] = "",
    noticed: Annotated[
        str, typer.Option(help="ground, taxi, take-off, climb, cruise, landing or look.")
    ] = "",
    conditions: Annotated[str, typer.Option(help="Such as: generator on.")] = "",
    found_at: Annotated[str | None, typer.Option(help="When found, if earlier.")] = None,
    split: Annotated[bool, typer.Option(help="One entry for each part between ;")] = False,
) -> None:
    """Write a defect, anywhere, at once."""
    from hardstand.cli.session import instant
    from hardstand.flows import logging_defects as log
    from hardstand.views.output import tell

    here = session(context)
    who = here.who(by)
    told = log.Told(
        words=words, symbol=symbol, unit=unit, takes=takes, weakens=weakens, zone=zone,
        symptom=symptom, noticed=noticed, conditions=conditions, found_at=instant(found_at) or "",
    )  # fmt: skip
    tell(log.raise_defect(here.pen(who), tail, told, by=who, split=split))


@app.command("show")
def show(context: typer.Context, entry: Entry) -> None:
    """Everything about one entry, open or closed."""
    from hardstand.flows.history import history
    from hardstand.views.history import text
    from hardstand.views.output import emit

    journal = session(context).journal(read_only=True)
    emit(text(history(journal, entry), journal.record().time_zone))


def _act(context: typer.Context, entry: str, by: str | None, deed: str, *words: str) -> None:
    from hardstand.flows.logging_defects import act
    from hardstand.views.output import tell

    here = session(context)
    who = here.who(by)
    tell(act(here.pen(who), entry, deed, words, by=who))


@app.command("symbol")
def symbol(
    context: typer.Context,
    entry: Entry,
    to: Annotated[str, typer.Argument(metavar="SYMBOL", help="X, - or /")],
    reason: Annotated[str, typer.Argument(help="Why, in words.")],
    by: By = None,
) -> None:
    """Make an entry more serious; anyone on the line may."""
    _act(context, entry, by, "symbol", to, reason)


@app.command("action")
def action(context: typer.Context, entry: Entry, words: Words, by: By = None) -> None:
    """Write down what was done; it changes nothing until somebody else clears it."""
    _act(context, entry, by, "action", words)


@app.command("prove")
def prove(
    context: typer.Context,
    entry: Entry,
    words: Words,
    functions: Annotated[str, typer.Option(help="Only these of what it waits for.")] = "",
    by: By = None,
) -> None:
    """Say outside a walk that what a dash waits for was tested good, and how."""
    _act(context, entry, by, "prove", functions, words)


@app.command("same-as")
def same_as(
    context: typer.Context,
    entry: Entry,
    other: Annotated[str, typer.Argument(metavar="OTHER", help="The entry that goes on.")],
    by: By = None,
) -> None:
    """Join an entry to another open one; both texts stay, the earlier discovery counts."""
    _act(context, entry, by, "same-as", other)


@app.command("void")
def void(
    context: typer.Context,
    entry: Entry,
    reason: Annotated[str, typer.Argument(help="Why it was entered in error.")],
    by: By = None,
) -> None:
    """Mark an entry as entered in error; it stays readable."""
    _act(context, entry, by, "void", reason)


def clear(
    context: typer.Context,
    entry: Entry,
    words: Words,
    reject: Annotated[bool, typer.Option(help="Do not accept the work; why, in words.")] = False,
    by: By = None,
) -> None:
    """Clear an entry over the work recorded, by another person than the doer; not signed yet."""
    _act(context, entry, by, "reject" if reject else "clear", words)
