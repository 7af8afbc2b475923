"""unit fit, remove, move, read, tag, bench, receive, lost, card, show: boxes by serial number."""

from __future__ import annotations

from typing import Annotated, Literal

import typer

from hardstand.cli.session import session

app = typer.Typer(help="Boxes by serial number: where each is, and its past.", no_args_is_help=True)
Tail = Annotated[str, typer.Argument(metavar="TAIL", help="The tail as on the aircraft.")]
Position = Annotated[str, typer.Argument(metavar="POSITION", help="Such as TR-V.")]
Serial = Annotated[str, typer.Argument(metavar="SERIAL", help="As read off the box.")]
By = Annotated[str | None, typer.Option(help="Your initials; else HARDSTAND_PERSON.")]
With = Annotated[str, typer.Option("--with", help="Who works with you, such as BT.")]
Why = Annotated[str, typer.Option("--why", help="Why, in words.")]
Entry = Annotated[str, typer.Option("--entry", help="The entry it is done for, such as 113-D01.")]
Symptom = Annotated[str, typer.Option(help="The symptom in a word or two.")]
Store = Annotated[
    Literal["serviceable", "unserviceable"], typer.Option("--out-to", help="Which store.")
]
Out = Annotated[str, typer.Option("--out", help="Serial that comes out, as read off the box.")]
Words = Annotated[str, typer.Option("--words", help="In words.")]
Part = Annotated[str, typer.Option("--part", help="Part number, if two parts share the serial.")]


@app.command("fit")
def fit(
    context: typer.Context,
    tail: Tail,
    position: Position,
    serial: Serial,
    why: Why,
    out: Out = "",
    out_to: Store = "unserviceable",
    symptom: Symptom = "",
    entry: Entry = "",
    by: By = None,
    others: With = "",
) -> None:
    """Put a box from the store into a position."""
    from hardstand.domain.unit_acts import STORES, Swap
    from hardstand.flows import units
    from hardstand.views.output import tell

    here = session(context)
    who = here.who(by, others)
    asked = Swap(
        position=position.upper(), serial=serial, reason=why, out=out, symptom=symptom,
        out_to=STORES[out_to], entry=entry.upper(),
    )  # fmt: skip
    tell(units.fit(here.pen(who), tail, asked, by=who))


@app.command("remove")
def remove(
    context: typer.Context,
    tail: Tail,
    position: Position,
    serial: Serial,
    why: Why,
    to: Annotated[Literal["serviceable", "unserviceable"], typer.Option(help="Which store.")] = (
        "unserviceable"
    ),
    permitted: Annotated[
        bool, typer.Option(help="A list item permits the empty place: raise / and defer it.")
    ] = False,
    symptom: Symptom = "",
    entry: Entry = "",
    by: By = None,
    others: With = "",
) -> None:
    """Take a box out and leave the place empty, which is an X until it is filled."""
    from hardstand.domain.unit_acts import Taking
    from hardstand.flows import units
    from hardstand.views.output import tell

    here = session(context)
    who = here.who(by, others)
    asked = Taking(
        position=position.upper(), serial=serial.strip().upper(), goes_to=f"{to} store",
        reason=why, symptom=symptom, entry=entry.upper(), symbol="/" if permitted else "X",
    )  # fmt: skip
    tell(units.remove(here.pen(who), tail, asked, by=who))


@app.command("move")
def move(
    context: typer.Context,
    source: Annotated[str, typer.Argument(metavar="FROM_TAIL", help="The donor.")],
    position: Position,
    target: Annotated[str, typer.Argument(metavar="TO_TAIL", help="The receiver.")],
    serial: Serial,
    why: Why,
    ordered_by: Annotated[str, typer.Option(help="The lead who ordered it.")] = "",
    into: Annotated[str, typer.Option(help="Position in the receiver, if another.")] = "",
    out: Out = "",
    out_to: Store = "unserviceable",
    symptom: Symptom = "",
    entry: Entry = "",
    by: By = None,
    others: With = "",
) -> None:
    """Take a box out of one aircraft into another, both told in one write."""
    from hardstand.domain.unit_acts import STORES, Swap
    from hardstand.flows import units
    from hardstand.views.output import tell

    here = session(context)
    who = here.who(by, others)
    asked = Swap(
        position=(into or position).upper(), serial=serial, reason=why, out=out, symptom=symptom,
        out_to=STORES[out_to], entry=entry.upper(), ordered_by=ordered_by.upper(),
    )  # fmt: skip
    tell(units.move(here.pen(who), source, position.upper(), target, asked, by=who))


@app.command("read")
def read(
    context: typer.Context, tail: Tail, position: Position, serial: Serial, by: By = None
) -> None:
    """Say which serial was read off the box; another one than recorded is raised."""
    from hardstand.flows import units
    from hardstand.views.output import tell

    here = session(context)
    who = here.who(by)
    tell(units.read(here.pen(who), tail, position.upper(), serial, by=who))


@app.command("tag")
def tag(
    context: typer.Context,
    serial: Serial,
    tag: Annotated[Literal["serviceable", "unserviceable"], typer.Argument(metavar="TAG")],
    part: Part = "",
    words: Words = "",
    by: By = None,
) -> None:
    """Tie a tag to a box that is in no aircraft."""
    from hardstand.domain.bodies import UnitTagged
    from hardstand.flows import units
    from hardstand.views.output import tell

    here = session(context)
    who = here.who(by)
    body = UnitTagged(part=part, serial=serial.strip().upper(), tag=tag, words=words, by=who)
    tell(units.shelve(here.pen(who), body))


@app.command("bench")
def bench(
    context: typer.Context,
    serial: Serial,
    result: Annotated[
        Literal["in", "rectified", "no_fault_found", "scrapped"],
        typer.Argument(metavar="RESULT", help="in, rectified, no_fault_found or scrapped."),
    ],
    part: Part = "",
    words: Words = "",
    by: By = None,
) -> None:
    """Say that a box went to the bench, or what the bench found."""
    from hardstand.domain.bodies import UnitBenched
    from hardstand.flows import units
    from hardstand.views.output import tell

    here = session(context)
    who = here.who(by)
    body = UnitBenched(part=part, serial=serial.strip().upper(), result=result, words=words, by=who)
    tell(units.shelve(here.pen(who), body))


@app.command("receive")
def receive(
    context: typer.Context,
    part: Annotated[str, typer.Argument(metavar="PART", help="Part number.")],
    serial: Serial,
    tag: Annotated[Literal["serviceable", "unserviceable"], typer.Option(help="Its tag.")] = (
        "serviceable"
    ),
    words: Words = "",
    by: By = None,
) -> None:
    """Take a box into the store."""
    from hardstand.domain.bodies import UnitReceived
    from hardstand.domain.unit_acts import STORES
    from hardstand.flows import units
    from hardstand.views.output import tell

    here = session(context)
    who = here.who(by)
    body = UnitReceived(
        part=part.upper(), serial=serial.strip().upper(), place=STORES[tag], words=words, by=who
    )
    tell(units.shelve(here.pen(who), body))


@app.command("lost")
def lost(
    context: typer.Context, serial: Serial, words: Why, part: Part = "", by: By = None
) -> None:
    """Say that nobody knows where a box is."""
    from hardstand.domain.bodies import UnitLost
    from hardstand.flows import units
    from hardstand.views.output import tell

    here = session(context)
    who = here.who(by)
    body = UnitLost(part=part, serial=serial.strip().upper(), words=words, by=who)
    tell(units.shelve(here.pen(who), body))


@app.command("card")
def card(
    context: typer.Context,
    part: Annotated[str, typer.Argument(metavar="PART", help="Part number.")],
    serial: Serial,
    tail: Tail,
    position: Position,
    fitted: Annotated[str, typer.Option(metavar="DAY", help="YYYY-MM-DD.")] = "",
    removed: Annotated[str, typer.Option(metavar="DAY", help="YYYY-MM-DD.")] = "",
    symptom: Symptom = "",
    bench: Annotated[str, typer.Option(help="What the bench said.")] = "",
    benched: Annotated[str, typer.Option(metavar="DAY", help="When it said so.")] = "",
    by: By = None,
) -> None:
    """Take over what a paper card says of a box's time in an aircraft."""
    from hardstand.domain.bodies import UnitCarded
    from hardstand.flows import units
    from hardstand.views.output import tell

    here = session(context)
    who = here.who(by)
    body = UnitCarded(
        part=part.upper(), serial=serial.strip().upper(), position=position.upper(),
        fitted=fitted, removed=removed, symptom=symptom, bench=bench, benched=benched, by=who,
    )  # fmt: skip
    tell(units.card(here.pen(who), tail, body))


@app.command("show")
def show(
    context: typer.Context,
    what: Annotated[
        str, typer.Argument(metavar="[SERIAL|TAIL]", help="A box, an aircraft, or all.")
    ] = "",
    position: Annotated[str, typer.Argument(metavar="[POSITION]", help="One position.")] = "",
) -> None:
    """Where boxes are, and the past of one box or of one aircraft's positions."""
    from hardstand.flows import units
    from hardstand.views import units as view
    from hardstand.views.output import emit

    here = session(context)
    reading = here.reading()
    emit(view.text(units.show(here.journal(read_only=True), here.clock(reading).now(), what,
                              position.upper()), plain=here.plain))  # fmt: skip
