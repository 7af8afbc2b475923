"""demo: the Quennock week, built through the real flows."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer


def demo(
    at: Annotated[Path, typer.Argument(help="Where the demo record goes.")] = Path("quennock.db"),
    until: Annotated[str | None, typer.Option(help="Stop the week at this time.")] = None,
) -> None:
    """Build the demo record anew; the same lines each time. Not for real aircraft."""
    from hardstand.cli.session import instant
    from hardstand.flows.demo_script import EVENTS
    from hardstand.flows.demo_week import Tools, build
    from hardstand.store.journal import SqlJournal, anew
    from hardstand.system.clock import ScriptClock
    from hardstand.system.demo_files import demo_texts
    from hardstand.system.keys import DemoKeys
    from hardstand.views.output import tell

    end = instant(until)
    anew(at)
    tools = Tools(
        opened=lambda device: SqlJournal(at, device), clock=ScriptClock, signer=DemoKeys(),
        texts=demo_texts(),
    )  # fmt: skip
    build(tools, EVENTS, end)
    tell(f"Built {at}. Look with: hardstand --record {at} status")
