"""Acts that had not seen each other: the more careful reading of an entry, until it is settled.

Of concurrent acts the worse counts. A clearance, a ruling, a deferral, or "put back" holds only
over what its signer had seen. What disagrees stays listed until a third person names it.

Source: whole-job C-13.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeVar

from hardstand.domain.facts import Act, Deferral, Dispute, EntryState, Limits, OpenEntry, Work
from hardstand.domain.symbols import ORDER, is_graver

T = TypeVar("T")
GRAVE = frozenset({"X", "(X)"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Node:
    """An entry as it stood for the author of one act, after that act.

    `before` are digests of every act its author had seen, straight or through others. `settled`
    are disagreements that were settled by then. `act` says which line it is. `eased` is the digest
    of the act that lowered or circled the symbol it has; empty where none did.
    """

    state: OpenEntry
    digest: str
    before: frozenset[str] = frozenset()
    settled: frozenset[tuple[str, ...]] = frozenset()
    act: Act
    eased: str = ""


def careful(nodes: Sequence[Node]) -> Node:
    """One reading of several nodes none of which had seen another: the more careful of each part.

    The node that comes back stands for all of them; its digest is of no line.
    """
    if len(nodes) == 1:
        return nodes[0]
    ordered = sorted(nodes, key=lambda n: n.digest)
    states = [n.state for n in ordered]
    still = [n for n in ordered if not n.state.closed]
    pick = still or ordered
    symbol = min((n.state.symbol for n in pick), key=ORDER.index)
    base = next(n for n in pick if n.state.symbol == symbol)
    settled = frozenset[tuple[str, ...]]().union(*(n.settled for n in ordered))
    state = base.state._replace(
        doers=_joined(states, lambda s: s.doers),
        taught=_joined(states, lambda s: s.taught),
        untested=_joined([n.state for n in pick], lambda s: s.untested),
        again=_joined(states, lambda s: s.again),
        voiders=_joined(states, lambda s: s.voiders),
        retested=_joined(states, lambda s: s.retested),
        put_off_before=_joined(states, lambda s: s.put_off_before),
        work=_work(pick),
        deferral=_deferral(pick),
        limits=_limits(pick),
        ruled=next((n.state.ruled for n in pick if n.state.ruled and n.state.symbol == symbol), ""),
        disputes=_disputes(ordered, settled),
    )
    return Node(
        state=with_state(state),
        digest=base.digest,
        before=frozenset[str]().union(*(n.before | {n.digest} for n in ordered)),
        settled=settled,
        act=base.act,
        eased=base.eased,
    )


def with_state(entry: OpenEntry) -> OpenEntry:
    """The entry with its state named after what was done about it last."""
    state: EntryState = "open"
    if entry.work is not None:
        state = "action_recorded"
    elif entry.deferral is not None and entry.symbol in {"-", "/"}:
        state = "deferred"
    elif entry.ruled:
        state = "ruled"
    return entry._replace(state=state)


def _joined(
    states: Sequence[OpenEntry], part: Callable[[OpenEntry], tuple[T, ...]]
) -> tuple[T, ...]:
    return tuple(dict.fromkeys(found for state in states for found in part(state)))


def _standing(nodes: Sequence[Node], digest: Callable[[OpenEntry], str]) -> list[Node]:
    """The nodes whose part no other node's author had seen and moved on from."""
    return [
        n
        for n in nodes
        if digest(n.state)
        and not any(digest(n.state) in o.before and digest(o.state) != digest(n.state)
                    for o in nodes)
    ]  # fmt: skip


def _work(nodes: Sequence[Node]) -> Work | None:
    found = _standing(nodes, lambda s: s.work.digest if s.work else "")
    return found[0].state.work if found else None


def _deferral(nodes: Sequence[Node]) -> Deferral | None:
    """Of two deferrals the one that runs out earlier; one beside none counts."""
    held = [n.state.deferral for n in nodes if n.state.deferral]
    return min(held, key=lambda d: d.days + d.extended, default=None)


def _limits(nodes: Sequence[Node]) -> Limits | None:
    """Of two sets of limits the one that ends earlier."""
    held = [n.state.limits for n in nodes if n.state.limits]
    return min(held, key=lambda x: x.ends, default=None)


# -- what is listed --------------------------------------------------------------------------------


def _disputes(nodes: Sequence[Node], settled: frozenset[tuple[str, ...]]) -> tuple[Dispute, ...]:
    """Disagreements carried along and not settled, then those these nodes make."""
    carried = [d for n in nodes for d in n.state.disputes]
    fresh = [
        d
        for i, one in enumerate(nodes)
        for other in nodes[i + 1 :]
        for d in (disagreement(one, other),)
        if d is not None
    ]
    every = {d.acts: d for d in (*carried, *fresh) if d.acts not in settled}
    return tuple(every.values())


def disagreement(one: Node, other: Node) -> Dispute | None:
    """What two acts that had not seen each other disagree about; None if both can be true."""
    closing, opening = (one, other) if one.state.closed else (other, one)
    if closing.state.closed and not opening.state.closed:
        text = (
            f"{_said(closing)}, without having seen that {_said(opening)}; "
            f"it stays open at {opening.state.symbol}"
        )
        return _dispute(text, one, other)
    if one.state.closed:
        return None
    if _puts_off(one, other) or _puts_off(other, one):
        return _dispute(f"{_said(one)} and {_said(other)}: the earlier run-out counts", one, other)
    if _limits_on(one, other) or _limits_on(other, one):
        return _dispute(f"{_said(one)} and {_said(other)}: the earlier end counts", one, other)
    return _put_off_as_x(one, other) or _put_off_as_x(other, one) or _symbols(one, other)


def _put_off_as_x(put_off: Node, grave: Node) -> Dispute | None:
    """An entry was put off by somebody who had not seen that it was made an X."""
    deferral = put_off.state.deferral
    if deferral is None or grave.state.symbol not in GRAVE or put_off.state.symbol in GRAVE:
        return None
    if deferral.digest in grave.before | {grave.digest}:
        return None
    text = f"{_said(put_off)}, without having seen that {_said(grave)}; an X is not deferred"
    return _dispute(text, put_off, grave)


def _puts_off(longer: Node, shorter: Node) -> bool:
    """Whether one author put it off for longer, unseen by the other, who has less time."""
    late, early = longer.state.deferral, shorter.state.deferral
    if late is None or early is None or late.digest in shorter.before | {shorter.digest}:
        return False
    return late.days + late.extended > early.days + early.extended


def _limits_on(longer: Node, shorter: Node) -> bool:
    """Whether one author let limits end later, unseen by the other."""
    late, early = longer.state.limits, shorter.state.limits
    if late is None or early is None or late.digest in shorter.before | {shorter.digest}:
        return False
    return late.ends > early.ends


def _symbols(one: Node, other: Node) -> Dispute | None:
    """Two symbols disagree only where the milder one was given by easing it, unseen."""
    if one.state.symbol == other.state.symbol:
        return None
    graver = is_graver(one.state.symbol, other.state.symbol)
    worse, milder = (one, other) if graver else (other, one)
    if not milder.eased or milder.eased in worse.before:
        return None
    text = f"{_said(milder)}, without having seen that {_said(worse)}; {worse.state.symbol} counts"
    return _dispute(text, one, other)


def _said(node: Node) -> str:
    return f"{node.act.by} {node.act.what} [{node.act.ref}]"


def _dispute(text: str, one: Node, other: Node) -> Dispute:
    return Dispute(
        text=text,
        acts=tuple(sorted((one.digest, other.digest))),
        parties=tuple(dict.fromkeys((one.act.by, other.act.by))),
    )


def does_not_hold(entry_digest: str, act: Act, why: str) -> Dispute:
    """The listing of an act that somebody was not entitled to."""
    return Dispute(
        text=f"{act.by} {act.what} [{act.ref}] does not hold: {why}",
        acts=(entry_digest,),
        parties=(act.by,),
    )
