"""What the cards are made of, read from the record: dial readings, test calls, meters."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from hardstand.domain import bodies as b
from hardstand.domain.cards import Call, DialCard, DialReading, calls, dial_card
from hardstand.domain.codec import decode
from hardstand.domain.entry import Entry
from hardstand.domain.quantity import Instant, clock_time, local_day, seconds_between, zone
from hardstand.domain.settled import pairs
from hardstand.domain.station_card import Band, bands, station_card, sun_on
from hardstand.domain.verdict import fit_of
from hardstand.errors import NotThere
from hardstand.flows.adopting import lists, the_fleet
from hardstand.flows.queries import Reading, the_airframe
from hardstand.ports import Journal

DIALS = ("dial_error", "dial_grain")


@dataclass(frozen=True, slots=True, kw_only=True)
class CallCard:
    """The test calls of one airframe as they stand at a time, local."""

    tail: str
    at: Instant
    checklist: str
    calls: tuple[Call, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Touched:
    """One verdict that a meter out of date had a part in, as it was told then."""

    at: Instant
    tail: str
    step: str
    value: str
    unit: str
    verdict: str
    ref: str


def dial(journal: Journal, serial: str) -> DialCard:
    """The correction card of a receiver's serial number.

    Raises:
        NotThere: no reading of that serial number is in the record.
    """
    wanted = serial.strip().upper()
    every = tuple(_readings(journal))
    own = [r for r in every if r.serial.upper() == wanted and r.verdict != "unknown"]
    if not own:
        known = ", ".join(sorted({r.serial for r in every})) or "none"
        raise NotThere(
            f"The record holds no dial reading of serial {serial}.",
            hint=f"Serials with readings: {known}.",
        )
    return dial_card(own)


def _answers(journal: Journal) -> Iterator[tuple[Entry, b.StepAnswered]]:
    """Every answer that still counts, oldest first."""
    undone = set()
    for entry in journal.entries(kind="step.undone"):
        body = decode(entry)
        if isinstance(body, b.StepUndone):
            undone.add(body.of)
    for entry in journal.entries(kind="step.answered"):
        body = decode(entry)
        if isinstance(body, b.StepAnswered) and entry.digest.hex() not in undone:
            yield entry, body


def _readings(journal: Journal) -> Iterator[DialReading]:
    for entry, body in _answers(journal):
        given = pairs(body.judged) if body.judged[:1] and body.judged[0] in DIALS else {}
        if "serial" in given:
            yield DialReading(
                serial=given["serial"],
                position=given["position"],
                true=Decimal(given["true_khz"]),
                dial=Decimal(given["dial_khz"]),
                limit_pct=Decimal(given["limit_pct"]),
                division=Decimal(given.get("g_khz", "1")),
                verdict=body.verdict,
                tail=entry.airframe or "",
                at=entry.at,
                ref=entry.ref,
            )


def call(journal: Journal, reading: Reading, typed: str, now: Instant) -> CallCard:
    """The test calls of an airframe, with who is on watch at that time.

    Raises:
        NotThere: no such tail, or its list makes no test call.
    """
    record = journal.record()
    facts = the_airframe(reading, record, typed)
    tail, fit = facts.tail, fit_of(facts, now, record)
    fleet = the_fleet(journal)
    clock = clock_time(now, zone(record.time_zone))
    for checklist in lists(journal).current.values():
        found = calls(checklist, tail, fleet.stations or {}, clock)
        if checklist.fit == fit and found:
            return CallCard(
                tail=tail,
                at=now,
                checklist=f"{checklist.id} {checklist.revision}",
                calls=found,
            )
    raise NotThere(f"No list adopted for {tail}, fit {fit}, makes a test call.")


@dataclass(frozen=True, slots=True, kw_only=True)
class StationCard:
    """The stations for each receiver of one airframe as they stand at a time, local."""

    tail: str
    at: Instant
    sun_up: bool | None
    list_days: int
    bands: tuple[Band, ...]


def stations(journal: Journal, reading: Reading, typed: str, now: Instant) -> StationCard:
    """Which stations can check the receivers of an airframe at that time, and which cannot.

    Raises:
        NotThere: no such tail, or its list reads no dial.
    """
    record = journal.record()
    facts = the_airframe(reading, record, typed)
    fit, fleet, where = fit_of(facts, now, record), the_fleet(journal), zone(record.time_zone)
    loaded = [entry.at for entry in journal.entries(kind="fleet.loaded", until=now)]
    age = seconds_between(loaded[-1], now) // 86400 if loaded else 0
    clock = clock_time(now, where)
    sun = sun_on(fleet.daylight, local_day(now, where).isoformat()[5:])
    for checklist in lists(journal).current.values():
        if checklist.fit != fit or not bands(checklist):
            continue
        found = station_card(checklist, fleet.stations or {}, clock, sun, age)
        up = sun.rises <= clock < sun.sets if sun else None
        return StationCard(tail=facts.tail, at=now, sun_up=up, list_days=age, bands=found)
    raise NotThere(f"No list adopted for {facts.tail}, fit {fit}, reads the dial of a receiver.")


def gear(journal: Journal, name: str) -> tuple[str, tuple[Touched, ...]]:
    """The day a meter was due, and every verdict it had a part in after that day.

    Raises:
        NotThere: the fleet has no such meter.
    """
    known = the_fleet(journal).gear or {}
    found = next((n for n in known if n.lower() == name.strip().lower()), None)
    if found is None:
        raise NotThere(
            f"The fleet has no meter or calibrator {name!r}.",
            hint=f"It has: {', '.join(known) or 'none'}.",
        )
    due, where = known[found].due, zone(journal.record().time_zone)
    touched = tuple(
        Touched(
            at=entry.at,
            tail=entry.airframe or "",
            step=body.step,
            value=body.value,
            unit=body.unit,
            verdict=body.verdict,
            ref=entry.ref,
        )
        for entry, body in _answers(journal)
        if body.meter == found and local_day(entry.at, where).isoformat() > due
    )
    return due, touched
