"""Where a walk stands: folded from its own entries, so that a crash is resumed by folding again.

Order is the list's own order, never re-ordered. A step answered SKIPPED is a gap: an answer, but
offered again.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import islice
from typing import Any

from hardstand.domain import bodies as b
from hardstand.domain.checklist import Checklist, Fit, Step
from hardstand.domain.codec import decode
from hardstand.domain.disturbance import gates_of
from hardstand.domain.entry import Entry
from hardstand.domain.hands import Late
from hardstand.domain.holding import goes_beside
from hardstand.domain.quantity import Instant

PASSED = "passed over after FAULT at "
"""How the reason of a step begins that nobody answered by hand."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """An answer that counts: what was said, and the line of the record that says so."""

    body: b.StepAnswered
    digest: str
    ref: str
    at: Instant
    author: str


@dataclass(frozen=True, kw_only=True)
class Plan:
    """What a walk works from: the pinned list and fit, and what the airframe type fills in.

    `due` is the day until which each meter of the operator may be trusted. `only` are the steps of
    a walk of a part of the list; empty: all of it. A `practice` never counts.
    """

    checklist: Checklist
    fit: Fit
    digest: str
    places: Mapping[str, Mapping[str, str]]
    facts: frozenset[str]
    due: Mapping[str, str] | None = None
    only: frozenset[str] = frozenset()
    practice: bool = False

    @cached_property
    def applicable(self) -> tuple[Step, ...]:
        """The steps that apply here, in order."""
        return tuple(s for s in self.checklist.steps if self.applies(s))

    @cached_property
    def steps(self) -> tuple[Step, ...]:
        """Those of them to walk, in order."""
        return tuple(s for s in self.applicable if not self.only or s.id in self.only)

    @cached_property
    def by_zone(self) -> Mapping[str, tuple[str, ...]]:
        """The ids of the steps to walk, in order, of each zone that has some."""
        found = dict[str, list[str]]()
        for step in self.steps:
            found.setdefault(step.zone, []).append(step.id)
        return {zone: tuple(ids) for zone, ids in found.items()}

    @cached_property
    def gates(self) -> Mapping[str, tuple[Step, ...]]:
        """The gates that each step of the walk stands behind."""
        return {s.id: gates_of(self.steps, n, self.fit) for n, s in enumerate(self.steps)}

    def fill(self, text: str) -> str:
        """The text with each `{place.part}` mark filled from the airframe type."""
        if "{" not in text:
            return text
        for place, parts in self.places.items():
            for part, word in parts.items():
                text = text.replace(f"{{{place}.{part}}}", word)
        return text

    def applies(self, step: Step) -> bool:
        """Whether the step is for this airframe, by its `applies_if`."""
        if not step.applies_if:
            return True
        fact = step.applies_if.removeprefix("not ").strip()
        return (fact in self.facts) != step.applies_if.startswith("not ")

    @property
    def purpose(self) -> str:
        """What the walk is for; a part of a list is never the whole, whatever the list is for."""
        if self.practice:
            return "practice"
        return "part" if self.only else self.checklist.purpose


@dataclass(frozen=True, kw_only=True)
class WalkState:
    """A walk so far. `given` is in the order of answering; `items` are the values now recorded.

    `before` keeps, for each answer, the item values it found, so that undo can be careful; `mover`
    is the digest of the answer that last moved an item, empty for a move without an answer.
    `raised` maps the digest of an answer to the entry numbers written with it. A walk made on paper
    is `late`: it counts from when it was made, whoever closes it. `half` says that the step it was
    left at had been begun; `earlier` are steps answered before the last break. `held` are left open
    with an ear on them, `others` those that other walks at the aircraft stand at.
    """

    plan: Plan
    walk: str
    airframe: str
    given: Mapping[str, Given]
    items: Mapping[str, str]
    before: Mapping[str, Mapping[str, str]]
    raised: Mapping[str, tuple[str, ...]]
    mover: Mapping[str, str]
    last: Entry | None = None
    log_read: bool = False
    broken: bool = False
    half: bool = False
    held: tuple[str, ...] = ()
    others: tuple[Step, ...] = ()
    earlier: frozenset[str] = frozenset()
    outcome: str = ""
    late: Late | None = None

    def answer(self, step: str) -> str:
        """The answer that counts for a step, or empty."""
        given = self.given.get(step)
        return given.body.answer if given else ""

    @property
    def not_ok(self) -> tuple[Step, ...]:
        """The steps without an answer OK; what is NOT FITTED here is none of them."""
        return tuple(s for s in self.plan.steps if self.answer(s.id) not in {"OK", "NOT FITTED"})

    def next_step(self) -> Step | None:
        """The first step in order that has no answer; None when all have one.

        While something is held that is only what goes beside it, then the step held first.
        """
        open_ = (s for s in self.plan.steps if s.id not in self.given and s.id not in self.held)
        step, held = next(open_, None), self.held_steps
        if not held or (step and goes_beside(step, held, self.plan.checklist)):
            return step
        return held[0]

    @cached_property
    def held_steps(self) -> tuple[Step, ...]:
        """The steps held, those held first first."""
        return tuple(s for name in self.held for s in self.plan.steps if s.id == name)

    def gaps(self, zone: str = "") -> tuple[Step, ...]:
        """Steps answered SKIPPED, in order; of one zone if it is named."""
        skipped = {n for n, g in self.given.items() if g.body.answer == "SKIPPED"}
        return tuple(s for s in self.plan.steps if s.id in skipped and zone in {"", s.zone})

    @cached_property
    def last_three(self) -> tuple[Given, ...]:
        """The last three answers that count, newest last; not those of steps passed over."""
        newest = reversed(tuple(self.given.values()))
        by_hand = (g for g in newest if not g.body.reason.startswith(PASSED))
        return tuple(islice(by_hand, 3))[::-1]

    def away(self) -> tuple[str, ...]:
        """Items of the fit recorded away from home, in the fit's order."""
        return tuple(n for n, item in self.plan.fit.items.items() if self.items[n] != item.home)


def begin(plan: Plan, *, walk: str, airframe: str, items: Mapping[str, str]) -> WalkState:
    """The state of a walk with nothing answered.

    Args:
        plan: the pinned list and fit.
        walk: the walk's name.
        airframe: its tail.
        items: values of items already recorded away from home at this airframe.
    """
    home = {name: item.home for name, item in plan.fit.items.items()}
    known = {n: v for n, v in items.items() if n in home}
    return WalkState(
        plan=plan,
        walk=walk,
        airframe=airframe,
        given={},
        items={**home, **known},
        before={},
        raised={},
        mover={},
    )


def replay(state: WalkState, entries: Iterable[Entry]) -> WalkState:
    """The state after all those entries of the walk, in the order they were written."""
    for entry in entries:
        state = evolve(state, entry)
    return state


def evolve(state: WalkState, entry: Entry, said: b.Body | b.Unknown | None = None) -> WalkState:
    """The state after one more entry of this walk; `said` is its body where that is at hand."""
    body = decode(entry) if said is None else said
    if isinstance(body, b.StepAnswered):
        return _answered(state, entry, body)
    state = replace(state, last=entry)
    match body:
        case b.WalkStarted(by=by):
            return replace(state, late=by.late)
        case b.LogRead():
            return replace(state, log_read=True)
        case b.StepUndone(step=step):
            return replace(state, given={k: g for k, g in state.given.items() if k != step})
        case b.LineMoved(item=item, to=to, step=step):
            given = state.given.get(step)
            mover = {**state.mover, item: given.digest if given else ""}
            return replace(state, items={**state.items, item: to}, mover=mover)
        case b.DefectRaised(number=number, step=step):
            return _with_raised(state, step, number)
        case b.WalkClosed(outcome=outcome):
            return replace(state, outcome=outcome)
        case _:
            return _in_between(state, body)


def _in_between(state: WalkState, body: b.Body | b.Unknown) -> WalkState:
    """What a walk is left with, gone on with and held by."""
    match body:
        case b.StepHeld(step=step):
            return replace(state, held=(*state.held, step))
        case b.WalkBroken(half=half):
            return replace(state, broken=True, half=half)
        case b.WalkResumed():
            return replace(state, broken=False, half=False, earlier=frozenset(state.given))
        case _:
            return state


def _answered(state: WalkState, entry: Entry, body: b.StepAnswered) -> WalkState:
    digest = entry.digest.hex()
    given = Given(body=body, digest=digest, ref=entry.ref, at=entry.at, author=entry.author)
    others: dict[str, Any] = {k: g for k, g in state.given.items() if k != body.step}
    return replace(
        state,
        last=entry,
        given={**others, body.step: given},
        before={**state.before, digest: state.items},
        broken=False,
        half=False,
        held=tuple(name for name in state.held if name != body.step),
        earlier=state.earlier - {body.step},
    )


def _with_raised(state: WalkState, step: str, number: str) -> WalkState:
    """Tie an entry to the answer it was written with; a defect seen elsewhere has none."""
    given = state.given.get(step)
    if given is None:
        return state
    known = state.raised.get(given.digest, ())
    return replace(state, raised={**state.raised, given.digest: (*known, number)})
