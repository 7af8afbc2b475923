"""walk: the technician at the aircraft."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from hardstand.cli.session import instant, session


def walk(
    context: typer.Context,
    planned: Annotated[str, typer.Argument(metavar="[PLANNED]", help="The tail planned.")] = "",
    by: Annotated[str | None, typer.Option(help="Your initials; else HARDSTAND_PERSON.")] = None,
    with_: Annotated[str, typer.Option("--with", help="Who works with you: BT or BT,NH.")] = "",
    list_id: Annotated[str, typer.Option("--list", help="Which list, by its id.")] = "",
    changed: Annotated[
        bool, typer.Option("--changed", help="Only what the list asks otherwise than last time.")
    ] = False,
    practice: Annotated[
        bool, typer.Option("--practice", help="Practise: nothing of it counts or is kept open.")
    ] = False,
    answers: Annotated[Path | None, typer.Option(help="Play answers from a file.")] = None,
    made_at: Annotated[str | None, typer.Option(help="When a played walk was made.")] = None,
    typist: Annotated[str, typer.Option(help="Who types a walk made on paper.")] = "",
) -> None:
    """Walk an aircraft, or go on with the walk left there; its tail is typed at the aircraft."""
    from hardstand.flows import answer_file, playing, starting
    from hardstand.system.files import read
    from hardstand.views.output import tell
    from hardstand.views.walk_end import told

    here = session(context)
    who = here.who(by, with_)
    if practice:
        state = starting.practise(
            here.pen(who), here.prompter(), planned=planned, by=who, list_id=list_id
        )
    elif answers is None:
        state = starting.walk(
            here.pen(who), here.prompter(), planned=planned, by=who, list_id=list_id,
            changed=changed,
        )  # fmt: skip
    else:
        script = answer_file.parse(str(answers), read(answers))
        late = playing.late(who, instant(made_at), typist)
        state = playing.play(here.pen(late), script, by=late, planned=planned)
    tell(told(state))
