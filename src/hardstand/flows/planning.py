"""Tomorrow's flights: how many can be flown, what is too few, and by when walks must begin."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta, tzinfo

from hardstand.domain.cover import Cover, cover
from hardstand.domain.facts import AirframeFacts, RecordFacts
from hardstand.domain.mission_advice import to_clear
from hardstand.domain.mission_fit import to_prove
from hardstand.domain.quantity import Instant, instant, moment, seconds_between, zone
from hardstand.domain.start_by import (
    Job,
    Length,
    Order,
    due,
    earliest_first,
    fewest_late,
    length_of,
)
from hardstand.domain.verdict import Verdict, fit_of
from hardstand.errors import Usage
from hardstand.flows.queries import Board, Reading, board, whole_tail

ABLE = frozenset({"CAN", "CAN WITH LIMITS"})

_COUNT = re.compile(r"(?P<name>[A-Za-z0-9._-]+)=(?P<n>[0-9]{1,3})")
_CLOCK = re.compile(r"(?P<name>[A-Za-z0-9 -]+)=(?P<at>(?:[01][0-9]|2[0-3]):[0-5][0-9])")


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """Flights wanted by mission, take-offs by tail as local clock times, pairs of hands."""

    wanted: Mapping[str, int]
    take_off: Mapping[str, str]
    people: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Help:
    """What would let one more flight be flown: on which aircraft, clear or prove what."""

    tail: str
    mission: str
    deed: str
    names: tuple[str, ...]
    gained: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Slot:
    """An aircraft to be walked before its take-off: when to begin, by what length."""

    tail: str
    take_off: Instant
    due: Instant
    begin: Instant
    length: Length


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """What is asked of a morning, answered."""

    as_of: Instant
    record: RecordFacts
    cover: Cover | None = None
    helps: tuple[Help, ...] = ()
    slots: tuple[Slot, ...] = ()
    in_date: tuple[str, ...] = ()
    people: int = 1
    plain: Order | None = None
    best: Order | None = None


def asked(wanted: str, take_off: str, people: int) -> Asked:
    """What was typed, as `MAIL-N=3,SURVEY-N=1` and `QM-107=06:10,QM-101=06:15`.

    Raises:
        Usage: a part reads otherwise, or nobody walks.
    """
    if people < 1:
        raise Usage(f"--people {people} is nobody.", hint="One at least.")
    return Asked(
        wanted={m["name"].upper(): int(m["n"]) for m in _parts(wanted, _COUNT, "MAIL-N=3")},
        take_off={m["name"].strip(): m["at"] for m in _parts(take_off, _CLOCK, "QM-107=06:10")},
        people=people,
    )


def _parts(text: str, form: re.Pattern[str], like: str) -> Iterator[re.Match[str]]:
    for part in filter(None, (p.strip() for p in text.split(","))):
        found = form.fullmatch(part)
        if found is None:
            raise Usage(f"{part!r} does not read.", hint=f"Such as {like}; several between commas.")
        yield found


def plan(reading: Reading, now: Instant, asked_: Asked) -> Plan:
    """What can be flown, what would help, by when to begin.

    Raises:
        Usage: a mission is none of the record's.
        NotThere: a tail is none of it, or means several.
    """
    stand = board(reading, now)
    record = stand.record
    known = {f.mission for v in stand.verdicts for f in v.missions}
    odd = [m for m in asked_.wanted if m not in known]
    if odd:
        raise Usage(f"{odd[0]!r} is no mission.", hint=f"One of {', '.join(sorted(known))}.")
    found = Plan(as_of=now, record=record, people=asked_.people)
    if asked_.wanted:
        found = _covered(found, stand.verdicts, asked_.wanted)
    return _timed(found, stand, asked_) if asked_.take_off else found


def _able(verdicts: Sequence[Verdict]) -> dict[str, set[str]]:
    return {v.tail: {f.mission for f in v.missions if f.word in ABLE} for v in verdicts}


def _covered(found: Plan, verdicts: Sequence[Verdict], wanted: Mapping[str, int]) -> Plan:
    able = _able(verdicts)
    now = cover(wanted, able)
    helps = [
        Help(tail=v.tail, mission=m, deed=deed, names=names, gained=gained)
        for v in verdicts
        for m in wanted
        if m not in able[v.tail]
        for deed, names in _ways(v, m)
        if (gained := cover(wanted, {**able, v.tail: able[v.tail] | {m}}).flyable - now.flyable) > 0
    ]
    helps.sort(key=lambda h: (-h.gained, len(h.names), h.tail, h.mission))
    return replace(found, cover=now, helps=tuple(helps))


def _ways(v: Verdict, mission: str) -> Iterator[tuple[str, tuple[str, ...]]]:
    """What would give an aircraft a mission: entries to clear, or a walk, or functions to prove."""
    said = next((f.word for f in v.missions if f.mission == mission), "")
    if v.known is None:
        return
    if said == "UNKNOWN":
        if v.known.why_unknown:
            yield "walk", (v.known.why_unknown,)
        else:
            yield from (("prove", names) for names in to_prove(v.known, mission).sets)
    elif not v.known.why_unknown:
        yield from (("clear", names) for names in to_clear(v.known, mission).sets if names)


def _timed(found: Plan, stand: Board, asked_: Asked) -> Plan:
    record = found.record
    where = zone(record.time_zone)
    facts = {f.tail: f for f in stand.facts}
    verdicts = {v.tail: v for v in stand.verdicts}
    slots, in_date = [], []
    for typed, clock in asked_.take_off.items():
        tail = whole_tail(record, typed)
        leaves = _next(found.as_of, clock, where)
        until = verdicts[tail].preflight.until
        if verdicts[tail].preflight.state == "in_date" and until is not None and leaves < until:
            in_date.append(tail)
            continue
        slots.append(_slot(tail, leaves, _length(facts, tail, found.as_of, record)))
    jobs = [
        Job(tail=s.tail, length=s.length.minutes, due=seconds_between(found.as_of, s.due) // 60)
        for s in slots
    ]
    slots.sort(key=lambda s: (s.begin, s.tail))
    return replace(
        found, slots=tuple(slots), in_date=tuple(in_date),
        plain=earliest_first(jobs, asked_.people), best=fewest_late(jobs, asked_.people),
    )  # fmt: skip


def _next(now: Instant, clock: str, where: tzinfo) -> Instant:
    """The next time the local clock shows that."""
    local = moment(now).astimezone(where)
    hour, minute = (int(part) for part in clock.split(":"))
    at = local.replace(hour=hour, minute=minute, second=0)
    return instant(at if at >= local else at + timedelta(days=1))


def _slot(tail: str, leaves: Instant, length: Length) -> Slot:
    minutes = due(0)
    last = instant(moment(leaves) + timedelta(minutes=minutes))
    begin = instant(moment(last) - timedelta(minutes=length.minutes))
    return Slot(tail=tail, take_off=leaves, due=last, begin=begin, length=length)


def _length(
    facts: Mapping[str, AirframeFacts], tail: str, now: Instant, record: RecordFacts
) -> Length:
    """From the last finished walk of each aircraft of that fit, or what the list says."""
    fit = fit_of(facts[tail], now, record)
    past = [
        seconds_between(Instant(f.finished.started), f.finished.at) // 60
        for f in facts.values()
        if f.finished is not None and f.finished.started and fit_of(f, now, record) == fit
    ]
    return length_of(past, (record.walk_min or {}).get(fit, 0))
