"""Roles as typed on the command line: `technician:H,V` from a day to a day."""

from __future__ import annotations

from collections.abc import Sequence

from hardstand.domain import bodies as b
from hardstand.domain.deferral import DAYS
from hardstand.domain.people import ROLES
from hardstand.errors import Usage
from hardstand.flows.deferring import time_of
from hardstand.flows.pen import Pen


def read(
    pen: Pen,
    typed: Sequence[str],
    *,
    since: str = "",
    until: str = "",
    end: str = "",
    categories: str = "",
) -> tuple[b.Granted, ...]:
    """The roles typed, each from `since` (or from now on) to the end of `until`; or ended at `end`.

    Raises:
        Usage: a role, day or category is none.
    """
    start = time_of(pen, since, end=False) if since else ""
    stop = time_of(pen, until, end=True) if until else ""
    if end:
        start = time_of(pen, end, end=True)
        stop = start
    elif stop and stop <= (start or pen.now()):
        raise Usage(f"--to {until!r} is not after the beginning.", hint="A later day.")
    letters = tuple(c for c in categories.upper() if c not in ", ")
    odd = [c for c in letters if c not in DAYS]
    if odd:
        raise Usage(f"{odd[0]!r} is no category that is deferred in.", hint="Some of B, C, D.")
    return tuple(
        b.Granted(role=_role(text), fits=_fits(text), categories=letters, since=start, until=stop)
        for text in typed
    )


def _role(text: str) -> str:
    name = text.partition(":")[0].strip().lower().replace(" ", "_").replace("-", "_")
    if name not in ROLES:
        raise Usage(f"{name!r} is no role.", hint=f"One of {', '.join(ROLES)}.")
    return name


def _fits(text: str) -> tuple[str, ...]:
    names = text.partition(":")[2].split(",")
    return tuple(name.strip().upper() for name in names if name.strip())
