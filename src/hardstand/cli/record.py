"""record new, verify, history, settings: the keeper's verbs."""

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
def verify(context: typer.Context) -> None:
    """Check every chain, the triggers, and the facts kept beside them."""
    from hardstand.flows.records import verified
    from hardstand.views.output import emit

    emit(verified(session(context).journal(read_only=True)))


@app.command("history")
def history(
    context: typer.Context,
    what: Annotated[str, typer.Argument(metavar="ENTRY|TAIL|INITIALS")],
) -> None:
    """Every line of an entry, an airframe or a person, oldest first."""
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
