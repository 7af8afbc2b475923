"""The third answer: what each airframe can fly, with what stands against it now. Pure.

A function counts as good while it was proved good inside a preflight in date and nothing since
touches it; what an open entry takes is GONE, what one weakens is a limit, anything else is not
known. Not tested is UNKNOWN, never good and never bad.

Source: whole-job C-10.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

from hardstand.domain.capability import (
    GONE,
    WEAK,
    InTheWay,
    Structure,
    Wanted,
    Word,
    answer,
    caps_of,
)
from hardstand.domain.facts import AirframeFacts, OpenEntry
from hardstand.domain.mission_book import DAYLIGHT, FitBook, Task
from hardstand.domain.words import brief

if TYPE_CHECKING:
    from hardstand.domain.repairs import Repairs

NIGHT = InTheWay(name="by night", caps={DAYLIGHT: GONE})


class Fitness(NamedTuple):
    """What is said of one mission, and why: `why` is empty where it CAN.

    `entries` are the entry numbers behind it.
    """

    mission: str
    word: Word
    why: str = ""
    entries: tuple[str, ...] = ()


class Known(NamedTuple):
    """What is known of the functions of one airframe.

    `things` stand against them; `unknown` maps each function nothing is known of to the reason.
    `grounded` names the entries, lines and positions that bar every mission. `limits` always
    stand.
    """

    book: FitBook
    structure: Structure
    things: tuple[InTheWay, ...]
    unknown: Mapping[str, str]
    says: Mapping[str, str]
    grounded: tuple[str, ...] = ()
    limits: tuple[tuple[str, str], ...] = ()
    why_unknown: str = ""


def known(
    book: FitBook,
    facts: AirframeFacts,
    *,
    grounded: tuple[str, ...],
    circled: tuple[str, ...],
    expired: str,
    by_day: bool | None,
) -> Known:
    """What the record knows of each function.

    Args:
        book: the missions of the fit carried.
        facts: the airframe.
        grounded: what makes it read X: entry numbers, lines and positions in words.
        circled: names of the entries that read circled X.
        expired: why no preflight is in date; empty while one is.
        by_day: whether the sun is up; None if the record does not know.
    """
    things = [*_against(facts.open), *([NIGHT] if by_day is False else [])]
    things += [
        InTheWay(name=f"{position} empty", caps={position: GONE}) for position in facts.empty or {}
    ]
    unknown = {f: why for f in book.fed_by if (why := _not_known(f, facts, expired))}
    if by_day is None:
        unknown[DAYLIGHT] = "the fleet file has no table of daylight"
    limits = tuple((e.number, _limits(e)) for e in facts.open if e.number in circled)
    return Known(
        book=book, structure=book.structure(), things=tuple(things), unknown=unknown,
        says={e.number: _limits(e) for e in facts.open}, grounded=grounded, limits=limits,
        why_unknown=expired,
    )  # fmt: skip


def fitness(about: Known) -> tuple[Fitness, ...]:
    """What is said of every mission, those that ask least first."""
    return tuple(_of(about, name, task) for name, task in about.book.tasks.items())


def _of(about: Known, name: str, task: Task) -> Fitness:
    if about.grounded:
        why = f"X: {', '.join(about.grounded)}"
        return Fitness(mission=name, word="BARRED", why=why, entries=about.grounded)
    if task.never:
        return Fitness(mission=name, word="CANNOT", why=task.never)
    wanted = Wanted(needs=((name, WEAK),), limited_by=task.limited_by)
    said = answer(about.structure, wanted, caps_of(about.things), about.unknown)
    if said.word == "CANNOT":
        sets = _causes(about, wanted)
        why = ", or ".join(" with ".join(_named(about, n) for n in names) for names in sets)
        return Fitness(mission=name, word="CANNOT", why=why, entries=_flat(sets))
    if said.word == "UNKNOWN":
        return _unknown(about, name)
    limits = [(n, about.says[n]) for n in _weakening(about, said.limits)]
    limits += about.limits
    why = "; ".join((*(f"{n} {text}" for n, text in dict(limits).items()), *task.limits))
    entries = tuple(dict(limits))
    return Fitness(mission=name, word="CAN WITH LIMITS" if why else "CAN", why=why, entries=entries)


def _causes(about: Known, wanted: Wanted) -> tuple[tuple[str, ...], ...]:
    """What alone stops the mission: single things, and sets where two others could."""
    single = [
        t for t in about.things if answer(about.structure, wanted, caps_of((t,))).word == "CANNOT"
    ]
    if single and len(about.things) < len(single) + 2:
        return tuple((t.name,) for t in single)
    from hardstand.domain.repairs import causes  # noqa: PLC0415  rare, and dear to load

    return causes(about.structure, wanted, about.things)


def to_prove(about: Known, mission: str) -> Repairs:
    """The fewest functions that must be proved good before the mission is not UNKNOWN."""
    from hardstand.domain.repairs import repairs, unproved  # noqa: PLC0415  rare, and dear to load

    wanted = Wanted(needs=((mission, WEAK),))
    return repairs(about.structure, wanted, unproved(about.unknown), kept=caps_of(about.things))


def _unknown(about: Known, name: str) -> Fitness:
    """UNKNOWN, with the fewest functions whose proof would give the mission."""
    if about.why_unknown:
        return Fitness(mission=name, word="UNKNOWN", why=about.why_unknown)
    sets = to_prove(about, name).sets
    if not sets:
        return Fitness(mission=name, word="UNKNOWN", why="much is not proved: walk the list")
    told = ", or ".join(
        " with ".join(f"{_said(f)} ({about.unknown[f]})" for f in functions) for functions in sets
    )
    return Fitness(mission=name, word="UNKNOWN", why=f"to be proved: {told}")


def _said(name: str) -> str:
    return "that it is day" if name == DAYLIGHT else name


def _against(entries: Iterable[OpenEntry]) -> list[InTheWay]:
    found = []
    for entry in entries:
        caps = dict.fromkeys(entry.weakens, WEAK) | dict.fromkeys(entry.takes, GONE)
        if caps:
            found.append(InTheWay(name=entry.number, caps=caps))
    return found


def _not_known(function: str, facts: AirframeFacts, expired: str) -> str:
    """Why nothing is known of a function; empty where it was proved and nothing touched it."""
    if expired:
        return expired
    dash = next((e.number for e in facts.open if function in e.untested), "")
    if dash:
        return f"waits for a test, {dash}"
    walked = facts.finished
    if walked is None:
        return "no walk finished"
    proof = (facts.proved or {}).get(function)
    if proof is not None and proof.at >= walked.started:
        return ""
    if any(function in e.weakens and e.walk == walked.walk for e in facts.open):
        return ""
    touched = (facts.touched or {}).get(function)
    return touched or f"not proved in walk {walked.walk}"


def _limits(entry: OpenEntry) -> str:
    """What a pilot must keep to because of an entry: its limits, or its words and conditions."""
    if entry.limits is not None:
        return entry.limits.text
    met = entry.deferral.met if entry.deferral else ()
    return "; ".join((brief(entry.text), *met))


def _weakening(about: Known, functions: Sequence[str]) -> list[str]:
    return [t.name for t in about.things if not set(functions).isdisjoint(t.caps)]


def _named(about: Known, name: str) -> str:
    """A thing by its name and the functions it takes."""
    thing = next(t for t in about.things if t.name == name)
    gone = [f for f, level in thing.caps.items() if level == GONE and f in about.book.fed_by]
    return f"{name} takes {', '.join(gone)}" if gone else name


def _flat(sets: Iterable[Iterable[str]]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(name for names in sets for name in names if name != NIGHT.name))
