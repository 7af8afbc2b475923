"""The order of a list: which step must follow which, and how often it goes between zones.

For the author, never for the technician: a list is not re-ordered while it is walked.

Source: computations 1.2, 1.3; Bäckström, JAIR 9, 1998 (de-ordering), read as an abstract.
"""

from __future__ import annotations

import heapq
import itertools
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from hardstand.domain.checklist import Checklist, Fit, Step
from hardstand.domain.disturbance import needs
from hardstand.domain.finding import Finding

EXPANSION_CAP = 50_000
"""Situations expanded before the search gives up with a lower bound.

Source: computations 1.3.
"""

CODES: dict[str, str] = {
    "HS311": "The list goes between zones more often than it must.",
    "HS312": "The fewest moves between zones were not found; there is a bound.",
}

Distance = Callable[[str, str], int]


def _one(_from: str, _to: str) -> int:
    return 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """The steps of a list by number from 0: id, zone, and the steps each must follow, as bits."""

    ids: tuple[str, ...]
    zones: tuple[str, ...]
    before: tuple[int, ...]
    start: str

    def predecessors(self, step_id: str) -> tuple[str, ...]:
        """The steps that a step must follow, in the order of the list."""
        mask = self.before[self.ids.index(step_id)]
        return tuple(name for i, name in enumerate(self.ids) if mask >> i & 1)

    def allows(self, sequence: Sequence[int]) -> bool:
        """Whether every step of a sequence comes after those it must follow."""
        done = 0
        for index in sequence:
            if self.before[index] & ~done:
                return False
            done |= 1 << index
        return True

    def moves(self, sequence: Sequence[int] | None = None, distance: Distance = _one) -> int:
        """The moves between zones of a sequence, or of the list as it stands."""
        here, total = self.start, 0
        for index in range(len(self.ids)) if sequence is None else sequence:
            if self.zones[index] != here:
                total += distance(here, self.zones[index])
                here = self.zones[index]
        return total


@dataclass(frozen=True, slots=True, kw_only=True)
class Fewest:
    """The fewest moves any allowed order has; at least so many when not `exact`."""

    moves: int
    exact: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class BlockMove:
    """A run of steps of one zone, set after another step (or before the first), and what it saves.

    Each is made on the list as the ones before it left it.
    """

    steps: tuple[str, ...]
    place: str
    beside: str
    saves: int


def order_of(checklist: Checklist, fit: Fit, *, start: str = "") -> Order:
    """The orderings of the list that carry meaning; the technician starts in the zone `start`.

    A step follows the last one that moved an item it asks about or moves, whoever asked about an
    item before it is moved, what its `after` names, and whose fault leads to it.

    Raises:
        ValueError: an `after` names a step that does not come before.
    """
    last: dict[str, int] = {}
    asked: dict[str, int] = {}
    ids = tuple(s.id for s in checklist.steps)
    before: list[int] = []
    for index, step in enumerate(checklist.steps):
        reads = _reads(step, fit)
        moved = set(step.sets or ())
        mask = _named_before(step, ids, index)
        for name in reads | moved:
            mask |= last.get(name, 0)
        for name in moved:
            mask |= asked.get(name, 0)
        for name in reads:
            asked[name] = asked.get(name, 0) | 1 << index
        for name in moved:
            last[name], asked[name] = 1 << index, 0
        for earlier in range(index):
            if checklist.steps[earlier].if_fault == step.id:
                mask |= 1 << earlier
        before.append(mask)
    zones = tuple(s.zone for s in checklist.steps)
    first = zones[0] if zones else ""
    return Order(ids=ids, zones=zones, before=tuple(before), start=start or first)


def _reads(step: Step, fit: Fit) -> set[str]:
    """The items a step asks about, or may not meet in a forbidden combination."""
    found = set(needs(step, fit))
    for combination in fit.never:
        if set(combination) & set(step.sets or ()):
            found |= set(combination)
    return found


def _named_before(step: Step, ids: tuple[str, ...], index: int) -> int:
    for name in step.after:
        if name not in ids[:index]:
            raise ValueError(f"{step.id}: after names {name}, which does not come before")
    return sum(1 << ids.index(name) for name in set(step.after))


def fewest_moves(order: Order, *, distance: Distance = _one, cap: int = EXPANSION_CAP) -> Fewest:
    """The fewest moves between zones, or a lower bound when the search meets its cap.

    A zone is never left while something can still be done in it: doing it costs no move. Best
    first over (steps done, zone), with the cheapest way into each zone still to visit as bound.
    """
    ground = _Ground(order, distance)
    begin = ground.closed(0, order.start)
    heap = [(ground.bound(begin), 0, begin, order.start)]
    seen: set[tuple[int, str]] = set()
    while True:  # the list as it stands is one such order, so the heap never runs out
        least, spent, done, here = heapq.heappop(heap)
        if done == ground.whole:
            return Fewest(moves=spent)
        if (done, here) in seen:
            continue
        if len(seen) >= cap:
            return Fewest(moves=least, exact=False)
        seen.add((done, here))
        for zone in ground.zones:
            after = ground.closed(done, zone)
            if zone != here and after != done:
                cost = spent + distance(here, zone)
                heapq.heappush(heap, (cost + ground.bound(after), cost, after, zone))


class _Ground:
    """The steps of each zone, and what is left to do, for one search."""

    def __init__(self, order: Order, distance: Distance) -> None:
        self.whole = (1 << len(order.ids)) - 1
        self.zones = tuple(dict.fromkeys(order.zones))
        self._steps = {
            z: tuple((1 << i, order.before[i]) for i, at in enumerate(order.zones) if at == z)
            for z in self.zones
        }
        starts = {order.start, *self.zones}
        self._into = {
            z: min((distance(s, z) for s in starts if s != z), default=0) for z in self.zones
        }
        self._masks = {z: sum(bit for bit, _ in steps) for z, steps in self._steps.items()}

    def closed(self, done: int, zone: str) -> int:
        """The steps done once everything that can be done in the zone is."""
        for bit, before in self._steps.get(zone, ()):
            if not before & ~done:
                done |= bit
        return done

    def bound(self, done: int) -> int:
        """At least this much is still to be walked."""
        return sum(self._into[z] for z, mask in self._masks.items() if mask & ~done)


def block_moves(order: Order) -> tuple[BlockMove, ...]:
    """Moves of a few steps that each save going between zones, the best first, until none does.

    The best saves most, then moves the fewest steps, then the least far.
    """
    sequence = list(range(len(order.ids)))
    found: list[BlockMove] = []
    while True:
        now = order.moves(sequence)
        best: tuple[tuple[int, int, int], list[int], BlockMove] | None = None
        for at, block, to in _candidates(order, sequence):
            rest = sequence[:at] + sequence[at + len(block) :]
            moved = rest[:to] + block + rest[to:]
            saves = now - order.moves(moved)
            rank = (-saves, len(block), abs(to - at))
            if saves > 0 and (best is None or rank < best[0]) and order.allows(moved):
                best = (rank, moved, _told(order, rest, block, to, saves))
        if best is None:
            return tuple(found)
        sequence = best[1]
        found.append(best[2])


def _candidates(order: Order, sequence: list[int]) -> Iterator[tuple[int, list[int], int]]:
    """Each beginning or end of a run in one zone, and each place beside that zone elsewhere."""
    zones = [order.zones[i] for i in sequence]
    edges = [i for i in range(len(zones) + 1) if i in {0, len(zones)} or zones[i] != zones[i - 1]]
    for first, last in itertools.pairwise(edges):
        blocks = {(first, end) for end in range(first + 1, last + 1)}
        blocks |= {(begin, last) for begin in range(first, last)}
        for begin, end in sorted(blocks):
            rest = zones[:begin] + zones[end:]
            for to in range(len(rest) + 1):
                beside = zones[first] in rest[max(0, to - 1) : to + 1]
                if beside and to != begin:
                    yield begin, sequence[begin:end], to


def _told(order: Order, rest: list[int], block: list[int], to: int, saves: int) -> BlockMove:
    return BlockMove(
        steps=tuple(order.ids[i] for i in block),
        place="after" if to else "before",
        beside=order.ids[rest[to - 1] if to else rest[0]],
        saves=saves,
    )


def too_many_moves(
    checklist: Checklist, fit: Fit, *, zone_of: Callable[[Step], str] | None = None
) -> tuple[Finding, ...]:
    """HS311 with the moves that would save most, or HS312 when only a bound was found.

    `zone_of` may count moves between other places than the zones of the list.

    Raises:
        ValueError: an `after` names a step that does not come before.
    """
    order = order_of(checklist, fit)
    if zone_of is not None:
        places = tuple(zone_of(s) for s in checklist.steps)
        order = Order(
            ids=order.ids, zones=places, before=order.before, start=places[0] if places else ""
        )  # fmt: skip
    now = order.moves()
    fewest = fewest_moves(order)
    if now == fewest.moves:
        return ()
    number = checklist.number
    says = [
        f"{' '.join(number(s) for s in m.steps)} {m.place} {number(m.beside)} (saves {m.saves})"
        for m in block_moves(order)
    ]
    verb = "is" if fewest.moves == 1 else "are"
    enough = f"{fewest.moves} {verb} enough"
    if not fewest.exact:
        enough = f"at least {fewest.moves} {verb} needed"
    return (
        Finding(
            code="HS311" if fewest.exact else "HS312",
            level="advice",
            step="",
            field="steps",
            message=f"This order makes {now} moves between zones; {enough}.",
            hint=f"Move {'; then '.join(says)}." if says else "",
        ),
    )
