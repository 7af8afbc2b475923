"""Proof that everything a list disturbs is put back on every way through it.

Each finding names the shortest way that offends, by the step numbers a technician would say.
Knows nothing of a walk under way.

Source: computations 2.1, 2.2; EASA 145.A.48(a), from an excerpt.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from hardstand.domain.checklist import Checklist, Fit
from hardstand.domain.close_up import WaysHome, away_items
from hardstand.domain.finding import Finding
from hardstand.domain.ledger_paths import (
    NODE_CAP,
    Explored,
    Leg,
    Program,
    explore,
    program,
)
from hardstand.domain.ledger_words import LedgerWords, comes_late, passed_over

CODES: dict[str, str] = {
    "HS301": "Something stays away from home at the end of a way through the list.",
    "HS302": "A combination the fit forbids stands on a way through the list.",
    "HS303": "From somewhere in the list nobody could close up safely.",
    "HS304": "A step cannot start on a way where nothing was skipped.",
    "HS305": "A step moves an item away that already stands so.",
    "HS306": "The list has too many ways to be proved whole.",
    "HS307": "A step moves an item in a way the fit has no action for.",
}


_AT_A_STEP = ("HS304", "HS305", "HS307")

ITEM_CAP = 50_000
"""Situations looked at for one item by itself; ours."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Offence:
    """A property that some way through the list breaks, with the shortest such way.

    `step` is the place of the step about to be done, the length of the list at its end. `about`
    holds an item and its value (HS301, HS305, HS307), the items and values that stand together
    (HS302), the items away (HS303), or the item and the value it must have (HS304).
    """

    code: str
    step: int
    about: tuple[str, ...]
    path: tuple[Leg, ...]
    state: Mapping[str, str]
    possible: bool = False

    @property
    def subject(self) -> tuple[str, int, tuple[str, ...]]:
        """What makes two offences one finding: at a step for some, else anywhere."""
        names = self.about[:1] if self.code == "HS301" else self.about
        return (self.code, self.step if self.code in _AT_A_STEP else -1, names)


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """The offences in the order of the list; `whole` is False when a search met its cap.

    `unproved` are the items about which nothing could be proved, even each by itself.
    """

    offences: tuple[Offence, ...]
    whole: bool
    unproved: tuple[str, ...] = ()


def prove(checklist: Checklist, fit: Fit, *, cap: int = NODE_CAP) -> tuple[Finding, ...]:
    """Every way the put-back ledger can go wrong, in the order of the list.

    HS301 to HS303 allow for skipped steps; the others do not, since a skip rightly stops what
    depends on it. Where there are more than `cap` situations each item is followed by itself: what
    is not found then cannot happen, what is found is only possible, and HS306 says so.

    Raises:
        ValueError: a fault sends the walk to a step that does not come later.
    """
    words = LedgerWords(checklist, fit)
    proof = offences(checklist, fit, cap=cap)
    notes = () if proof.whole else (words.too_many(cap, proof.unproved),)
    roots, followers = _causes(checklist, proof.offences)
    return (*notes, *(_finding(words, o, followers.get(o.step, ())) for o in roots))


def _causes(
    checklist: Checklist, found: tuple[Offence, ...]
) -> tuple[tuple[Offence, ...], dict[int, tuple[int, ...]]]:
    """The offences less those HS304 that only follow from another; by that one's step, theirs.

    One follows where a step that cannot start itself would have given what is needed, or where the
    same fault passes over the same step, or the same step comes too late.
    """
    stopped = {o.step for o in found if o.code == "HS304"}
    cause: dict[int, int] = {}
    first: dict[tuple[int, ...], int] = {}
    roots = []
    for offence in found:
        root: int | None = None
        if offence.code == "HS304":
            blocked = _blocker(checklist, offence)
            why = _why(checklist, offence)
            if blocked in stopped:
                root = blocked
            elif why and first.setdefault(why, offence.step) != offence.step:
                root = first[why]
        if root is None:
            roots.append(offence)
        elif offence.step not in cause:
            cause[offence.step] = cause.get(root, root)
    followers: dict[int, tuple[int, ...]] = {}
    for step, root in cause.items():
        followers[root] = (*followers.get(root, ()), step)
    return tuple(roots), followers


def _why(checklist: Checklist, offence: Offence) -> tuple[int, ...]:
    """The fault and the step it passes over, or the step that comes too late; empty if neither."""
    asked = (checklist.steps, offence.step, offence.about, offence.path)
    passed = passed_over(*asked)
    late = comes_late(*asked) if passed is None else None
    return passed or (() if late is None else (late,))


def _blocker(checklist: Checklist, offence: Offence) -> int | None:
    """The step that would have brought what is needed, had it been able to start itself."""
    item, value = offence.about
    for index, outcome in offence.path:
        if outcome == "blocked" and (checklist.steps[index].sets or {}).get(item) == value:
            return index
    return None


def offences(checklist: Checklist, fit: Fit, *, cap: int = NODE_CAP) -> Proof:
    """What `prove` found, as values.

    Raises:
        ValueError: a fault sends the walk to a step that does not come later.
    """
    ready = program(checklist, fit)
    home = WaysHome(fit)
    unproved: tuple[str, ...] = ()
    found: dict[tuple[str, int, tuple[str, ...]], Offence] = {}
    plain = explore(ready, skips=False, cap=cap)
    skipping = explore(ready, skips=True, cap=cap) if plain.whole else plain
    if plain.whole:
        _keep(found, _at_a_step(ready, plain))
        _keep(found, _anywhere(ready, plain, fit, home))
    if skipping.whole:
        _keep(found, _anywhere(ready, skipping, fit, home))
    else:
        loose, unproved = _item_by_item(checklist, fit, steps_too=not plain.whole)
        _keep(found, loose)
    kept = [o for o in found.values() if not _says_less(o, found.values())]
    kept.sort(key=lambda o: (o.step, o.code, o.about))
    whole = skipping.whole and not home.gave_up
    return Proof(offences=tuple(kept), whole=whole, unproved=unproved)


def _keep(found: dict[tuple[str, int, tuple[str, ...]], Offence], more: Iterable[Offence]) -> None:
    """Add what is not found yet: a way without skips is told before one with them."""
    for offence in more:
        found.setdefault(offence.subject, offence)


def _says_less(offence: Offence, found: Iterable[Offence]) -> bool:
    """Whether a shorter list of items already says that there is no close-up."""
    if offence.code != "HS303":
        return False
    return any(o.code == "HS303" and set(o.about) < set(offence.about) for o in found)


_Seen = dict[tuple[str, int, tuple[str, ...]], tuple[int, int, int]]
"""For a code, a step and names: the fewest steps to it, and the situation (step, integer)."""


def _told(
    ready: Program, explored: Explored, seen: _Seen, *, possible: bool = False
) -> Iterator[Offence]:
    for (code, _, about), (_, level, node) in seen.items():
        yield Offence(
            code=code, step=level, about=about, path=explored.path(level, node),
            state=ready.state(node), possible=possible,
        )  # fmt: skip


def _note(seen: _Seen, key: tuple[str, int, tuple[str, ...]], way: tuple[int, int, int]) -> None:
    if key not in seen or seen[key][0] > way[0]:
        seen[key] = way


def _at_a_step(ready: Program, explored: Explored, *, possible: bool = False) -> Iterator[Offence]:
    """HS304, HS305 and HS307, from ways without skips."""
    seen: _Seen = {}
    for level, rule in enumerate(ready.rules):
        for node, came in explored.levels[level].items():
            if rule.fact and node & rule.fact != rule.here:
                continue
            unmet = rule.unmet(node)
            if unmet is not None:
                key = ("HS304", level, (unmet.item, unmet.value))
                _note(seen, key, (came[0], level, node))
                continue
            for ask in rule.strange:
                if ask.met(node):
                    key = ("HS307", level, (ask.item, ask.value))
                    _note(seen, key, (came[0], level, node))
            for ask in rule.puts:
                if ask.bits and ask.met(node):
                    key = ("HS305", level, (ask.item, ask.value))
                    _note(seen, key, (came[0], level, node))
    return _told(ready, explored, seen, possible=possible)


def _anywhere(ready: Program, explored: Explored, fit: Fit, home: WaysHome) -> Iterator[Offence]:
    """HS301 at the end, HS302 and HS303 in any situation."""
    seen: _Seen = {}
    _left(seen, ready, explored, fit)
    _forbidden(seen, ready, explored, fit)
    stuck: dict[int, tuple[str, ...]] = {}
    mask = ready.item_bits
    for level, nodes in enumerate(explored.levels):
        for node, came in nodes.items():
            items = node & mask
            if items not in stuck:
                state = ready.state(items)
                stuck[items] = () if home.exist_from(state) else away_items(fit, state)
            if stuck[items]:
                _note(seen, ("HS303", -1, stuck[items]), (came[0], level, node))
    return _told(ready, explored, seen)


def _left(seen: _Seen, ready: Program, explored: Explored, fit: Fit) -> None:
    last = len(ready.rules)
    for node, came in explored.levels[last].items():
        if node & ready.item_bits:
            for name, value in ready.state(node).items():
                if value != fit.items[name].home:
                    _note(seen, ("HS301", -1, (name,)), (came[0], last, node))


def _forbidden(seen: _Seen, ready: Program, explored: Explored, fit: Fit) -> None:
    for combination in fit.never:
        if not set(combination) <= set(ready.values):
            continue
        asks = [ready.ask(name, value) for name, value in combination.items()]
        mask, bits = sum(a.mask for a in asks), sum(a.bits for a in asks)
        key = ("HS302", -1, tuple(n for pair in combination.items() for n in pair))
        for level, nodes in enumerate(explored.levels):
            for node, came in nodes.items():
                if node & mask == bits:
                    _note(seen, key, (came[0], level, node))


def _item_by_item(
    checklist: Checklist, fit: Fit, *, steps_too: bool
) -> tuple[list[Offence], tuple[str, ...]]:
    """A sound over-approximation: one item, or one forbidden combination, at a time.

    HS303 needs all items at once and is not looked for. Also the items that even so met a cap.
    """
    found: list[Offence] = []
    unproved: list[str] = []
    for names in [(n,) for n in fit.items] + [tuple(c) for c in fit.never]:
        ready = program(checklist, fit, items=names)
        explored = explore(ready, skips=True, cap=ITEM_CAP)
        if explored.whole:
            seen: _Seen = {}
            if len(names) == 1:
                _left(seen, ready, explored, fit)
            _forbidden(seen, ready, explored, fit)
            found += _told(ready, explored, seen, possible=True)
        else:
            unproved += names
    for name in fit.items if steps_too else ():
        ready = program(checklist, fit, items=_bound_up(name, fit))
        explored = explore(ready, skips=False, cap=ITEM_CAP)
        if explored.whole:
            found += _at_a_step(ready, explored, possible=True)
        else:
            unproved.append(name)
    return found, tuple(n for n in fit.items if n in unproved)


def _bound_up(name: str, fit: Fit) -> set[str]:
    """The item, those whose actions need it, and what else those actions need."""
    needs = {
        mover: {n for action in item.actions for n in action.only_with or {}}
        for mover, item in fit.items.items()
    }
    movers = {mover for mover, needed in needs.items() if name in needed}
    return {name, *movers, *(n for mover in movers for n in needs[mover])}


def _finding(words: LedgerWords, offence: Offence, followers: tuple[int, ...]) -> Finding:
    about, path, state = offence.about, offence.path, offence.state
    match offence.code:
        case "HS301":
            told = words.left(about[0], state[about[0]], path)
        case "HS302":
            told = words.together(about, path)
        case "HS303":
            told = words.no_close_up(about, path)
        case "HS304":
            told = words.cannot_start(offence.step, about, state, path)
        case "HS305":
            told = words.twice(offence.step, about, path)
        case _:
            told = words.no_action(offence.step, about, path)
    message = f"Possibly: {told.message}" if offence.possible else told.message
    return Finding(
        code=offence.code, level="advice" if offence.code == "HS307" else "error",
        step=told.step, field=told.field, message=message,
        hint=told.hint + (words.followers(followers) if offence.code == "HS304" else ""),
    )  # fmt: skip
