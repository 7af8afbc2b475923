"""Where things are: the record, the shipped checklists, the demo's data."""

from __future__ import annotations

import os
from pathlib import Path

_HERE = Path(__file__).resolve().parent.parent


def record_path(given: str | None) -> Path:
    """The record named on the command line or in HARDSTAND_RECORD, else the platform's place.

    Where a link is named it is the file the link leads to: its log lies beside it, not beside the
    link, and what is put in its place must not take the place of the link.
    """
    named = given or os.environ.get("HARDSTAND_RECORD")
    if named:
        path = Path(named).expanduser()
        return path.resolve() if path.is_symlink() else path
    data = os.environ.get("XDG_DATA_HOME", "")
    home = Path(data) if Path(data).is_absolute() else Path.home() / ".local" / "share"
    return home / "hardstand" / "record.db"


def shipped(name: str) -> Path:
    """A folder that ships with the program: `checklists`, or the demo's `quennock`.

    Found in an installed package, and in a working copy.
    """
    installed = _HERE / "_shipped" / name
    if installed.is_dir():
        return installed
    top = _HERE.parent.parent
    return top / name if name == "checklists" else top / "demo" / name


def person(given: str | None) -> str:
    """The initials named on the command line or in HARDSTAND_PERSON, or empty."""
    return given or os.environ.get("HARDSTAND_PERSON", "")
