"""What is written of acceptance and flights: decisions as bodies, or a refusal. Pure.

The pilot signs for the list shown. No acceptance over an X; what limits the mission is read out
line by line; a diagonal is cleared, deferred or ruled before it.

Source: whole-job M-22, S-04; MEL procedures as read (a pilot may always refuse relief).
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass

from hardstand.domain import bodies as b
from hardstand.domain.authority import Case, may
from hardstand.domain.bodies import By
from hardstand.domain.defects import Refused, Report, raised
from hardstand.domain.facts import AirframeFacts
from hardstand.domain.flight_facts import Flown, flown_of
from hardstand.domain.plain import canonical
from hardstand.domain.putting_off import operation_closed
from hardstand.domain.quantity import Instant
from hardstand.domain.verdict import Standing, Verdict, runs_out


@dataclass(frozen=True, slots=True, kw_only=True)
class Taking:
    """An acceptance as given: mission, the limits read out, what was shown, on paper or not.

    `list_of` is when the list shown was made.
    """

    mission: str
    read: tuple[str, ...]
    list_of: Instant
    told: tuple[str, ...] = ()
    paper: bool = False


def listed(found: Verdict) -> tuple[str, ...]:
    """The open entries as a pilot is shown them, worst first, one line each."""
    return tuple(_line(standing) for standing in found.open)


def _line(standing: Standing) -> str:
    entry = standing.entry
    until = runs_out(entry)
    told = f"; to {until}" if until else ""
    met = f"; {'; '.join(entry.deferral.met)}" if entry.deferral and entry.deferral.met else ""
    limits = f"; within limits: {entry.limits.text}" if entry.limits else ""
    return f"{entry.number} {standing.symbol} {entry.text}{limits}{met}{told}"


def to_read(found: Verdict, mission: str) -> tuple[str, ...]:
    """What is read out line by line before a pilot takes the aircraft on a mission.

    The limits of each circled X, and why the mission is not simply CAN.
    """
    circled = [
        f"{s.entry.number} {s.entry.limits.text}"
        for s in found.open
        if s.symbol == "(X)" and s.entry.limits
    ]
    said = next((f for f in found.missions if f.mission == mission), None)
    if said is not None and said.word != "CAN":
        circled += [f"{mission} {said.word}: {part}" for part in said.why.split("; ")]
    return tuple(circled)


def no_longer(tail: str, before: Flown, now: Flown) -> str:
    """What to call across the apron when an acceptance has just come undone; empty if none did."""
    taken = now.accepted
    was = before.accepted.undone if before.accepted else ""
    if taken is None or not taken.undone or was:
        return ""
    return (
        f"{taken.pilot} accepted {tail} for {taken.mission} before {taken.undone}: that "
        f'acceptance is undone. Call across: "{tail}, stop; read the list again."'
    )


def accept(
    found: Verdict, facts: AirframeFacts, asked: Taking, by: By, case: Case
) -> tuple[b.Body, ...] | Refused:
    """The pilot takes the aircraft on the list as it stands.

    A list on paper is taken down as it was signed, whatever the record says: what was out of
    order is told when the flight is entered.
    """
    barred = may("accept", by.doer, case)
    if barred is not None:
        return Refused(
            what=f"{by.doer} does not accept {facts.tail}",
            rule=barred.rule, who_could=barred.who_could, deed="accept",
        )  # fmt: skip
    refused = None if asked.paper else stands_against(found) or _not_read(found, asked)
    if refused is not None:
        return refused
    lines = listed(found)
    return (
        b.FlightAccepted(
            mission=asked.mission, listed=lines, list_of=asked.list_of, limits_read=asked.read,
            digest=hashlib.sha256(canonical(list(lines))).hexdigest(), paper=asked.paper,
            told=asked.told, by=by, seen=seen(facts),
        ),
    )  # fmt: skip


def stands_against(found: Verdict) -> Refused | None:
    """Why the list cannot be accepted as it stands, whatever is read out."""
    if found.symbol == "X":
        why = [r.text for r in found.reasons if r.column == "symbol" and "X" in r.text[:3]]
        return Refused(
            what=f"{found.tail} stands at red X: {'; '.join(why) or 'see why'}",
            rule="nobody accepts an aircraft over a red X",
            who_could="nobody, while it stands",
            hint=f"`hardstand why {found.tail}` says what is behind it.",
        )
    unruled = [
        s.entry.number
        for s in found.open
        if s.symbol == "/" and s.entry.deferral is None and not s.entry.ruled
    ]
    if unruled:
        return Refused(
            what=f"{', '.join(unruled)}: nobody has said what is to become of it",
            rule="a red diagonal is cleared, deferred or ruled before the next acceptance",
            who_could="a shift lead",
            hint=f"hardstand defect rule {unruled[0]} WORDS, or hardstand defect defer",
        )
    return None


def _not_read(found: Verdict, asked: Taking) -> Refused | None:
    left = [line for line in to_read(found, asked.mission) if line not in asked.read]
    if left:
        return Refused(
            what=f"not read out: {left[0]}",
            rule="what limits the flight is read out line by line",
            hint="Read it aloud, and say so at its line.",
        )
    return None


def refuse(facts: AirframeFacts, mission: str, words: str, by: By) -> tuple[b.FlightRefused, ...]:
    """The pilot does not take the aircraft; no reason is needed, and none is asked."""
    return (b.FlightRefused(mission=mission, words=words, by=by, seen=seen(facts)),)


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaving:
    """A flight as told: mission, pilot, off-block, whether it needs the set."""

    mission: str
    pilot: str
    off: Instant
    uses_radio: bool
    words: str = ""


def begin(facts: AirframeFacts, asked: Leaving, by: By) -> tuple[b.Body, ...] | Refused:
    """The aircraft left at off-block; what was out of order is told, never refused."""
    aloft = flown_of(facts).aloft
    if aloft is not None:
        return Refused(
            what=f"{facts.tail} left at {aloft.off} with {aloft.pilot} and has not come back",
            hint=f"hardstand flight in {facts.tail}",
        )
    return (
        b.FlightBegun(
            mission=asked.mission, pilot=asked.pilot, off=asked.off, uses_radio=asked.uses_radio,
            words=asked.words, by=by, seen=seen(facts),
        ),
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Back:
    """The end of a flight and what its pilot says of it.

    `reports` are new entries; `again` are entries that are open already, with the words added;
    `known` are entries written down before. With none of them `none_known` says that no defect
    is known; without that the pilot still owes a word.
    """

    on: Instant | None
    reports: tuple[Report, ...] = ()
    again: tuple[tuple[str, str], ...] = ()
    known: tuple[str, ...] = ()
    none_known: bool = False
    words: str = ""


def end(facts: AirframeFacts, asked: Back, *, device: str, by: By) -> tuple[b.Body, ...] | Refused:
    """The flight is over, or its report is given afterwards."""
    flown = flown_of(facts)
    flight = flown.aloft or next(iter(reversed(flown.owed)), None)
    if flight is None or (asked.on is not None and flown.aloft is None):
        return Refused(
            what=f"{facts.tail} is not in the air, by the record",
            hint=f"hardstand flight out {facts.tail} MISSION",
        )
    if asked.on is not None and asked.on < flight.off:
        return Refused(what=f"back at {asked.on} is before off-block at {flight.off}")
    unknown = [n for n, _ in asked.again if facts.entry(n) is None]
    if unknown:
        return Refused(what=f"{unknown[0]} is not open on {facts.tail}", hint="hardstand open")
    over: tuple[b.Body, ...] = ()
    if asked.on:
        closed = operation_closed(facts, f"flight {flight.nth}", flight.off, by)
        over = (b.FlightEnded(flight=flight.digest, on=asked.on, by=by), *closed)
    return (*over, *_reported(facts, flight.digest, asked, device, by))


def _reported(
    facts: AirframeFacts, flight: str, asked: Back, device: str, by: By
) -> tuple[b.Body, ...]:
    new = tuple(
        raised(facts, report, device=device, by=by, after=n)
        for n, report in enumerate(asked.reports)
    )
    more = tuple(
        b.DefectExtended(number=number, text=text, by=by, seen=entry.seen)
        for number, text in asked.again
        if (entry := facts.entry(number)) is not None
    )
    named = (*(x.number for x in new), *(x.number for x in more), *asked.known)
    if not named and not asked.none_known:
        return ()
    said = b.FlightReported(
        flight=flight, entries=named, none_known=not named, words=asked.words, by=by
    )
    return (*new, *more, said)


def seen(facts: AirframeFacts) -> tuple[str, ...]:
    """The last lines of every open entry, as somebody has them in front of them."""
    return tuple(dict.fromkeys(d for entry in facts.open for d in entry.seen))
