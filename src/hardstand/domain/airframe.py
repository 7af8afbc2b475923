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
from hardstand.domain.authority import may
from hardstand.domain.changes import ACTS
from hardstand.domain.codec import decode
from hardstand.domain.entry import Entry
from hardstand.domain.facts import (
    Act,
    AirframeFacts,
    Finished,
    Folded,
    Line,
    OpenWalk,
    Proof,
)
from hardstand.domain.ground import Ground, corrected, in_order, made_at
from hardstand.domain.life import NeedsThePast
from hardstand.domain.logbook import Logbook

__all__ = ["Ground", "corrected", "fold", "fold_on", "folded", "in_order", "made_at"]


def fold(ground: Ground, entries: Iterable[Entry]) -> AirframeFacts:
    """What all entries of one airframe together make true.

    Args:
        ground: the airframe as the fleet file describes it.
        entries: every status-bearing entry of that airframe, in any order.
    """
    return folded(ground, entries).facts


def folded(ground: Ground, entries: Iterable[Entry]) -> Folded:
    """The fold of all entries of one airframe, kept so that later ones can be added."""
    work = _Work(ground, Logbook(ground))
    for entry in in_order(entries):
        work.take(entry)
    return work.result()


def fold_on(known: Folded, entries: Iterable[Entry], ground: Ground | None = None) -> Folded | None:
    """The same fold, taken up where it stopped: entries later in order than all it has taken.

    What closed entries said is not kept, nor what each author had in front of them, so that the
    cost does not grow with an airframe's past: None when an entry acts on what was closed, or its
    author had not seen all that stands, and only a fold of everything can tell.

    Args:
        known: what the earlier fold came to.
        entries: the later ones.
        ground: what it was folded on; without it the airframe as `known` says it, nobody enrolled.
    """
    work = _Work.after(known, ground or _ground_of(known.facts))
    try:
        for entry in in_order(entries):
            work.take(entry)
    except NeedsThePast:
        return None
    return work.result()


def _ground_of(facts: AirframeFacts) -> Ground:
    return Ground(
        tail=facts.tail, type=facts.type, fits=facts.fits, short=facts.short,
        serials=facts.serials or {}, entries_before={},
    )  # fmt: skip


@dataclass(slots=True)
class _Work:
    """The fold's scratch: mutable inside one fold, never seen outside."""

    ground: Ground
    log: Logbook
    lines: dict[str, Line] = field(default_factory=dict)
    line_heads: dict[str, tuple[str, ...]] = field(default_factory=dict)
    walks: dict[str, OpenWalk] = field(default_factory=dict)
    proved: dict[str, Proof] = field(default_factory=dict)
    raised: dict[str, int] = field(default_factory=dict)
    unknown: list[str] = field(default_factory=list)
    doubts: list[Act] = field(default_factory=list)
    finished: Finished | None = None

    @classmethod
    def after(cls, known: Folded, ground: Ground) -> _Work:
        facts = known.facts
        log = Logbook(ground, watched=list(facts.watched), weaker=list(facts.weaker))
        log.take_up(facts.open)
        return cls(
            ground=ground,
            log=log,
            lines={line.item: line for line in facts.lines},
            line_heads=dict(known.line_heads),
            walks={w.walk: w for w in facts.walks},
            proved=dict(facts.proved or {}),
            raised=dict(facts.raised or {}),
            unknown=list(facts.unknown),
            doubts=list(facts.doubts),
            finished=facts.finished,
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
            open=self.log.open(),
            lines=tuple(self.lines.values()),
            walks=tuple(self.walks.values()),
            finished=self.finished,
            proved=dict(self.proved),
            raised={**self.ground.entries_before, **self.raised},
            unknown=tuple(self.unknown),
            watched=tuple(self.log.watched),
            weaker=tuple(self.log.weaker),
            doubts=tuple(self.doubts),
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
            started=self.ground.corrected(entry),
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
        at = made_at(self.ground.corrected(entry), body.by)
        case = self.ground.case_of(entry)
        barred = may("finish", entry.author, case) if body.outcome == "finished" else None
        if barred is not None:
            text = f"walk {entry.walk} finished by {entry.author} does not hold: {barred.rule}"
            self.doubts.append(self._act(entry, text))
            return
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
            since=known.since if known else self.ground.corrected(entry),
            by=body.by.doer,
            ref=entry.ref,
            walk=entry.walk or "",
            words=body.words,
            heads=heads,
        )
        if body.item_kind == "access" and entry.walk is None and self.finished:
            act = self._act(entry, f"{body.title} opened outside a walk")
            self.finished = replace(self.finished, ended=self.finished.ended or act)

    def _act(self, entry: Entry, what: str) -> Act:
        return Act(ref=entry.ref, at=self.ground.corrected(entry), by=entry.author, what=what)

    # -- the defect log ------------------------------------------------------------------------

    def defect_raised(self, entry: Entry, body: b.DefectRaised) -> None:
        count = int(body.number.rsplit("-", 1)[1][1:])
        self.raised[entry.device] = max(self.raised.get(entry.device, 0), count)
        self.log.raise_(entry, body)

    def defect_acted(self, entry: Entry, body: Any) -> None:
        self.log.act(entry, body)

    def defect_proved(self, entry: Entry, body: b.DefectProved) -> None:
        self.log.act(entry, body)
        for function in body.functions if entry.walk is None else ():
            self.proved[function] = Proof(at=self.ground.corrected(entry), ref=entry.ref)


_ACTS: Mapping[type[Any], Callable[[_Work, Entry, Any], None]] = {
    b.WalkStarted: _Work.walk_started,
    b.WalkBroken: _Work.walk_broken,
    b.WalkResumed: _Work.walk_resumed,
    b.WalkClosed: _Work.walk_closed,
    b.LineMoved: _Work.line_moved,
    **dict.fromkeys(ACTS, _Work.defect_acted),
    b.DefectRaised: _Work.defect_raised,
    b.DefectProved: _Work.defect_proved,
}
