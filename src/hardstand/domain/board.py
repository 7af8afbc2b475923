"""The shift lead's board: what stands, in the one order it is always read in. Pure.

Hazard present, grounds, unknown, half done or handed over, due soonest, repeat, oldest.

Source: human-factors BRD-01 to BRD-06 (status classes of TM 1-1520-240-BD; the layout is ours).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from typing import Literal, NamedTuple

from hardstand.domain.facts import AirframeFacts, Line, OpenEntry, placard_of
from hardstand.domain.people import People, find
from hardstand.domain.quantity import Instant, seconds_between
from hardstand.domain.verdict import NOT_PUT_BACK, Standing, Verdict, runs_out
from hardstand.domain.words import brief

Class = Literal["HAZARD", "GROUNDS", "UNKNOWN", "HALF DONE", "DUE", "REPEAT", "OPEN"]
ORDER: tuple[Class, ...] = (
    "HAZARD", "GROUNDS", "UNKNOWN", "HALF DONE", "DUE", "REPEAT", "OPEN",
)  # fmt: skip
RULE = "Order: hazard (battery first), grounds, unknown, half done, due soonest, repeat, oldest."

NOBODY = "NOBODY"
DUE_S = 86_400
"""What runs out within a day falls due; whole-job M-29."""

HAZARDS = NOT_PUT_BACK | {"placed", "count"}
"""Kinds of open line that somebody may be hurt by, or fly away with."""

WALK = "walk "
"""What the key of an open walk's line begins with."""

BATTERY = "battery"
"""The item of a fit that is its battery switch, by the name every shipped fit gives it."""

_SEES_TO_IT = ("technician", "crew_lead", "inspector", "shift_lead", "chief", "trainee")


class BoardLine(NamedTuple):
    """One thing the lead must see: its class, where, what, since when, what next, whose.

    `key` names it for the read-back. `until` is when it counts as X by itself, if it ever does.
    `rank` is its place within its class before anything else: 0 first.
    """

    cls: Class
    tail: str
    what: str
    since: Instant
    key: str
    symbol: str = ""
    until: str = ""
    next: str = ""
    owner: str = NOBODY
    ref: str = ""
    rank: int = 9


class Drawn(NamedTuple):
    """An energy line that is open: how long, and how much it has drawn by now, of what there is."""

    minutes: int
    amperes: Decimal
    ah: Decimal
    usable: Decimal | None


def ordered(lines: Iterable[BoardLine]) -> tuple[BoardLine, ...]:
    """The lines in the order of the board; the same order every time."""

    def place(x: BoardLine) -> tuple[int, int, str, str, str, str]:
        return ORDER.index(x.cls), x.rank, x.until or "~", x.since, x.tail, x.key

    return tuple(sorted(lines, key=place))


def entry_line(
    found: Verdict, facts: AirframeFacts, standing: Standing, people: People, repeated: bool
) -> BoardLine:
    """An open entry as a line of the board."""
    entry = standing.entry
    until = runs_out(entry) if standing.symbol != "X" else ""
    return BoardLine(
        cls=_class(standing, until, found.as_of, repeated),
        tail=facts.tail,
        what=_what(entry, standing.symbol),
        since=entry.found_at,
        key=entry.number,
        symbol=standing.symbol,
        until=until,
        next=next_action(entry, standing.symbol),
        owner=owner(entry, facts.owners or {}, people, found.as_of),
        ref=entry.number,
    )


def _class(standing: Standing, until: str, now: Instant, repeated: bool) -> Class:
    entry = standing.entry
    if standing.symbol == "X":
        return "GROUNDS"
    if standing.symbol == "-" or entry.disputes:
        return "UNKNOWN"
    if entry.work is not None or entry.stub:
        return "HALF DONE"
    if until and seconds_between(now, Instant(until)) <= DUE_S:
        return "DUE"
    return "REPEAT" if repeated else "OPEN"


def _what(entry: OpenEntry, symbol: str) -> str:
    where = f"{entry.unit}: " if entry.unit and entry.unit not in entry.text else ""
    ran_out = " (ran out)" if symbol == "X" and entry.symbol not in {"X", "-"} else ""
    again = f" ({len(entry.again) + 1} dates)" if entry.again else ""
    return f"{where}{brief(entry.text)}{ran_out}{again}"


def next_action(entry: OpenEntry, symbol: str) -> str:
    """What is to be done about an entry, by what the record says of it."""
    if entry.disputes:
        return "a third person settles it"
    if entry.voiders:
        return "a second person confirms the error"
    if entry.work is not None:
        return "an inspector looks"
    if entry.untested:
        return f"test {', '.join(entry.untested)}"
    if symbol == "X" or entry.symbol == "(X)":
        return "mend"
    if entry.deferral is not None:
        return "mend before it runs out"
    if entry.symbol == "-":
        return "look or test, then record it"
    return "mend" if entry.ruled else "rule, defer or mend"


def owner(entry: OpenEntry, owners: Mapping[str, str], people: People, now: Instant) -> str:
    """Who has an entry: who took it, did the work, put it off or found it, and still may.

    A pilot who reported it does not have it; nor does anybody whose authority has ended.
    """
    put_off = entry.deferral.by if entry.deferral else ""
    by = (owners.get(entry.number, ""), entry.work.by if entry.work else "", put_off,
          entry.found_by)  # fmt: skip
    for initials in by:
        if initials and (not people or _still(people, initials, now)):
            return initials
    return NOBODY


def _still(people: People, initials: str, now: Instant) -> bool:
    person = find(people, initials)
    if person is None or (person.ended and now >= person.ended):
        return False
    return any(grant.role in _SEES_TO_IT for grant in person.grants if grant.since <= now)


def line_line(facts: AirframeFacts, line: Line, drawn: Drawn | None, walk: str = "") -> BoardLine:
    """A line of the ledger that is open, as a line of the board.

    While a walk is in progress there, what it moved is half done and no hazard of its own.
    """
    return BoardLine(
        cls="HALF DONE" if walk else "HAZARD" if line.kind in HAZARDS else "OPEN",
        tail=facts.tail,
        what=f"{line.title} recorded {line.value}{_ampere_hours(drawn)}",
        since=line.since,
        key=f"{facts.tail} {line.item}",
        symbol="X" if line.kind in NOT_PUT_BACK and not walk else "",
        next=f"part of walk {walk}" if walk else _homing(facts, line),
        owner=line.by,
        ref=line.ref,
        rank=_rank(line),
    )


def _rank(line: Line) -> int:
    """The battery, then what else is live, what counts as X, and last what only lies about."""
    if line.kind not in HAZARDS:
        return 9
    if line.item == BATTERY:
        return 1
    if line.kind == "energy":
        return 2
    return 3 if line.kind in NOT_PUT_BACK else 4


def _homing(facts: AirframeFacts, line: Line) -> str:
    """What is to be done about an open line; a placard stays while its entry is open."""
    entry = next((e for e in facts.open if line.item == placard_of(e.number)), None)
    if entry:
        return f"leave it {line.value} until {entry.number} is cleared"
    return f"see it {line.home}"


def _ampere_hours(drawn: Drawn | None) -> str:
    if drawn is None:
        return ""
    of = f" of {drawn.usable:.1f} usable" if drawn.usable is not None else ""
    return f", {drawn.minutes} min, about {drawn.ah:.1f} Ah drawn{of}"


HEALTH = Decimal("0.80")
"""Of the rated capacity unless tested; serviceable at 80 %, whole-job C-12."""


def drawn(
    line: Line, amperes: Decimal | None, battery: Sequence[Decimal] | None, now: Instant
) -> Drawn | None:
    """What an open line has drawn by now; None where it draws nothing.

    Charge and temperature are not known here: charge is taken as full, the air as 20 °C and over.
    """
    if not amperes:
        return None
    minutes = max(seconds_between(line.since, now), 0) // 60
    usable = battery[0] * HEALTH - battery[1] if battery else None
    return Drawn(minutes=minutes, amperes=amperes, ah=amperes * minutes / 60, usable=usable)


class Bank(NamedTuple):
    """All that is drawn from one aircraft's battery at once, and how long it lasts like that."""

    tail: str
    ah: Decimal
    usable: Decimal
    minutes_left: int


def bank(tail: str, loads: Sequence[Drawn]) -> Bank | None:
    """The battery behind several open lines; minutes left are rounded down, never below 0."""
    known = [load for load in loads if load.usable is not None]
    if not known:
        return None
    usable = known[0].usable or Decimal(0)
    ah = sum((load.ah for load in known), Decimal(0))
    rate = sum((load.amperes for load in known), Decimal(0))
    left = (usable - ah) / rate * 60 if rate else Decimal(0)
    return Bank(tail=tail, ah=ah, usable=usable, minutes_left=max(int(left), 0))
