"""record new, verify, backup, restore, salvage, history, settings: the keeper's verbs."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from hardstand.cli.session import session

app = typer.Typer(help="Make, verify and read back the record.", no_args_is_help=True)


@app.command("new")
def new(
    context: typer.Context,
    device: Annotated[str, typer.Option(help="This device, one letter A to Z.")] = "A",
    demo: Annotated[bool, typer.Option(help="A demo record: takes example limits.")] = False,
    by: Annotated[str | None, typer.Option(help="Your initials.")] = None,
) -> None:
    """Make an empty record."""
    from hardstand.flows.records import make
    from hardstand.store.journal import create
    from hardstand.system.clock import MachineClock
    from hardstand.views.output import tell

    here = session(context)
    make(create, here.journal, here.path, (device, demo), MachineClock(), here.who(by).doer)
    tell(f"Made {here.path}, device {device}{', DEMO' if demo else ''}.")


@app.command("verify")
def verify(
    context: typer.Context,
    full: Annotated[
        bool, typer.Option(help="Read every body too, and what the indexes say.")
    ] = False,
    against: Annotated[
        str,
        typer.Option(metavar="MARK|COPY", help="A daybook mark, or an older copy: all still here."),
    ] = "",
) -> None:
    """Check every chain and signature, the triggers, and the facts kept beside them."""
    from hardstand.flows import attested, keeping, records
    from hardstand.store.journal import SqlJournal
    from hardstand.system.keys import Ed25519
    from hardstand.views.output import emit, prose, tell

    journal = session(context).journal(read_only=True)
    emit(prose(records.verified(journal, full=full, verifier=Ed25519())))
    for note in attested.notes(journal) if full else ():
        tell(note)
    if against and not Path(against).exists():
        emit(attested.against(journal, against))
    elif against:
        emit(keeping.against(journal, SqlJournal(Path(against), read_only=True)))


@app.command("mark")
def mark(
    context: typer.Context,
    by: Annotated[str | None, typer.Option(help="Your initials.")] = None,
) -> None:
    """Take the daybook mark: ten characters to write down in ink, which the record bears out."""
    from hardstand.flows.attested import mark as taken
    from hardstand.views.output import emit

    here = session(context)
    emit(taken(here.pen(here.who(by))))


@app.command("clock")
def clock(
    context: typer.Context,
    device: Annotated[str, typer.Argument(help="Whose clock was wrong.")],
    showed: Annotated[str, typer.Argument(metavar="TIME", help="What it showed.")],
    true: Annotated[str, typer.Argument(metavar="TIME", help="What it was then.")],
    words: Annotated[str, typer.Argument(help="How you know.")],
    line: Annotated[int, typer.Option(help="It was compared at this line of it; else now.")] = 0,
    jumped_after: Annotated[int, typer.Option(help="It jumped after this line of it.")] = -1,
    put_right: Annotated[
        bool, typer.Option(help="It was put right then: later lines are true.")
    ] = False,
    by: Annotated[str | None, typer.Option(help="Your initials.")] = None,
) -> None:
    """Record that a device's clock was wrong; its times are read by that from then on."""
    from hardstand.flows.clock_errors import Seen, observe
    from hardstand.views.output import tell

    here = session(context)
    seen = Seen(device=device, showed=showed, true=true, seq=line, jumped_after=jumped_after,
                put_right=put_right, words=words)  # fmt: skip
    tell(observe(here.pen(here.who(by)), seen))


@app.command("rebuild")
def rebuild(context: typer.Context) -> None:
    """Fold every airframe anew from the lines, mend their indexes; no line is touched."""
    from hardstand.flows import records
    from hardstand.views.output import tell

    tell(records.rebuild(session(context).journal()))


@app.command("backup")
def backup(
    context: typer.Context,
    to: Annotated[Path, typer.Argument(help="A new file, or a folder that gets one.")],
) -> None:
    """Copy the record into one file and check the copy; others may go on writing."""
    from hardstand.flows import keeping
    from hardstand.store.copies import copy
    from hardstand.system.clock import MachineClock
    from hardstand.views.output import emit, prose

    emit(prose(keeping.back_up(copy, session(context).path, to, MachineClock().now())))


@app.command("restore")
def restore(
    context: typer.Context,
    file: Annotated[Path, typer.Argument(metavar="BACKUP", help="A backup of this record.")],
    device: Annotated[str, typer.Option(help="A letter that no device has used yet.")],
) -> None:
    """Put a backup where the record is to be; never over lines that it lacks."""
    from hardstand.flows import keeping
    from hardstand.store.copies import put_back
    from hardstand.store.journal import SqlJournal
    from hardstand.views.output import emit, prose

    def opened(path: Path) -> SqlJournal:
        return SqlJournal(path, read_only=True)

    emit(prose(keeping.restore(put_back, opened, file, session(context).path, device)))


@app.command("salvage")
def salvage(
    context: typer.Context,
    to: Annotated[Path, typer.Argument(help="A new file.")],
    device: Annotated[str, typer.Option(help="A letter that no device has used yet.")],
) -> None:
    """Save what still verifies of a damaged record into a new one, and list what is missing."""
    from hardstand.flows import keeping
    from hardstand.store.salvage import save
    from hardstand.views.output import emit, prose

    emit(prose(keeping.salvage(save, session(context).path, to, device)))


@app.command("history")
def history(
    context: typer.Context,
    what: Annotated[str, typer.Argument(metavar="ENTRY|TAIL|SERIAL|INITIALS")],
) -> None:
    """Every line of an entry, an airframe, a box or a person, oldest first."""
    from hardstand.flows.history import history as lines
    from hardstand.views.history import text
    from hardstand.views.output import emit

    journal = session(context).journal(read_only=True)
    emit(text(lines(journal, what), journal.record().time_zone))


@app.command("settings")
def settings(
    context: typer.Context,
    file: Annotated[Path, typer.Argument(help="A settings file.")],
    by: Annotated[str | None, typer.Option(help="Your initials.")] = None,
) -> None:
    """Put a settings file in force."""
    from hardstand.flows.adopting import adopt
    from hardstand.flows.papers import settings_paper
    from hardstand.system.files import read
    from hardstand.views.output import tell

    here = session(context)
    adopt(here.pen(here.who(by)), [settings_paper(str(file), read(file))])
    tell("Settings are in force.")
