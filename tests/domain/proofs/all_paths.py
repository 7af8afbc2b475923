"""The ledger proof by brute force: every way through a small list, one after another.

Written from computations 2.1 alone, with dictionaries and recursion, sharing no search with the
program: the outside view that the proof is held to.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import product

from hardstand.domain.checklist import Checklist, Fit, Step

State = dict[str, str]
Subject = tuple[str, int, tuple[str, ...]]


def subjects(checklist: Checklist, fit: Fit) -> set[Subject]:
    """What is wrong with the list: code, step (or -1) and names."""
    found: set[Subject] = set()
    facts = sorted({s.applies_if.removeprefix("not ") for s in checklist.steps if s.applies_if})
    for truth in product((True, False), repeat=len(facts)):
        known = dict(zip(facts, truth, strict=True))
        home = {n: i.home for n, i in fit.items.items()}
        for skips in (False, True):
            found |= set(_from((checklist, fit, known), skips, 0, home))
    stuck = [s for s in found if s[0] == "HS303"]
    return {s for s in found if not any(set(o[2]) < set(s[2]) for o in stuck if s[0] == "HS303")}


Given = tuple[Checklist, Fit, Mapping[str, bool]]


def _from(given: Given, skips: bool, index: int, state: State) -> Iterator[Subject]:
    checklist, fit, known = given
    yield from _here(fit, state)
    if index == len(checklist.steps):
        yield from (("HS301", -1, (n,)) for n in fit.items if state[n] != fit.items[n].home)
        return
    step = checklist.steps[index]
    ways: list[tuple[int, State]] = []
    fact = step.applies_if.removeprefix("not ")
    need = _unmet(step, fit, state)
    if fact and known[fact] == step.applies_if.startswith("not "):
        ways.append((index + 1, state))
    elif need is not None:
        if not skips:
            yield ("HS304", index, need)
        ways.append((index + 1, state))
    else:
        if not skips:
            yield from _again(step, index, fit, state)
        after = {**state, **(step.sets or {})}
        ways += [(index + 1, after), (_target(checklist, index), after)]
        brings_home = any(fit.items[n].home == v for n, v in (step.sets or {}).items())
        if skips and not brings_home:
            ways.append((index + 1, state))
    for target, after in ways:
        yield from _from(given, skips, target, after)


def _target(checklist: Checklist, index: int) -> int:
    step = checklist.steps[index]
    if step.if_fault == "go_on":
        return index + 1
    if step.if_fault != "end":
        return [s.id for s in checklist.steps].index(step.if_fault)
    for later in range(index + 1, len(checklist.steps)):
        if checklist.steps[later].zone in [z.id for z in checklist.zones][-2:]:
            return later
    return len(checklist.steps)


def _unmet(step: Step, fit: Fit, state: State) -> tuple[str, str] | None:
    for name, value in (step.must_be or {}).items():
        if state[name] != value:
            return (name, value)
    for name, value in (step.sets or {}).items():
        actions = [a for a in fit.items[name].actions if a.from_ == state[name] and a.to == value]
        if actions and not any(_stands(a.only_with or {}, state) for a in actions):
            needs = actions[0].only_with or {}
            return next((n, v) for n, v in needs.items() if state[n] != v)
    return None


def _stands(wanted: Mapping[str, str], state: State) -> bool:
    return all(state[n] == v for n, v in wanted.items())


def _again(step: Step, index: int, fit: Fit, state: State) -> Iterator[Subject]:
    for name, value in (step.sets or {}).items():
        ways = {(a.from_, a.to) for a in fit.items[name].actions}
        if ways and value != state[name] and (state[name], value) not in ways:
            yield ("HS307", index, (name, state[name]))
        if value == state[name] != fit.items[name].home:
            yield ("HS305", index, (name, value))


def _here(fit: Fit, state: State) -> Iterator[Subject]:
    for combination in fit.never:
        if _stands(combination, state):
            yield ("HS302", -1, tuple(n for pair in combination.items() for n in pair))
    if not comes_home(fit, state):
        yield ("HS303", -1, tuple(n for n in fit.items if state[n] != fit.items[n].home))


def neighbours(fit: Fit, state: State) -> Iterator[tuple[str, str, str, State]]:
    """Each action that may be taken: item, value, zone, and the state after it."""
    bad = any(_stands(c, state) for c in fit.never)
    for name, item in fit.items.items():
        for action in item.actions:
            after = {**state, name: action.to}
            worse = not bad and any(_stands(c, after) for c in fit.never)
            if action.from_ == state[name] and _stands(action.only_with or {}, state) and not worse:
                yield name, action.to, action.zone, after


def comes_home(fit: Fit, state: State) -> bool:
    """Whether some order of actions brings everything home."""
    seen = [state]
    for known in seen:
        seen += [after for *_, after in neighbours(fit, known) if after not in seen]
    return {n: i.home for n, i in fit.items.items()} in seen
