"""fold: the one place that says what is true of an airframe, from its entries.

Pure. Entries arrive in any order; they are taken in (tick, device, seq), so that cause precedes
effect. Every act on an item removes the heads it had seen and leaves its own: two heads are two
people who had not seen each other, and the more careful reading stands.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from hardstand.domain import bodies as b
from hardstand.domain.codec import decode
from hardstand.domain.dated import DatedFit
from hardstand.domain.entry import Entry
from hardstand.domain.facts import (
    Act,
    AirframeFacts,
    Finished,
    Folded,
    Line,
    OpenEntry,
    OpenWalk,
    Proof,
)
from hardstand.domain.quantity import Instant, parse_instant
from hardstand.domain.symbols import is_graver

ENERGY_OR_OPENING = frozenset({"access", "removed", "disconnected", "energy"})
"""Kinds of line that count as X when no walk is in progress."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """What the fleet file says of one airframe: its facts before any entry."""

    tail: str
    type: str
    fits: tuple[DatedFit, ...]
    short: str
    serials: Mapping[str, str]
    entries_before: Mapping[str, int]


def corrected(entry: Entry) -> Instant:
    """The instant an entry was made; the one place where a device's clock error will be taken."""
    return entry.at


def made_at(entry: Entry, by: b.By) -> Instant:
    """When an act was done: a LATE one at its stated time, never after it was written."""
    stated = parse_instant(by.late.made_at) if by.late else None
    return min(stated, corrected(entry)) if stated else corrected(entry)


def in_order(entries: Iterable[Entry]) -> list[Entry]:
    """Entries so that cause precedes effect: by tick, then device, then place in its chain."""
    return sorted(entries, key=lambda e: (e.tick, e.device, e.seq))


def fold(ground: Ground, entries: Iterable[Entry]) -> AirframeFacts:
    """What all entries of one airframe together make true.

    Args:
        ground: the airframe as the fleet file describes it.
        entries: every status-bearing entry of that airframe, in any order.
    """
    return folded(ground, entries).facts


def folded(ground: Ground, entries: Iterable[Entry]) -> Folded:
    """The fold of all entries of one airframe, kept so that later ones can be added."""
    work = _Work(ground)
    for entry in in_order(entries):
        work.take(entry)
    return work.result()


def fold_on(known: Folded, entries: Iterable[Entry]) -> Folded | None:
    """The same fold, taken up where it stopped: entries later in order than all it has taken.

    What closed entries said is not kept, so that the cost does not grow with an airframe's past:
    None when an entry acts on one of them, and only a fold of everything can tell.
    """
    work = _Work.after(known)
    try:
        for entry in in_order(entries):
            work.take(entry)
    except _NeedsThePast:
        return None
    return work.result()


class _NeedsThePast(Exception):
    """An entry acts on something that was closed before a fold was gone on with."""


@dataclass(slots=True)
class _Work:
    """The fold's scratch: mutable inside one fold, never seen outside.

    `goes_on` means that `closed` holds only what was closed since the fold was taken up again.
    """

    ground: Ground
    open: dict[str, OpenEntry] = field(default_factory=dict)
    closed: dict[str, OpenEntry] = field(default_factory=dict)
    lines: dict[str, Line] = field(default_factory=dict)
    line_heads: dict[str, tuple[str, ...]] = field(default_factory=dict)
    walks: dict[str, OpenWalk] = field(default_factory=dict)
    proved: dict[str, Proof] = field(default_factory=dict)
    raised: dict[str, int] = field(default_factory=dict)
    unknown: list[str] = field(default_factory=list)
    finished: Finished | None = None
    goes_on: bool = False

    @classmethod
    def after(cls, known: Folded) -> _Work:
        facts = known.facts
        return cls(
            ground=Ground(
                tail=facts.tail,
                type=facts.type,
                fits=facts.fits,
                short=facts.short,
                serials=facts.serials or {},
                entries_before={},
            ),
            open={e.number: e for e in facts.open},
            lines={line.item: line for line in facts.lines},
            line_heads=dict(known.line_heads),
            walks={w.walk: w for w in facts.walks},
            proved=dict(facts.proved or {}),
            raised=dict(facts.raised or {}),
            unknown=list(facts.unknown),
            finished=facts.finished,
            goes_on=True,
        )

    def result(self) -> Folded:
        return Folded(facts=self.facts(), line_heads=self.line_heads)

    def facts(self) -> AirframeFacts:
        return AirframeFacts(
            tail=self.ground.tail,
            type=self.ground.type,
            fits=self.ground.fits,
            short=self.ground.short,
            serials=dict(self.ground.serials),
            open=tuple(self.open.values()),
            lines=tuple(self.lines.values()),
            walks=tuple(self.walks.values()),
            finished=self.finished,
            proved=dict(self.proved),
            raised={**self.ground.entries_before, **self.raised},
            unknown=tuple(self.unknown),
        )

    def take(self, entry: Entry) -> None:
        body = decode(entry)
        if isinstance(body, b.Unknown):
            self.unknown.append(entry.ref)
            return
        act = _ACTS.get(type(body))
        if act is not None:
            act(self, entry, body)

    # -- walks ---------------------------------------------------------------------------------

    def walk_started(self, entry: Entry, body: b.WalkStarted) -> None:
        self.walks[entry.walk or ""] = OpenWalk(
            walk=entry.walk or "",
            device=entry.device,
            checklist=body.checklist,
            revision=body.revision,
            digest=body.digest,
            started=corrected(entry),
            by=body.by.doer,
            ref=entry.ref,
        )

    def walk_broken(self, entry: Entry, _: b.WalkBroken) -> None:
        self._mark_walk(entry, broken=True)

    def walk_resumed(self, entry: Entry, _: b.WalkResumed) -> None:
        self._mark_walk(entry, broken=False)

    def _mark_walk(self, entry: Entry, *, broken: bool) -> None:
        walk = self.walks.get(entry.walk or "")
        if walk is not None:
            self.walks[walk.walk] = replace(walk, broken=broken)

    def walk_closed(self, entry: Entry, body: b.WalkClosed) -> None:
        self.walks.pop(entry.walk or "", None)
        at = made_at(entry, body.by)
        for function in body.proved:
            self.proved[function] = Proof(at=at, ref=entry.ref)
        if body.outcome == "finished" and body.purpose == "preflight":
            self.finished = Finished(
                walk=entry.walk or "",
                checklist=body.checklist,
                revision=body.revision,
                at=at,
                by=entry.author,
                ref=entry.ref,
                gaps=len(body.gaps),
            )

    # -- the put-back ledger -------------------------------------------------------------------

    def line_moved(self, entry: Entry, body: b.LineMoved) -> None:
        heads = (
            *(h for h in self.line_heads.get(body.item, ()) if h not in body.seen),
            entry.digest.hex(),
        )
        self.line_heads[body.item] = heads
        known = self.lines.get(body.item)
        if body.to == body.home:
            if len(heads) == 1:
                self.lines.pop(body.item, None)
            elif known is not None:
                self.lines[body.item] = replace(known, heads=heads)
            return
        self.lines[body.item] = Line(
            item=body.item,
            title=body.title,
            kind=body.item_kind,
            home=body.home,
            value=body.to,
            since=known.since if known else corrected(entry),
            by=body.by.doer,
            ref=entry.ref,
            walk=entry.walk or "",
            words=body.words,
            heads=heads,
        )
        if body.item_kind == "access" and entry.walk is None and self.finished:
            act = _act(entry, f"{body.title} opened outside a walk")
            self.finished = replace(self.finished, ended=self.finished.ended or act)

    # -- the defect log ------------------------------------------------------------------------

    def defect_raised(self, entry: Entry, body: b.DefectRaised) -> None:
        self.raised[entry.device] = max(
            self.raised.get(entry.device, 0), int(body.number.rsplit("-", 1)[1][1:])
        )
        self.open[body.number] = OpenEntry(
            number=body.number,
            symbol=body.symbol,
            text=body.text,
            found_at=parse_instant(body.found_at) or made_at(entry, body.by),
            found_by=body.by.doer,
            state="open",
            takes=body.takes,
            weakens=body.weakens,
            untested=body.untested,
            unit=body.unit,
            serial=body.serial,
            zone=body.zone,
            step=body.step,
            walk=entry.walk or "",
            stub=body.stub,
            acts=(_act(entry, f"raised {body.symbol}: {body.text}"),),
            heads=(entry.digest.hex(),),
        )

    def defect_noted(self, entry: Entry, body: b.DefectNoted) -> None:
        """Words never stand against another act, so they leave the heads as they are."""
        item = self.open.get(body.number)
        if item is None:
            return
        text = body.text or body.symptom
        self.open[body.number] = replace(
            item,
            text=text if item.stub else item.text,
            stub=False,
            acts=(*item.acts, _act(entry, f"words: {text}")),
        )

    def defect_extended(self, entry: Entry, body: b.DefectExtended) -> None:
        def again(item: OpenEntry) -> OpenEntry:
            return replace(item, again=(*item.again, corrected(entry)))

        self._act_on(entry, body, f"again: {body.text}", again)

    def symbol_raised(self, entry: Entry, body: b.SymbolRaised) -> None:
        def set_symbol(item: OpenEntry) -> OpenEntry:
            graver = is_graver(body.symbol, item.symbol)
            return replace(item, symbol=body.symbol, state="open") if graver else item

        self._act_on(entry, body, f"made {body.symbol}: {body.reason}", set_symbol)

    def action_recorded(self, entry: Entry, body: b.ActionRecorded) -> None:
        def acted(item: OpenEntry) -> OpenEntry:
            hands = dict.fromkeys((*item.doers, entry.author, body.by.doer, *body.by.with_))
            return replace(item, state="action_recorded", doers=tuple(hands))

        self._act_on(entry, body, f"action recorded: {body.text}", acted)

    def defect_rejected(self, entry: Entry, body: b.DefectRejected) -> None:
        self._act_on(
            entry, body, f"rejected: {body.reason}", lambda item: replace(item, state="open")
        )

    def defect_proved(self, entry: Entry, body: b.DefectProved) -> None:
        def proved(item: OpenEntry) -> OpenEntry:
            return replace(
                item, untested=tuple(f for f in item.untested if f not in body.functions)
            )

        words = body.words or f"by step {', '.join(body.steps)}"
        self._act_on(entry, body, f"tested good: {words}", proved)
        item = self.open.get(body.number)
        if item is not None and not item.untested and len(item.heads) == 1:
            self._close(body.number)
        for function in body.functions if entry.walk is None else ():
            self.proved[function] = Proof(at=corrected(entry), ref=entry.ref)

    def defect_cleared(self, entry: Entry, body: b.DefectCleared) -> None:
        self._act_and_close(entry, body, f"cleared: {body.text}")

    def defect_voided(self, entry: Entry, body: b.DefectVoided) -> None:
        self._act_and_close(entry, body, f"entered in error: {body.reason}")

    def defect_same_as(self, entry: Entry, body: b.DefectSameAs) -> None:
        joined = self.open.get(body.number)
        other = self.open.get(body.other)
        self._act_and_close(entry, body, f"same as {body.other}")
        if joined is None or other is None or body.number in self.open:
            return
        self.open[body.other] = replace(
            other,
            found_at=min(other.found_at, joined.found_at),
            joined=(*other.joined, joined.number),
            takes=_union(other.takes, joined.takes),
            weakens=_union(other.weakens, joined.weakens),
            untested=_union(other.untested, joined.untested),
            acts=(*other.acts, _act(entry, f"{joined.number} joined to it: {joined.text}")),
        )

    def _act_and_close(self, entry: Entry, body: Any, what: str) -> None:
        """Close over what the author had seen; with another head standing it stays open."""
        self._act_on(entry, body, what, lambda item: item)
        item = self.open.get(body.number)
        if item is not None and len(item.heads) == 1:
            self._close(body.number)

    def _close(self, number: str) -> None:
        self.closed[number] = self.open.pop(number)

    def _act_on(
        self, entry: Entry, body: Any, what: str, change: Callable[[OpenEntry], OpenEntry]
    ) -> None:
        """Apply an act to the entry it names; an act on a closed entry it had not seen opens it."""
        item = self.open.get(body.number) or self._reopened(entry, body)
        if item is None:
            return
        heads = (*(h for h in item.heads if h not in body.seen), entry.digest.hex())
        changed = change(item)
        self.open[body.number] = replace(
            changed, heads=heads, acts=(*changed.acts, _act(entry, what))
        )

    def _reopened(self, entry: Entry, body: Any) -> OpenEntry | None:
        """A closed entry that a graver act names without having seen the closing."""
        if not isinstance(body, b.SymbolRaised | b.ActionRecorded):
            return None
        if self.goes_on and body.number not in self.closed:
            raise _NeedsThePast
        return self.closed.pop(body.number, None)


def _union(one: tuple[str, ...], other: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys((*one, *other)))


def _act(entry: Entry, what: str) -> Act:
    return Act(ref=entry.ref, at=corrected(entry), by=entry.author, what=what)


_ACTS: Mapping[type[Any], Callable[[_Work, Entry, Any], None]] = {
    b.WalkStarted: _Work.walk_started,
    b.WalkBroken: _Work.walk_broken,
    b.WalkResumed: _Work.walk_resumed,
    b.WalkClosed: _Work.walk_closed,
    b.LineMoved: _Work.line_moved,
    b.DefectRaised: _Work.defect_raised,
    b.DefectNoted: _Work.defect_noted,
    b.DefectExtended: _Work.defect_extended,
    b.SymbolRaised: _Work.symbol_raised,
    b.ActionRecorded: _Work.action_recorded,
    b.DefectProved: _Work.defect_proved,
    b.DefectCleared: _Work.defect_cleared,
    b.DefectRejected: _Work.defect_rejected,
    b.DefectSameAs: _Work.defect_same_as,
    b.DefectVoided: _Work.defect_voided,
}
