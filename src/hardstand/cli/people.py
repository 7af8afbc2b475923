"""people enrol, role, end, rekey, not-mine, list: who may sign, in the chief's hands."""

from __future__ import annotations

from typing import Annotated

import typer

from hardstand.cli.session import session

app = typer.Typer(help="Who may do what, from when to when, and their keys.", no_args_is_help=True)
Initials = Annotated[str, typer.Argument(metavar="INITIALS", help="Such as IO.")]
By = Annotated[str | None, typer.Option(help="Your initials; else HARDSTAND_PERSON.")]
Witness = Annotated[str, typer.Option(help="Who stands by, with line authority, and signs too.")]
Roles = Annotated[
    list[str],
    typer.Option(
        metavar="ROLE[:FITS]",
        help="trainee, technician, crew_lead, inspector, shift_lead, chief, pilot, author, "
        "auditor or administrator; technician:H,V on these fits only. Can be given again.",
    ),
]
Since = Annotated[str, typer.Option("--from", metavar="DAY", help="From then on; else from now.")]
Until = Annotated[str, typer.Option("--to", metavar="DAY", help="Until the end of that day.")]
Defers = Annotated[str, typer.Option(metavar="BCD", help="Categories a shift lead defers in.")]
Reason = Annotated[str, typer.Argument(metavar="REASON", help="Why, in words.")]


@app.command("enrol")
def enrol(
    context: typer.Context,
    initials: Initials,
    name: Annotated[str, typer.Argument(help="Their name, in quotes.")],
    role: Roles,
    since: Since = "",
    until: Until = "",
    defers: Defers = "",
    by: By = None,
    witness: Witness = "",
) -> None:
    """Enrol a person; the first of a record enrols themselves, the second is enrolled by them."""
    from hardstand.flows import enrolling, granting
    from hardstand.views.output import tell

    here = session(context)
    pen = here.pen(here.who(by))
    granted = granting.read(pen, role, since=since, until=until, categories=defers)
    new = enrolling.Newcomer(initials=initials.upper(), name=name, granted=granted)
    tell(enrolling.enrol(pen, new, witness=witness.upper()))


@app.command("role")
def role(
    context: typer.Context,
    initials: Initials,
    role: Roles,
    reason: Reason,
    since: Since = "",
    until: Until = "",
    end: Annotated[str, typer.Option(metavar="TIME", help="End the role then.")] = "",
    defers: Defers = "",
    by: By = None,
    witness: Witness = "",
) -> None:
    """Give a person a role from a time on, or end one; ending needs no witness."""
    from hardstand.flows import enrolling, granting
    from hardstand.views.output import tell

    here = session(context)
    pen = here.pen(here.who(by))
    for given in granting.read(pen, role, since=since, until=until, end=end, categories=defers):
        tell(enrolling.grant(pen, initials.upper(), given, reason, witness=witness.upper()))


@app.command("end")
def end(
    context: typer.Context,
    initials: Initials,
    reason: Reason,
    at: Annotated[str, typer.Option(metavar="TIME", help="When; else now.")] = "",
    by: By = None,
) -> None:
    """End all authority of a person who leaves; what they signed stays good."""
    from hardstand.flows import deferring, enrolling
    from hardstand.views.output import tell

    here = session(context)
    pen = here.pen(here.who(by))
    when = deferring.time_of(pen, at, end=True) if at else pen.now()
    tell(enrolling.end(pen, initials.upper(), when, reason))


@app.command("rekey")
def rekey(
    context: typer.Context,
    initials: Initials,
    reason: Reason,
    lost: Annotated[bool, typer.Option(help="The old key may be in other hands.")] = False,
    by: By = None,
    witness: Witness = "",
) -> None:
    """Give a person a new key: passphrase forgotten, key file gone, or --lost."""
    from hardstand.flows.enrolling import rekey as give
    from hardstand.views.output import tell

    here = session(context)
    pen = here.pen(here.who(by))
    tell(give(pen, initials.upper(), reason, lost=lost, witness=witness.upper()))


@app.command("not-mine")
def not_mine(
    context: typer.Context,
    line: Annotated[str, typer.Argument(metavar="LINE", help="Such as C-12.")],
    words: Annotated[str, typer.Argument(metavar="WORDS", help="In words, in quotes.")],
    by: By = None,
) -> None:
    """Say that a line in your name is not yours; it stays, in doubt."""
    from hardstand.flows.enrolling import disown
    from hardstand.views.output import tell

    here = session(context)
    tell(disown(here.pen(here.who(by)), line, words))


@app.command("list")
def list_(context: typer.Context) -> None:
    """Everybody enrolled, and what they may do now."""
    from hardstand.views.output import emit
    from hardstand.views.people import text

    here = session(context)
    reading = here.reading()
    record, now = reading.record(), here.clock(reading).now()
    emit(text(record.people, now, record.time_zone, plain=here.plain))


@app.command("work")
def work(
    context: typer.Context,
    initials: Initials,
    steps: Annotated[bool, typer.Option("--steps", help="Each step that was done, too.")] = False,
) -> None:
    """What a trainee did under supervision and who countersigned it, for their own logbook."""
    from hardstand.flows.supervised import supervised
    from hardstand.views.output import emit
    from hardstand.views.supervised import text

    journal, who = session(context).journal(read_only=True), initials.upper()
    emit(text(who, supervised(journal, who), journal.record().time_zone, steps=steps))
