"""fold: the one place that says what is true of an airframe, from its entries.

Pure. Entries arrive in any order; they are taken in (tick, device, seq), so that cause precedes
effect. Every act on an item removes the heads it had seen and leaves its own: two heads are two
people who had not seen each other, and the more careful reading stands.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from hardstand.domain import bodies as b
from hardstand.domain.authority import judged_as, may
from hardstand.domain.box_facts import boxes_of
from hardstand.domain.boxes import BoxWork, Moving, told
from hardstand.domain.changes import ACTS
from hardstand.domain.codec import NOT_FOLDED, decode, misread
from hardstand.domain.earlier import Before
from hardstand.domain.entry import Entry
from hardstand.domain.facts import (
    FOLD,
    Act,
    AirframeFacts,
    Finished,
    Folded,
    Line,
    OpenEntry,
    OpenWalk,
    Proof,
)
from hardstand.domain.flight_facts import flown_of
from hardstand.domain.flying import FlightWork
from hardstand.domain.ground import Ground, corrected, in_order, made_at
from hardstand.domain.ids import count_in
from hardstand.domain.life import NeedsThePast
from hardstand.domain.logbook import Logbook
from hardstand.domain.out_of_order import against
from hardstand.domain.plain import to_plain
from hardstand.domain.quantity import Instant, parse_instant

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
    work = _Work(ground, Logbook(ground), BoxWork(ground.tail, dict(ground.serials)))
    work.take_all(entries)
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
        work.take_all(entries)
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
    boxes: BoxWork
    flights: FlightWork = field(default_factory=FlightWork)
    touched: dict[str, str] = field(default_factory=dict)
    owners: dict[str, str] = field(default_factory=dict)
    lines: dict[str, Line] = field(default_factory=dict)
    line_heads: dict[str, tuple[str, ...]] = field(default_factory=dict)
    walks: dict[str, OpenWalk] = field(default_factory=dict)
    proved: dict[str, Proof] = field(default_factory=dict)
    raised: dict[str, int] = field(default_factory=dict)
    unknown: list[str] = field(default_factory=list)
    before: Before | None = field(default_factory=Before)
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
            boxes=BoxWork.after(facts.tail, facts.serials or {}, boxes_of(facts)),
            flights=FlightWork.after(flown_of(facts)),
            touched=dict(facts.touched or {}),
            owners=dict(facts.owners or {}),
            lines={line.item: line for line in facts.lines},
            line_heads=dict(known.line_heads),
            walks={w.walk: w for w in facts.walks},
            proved=dict(facts.proved or {}),
            raised=dict(facts.raised or {}),
            unknown=list(facts.unknown),
            doubts=list(facts.doubts),
            finished=facts.finished,
            before=None,
        )

    def result(self) -> Folded:
        return Folded(facts=self.facts(), line_heads=self.line_heads)

    def facts(self) -> AirframeFacts:
        boxes, open_ = self.boxes.result(), self.log.open()
        return AirframeFacts(
            tail=self.ground.tail,
            type=self.ground.type,
            fits=self.ground.fits,
            short=self.ground.short,
            serials=dict(self.boxes.serials),
            open=open_,
            lines=tuple(self.lines.values()),
            walks=tuple(self.walks.values()),
            finished=self.finished,
            proved=dict(self.proved),
            raised={**self.ground.entries_before, **self.raised},
            unknown=tuple(self.unknown),
            watched=tuple(self.log.watched),
            weaker=tuple(self.log.weaker),
            doubts=tuple(self.doubts),
            owners={e.number: who for e in open_ if (who := self.owners.get(e.number))} or None,
            touched=dict(self.touched) or None,
            empty=told(boxes.holes),
            doubtful=told(boxes.doubtful),
            boxes=to_plain(boxes) or None,
            flown=to_plain(self.flights.result()) or None,
            fold=FOLD,
        )

    def take_all(self, entries: Iterable[Entry]) -> None:
        for entry in in_order(entries):
            try:
                self.take(entry)
            except NOT_FOLDED as error:
                raise misread(entry, error) from error

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
            self.walks[walk.walk] = walk._replace(broken=broken)

    def walk_closed(self, entry: Entry, body: b.WalkClosed) -> None:
        begun = self.walks.pop(entry.walk or "", None)
        written = self.ground.corrected(entry)
        at = made_at(written, body.by)
        late = at < written
        if self.before is None and late:
            raise NeedsThePast
        case = self.ground.case_of(entry)
        person = judged_as(entry.author, body.by, case)
        finished = body.outcome == "finished"
        barred = may("finish", person, case, with_=body.by.with_) if finished else None
        if barred is not None:
            text = f"walk {entry.walk} finished by {entry.author} does not hold: {barred.rule}"
            self.doubts.append(self._act(entry, text))
            return
        since = min(begun.started, at) if begun else at
        moved = {f for f in self.touched if self.boxes.moved_since(since)}
        if late and self.before is not None:
            moved |= {f for f, when in self.before.touched.items() if when > at}
        for function in body.proved:
            if function not in moved:
                self._prove(function, entry, at)
        if finished and body.purpose == "preflight":
            self._preflight(entry, body, at, since)

    def _preflight(self, entry: Entry, body: b.WalkClosed, at: Instant, since: Instant) -> None:
        """Of two preflights the one made later counts, whenever each was written."""
        done = Finished(
            walk=entry.walk or "", checklist=body.checklist, revision=body.revision, at=at,
            by=entry.author, ref=entry.ref, gaps=len(body.gaps), started=since,
        )  # fmt: skip
        if self.before is not None:
            done = self.before.close(done, late=at < self.ground.corrected(entry))
        if self.finished is None or self.finished.at <= at:
            self.finished = done

    def _prove(self, function: str, entry: Entry, at: Instant) -> None:
        """A proof counts from when it was made: never over a later one."""
        known = self.proved.get(function)
        if known is None or known.at <= at:
            self.proved[function] = Proof(at=at, ref=entry.ref)
            self.touched.pop(function, None)

    def _touch(self, function: str, what: str, at: Instant) -> None:
        """Nothing is known of a function until a step proves it again."""
        self.proved.pop(function, None)
        self.touched[function] = what
        if self.before is not None:
            self.before.touched[function] = at

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
                if known is not None and self.before is not None:
                    self.before.lines.append((known, self.ground.corrected(entry)))
            elif known is not None:
                self.lines[body.item] = known._replace(heads=heads)
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
        if body.item_kind == "access" and entry.walk is None:
            act = self._act(entry, f"{body.title} opened outside a walk")
            if self.before is not None:
                self.before.open(act)
            if self.finished:
                self.finished = self.finished._replace(ended=self.finished.ended or act)

    def _act(self, entry: Entry, what: str) -> Act:
        return Act(ref=entry.ref, at=self.ground.corrected(entry), by=entry.author, what=what)

    # -- the defect log ------------------------------------------------------------------------

    def defect_raised(self, entry: Entry, body: b.DefectRaised) -> None:
        count = count_in(body.number)
        self.raised[entry.device] = max(self.raised.get(entry.device, 0), count)
        was = self.log.state(body.number)
        if was is not None and was.closed:
            self.owners.pop(body.number, None)
        self.log.raise_(entry, body)
        self.flights.raised(body, self.ground.corrected(entry))

    def defect_acted(self, entry: Entry, body: Any) -> None:
        was = self.log.state(body.number)
        self.log.act(entry, body)
        now = self.log.state(body.number)
        if now is None or was is None:
            return
        self.flights.acted(body, was, now, self.ground.corrected(entry))
        if now.closed and not was.closed and isinstance(body, b.DefectCleared):
            self._untested_since(now, self.ground.corrected(entry))

    def _untested_since(self, mended: OpenEntry, at: Instant) -> None:
        """What a cleared entry had taken is not known again until a step proves it."""
        for function in mended.takes:
            proof = self.proved.get(function)
            if proof is None or proof.at <= (mended.logged_at or mended.found_at):
                self._touch(function, f"not tested since {mended.number} was cleared", at)

    def defect_proved(self, entry: Entry, body: b.DefectProved) -> None:
        self.defect_acted(entry, body)
        for function in body.functions if entry.walk is None else ():
            self._prove(function, entry, self.ground.corrected(entry))

    def entry_taken(self, _: Entry, body: b.EntryTaken) -> None:
        """Whoever takes a number before anything is raised under it takes nothing."""
        if self.log.holds(body.number):
            self.owners[body.number] = body.by.doer

    def retested(self, entry: Entry, body: b.DefectRetested) -> None:
        self.defect_acted(entry, body)
        for function in body.proved if body.answer == "OK" else ():
            self._prove(function, entry, self.ground.corrected(entry))

    # -- boxes and flights -----------------------------------------------------------------------

    def unit_moved(self, entry: Entry, body: Moving) -> None:
        at = made_at(self.ground.corrected(entry), body.by)
        what = self.boxes.moved(entry, body, at)
        for function in body.functions:
            self._touch(function, f"not tested since {what}", at)

    def unit_carded(self, _: Entry, body: b.UnitCarded) -> None:
        self.boxes.carded(body)

    def accepted(self, entry: Entry, body: b.FlightAccepted) -> None:
        self.flights.accept(entry, body, made_at(self.ground.corrected(entry), body.by))

    def flight_begun(self, entry: Entry, body: b.FlightBegun) -> None:
        """Source: whole-job M-34, judged by what had been written at off-block."""
        at = self.ground.corrected(entry)
        off = parse_instant(body.off) or at
        if self.before is None and off < at:
            raise NeedsThePast
        before = self.before or Before()
        standing = [line for line in self.lines.values() if line.since <= off]
        standing += [line for line, home in before.lines if line.since <= off < home]
        found = against(
            off, self.log.open_at(off), standing,
            self.finished if self.before is None else before.preflight(off),
            hours=self.ground.settings.preflight_hours, uses_radio=body.uses_radio,
        )  # fmt: skip
        self.flights.begin(entry, body, off, found)

    def flight_ended(self, _: Entry, body: b.FlightEnded) -> None:
        self.flights.end(body)

    def flight_reported(self, _: Entry, body: b.FlightReported) -> None:
        self.flights.report(body)

    def pilot_told(self, _: Entry, body: b.PilotTold) -> None:
        self.flights.told(body)


_ACTS: Mapping[type[Any], Callable[[_Work, Entry, Any], None]] = {
    b.WalkStarted: _Work.walk_started,
    b.WalkBroken: _Work.walk_broken,
    b.WalkResumed: _Work.walk_resumed,
    b.WalkClosed: _Work.walk_closed,
    b.LineMoved: _Work.line_moved,
    **dict.fromkeys(ACTS, _Work.defect_acted),
    b.DefectRaised: _Work.defect_raised,
    b.DefectProved: _Work.defect_proved,
    b.DefectRetested: _Work.retested,
    b.EntryTaken: _Work.entry_taken,
    b.UnitFitted: _Work.unit_moved,
    b.UnitRemoved: _Work.unit_moved,
    b.UnitRead: _Work.unit_moved,
    b.UnitCarded: _Work.unit_carded,
    b.FlightAccepted: _Work.accepted,
    b.FlightBegun: _Work.flight_begun,
    b.FlightEnded: _Work.flight_ended,
    b.FlightReported: _Work.flight_reported,
    b.PilotTold: _Work.pilot_told,
}
