"""A bug of the program, written to a file a person can send; the screen gets three lines."""

from __future__ import annotations

import os
import sys
import traceback
from pathlib import Path

from hardstand import __version__
from hardstand.errors import HardstandError


def reported(error: Exception) -> HardstandError:
    """Write what happened to the state folder; the error that tells where it lies."""
    state = os.environ.get("XDG_STATE_HOME", "")
    home = Path(state) if Path(state).is_absolute() else Path.home() / ".local" / "state"
    place = home / "hardstand" / "bug-report.txt"
    where = f"The report is in {place}; send it to whoever keeps hardstand."
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        told = "".join(traceback.format_exception(error))
        place.write_text(f"hardstand {__version__}, Python {sys.version}\n{told}", "utf-8")
    except OSError as full:
        where = f"No report could be written ({full.strerror}); note what you did and say it."
    return HardstandError(
        f"This is a bug in hardstand: {type(error).__name__}: {error}",
        safe="Everything acknowledged before is in the record.",
        hint=where,
    )
