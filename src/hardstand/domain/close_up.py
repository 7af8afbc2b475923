"""The safest way to put everything back from wherever the technician stands.

The plan does least work while a hazard is live, then takes the fewest actions, then the fewest
moves between zones. An item of kind `proof` is no matter of hands: it is named as still unproved,
never part of the plan. Knows nothing of steps or walks.

Source: computations 2.3.
"""

from __future__ import annotations

import heapq
import itertools
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import TypeAlias

from hardstand.domain.checklist import Fit, Item

SEARCH_CAP = 200_000
"""Situations looked at before the search for a plan gives up; ours."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """One action of a close-up: bring `item` to the value `to`, at `zone` (empty: anywhere)."""

    item: str
    to: str
    zone: str = ""
    needs: Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Risk:
    """The cost of a plan, compared from left to right as `order`.

    `live` sums, over the actions, the hazards away and forbidden combinations standing before
    each.
    """

    live: int
    actions: int
    moves: int

    @property
    def order(self) -> tuple[int, int, int]:
        """What is compared: less work near a live hazard first."""
        return (self.live, self.actions, self.moves)


@dataclass(frozen=True, slots=True, kw_only=True)
class CloseUp:
    """An order of actions that brings everything home; `unproved` still wait for their test."""

    moves: tuple[Move, ...]
    risk: Risk
    unproved: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class NoSafeWay:
    """No order was found; `away` are the items to tell the lead about.

    `searched_all` is False when the search stopped at its cap, so that a way may exist.
    """

    away: tuple[str, ...]
    searched_all: bool = True

    def sentence(self, named: Callable[[str], str]) -> str:
        """What to say to the person who must leave; `named` gives each item its title."""
        titles = ", ".join(named(name) for name in self.away)
        if self.searched_all:
            return f"No safe way to close up from here: {titles}. Call the lead."
        return f"No order was found in the time allowed: {titles}. Call the lead."


def moves_from(name: str, item: Item, value: str) -> Iterator[Move]:
    """Every way to move the item from that value; a count with none declared is counted back."""
    ways = [a for a in item.actions if a.from_ == value]
    for way in ways:
        yield Move(item=name, to=way.to, zone=way.zone, needs=way.only_with or {})
    if item.kind == "count" and not ways and value != item.home:
        yield Move(item=name, to=item.home, needs={})


def is_forbidden(fit: Fit, state: Mapping[str, str]) -> bool:
    """Whether a `never` combination of the fit stands; items not in the state are at home."""
    return any(
        all(state.get(name, fit.items[name].home) == value for name, value in combination.items())
        for combination in fit.never
    )


def away_items(fit: Fit, state: Mapping[str, str]) -> tuple[str, ...]:
    """The items not at home that hands can bring back, in the fit's order."""
    return tuple(
        name
        for name, item in fit.items.items()
        if item.kind != "proof" and state.get(name, item.home) != item.home
    )


def relevant_items(fit: Fit, away: tuple[str, ...]) -> tuple[str, ...]:
    """The items a plan may touch: those away, what their actions need, what they may not meet."""
    found: set[str] = set()
    todo = list(away)
    while todo:
        name = todo.pop()
        if name in found:
            continue
        found.add(name)
        todo += [n for action in fit.items[name].actions for n in action.only_with or {}]
        todo += [n for combination in fit.never if name in combination for n in combination]
    return tuple(n for n in fit.items if n in found and fit.items[n].kind != "proof")


def close_up(
    state: Mapping[str, str],
    fit: Fit,
    *,
    at: str = "",
    cap: int = SEARCH_CAP,
    rank: Callable[[Move], int] = lambda _: 0,
) -> CloseUp | NoSafeWay:
    """The plan of least cost from a state of the ledger, standing at zone `at`.

    `state` maps item names to values; an item it does not name is at home. An action that leads
    from an allowed into a forbidden combination is not taken. Of plans that cost the same, one
    whose actions come in the order of their `rank` is preferred. Best first over (values, zone)
    with the number of items away as the bound.
    """
    away = away_items(fit, state)
    unproved = tuple(
        n for n, i in fit.items.items() if i.kind == "proof" and state.get(n, i.home) != i.home
    )
    ground = _Ground(fit, {n: state.get(n, i.home) for n, i in fit.items.items()}, away)
    found = _cheapest(ground, at, cap, rank)
    if isinstance(found, NoSafeWay):
        return found
    moves, risk = found
    return CloseUp(moves=moves, risk=risk, unproved=unproved)


_Trail: TypeAlias = "tuple[_Trail, Move] | None"
_Values = tuple[str, ...]
_Cost = tuple[int, int, int]
_Open = tuple[_Cost, tuple[int, ...], int, _Cost, _Values, str, _Trail]


class _Ground:
    """The relevant items of one state, and what can be done to them; the rest stands still."""

    def __init__(self, fit: Fit, state: Mapping[str, str], away: tuple[str, ...]) -> None:
        self.fit = fit
        self.state = state
        self.away = away
        self.names = relevant_items(fit, away)
        self.homes = tuple(fit.items[n].home for n in self.names)
        self.start = tuple(state[n] for n in self.names)

    def now(self, values: _Values) -> dict[str, str]:
        """The value of every item of the fit."""
        return {**self.state, **dict(zip(self.names, values, strict=True))}

    def out(self, values: _Values) -> tuple[int, int]:
        """How many hazards, and how many items in all, are away."""
        away = [n for n, v, h in zip(self.names, values, self.homes, strict=True) if v != h]
        return sum(self.fit.items[n].hazard for n in away), len(away)

    def bound(self, spent: _Cost, values: _Values) -> _Cost:
        """No plan through here costs less: each action brings one item home at most."""
        hazards, away = self.out(values)
        return (spent[0] + hazards * (hazards + 1) // 2, spent[1] + away, spent[2])

    def ways(self, values: _Values) -> Iterator[tuple[Move, _Values, int]]:
        """Each action possible now, the values after it, and what is live before it."""
        now = self.now(values)
        forbidden = is_forbidden(self.fit, now)
        live = forbidden + self.out(values)[0]
        for index, name in enumerate(self.names):
            for move in moves_from(name, self.fit.items[name], values[index]):
                if any(now[n] != value for n, value in move.needs.items()):
                    continue
                if not forbidden and is_forbidden(self.fit, {**now, name: move.to}):
                    continue
                yield move, (*values[:index], move.to, *values[index + 1 :]), live


def _cheapest(
    ground: _Ground, at: str, cap: int, rank: Callable[[Move], int]
) -> tuple[tuple[Move, ...], Risk] | NoSafeWay:
    ticket = itertools.count()
    heap: list[_Open] = [((0, 0, 0), (), next(ticket), (0, 0, 0), ground.start, at, None)]
    seen: set[tuple[_Values, str]] = set()
    while heap:
        _, ranks, _, cost, values, where, trail = heapq.heappop(heap)
        if values == ground.homes:
            return _unwound(trail), Risk(live=cost[0], actions=cost[1], moves=cost[2])
        if (values, where) in seen:
            continue
        if len(seen) >= cap:
            return NoSafeWay(away=ground.away, searched_all=False)
        seen.add((values, where))
        for move, after, live in ground.ways(values):
            walked = bool(where and move.zone and move.zone != where)
            spent = (cost[0] + live, cost[1] + 1, cost[2] + walked)
            place = move.zone or where
            bound, now = ground.bound(spent, after), (*ranks, rank(move))
            heapq.heappush(heap, (bound, now, next(ticket), spent, after, place, (trail, move)))
    return NoSafeWay(away=ground.away)


def _unwound(trail: _Trail) -> tuple[Move, ...]:
    moves: list[Move] = []
    while trail is not None:
        trail, move = trail
        moves.append(move)
    return tuple(reversed(moves))


class WaysHome:
    """Whether a close-up exists at all, asked for many states of one fit.

    Cheaper than `close_up`: a state from which a known good one is reached is good itself.
    """

    def __init__(self, fit: Fit, *, cap: int = SEARCH_CAP) -> None:
        self._fit = fit
        self._cap = cap
        self._good: set[_Values] = set()
        self._stuck: set[_Values] = set()
        self.gave_up = False

    def exist_from(self, state: Mapping[str, str]) -> bool:
        """True when every item hands can move comes home; at the cap True, and `gave_up` is set."""
        full = {n: state.get(n, i.home) for n, i in self._fit.items.items()}
        key = tuple(full.values())
        if key not in self._good and key not in self._stuck:
            self._explore(_Ground(self._fit, full, away_items(self._fit, full)))
        return key not in self._stuck

    def _explore(self, ground: _Ground) -> None:
        """Depth first, fewest away first, until home, a known good state, or nothing is left."""
        came: dict[_Values, _Values | None] = {ground.start: None}
        stack = [ground.start]
        while stack:
            values = stack.pop()
            key = tuple(ground.now(values).values())
            if values == ground.homes or key in self._good:
                self._good |= _keys(ground, _chain(came, values))
                return
            if key in self._stuck:
                continue
            if len(came) > self._cap:
                self.gave_up = True
                return
            ahead = {after for _, after, _ in ground.ways(values)} - came.keys()
            stack += sorted(ahead, key=lambda v: (-ground.out(v)[1], v))
            came.update(dict.fromkeys(ahead, values))
        self._stuck |= _keys(ground, tuple(came))


def _chain(came: Mapping[_Values, _Values | None], end: _Values) -> tuple[_Values, ...]:
    chain: list[_Values] = []
    step: _Values | None = end
    while step is not None:
        chain.append(step)
        step = came[step]
    return tuple(chain)


def _keys(ground: _Ground, states: tuple[_Values, ...]) -> set[_Values]:
    return {tuple(ground.now(values).values()) for values in states}
