"""The Quennock Monday as it stands at 05:45, with everybody enrolled; pens in anybody's hand."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import replace
from pathlib import Path

from builders import Watch
from hardstand.domain.bodies import By
from hardstand.flows.demo_deeds import time
from hardstand.flows.demo_script import EVENTS
from hardstand.flows.demo_week import Tools, build
from hardstand.flows.pen import Pen
from hardstand.store.journal import SqlJournal, create
from hardstand.system.clock import ScriptClock
from hardstand.system.demo_files import demo_texts
from hardstand.system.keys import DemoKeys


def built(path: Path, until: str) -> Path:
    """The week up to a time of it, at a new path."""
    create(path, "S")
    tools = Tools(
        opened=lambda device: SqlJournal(path, device), clock=ScriptClock, signer=DemoKeys(),
        texts=demo_texts(),
    )  # fmt: skip
    build(tools, EVENTS, time(until))
    return path


def copied(source: Path, path: Path) -> Path:
    """A record of its own to write in."""
    with closing(sqlite3.connect(source)) as old, closing(sqlite3.connect(path)) as new:
        old.backup(new)
    return path


def pen(path: Path, who: str, at: str, device: str = "S") -> Pen:
    """A pen in somebody's hand at a time of the week, `Mon 05:50`."""
    return Pen(
        journal=SqlJournal(path, device), clock=Watch(at=time(at), step=0), author=who,
        signer=DemoKeys(),
    )  # fmt: skip


def handed(old: Pen, who: str, at: str) -> Pen:
    """The same record in another hand at another time."""
    return replace(old, author=who, clock=Watch(at=time(at), step=0))


def by(who: str, *with_: str) -> By:
    """Whose hands."""
    return By(doer=who, with_=with_)
