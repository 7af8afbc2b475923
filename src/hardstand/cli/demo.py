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
    from hardstand.flows.demo_week import build
    from hardstand.store.journal import SqlJournal, anew
    from hardstand.system.clock import ScriptClock
    from hardstand.system.demo_files import demo_texts
    from hardstand.views.output import tell

    anew(at)
    build(lambda device: SqlJournal(at, device), ScriptClock, demo_texts(), instant(until))
    tell(f"Built {at}. Look with: hardstand --record {at} status")
