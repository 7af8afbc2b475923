"""flight out, in, list; accept: the pilot's part."""

from __future__ import annotations

from typing import Annotated

import typer

from hardstand.cli.session import session

app = typer.Typer(help="Flights: off-block, back, what the pilot says.", no_args_is_help=True)
Tail = Annotated[str, typer.Argument(metavar="TAIL", help="The tail as on the aircraft.")]
Mission = Annotated[str, typer.Argument(metavar="MISSION", help="Such as MAIL-N.")]
By = Annotated[str | None, typer.Option(help="Your initials; else HARDSTAND_PERSON.")]


@app.command("out")
def out(
    context: typer.Context,
    tail: Tail,
    mission: Mission,
    pilot: Annotated[str, typer.Option(help="The pilot, if somebody else writes.")] = "",
    off: Annotated[str | None, typer.Option(help="Off-block, if earlier than now.")] = None,
    words: Annotated[str, typer.Option(help="Anything to add.")] = "",
    by: By = None,
) -> None:
    """Say that the aircraft left; what was out of order is told, and the flight stands."""
    from hardstand.cli.session import instant
    from hardstand.flows import flights
    from hardstand.views.output import tell

    here = session(context)
    who = here.who(by)
    who_flew = (pilot or who.doer).upper()
    tell(flights.out(here.pen(who), tail, mission, who_flew, off=instant(off), by=who, words=words))


@app.command("in")
def in_(
    context: typer.Context,
    tail: Tail,
    on: Annotated[str | None, typer.Option(help="On-block, if earlier than now.")] = None,
    none_known: Annotated[bool, typer.Option(help="No defect known: an entry too.")] = False,
    report: Annotated[str, typer.Option(metavar="WORDS", help="A defect, in words.")] = "",
    symptom: Annotated[str, typer.Option(help="The symptom in a word or two.")] = "",
    weakens: Annotated[str, typer.Option(help="Functions weakened, such as lf.rx.")] = "",
    takes: Annotated[str, typer.Option(help="Functions lost.")] = "",
    again: Annotated[str, typer.Option(metavar="ENTRY", help="Open already, again.")] = "",
    known: Annotated[str, typer.Option(metavar="ENTRY", help="Written down before.")] = "",
    owed: Annotated[bool, typer.Option(help="Back; the pilot's word comes later.")] = False,
    by: By = None,
) -> None:
    """Say that the aircraft is back, and what the pilot reports; asks if nothing is given."""
    from hardstand.cli.session import instant
    from hardstand.flows import flights
    from hardstand.views.output import tell

    here = session(context)
    who = here.who(by)
    told = flights.Said(
        none_known=none_known, report=report, symptom=symptom, weakens=weakens, takes=takes,
        again=again, known=known, owed=owed,
    )  # fmt: skip
    asked = flights.said(told, here.prompter)
    tell(flights.back(here.pen(who), tail, asked, on=instant(on), by=who))


@app.command("list")
def list_(
    context: typer.Context,
    tail: Annotated[str, typer.Argument(metavar="[TAIL]", help="One airframe.")] = "",
) -> None:
    """The last flights, what their pilots said, and every flight that was out of order."""
    from hardstand.flows import flights
    from hardstand.views import flights as view
    from hardstand.views.output import emit

    here = session(context)
    emit(view.text(flights.listed(here.reading(), tail), plain=here.plain))


def accept(
    context: typer.Context,
    tail: Tail,
    mission: Mission,
    refuse: Annotated[bool, typer.Option(help="I do not take it; no reason is needed.")] = False,
    words: Annotated[str, typer.Option(help="Words to a refusal.")] = "",
    show: Annotated[bool, typer.Option(help="Only show it.")] = False,
    paper: Annotated[
        str | None, typer.Option(metavar="TIME", help="A printed list was signed then.")
    ] = None,
    list_of: Annotated[
        str | None, typer.Option(metavar="TIME", help="When that list was printed.")
    ] = None,
    by: By = None,
) -> None:
    """Take the aircraft on the list shown, or do not; limits are read out line by line."""
    from hardstand.cli.session import instant
    from hardstand.flows import flights
    from hardstand.views import flights as view
    from hardstand.views.output import emit, tell

    here = session(context)
    who = here.who(by)
    pen = here.pen(who)
    shown = flights.offered(pen, tail, mission, who.doer)
    if show:
        emit("\n".join(view.screen(shown)))
    elif refuse:
        tell(flights.refuse(pen, shown, words, by=who))
    elif paper or list_of:
        printed = flights.paper(instant(paper), instant(list_of))
        tell(flights.accept(pen, shown, (), by=who, paper=printed))
    else:
        tell(flights.ask(pen, shown, view.screen(shown), here.prompter(), by=who))
