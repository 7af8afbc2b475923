"""Pairs of acts that had not seen each other, and how the two are read together.

The rule is that of the two-tablet table (whole-job C-13): of concurrent heads the worse; what eases
holds only over what its signer had seen; what cannot both stand is listed.
"""

from __future__ import annotations

from collections.abc import Callable

from hardstand.domain.bodies import By
from hardstand.domain.facts import OpenEntry
from hardstand.domain.ruling import rule
from line_office import Office, done

Does = Callable[[Office, str], object]


def _lead(device: str) -> str:
    return "MS" if device == "A" else "OH"


ACTS: dict[str, Does] = {
    "raise to X": lambda o, d: o.worse("Fri 10:00", "IO", "X", d),
    "raise to dash": lambda o, d: o.worse("Fri 10:00", "IO", "-", d),
    "lower": lambda o, d: o.worse("Fri 10:00", _lead(d), "/", d),
    "defer C": lambda o, d: o.defers("Fri 10:00", _lead(d), device=d),
    "defer D": lambda o, d: o.defers("Fri 10:00", _lead(d), "23-H-09", d, ("torch",)),
    "extend": lambda o, d: o.extends("Fri 10:00", "LH", 2 if d == "A" else 4, device=d),
    "ruling": lambda o, d: o.does(
        "Fri 10:00", "MS", lambda f, c: rule(f, "107-S01", "fly it", By(doer="MS"), c), d),
    "action recorded": lambda o, d: o.acts("Fri 10:00", "BTR", "more", d),
    "clear": lambda o, d: o.clears("Fri 10:00", "DQ" if d == "A" else "YB", d),
    "reject": lambda o, d: o.rejects("Fri 10:00", "DQ" if d == "A" else "YB", d),
    "entered in error": lambda o, d: o.voids("Fri 10:00", "IO", d),
    "circle": lambda o, d: o.limits("Fri 10:00", "LH", "Sat 17:00" if d == "A" else "Sun 17:00",
                                    device=d),
}  # fmt: skip

PAIRS: tuple[tuple[str, str, str, str, str, bool], ...] = (
    ("/", "raise to X", "raise to dash", "X", "open", False),
    ("/", "defer C", "raise to X", "X", "open", True),
    ("/", "defer C", "raise to dash", "-", "deferred to 20 Mar", False),
    ("/", "defer C", "defer C", "/", "deferred to 20 Mar", False),
    ("/", "defer C", "defer D", "/", "deferred to 20 Mar", True),
    ("/", "defer D", "action recorded", "/", "action_recorded to 8 Jul", False),
    ("/", "ruling", "raise to X", "X", "open", False),
    ("/", "ruling", "action recorded", "/", "action_recorded", False),
    ("/", "ruling", "ruling", "/", "ruled", False),
    ("/", "entered in error", "raise to X", "X", "open", True),
    ("/", "entered in error", "defer C", "/", "deferred to 20 Mar", True),
    ("/", "entered in error", "entered in error", "", "", False),
    ("/ deferred", "extend", "action recorded", "/", "action_recorded to 20 Mar", True),
    ("/ deferred", "extend", "extend", "/", "deferred to 22 Mar", True),
    ("/ deferred", "extend", "raise to X", "X", "open", True),
    ("/ worked on", "clear", "reject", "/", "open", True),
    ("/ worked on", "clear", "action recorded", "/", "action_recorded", True),
    ("/ worked on", "clear", "defer C", "/", "action_recorded to 20 Mar", True),
    ("/ worked on", "reject", "action recorded", "/", "action_recorded", False),
    ("/ worked on", "reject", "reject", "/", "open", False),
    ("- ", "lower", "action recorded", "-", "action_recorded", True),
    ("- ", "lower", "raise to X", "X", "open", True),
    ("- ", "lower", "lower", "/", "open", False),
    ("X worked on", "clear", "clear", "", "", False),
    ("X worked on", "clear", "reject", "X", "open", True),
    ("X worked on", "circle", "clear", "(X)", "action_recorded", True),
    ("X worked on", "circle", "reject", "X", "open", True),
    ("X", "circle", "circle", "(X)", "open until 13 Mar", True),
    ("X", "circle", "action recorded", "X", "action_recorded", True),
)
"""Start, the two acts, then symbol, state with its end, and whether it is listed."""


def played(start: str, one: str, other: str, first: str = "A") -> Office:
    """The office when both tablets have come in; `first` made the one act."""
    office = Office()
    office.raises("Wed 15:20", "IO", "X" if start[0] == "X" else "-" if start[0] == "-" else "/")
    if start.endswith("worked on"):
        done(office.acts("Fri 09:20", "BT"))
    if start.endswith("deferred"):
        done(office.defers("Fri 09:20", "MS"))
    office.exchange("S", "A", "C")
    ACTS[one](office, first)
    ACTS[other](office, "C" if first == "A" else "A")
    office.exchange("S", "A", "C")
    return office


def read(item: OpenEntry | None) -> tuple[str, str, bool]:
    """How an entry reads: symbol, state with its end, and whether anything is listed."""
    if item is None:
        return "", "", False
    ends = ""
    if item.deferral is not None and item.symbol != "X":
        ends = {"2027-03-20": " to 20 Mar", "2027-03-22": " to 22 Mar",
                "2027-07-08": " to 8 Jul"}[item.deferral.last_day]  # fmt: skip
    if item.limits is not None and (item.symbol, item.state) == ("(X)", "open"):
        ends = f" until {item.limits.ends[8:10]} Mar"
    return item.symbol, f"{item.state}{ends}", bool(item.disputes)
