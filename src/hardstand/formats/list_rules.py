"""What must be true of a checklist as a list: ids, zones, order, what points to what."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Callable, Iterable, Iterator, Sequence

from hardstand.domain.checklist import Checklist, Step, Zone
from hardstand.formats.located import Path
from hardstand.formats.rules import Remark
from hardstand.formats.wording import accepted, quoted

_ID = re.compile(r"[A-Za-z0-9.-]+")
_IF_FAULT = ("go_on", "end")


def ids_are_sayable(checklist: Checklist) -> Iterator[Remark]:
    """HS223: ids of list, zones and steps are letters, digits, hyphens and points."""
    for path, given in (
        (("id",), checklist.id),
        *((("zones", i, "id"), z.id) for i, z in enumerate(checklist.zones)),
        *((("steps", i, "id"), s.id) for i, s in enumerate(checklist.steps)),
    ):
        if not _ID.fullmatch(given):
            said = f"the id {quoted(given)} holds other characters"
            hint = "accepted: A-Z a-z 0-9 - ."
            yield Remark(code="HS223", path=path, message=said, hint=hint)
        elif path[0] == "steps" and given in _IF_FAULT:
            said = f"the id {quoted(given)} has a meaning of its own under if_fault"
            yield Remark(code="HS223", path=path, message=said, hint="choose another id")


def ids_stand_once(checklist: Checklist) -> Iterator[Remark]:
    """HS221, HS222: each id belongs to one zone, or to one step."""
    yield from _twice("HS221", "zone", "zones", checklist.zones)
    yield from _twice("HS222", "step", "steps", checklist.steps)


def zones_are_known(checklist: Checklist) -> Iterator[Remark]:
    """HS224, HS238: `zone` and `beside` name zones of the list."""
    zones = [zone.id for zone in checklist.zones]
    for index, step in enumerate(checklist.steps):
        named: list[tuple[str, Path, str]] = [("HS224", ("steps", index, "zone"), step.zone)]
        named += [("HS238", ("steps", index, "beside", n), z) for n, z in enumerate(step.beside)]
        for code, path, zone in named:
            if zone not in zones:
                said = f"the list has no zone {quoted(zone)}"
                hint = accepted(zone, zones, none="the list has no zones")
                yield Remark(code=code, path=path, message=said, hint=hint)


def zones_are_walked_once(checklist: Checklist) -> Iterator[Remark]:
    """HS225: steps stand in the order of the zones; nobody walks back.

    The fewest steps are told that stand wrong, so that one moved too early is not told of all that
    it overtook.
    """
    zones = [zone.id for zone in checklist.zones]
    known = [(n, zones.index(s.zone)) for n, s in enumerate(checklist.steps) if s.zone in zones]
    kept = _longest_in_order(known)
    for place, (index, here) in enumerate(known):
        if index in kept:
            continue
        before = [zone for n, zone in known[:place] if n in kept]
        back = bool(before) and here < before[-1]
        other = before[-1] if back else next(z for n, z in known[place:] if n in kept)
        said = f"zone {quoted(zones[here])} comes {'before' if back else 'after'} "
        yield Remark(
            code="HS225",
            path=("steps", index, "zone"),
            message=said + quoted(zones[other]),
            hint=f"move the step {'up' if back else 'down'} to its zone, give it the zone it "
            "stands in, or put the zones in the order they are walked",
        )


def _longest_in_order(places: Sequence[tuple[int, int]]) -> set[int]:
    """The keys of the most pairs, in their order, whose values never fall; the earlier of equals.

    Source: patience sorting (Fredman 1975), from memory.
    """
    ends: list[int] = []
    last: list[int] = []
    came = [-1] * len(places)
    for place in range(len(places) - 1, -1, -1):
        at = bisect_right(ends, -places[place][1])
        ends[at : at + 1] = [-places[place][1]]
        came[place] = last[at - 1] if at else -1
        last[at : at + 1] = [place]
    kept, place = set[int](), last[-1] if last else -1
    while place >= 0:
        kept.add(places[place][0])
        place = came[place]
    return kept


def zones_have_steps(checklist: Checklist) -> Iterator[Remark]:
    """HS226: there are steps, and each zone has some."""
    if not checklist.steps:
        yield Remark(code="HS226", path=("steps",), message="the list has no step", hint="add one")
        return
    used = {step.zone for step in checklist.steps}
    for index, zone in enumerate(checklist.zones):
        if zone.id not in used:
            said = f"zone {quoted(zone.id)} has no step"
            hint = "add a step, or take the zone out"
            yield Remark(code="HS226", path=("zones", index, "id"), message=said, hint=hint)


def after_looks_back(checklist: Checklist) -> Iterator[Remark]:
    """HS234: a step waits only for steps that come before it."""
    ids = [step.id for step in checklist.steps]
    for index, step in enumerate(checklist.steps):
        for number, wanted in enumerate(step.after):
            if wanted in ids[:index]:
                continue
            path = ("steps", index, "after", number)
            if wanted in ids:
                said = f"step {quoted(wanted)} does not come before {quoted(step.id)}"
                hint = "name an earlier step, or change the order"
                place = ("steps", ids.index(wanted), "id")
                yield Remark(
                    code="HS234",
                    path=path,
                    message=said,
                    hint=hint,
                    also=place,
                    also_is="it is on line",
                )
            else:
                said = f"the list has no step {quoted(wanted)}"
                hint = accepted(wanted, ids[:index], none="no step comes before this one")
                yield Remark(code="HS234", path=path, message=said, hint=hint)


def faults_lead_on(checklist: Checklist) -> Iterator[Remark]:
    """HS237: a fault goes on, ends the walk, or passes to a later step."""
    ids = [step.id for step in checklist.steps]
    for index, step in enumerate(checklist.steps):
        if step.if_fault in (*_IF_FAULT, *ids[index + 1 :]):
            continue
        known = step.if_fault in ids
        said = (
            f"step {quoted(step.if_fault)} does not come after {quoted(step.id)}"
            if known
            else f"the list has no step {quoted(step.if_fault)}"
        )
        hint = accepted(step.if_fault, (*_IF_FAULT, *ids[index + 1 :]))
        yield Remark(code="HS237", path=("steps", index, "if_fault"), message=said, hint=hint)


RULES: tuple[Callable[[Checklist], Iterable[Remark]], ...] = (
    ids_are_sayable,
    ids_stand_once,
    zones_are_known,
    zones_are_walked_once,
    zones_have_steps,
    after_looks_back,
    faults_lead_on,
)


def _twice(code: str, kind: str, group: str, things: Sequence[Zone | Step]) -> Iterator[Remark]:
    first: dict[str, int] = {}
    for index, thing in enumerate(things):
        if thing.id in first:
            yield Remark(
                code=code,
                path=(group, index, "id"),
                message=f"{kind} id {quoted(thing.id)} is given twice",
                hint="give each its own id",
                also=(group, first[thing.id], "id"),
            )
        else:
            first[thing.id] = index
