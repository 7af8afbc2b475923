"""The life of one entry of the log: what each act makes of it, for whoever had seen what. Pure.

Every act is applied to the entry as its author had it in front of them, never to what others had
made of it meanwhile; what is true is the careful reading of all acts that no later act had seen.
An act that its author was not entitled to changes nothing and is listed as not holding.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import tzinfo
from typing import Any

from hardstand.domain import bodies as b
from hardstand.domain.authority import NEEDS_TWO, Case, Deed, judged_as, may, reads_x
from hardstand.domain.changes import CHANGES, dated, retest
from hardstand.domain.disagreement import Node, careful, does_not_hold, with_state
from hardstand.domain.entry import Entry
from hardstand.domain.facts import Act, OpenEntry
from hardstand.domain.ground import made_at
from hardstand.domain.putting_off import not_circled, not_extended
from hardstand.domain.quantity import Instant, parse_instant
from hardstand.domain.symbols import is_graver


@dataclass(slots=True)
class Court:
    """What acts of one airframe are judged by.

    `case_of` says under which circumstances an act was made, `where` whose midnight ends a day,
    `successors` which entries have been followed by another after a temporary repair.
    """

    case_of: Callable[[Entry, OpenEntry], Case]
    where: tzinfo
    successors: set[str] = field(default_factory=set)


class NeedsThePast(Exception):
    """An act was made over something that is not kept: only a fold of everything can tell."""


@dataclass(slots=True)
class Life:
    """One entry while it is folded: what it reads now, and every act as its author had it.

    `nodes` is None when the fold was taken up from what an earlier one kept; then an act whose
    author had not seen all that stands needs the past.
    """

    now: Node
    heads: tuple[str, ...]
    nodes: dict[str, Node] | None
    acts: list[Act] = field(default_factory=list)
    notes: tuple[str, ...] = ()

    @property
    def state(self) -> OpenEntry:
        """The entry as it reads, with its heads and all acts in order."""
        return self.now.state._replace(heads=self.heads, notes=self.notes, acts=tuple(self.acts))


def born(
    entry: Entry,
    body: b.DefectRaised,
    at: Instant,
    days: tzinfo,
    follows: OpenEntry | None = None,
) -> Life:
    """A life that begins with the raising of the entry.

    What `follows` another after a temporary repair keeps its days and what it was put off by.
    """
    logged = made_at(at, body.by)
    digest = entry.digest.hex()
    act = Act(ref=entry.ref, at=at, by=entry.author, what=f"raised {body.symbol}: {body.text}")
    state = OpenEntry(
        number=body.number, symbol=body.symbol, text=body.text,
        found_at=parse_instant(body.found_at) or logged, found_by=body.by.doer, state="open",
        takes=body.takes, weakens=body.weakens, untested=body.untested, unit=body.unit,
        serial=body.serial, zone=body.zone, step=body.step, walk=entry.walk or "", stub=body.stub,
        logged_at=parse_instant(body.logged_at) or logged, symptom=body.symptom,
        conditions=body.conditions, successor_of=body.successor_of,
    )  # fmt: skip
    if follows is not None:
        state = _keeping(state, follows, days)
    node = Node(state=state, digest=digest, act=act)
    return Life(now=node, heads=(digest,), nodes={digest: node}, acts=[act])


def _keeping(state: OpenEntry, earlier: OpenEntry, days: tzinfo) -> OpenEntry:
    """The entry with the days of another of the same defect, and what that was put off by."""
    both = state._replace(
        found_at=min(state.found_at, earlier.found_at),
        logged_at=min(state.logged_at, earlier.logged_at),
        put_off_before=(*state.put_off_before, *earlier.put_off),
    )
    return dated(both, days)


def taken_up(item: OpenEntry) -> Life:
    """A life gone on with from the entry as an earlier fold kept it."""
    act = item.acts[-1]
    node = Node(state=item, digest="", act=act)
    return Life(now=node, heads=item.heads, nodes=None, acts=list(item.acts), notes=item.notes)


def as_at(life: Life, at: Instant) -> OpenEntry | None:
    """The entry as it read at an instant by the acts made until then; None before it was raised.

    Raises:
        NeedsThePast: an act was made since, and the reading before it is not kept.
    """
    if life.nodes is None:
        if life.acts[-1].at > at:
            raise NeedsThePast
        return life.now.state
    until = [node for node in life.nodes.values() if node.act.at <= at]
    return until[-1].state if until else None


def go_on(life: Life, entry: Entry, body: Any, at: Instant, court: Court) -> None:
    """Take one act of the log into a life.

    Raises:
        NeedsThePast: see Life.
    """
    digest = entry.digest.hex()
    said = CHANGES[type(body)]
    act = Act(ref=entry.ref, at=at, by=entry.author, what=said.words(body))
    if isinstance(body, b.DefectNoted):
        _note(life, digest, act, body)
        return
    if isinstance(body, b.DefectRetested) and body.answer == "OK":
        _aside(life, digest, act, body)
        return
    before = _seen_by(life, body.seen)
    alone = isinstance(body, b.DefectVoided) and not (body.confirmed or body.asked)
    if alone and _acted_on(life, before, entry):
        node = _after(before, entry, body, act, court, why=ACTED_ON)
    else:
        node = _after(before, entry, body, act, court)
    if isinstance(body, b.DefectSettled) and not node.state.disputes:
        node = _as_settled(life, before, node, body.stands)
    life.acts.append(act)
    life.heads = (*(h for h in life.heads if h not in body.seen), digest)
    if life.nodes is None:
        life.now = node
        return
    life.nodes[digest] = node
    life.now = careful([life.nodes[h] for h in life.heads])


def _seen_by(life: Life, seen: tuple[str, ...]) -> Node:
    """The entry as an author had it who had seen these lines; the raising is always seen."""
    if life.nodes is None:
        if not set(life.heads) <= set(seen):
            raise NeedsThePast
        return life.now
    known = [life.nodes[s] for s in dict.fromkeys(seen) if s in life.nodes]
    covered = frozenset[str]().union(*(n.before for n in known))
    last = [n for n in known if n.digest not in covered]
    return careful(last or [next(iter(life.nodes.values()))])


ACTED_ON = "others have acted on it; a second person confirms"
"""Why the finder alone does not take an entry back."""


def _acted_on(life: Life, before: Node, entry: Entry) -> bool:
    """Whether the author had seen what somebody else did about the entry.

    Raises:
        NeedsThePast: what was seen is not kept, and others have acted.
    """
    if life.nodes is None:
        if any(act.by != entry.author for act in life.acts):
            raise NeedsThePast
        return False
    seen = (life.nodes[d] for d in before.before | {before.digest} if d in life.nodes)
    return any(node.act.by != entry.author for node in seen)


def _after(before: Node, entry: Entry, body: Any, act: Act, court: Court, *, why: str = "") -> Node:
    """The node of an act: its change if it holds, else the entry as it was, with the listing."""
    digest = entry.digest.hex()
    seen = before.before | {before.digest} | frozenset(body.seen)
    node = replace(before, digest=digest, before=seen, act=act)
    if before.state.closed:
        return node
    why = why or _why_not(entry, body, before.state, court)
    if why:
        listed = (*before.state.disputes, does_not_hold(digest, act, why))
        return replace(node, state=before.state._replace(disputes=listed))
    change = CHANGES[type(body)].change
    made = with_state(change(before.state, entry, body, act))
    changed = replace(node, state=dated(made, court.where))
    if isinstance(body, b.SymbolLowered | b.SymbolLimited):
        return replace(changed, eased=digest)
    if changed.state.symbol != before.state.symbol:
        return replace(changed, eased="")
    if isinstance(body, b.DefectSettled):
        acts = frozenset(d.acts for d in before.state.disputes)
        return replace(changed, settled=before.settled | acts)
    return changed


def _as_settled(life: Life, before: Node, node: Node, stands: str) -> Node:
    """The node of a settling: the careful reading, or one of the acts that disagreed stands."""
    if not any(stands in d.acts for d in before.state.disputes):
        return node
    if life.nodes is None:
        raise NeedsThePast
    chosen = life.nodes.get(stands)
    if chosen is None:
        return node
    kept = chosen.state._replace(
        doers=node.state.doers, taught=node.state.taught, again=node.state.again,
        retested=node.state.retested, put_off_before=node.state.put_off_before, disputes=(),
    )  # fmt: skip
    return replace(node, state=kept)


def _why_not(entry: Entry, body: Any, state: OpenEntry, court: Court) -> str:
    """The rule by which an act does not hold; empty if it does."""
    temporary = isinstance(body, b.DefectCleared) and body.outcome == "temporary"
    if temporary and state.number not in court.successors:
        return "a temporary repair is cleared only with the entry that follows it"
    deed = deed_of(body, state, entry.author)
    if deed is None:
        return ""
    category = getattr(body, "category", "")
    case = court.case_of(entry, state)
    person = judged_as(entry.author, body.by, case)
    barred = may(deed, person, case, state, with_=body.by.with_, category=category)
    return barred.rule if barred else _beyond(body, state, case)


def _beyond(body: object, state: OpenEntry, case: Case) -> str:
    """The rule by which somebody entitled gave more than anybody may; empty if they did not."""
    if isinstance(body, b.SymbolLimited):
        return not_circled(body.limits, body.ends, case)
    if isinstance(body, b.DefectProlonged) and state.deferral is not None:
        return not_extended(state.deferral, state.put_off, body.days, case)
    if isinstance(body, b.DefectVoided) and not (body.confirmed or body.asked):
        return NEEDS_TWO if reads_x(state, case) else ""
    return ""


def deed_of(body: object, state: OpenEntry, author: str) -> Deed | None:
    """What authority an act needs; None where anybody may and a careful reading takes it."""
    if isinstance(body, b.DefectCleared):
        return "clear_own" if body.again_by_doer and author in state.doers else "clear"
    if isinstance(body, b.DefectRuled) and body.again_by_doer:
        return "order_again"
    if isinstance(body, b.DefectVoided):
        return "confirm_void" if body.confirmed or author != state.found_by else "void"
    return _DEEDS.get(type(body))


_DEEDS: Mapping[type[Any], Deed] = {
    b.SymbolLowered: "lower_symbol",
    b.SymbolLimited: "limit",
    b.DefectDeferred: "defer",
    b.DefectProlonged: "extend",
    b.DefectRuled: "rule",
    b.ActionRecorded: "act",
    b.DefectRejected: "reject",
    b.DefectProved: "prove",
    b.DefectSameAs: "join",
    b.DefectSettled: "settle",
}


# -- words and retests stand beside the acts -------------------------------------------------------


def _note(life: Life, digest: str, act: Act, body: b.DefectNoted) -> None:
    """Words never stand against another act, so they leave the heads as they are.

    The finder's first words become the text of a stub; a symptom is said after the text it has.
    """
    life.acts.append(act)
    life.notes = (*life.notes, digest)
    if life.now.state.stub:
        _everywhere(life, lambda s: _worded(s, body))


def _worded(state: OpenEntry, body: b.DefectNoted) -> OpenEntry:
    text = body.text or state.text
    if body.symptom.casefold() not in text.casefold():
        text = f"{text}: {body.symptom}"
    return state._replace(text=text, symptom=body.symptom or state.symptom, stub=False)


def _aside(life: Life, digest: str, act: Act, body: b.DefectRetested) -> None:
    """A good retest is noted on every reading; it decides nothing by itself."""
    life.acts.append(act)
    life.notes = (*life.notes, digest)
    found = retest(body, act)
    _everywhere(life, lambda s: s._replace(retested=(*s.retested, found)))


def join(life: Life, entry: Entry, joined: OpenEntry, at: Instant, days: tzinfo) -> None:
    """Another entry is the same as this one: the earlier discovery and the graver symbol count."""
    _noted(life, entry, at, f"{joined.number} joined to it: {joined.text}")

    def with_joined(state: OpenEntry) -> OpenEntry:
        both = state._replace(
            symbol=_graver(joined.symbol, state.symbol),
            joined=_union(state.joined, (joined.number,)),
            takes=_union(state.takes, joined.takes),
            weakens=_union(state.weakens, joined.weakens),
            untested=_union(state.untested, joined.untested),
        )
        return _keeping(both, joined, days)

    _everywhere(life, with_joined)


def stand_for(life: Life, entry: Entry, error: OpenEntry, at: Instant, days: tzinfo) -> None:
    """This entry stands in place of one entered in error: it keeps the days of that one."""
    _noted(life, entry, at, f"stands in place of {error.number}: {error.text}")
    _everywhere(life, lambda s: _keeping(s, error, days))


def _noted(life: Life, entry: Entry, at: Instant, what: str) -> None:
    life.acts.append(Act(ref=entry.ref, at=at, by=entry.author, what=what))
    life.notes = (*life.notes, entry.digest.hex())


def raised_again(life: Life, entry: Entry, body: b.DefectRaised, at: Instant) -> None:
    """A line raises an entry under a number that is open: the graver counts, and it is listed.

    No device gives a number twice; a line that does was made by another program, or over a record
    that was put back to an older state.
    """
    _noted(life, entry, at, f"raised {body.symbol}: {body.text}")
    listed = does_not_hold(
        entry.digest.hex(), life.acts[-1], f"{body.number} was another entry by then"
    )

    def graver(state: OpenEntry) -> OpenEntry:
        worse = _graver(body.symbol, state.symbol)
        return state._replace(symbol=worse, disputes=(*state.disputes, listed))

    _everywhere(life, graver)


def reopen(life: Life, act: Act, digest: str, why: str) -> None:
    """A closing did not hold after all: the entry reads open, with the listing."""

    def opened(state: OpenEntry) -> OpenEntry:
        listed = (*state.disputes, does_not_hold(digest, act, why))
        return state._replace(closed="", disputes=listed)

    _everywhere(life, opened)


def _graver(one: str, other: str) -> str:
    return one if is_graver(one, other) else other


def _union(one: tuple[str, ...], other: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys((*one, *other)))


def _everywhere(life: Life, change: Callable[[OpenEntry], OpenEntry]) -> None:
    life.now = replace(life.now, state=change(life.now.state))
    if life.nodes is not None:
        life.nodes = {d: replace(n, state=change(n.state)) for d, n in life.nodes.items()}
