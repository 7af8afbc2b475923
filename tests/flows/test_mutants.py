"""Mutants of the shipped lists: each put-back, warning, unit and limit deleted, neighbours swapped.

Every mutant is found by the check, stopped in a walk where all else is answered well, or named
here as no different, with its reason. Source: human-factors 11.5.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from builders import IO
from hardstand.domain import bodies as b
from hardstand.domain.answering import missing
from hardstand.domain.checklist import COUNTED, Checklist, Fit, Peril, Step
from hardstand.domain.quantity import Instant
from hardstand.domain.walk import Given, Plan, begin
from hardstand.flows.checking import PROOFS, check_files
from hardstand.formats import checklist_yaml
from hardstand.formats.rules import judged
from hardstand.formats.shape import Loaded

_ROOT = Path(__file__).parents[2]
_AT = Instant("2027-03-08T08:00:00Z")

EQUIVALENT: Mapping[str, str] = {
    "H-PREFLIGHT: unit of log-tools deleted": "a count is judged as a number whatever it counts",
    "H-PREFLIGHT: unit of close-fasteners deleted": "a count is judged as a number",
    "H-PREFLIGHT: unit of close-bay-fasteners deleted": "a count is judged as a number",
    "H-PREFLIGHT: unit of close-tools deleted": "a count is judged as a number",
    "V-PREFLIGHT: unit of log-tools deleted": "a count is judged as a number whatever it counts",
    "V-PREFLIGHT: unit of close-fasteners deleted": "a count is judged as a number",
    "V-PREFLIGHT: unit of close-bay-fasteners deleted": "a count is judged as a number",
    "V-PREFLIGHT: unit of close-tools deleted": "a count is judged as a number",
}
"""Mutants that are no different, by name; swaps of steps that nothing binds are told by rule."""

INDEPENDENT = "neither asks about, moves, guards or follows what the other does"


@dataclass(frozen=True, slots=True, kw_only=True)
class Mutant:
    """One list with one thing done to it; `pair` are the steps of a swap, as they stand now."""

    kind: str
    name: str
    listed: Checklist
    pair: tuple[Step, Step] | None = None


@cache
def _shipped() -> tuple[tuple[Checklist, Fit], ...]:
    paths = [*_ROOT.glob("checklists/*/*.yaml"), _ROOT / "demo" / "quennock" / "fleet.yaml"]
    read = check_files([(str(p), p.read_bytes()) for p in sorted(paths)])
    return tuple((c, read.fits[c.fit]) for c in read.checklists)


def _mutants(listed: Checklist, fit: Fit) -> Iterator[Mutant]:
    for index, step in enumerate(listed.steps):
        if any(fit.items[n].home == v for n, v in (step.sets or {}).items()):
            steps = listed.steps[:index] + listed.steps[index + 1 :]
            yield _mutant("put-back", f"{step.id} deleted", listed, steps)
        yield from _without_parts(listed, index)
        later = listed.steps[index + 1 : index + 2]
        if later and later[0].zone == step.zone:
            steps = (*listed.steps[:index], later[0], step, *listed.steps[index + 2 :])
            found = _mutant("order", f"{step.id} and {later[0].id} swapped", listed, steps)
            yield replace(found, pair=(later[0], step))
    for place, zone in enumerate(listed.zones):
        for warning in zone.warning:
            kept = replace(zone, warning=_less(zone.warning, warning))
            zones = (*listed.zones[:place], kept, *listed.zones[place + 1 :])
            name = f"{listed.id}: warning of zone {zone.id} deleted: {warning.hazard}"
            yield Mutant(kind="warning", name=name, listed=replace(listed, zones=zones))


def _without_parts(listed: Checklist, index: int) -> Iterator[Mutant]:
    step = listed.steps[index]
    changed: list[tuple[str, str, Step]] = []
    for warning in step.warning:
        less = replace(step, warning=_less(step.warning, warning))
        changed.append(("warning", f"warning of {step.id} deleted: {warning.hazard}", less))
    if step.unit:
        changed.append(("unit", f"unit of {step.id} deleted", replace(step, unit="")))
    for name in ("accept", "possible", "expect"):
        if getattr(step, name):
            gone: dict[str, Any] = {name: "" if name == "expect" else None}
            less = replace(step, **gone)
            changed.append(("limit", f"{name} of {step.id} deleted", less))
    for name in ("limit_pct", "limit_ppm", "frequency", "true_khz", "expected"):
        if name in (step.judge or {}):
            judge = {n: v for n, v in (step.judge or {}).items() if n != name}
            changed.append(
                ("limit", f"judge {name} of {step.id} deleted", replace(step, judge=judge))
            )
    for kind, said, less in changed:
        steps = (*listed.steps[:index], less, *listed.steps[index + 1 :])
        yield _mutant(kind, said, listed, steps)


def _less(perils: tuple[Peril, ...], one: Peril) -> tuple[Peril, ...]:
    return tuple(p for p in perils if p is not one)


def _mutant(kind: str, said: str, listed: Checklist, steps: tuple[Step, ...]) -> Mutant:
    return Mutant(kind=kind, name=f"{listed.id}: {said}", listed=replace(listed, steps=steps))


# -- the three ways to meet a mutant ---------------------------------------------------------------


def _found(listed: Checklist, fit: Fit) -> set[str]:
    """The codes the check tells, as `checklist check` runs its rules: proofs over clean lists."""
    loaded = Loaded(name="x.yaml", value=listed, root=None, findings=())
    alone = judged(loaded, checklist_yaml._alone(listed))
    found = {d.code for d in checklist_yaml.against(alone, fit).findings}
    return found or {f.code for proof in PROOFS for f in proof(listed, fit)}


def _stopped(listed: Checklist, fit: Fit) -> str:
    """Where a walk with every answer good is stopped; empty if it comes to its end."""
    plan = Plan(checklist=listed, fit=fit, digest="d", places={}, facts=frozenset(fit.facts))
    state = begin(plan, walk="A1", airframe="QM-101", items={})
    for step in plan.steps:
        stops = missing(state, step)
        if stops:
            return f"{step.id}: {stops}"
        body = b.StepAnswered(step=step.id, answer="OK", by=IO)
        given = Given(body=body, digest=step.id, ref="A-1", at=_AT, author="IO")
        moved = {n: "9" if v == COUNTED else v for n, v in (step.sets or {}).items()}
        state = replace(
            state, given={**state.given, step.id: given}, items={**state.items, **moved}
        )
    return f"not FINISHED: {', '.join(state.away())}" if state.away() else ""


def _reads(step: Step, fit: Fit) -> set[str]:
    """The items a step asks about: its own needs, and those of the fit's action it makes."""
    found = set(step.must_be or {})
    for name, to in (step.sets or {}).items():
        for action in fit.items[name].actions:
            found |= set(action.only_with or {}) if action.to == to else set()
    return found


def _bound(first: Step, then: Step, fit: Fit) -> bool:
    """Whether anything a file says binds the order of two neighbours."""
    moves, follows = set(first.sets or {}), set(then.sets or {})
    shared = moves & (follows | _reads(then, fit)) | follows & _reads(first, fit)
    never = any(moves & set(c) and follows & set(c) for c in fit.never)
    guards = first.kind == "gate" and (
        then.kind == "transmit" or any(fit.items[n].hazard for n in follows)
    )
    leads = first.id in then.after or first.if_fault == then.id
    return bool(shared) or never or guards or leads


def _reason(mutant: Mutant, fit: Fit) -> str:
    """Why a mutant is no different; empty if nothing says so."""
    if mutant.pair is not None:
        one, other = mutant.pair
        free = not _bound(one, other, fit) and not _bound(other, one, fit)
        return INDEPENDENT if free else ""
    return EQUIVALENT.get(mutant.name, "")


@pytest.mark.hf("LED-10")
@pytest.mark.parametrize("place", [0, 1])
def test_every_mutant_is_found_or_stopped_or_no_different(
    place: int, capsys: pytest.CaptureFixture[str]
) -> None:
    listed, fit = _shipped()[place]
    assert _found(listed, fit) == set()
    assert _stopped(listed, fit) == ""
    met: Counter[tuple[str, str]] = Counter()
    missed = []
    for mutant in _mutants(listed, fit):
        if _found(mutant.listed, fit):
            met[mutant.kind, "found by the check"] += 1
        elif _stopped(mutant.listed, fit):
            met[mutant.kind, "stopped in a walk"] += 1
        elif _reason(mutant, fit):
            met[mutant.kind, "no different"] += 1
        else:
            missed.append(mutant.name)
    with capsys.disabled():
        lines = (f"  {kind}, {how}: {n}" for (kind, how), n in sorted(met.items()))
        sys.stdout.write(f"\nmutants of {listed.id}: {met.total()}\n" + "\n".join(lines) + "\n")
    assert missed == []
    assert met["put-back", "found by the check"] >= 9
    assert met["warning", "found by the check"] >= 15
    assert met["order", "found by the check"] >= 19
    assert met["limit", "found by the check"] >= 10


def test_every_mutant_named_as_no_different_is_one_that_nothing_else_meets() -> None:
    """A name that a later rule finds, or that is no mutant any more, is taken off the list."""
    named = set()
    for listed, fit in _shipped():
        for mutant in _mutants(listed, fit):
            if mutant.name in EQUIVALENT:
                named.add(mutant.name)
                assert _found(mutant.listed, fit) == set(), mutant.name
                assert _stopped(mutant.listed, fit) == "", mutant.name
    assert named == set(EQUIVALENT)


@pytest.mark.hf("WCN-02")
def test_no_warning_of_the_shipped_lists_is_missed_when_it_goes() -> None:
    missed = [
        mutant.name
        for listed, fit in _shipped()
        for mutant in _mutants(listed, fit)
        if mutant.kind == "warning" and "HS401" not in _found(mutant.listed, fit)
    ]
    assert missed == []


def test_the_walk_stops_what_a_check_that_was_left_out_would_have_found() -> None:
    """With no check at all, each missing put-back still keeps a walk from going on or finishing."""
    met = Counter[bool]()
    for listed, fit in _shipped():
        for mutant in _mutants(listed, fit):
            if mutant.kind == "put-back":
                met[bool(_stopped(mutant.listed, fit))] += 1
    assert met[True] >= 15
    assert met[False] <= 8
