"""Every way through a list, as states of the put-back ledger: the search under the ledger proof.

A situation is the step about to be done, the value of every item, and the facts of the airframe
already met and still to matter. It is held as one integer: a field a wide as needed for each item
(0 is home), two bits for each fact (0 not met yet, 1 true, 2 false). A list only goes forward, so
the situations are taken step by step, each with the shortest way to it. Knows nothing of messages.

Source: computations 2.1, 2.2.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from hardstand.domain.checklist import Checklist, Fit, Step
from hardstand.domain.close_up import moves_from

NODE_CAP = 400_000
"""Situations looked at before the search gives up; ours.

Twelve items all moved by the first steps of eighty and put back by the last make 241 662.
"""

Outcome = Literal["ok", "fault", "skipped", "blocked", "absent", "true", "false"]
"""How a step was left; `true` and `false` say which way its fact turned out, before it is done."""

Leg = tuple[int, Outcome]
"""The place of a step in the list, from 0, and how it was left."""


def condition(step: Step) -> tuple[str, bool]:
    """The fact a step asks for and the value it must have; an empty fact if it always applies."""
    words = step.applies_if.split()
    if not words:
        return "", True
    return (words[1], False) if words[0] == "not" else (words[0], True)


def restores(step: Step, fit: Fit) -> bool:
    """Whether a step brings an item home: it can then not be left undone for good."""
    return any(fit.items[name].home == value for name, value in (step.sets or {}).items())


_TRUE: Outcome = "true"
_FALSE: Outcome = "false"


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """An item and the value it must have before a step."""

    item: str
    value: str
    mask: int
    bits: int

    def met(self, node: int) -> bool:
        """Whether the item stands so in that situation."""
        return node & self.mask == self.bits


@dataclass(frozen=True, slots=True, kw_only=True)
class Inherited:
    """When the item stands at the value of `when`, one of the ways must have all it needs."""

    when: Ask
    ways: tuple[tuple[Ask, ...], ...]

    def unmet(self, node: int) -> Ask | None:
        """The first need that does not stand, of the first way; None if some way is open."""
        if not self.when.met(node) or any(all(a.met(node) for a in w) for w in self.ways):
            return None
        return next(a for a in self.ways[0] if not a.met(node))


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One step as the search sees it; masks are over the integer of a situation.

    `fact` is 0 for a step that always applies, else the mask of its fact; `here` are the bits with
    which it applies. `strange` are values from which the fit has no action to what the step sets.
    `unsure` steps may be stopped, `elsewhere` ones may not apply, by something
    the search was told to leave out.
    """

    fact: int
    here: int
    asks: tuple[Ask, ...]
    inherited: tuple[Inherited, ...]
    puts: tuple[Ask, ...]
    strange: tuple[Ask, ...]
    clear: int
    put: int
    restores: bool
    on_fault: int
    unsure: bool
    elsewhere: bool

    @property
    def always(self) -> bool:
        """Whether the step applies everywhere and asks nothing."""
        return not (self.fact or self.asks or self.inherited or self.unsure or self.elsewhere)

    def unmet(self, node: int) -> Ask | None:
        """What keeps the step from starting in that situation, or None."""
        for ask in self.asks:
            if not ask.met(node):
                return ask
        for inherited in self.inherited:
            if (need := inherited.unmet(node)) is not None:
                return need
        return None

    def after(self, node: int) -> int:
        """The situation once the step's effect has happened."""
        return node & ~self.clear | self.put


@dataclass(frozen=True, slots=True, kw_only=True)
class Program:
    """A list and its fit, ready to search; `values` gives each item's values, home first."""

    rules: tuple[Rule, ...]
    keep: tuple[int, ...]
    values: Mapping[str, tuple[str, ...]]
    shift: Mapping[str, int]
    width: Mapping[str, int]

    def ask(self, item: str, value: str) -> Ask:
        """The test of an item's value in a situation."""
        shift = self.shift[item]
        mask = (1 << self.width[item]) - 1 << shift
        return Ask(item=item, value=value, mask=mask, bits=self.values[item].index(value) << shift)

    def state(self, node: int) -> dict[str, str]:
        """The value of every item in a situation."""
        return {
            item: values[node >> self.shift[item] & (1 << self.width[item]) - 1]
            for item, values in self.values.items()
        }

    @property
    def item_bits(self) -> int:
        """The part of a situation that holds the items; it is 0 with everything at home."""
        return (1 << sum(self.width.values())) - 1


Came = tuple[int, int, int, Outcome]
"""Steps done so far, the situation before (step, integer), and how the step there was left."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Explored:
    """For each step, and last for the end, every situation met there and the shortest way to it."""

    levels: tuple[dict[int, Came], ...]
    whole: bool

    @property
    def size(self) -> int:
        """How many situations were met."""
        return sum(len(level) for level in self.levels)

    def path(self, level: int, node: int) -> tuple[Leg, ...]:
        """The shortest way to a situation: step by step, and how each was left."""
        legs: list[Leg] = []
        while (came := self.levels[level][node])[1] >= 0:
            legs.append((came[1], came[3]))
            level, node = came[1], came[2]
        return tuple(reversed(legs))


def program(checklist: Checklist, fit: Fit, *, items: Collection[str] | None = None) -> Program:
    """The list made ready; with `items`, everything about the other items is left open.

    Raises:
        ValueError: a fault sends the walk to a step that does not come later.
    """
    kept = tuple(n for n in fit.items if items is None or n in items)
    values = {name: _values(name, checklist, fit) for name in kept}
    width = {name: max(1, (len(v) - 1).bit_length()) for name, v in values.items()}
    shift: dict[str, int] = {}
    at = 0
    for name in kept:
        shift[name] = at
        at += width[name]
    facts = _facts(checklist, None if items is None else kept)
    fact_bits = {fact: 3 << at + 2 * i for i, fact in enumerate(facts)}
    empty = Program(rules=(), keep=(), values=values, shift=shift, width=width)
    rules = tuple(_rule(i, checklist, fit, empty, fact_bits) for i in range(len(checklist.steps)))
    keep = [(1 << at) - 1]
    for rule in reversed(rules):
        keep.append(keep[-1] | rule.fact)
    return Program(rules=rules, keep=tuple(reversed(keep)), values=values, shift=shift, width=width)


def _values(name: str, checklist: Checklist, fit: Fit) -> tuple[str, ...]:
    """Home first, then every value that the fit or a step names for the item."""
    found = list(fit.items[name].values)
    maps = [m for s in checklist.steps for m in (s.sets, s.must_be)] + list(fit.never)
    maps += [a.only_with for i in fit.items.values() for a in i.actions]
    found += [m[name] for m in maps if m and name in m]
    return tuple(dict.fromkeys(found))


def _facts(checklist: Checklist, items: tuple[str, ...] | None) -> tuple[str, ...]:
    """The facts to follow: all, or those under which a step moves one of the items."""
    steps = [s for s in checklist.steps if items is None or set(items) & set(s.sets or ())]
    return tuple(dict.fromkeys(fact for s in steps if (fact := condition(s)[0])))


def _rule(
    index: int, checklist: Checklist, fit: Fit, program: Program, fact_bits: Mapping[str, int]
) -> Rule:
    step = checklist.steps[index]
    fact, wanted = condition(step)
    mask = fact_bits.get(fact, 0)
    asked = step.must_be or {}
    effect = [program.ask(n, v) for n, v in (step.sets or {}).items() if n in program.values]
    inherited, unsure = _inherited(step, fit, program)
    return Rule(
        fact=mask,
        here=mask // 3 * (1 if wanted else 2),
        asks=tuple(program.ask(n, v) for n, v in asked.items() if n in program.values),
        inherited=inherited,
        puts=tuple(effect),
        strange=tuple(_strange(step, fit, program)),
        clear=sum(a.mask for a in effect),
        put=sum(a.bits for a in effect),
        restores=restores(step, fit),
        on_fault=fault_target(checklist, index),
        unsure=unsure or any(n not in program.values for n in asked),
        elsewhere=bool(fact) and not mask,
    )


def _inherited(step: Step, fit: Fit, program: Program) -> tuple[tuple[Inherited, ...], bool]:
    """What the fit's own actions ask of a step that makes the same move, from each value."""
    found = []
    unsure = False
    for name, to in (step.sets or {}).items():
        for value in program.values.get(name, ()):
            ways = [m.needs for m in moves_from(name, fit.items[name], value) if m.to == to]
            known = tuple(
                tuple(program.ask(n, v) for n, v in needs.items() if n in program.values)
                for needs in ways
            )
            unsure |= any(n not in program.values for needs in ways for n in needs)
            if known and all(known):
                found.append(Inherited(when=program.ask(name, value), ways=known))
    return tuple(found), unsure


def _strange(step: Step, fit: Fit, program: Program) -> Iterator[Ask]:
    """Values from which the fit knows no action to what the step sets, where it knows any."""
    for name, to in (step.sets or {}).items():
        item = fit.items[name]
        for value in program.values.get(name, ()) if item.actions else ():
            if value != to and not any(m.to == to for m in moves_from(name, item, value)):
                yield program.ask(name, value)


def fault_target(checklist: Checklist, index: int) -> int:
    """Where a FAULT at that step leads: the place of the next step to do, or the end of the list.

    `end` passes over what is left but the last two zones, as the walk does, so that shut-down and
    log are always done.

    Raises:
        ValueError: the step sends a fault back.
    """
    step = checklist.steps[index]
    later = range(index + 1, len(checklist.steps))
    if step.if_fault == "go_on":
        return index + 1
    if step.if_fault == "end":
        last = {zone.id for zone in checklist.zones[-2:]}
        stays = (i for i in later if checklist.steps[i].zone in last)
        return next(stays, len(checklist.steps))
    for place in later:
        if checklist.steps[place].id == step.if_fault:
            return place
    raise ValueError(f"{step.id}: if_fault names {step.if_fault}, which does not come later")


def explore(program: Program, *, skips: bool, cap: int = NODE_CAP) -> Explored:
    """Every situation that some walk meets; `whole` is False when it stopped at the cap.

    A step that brings an item home is taken to bring it in the end, but a FAULT there passes over
    what it names. With `skips`, every other step may also be left undone.
    """
    levels: list[dict[int, Came]] = [{} for _ in range(len(program.rules) + 1)]
    levels[0][0] = (0, -1, 0, "ok")
    met = 0
    for index, rule in enumerate(program.rules):
        if rule.fact:
            _fork(levels[index], index, rule.fact)
        if rule.always and rule.on_fault == index + 1:
            _go_on(levels, index, rule, program.keep[index + 1], skips=skips)
            met += len(levels[index])
            if met > cap:
                return Explored(levels=tuple(levels), whole=False)
            continue
        for node, came in levels[index].items():
            for target, after, outcome in _edges(index, rule, node, skips):
                kept = after & program.keep[target]
                known = levels[target].get(kept)
                if known is None or known[0] > came[0] + 1:
                    levels[target][kept] = (came[0] + 1, index, node, outcome)
        met += len(levels[index])
        if met > cap:
            return Explored(levels=tuple(levels), whole=False)
    return Explored(levels=tuple(levels), whole=True)


def _go_on(
    levels: list[dict[int, Came]], index: int, rule: Rule, keep: int, *, skips: bool
) -> None:
    """The edges of a step that always applies, asks nothing and leads straight on, all at once.

    The same as `_edges` gives; most situations of a long list are met at such steps.
    """
    following = levels[index + 1]
    known = following.get
    clear, put = ~rule.clear, rule.put
    skipped = skips and not rule.restores
    for node, came in levels[index].items():
        steps = came[0] + 1
        after = (node & clear | put) & keep
        there = known(after)
        if there is None or there[0] > steps:
            following[after] = (steps, index, node, "ok")
        if skipped:
            after = node & keep
            there = known(after)
            if there is None or there[0] > steps:
                following[after] = (steps, index, node, "skipped")


def _fork(level: dict[int, Came], index: int, fact: int) -> None:
    """Where the fact is not met yet, both ways it can turn out; that is no step more."""
    bit = fact // 3
    for node, came in list(level.items()):
        if node & fact:
            continue
        for after, outcome in ((node | bit, _TRUE), (node | 2 * bit, _FALSE)):
            if after not in level or level[after][0] > came[0]:
                level[after] = (came[0], index, node, outcome)


def _edges(index: int, rule: Rule, node: int, skips: bool) -> Iterator[tuple[int, int, Outcome]]:
    """The situations after one step: where, which, and how the step was left."""
    if rule.fact and node & rule.fact != rule.here:
        if node & rule.fact:
            yield index + 1, node, "absent"
        return
    if rule.elsewhere:
        yield index + 1, node, "absent"
    if rule.unmet(node) is not None:
        yield index + 1, node, "blocked"
        return
    if rule.unsure:
        yield index + 1, node, "blocked"
    after = rule.after(node)
    yield index + 1, after, "ok"
    if rule.on_fault != index + 1:
        yield rule.on_fault, after, "fault"
    if skips and not rule.restores:
        yield index + 1, node, "skipped"
