"""Flights of one airframe while it is folded: acceptances, reports, what was out of order. Pure.

An acceptance is of a list, not of an aircraft: a later entry or a graver symbol undoes it. A
flight that left when it should not have is told and never altered.

Source: whole-job M-22, M-34, D-04.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from hardstand.domain import bodies_flight as f
from hardstand.domain.bodies_log import (
    DefectCleared,
    DefectDeferred,
    DefectRaised,
    SymbolLimited,
    SymbolLowered,
    SymbolRaised,
)
from hardstand.domain.entry import Entry
from hardstand.domain.facts import OpenEntry
from hardstand.domain.flight_facts import Acceptance, Flight, Flown, Irregularity, Outcome, Said
from hardstand.domain.quantity import Instant, later
from hardstand.domain.recurrence import DAYS, FLIGHTS, Report

KEPT_FLIGHTS = 10
"""Flights told before a walk; whole-job M-02."""


CHANGING = SymbolRaised | SymbolLowered | SymbolLimited | DefectDeferred
"""Acts after which the list a pilot saw is not the list that stands."""


@dataclass(slots=True)
class FlightWork:
    """The flights of one airframe, mutable inside one fold."""

    count: int = 0
    last: list[Flight] = field(default_factory=list)
    accepted: Acceptance | None = None
    irregular: list[Irregularity] = field(default_factory=list)
    reports: dict[str, Report] = field(default_factory=dict)
    outcomes: dict[str, Outcome] = field(default_factory=dict)

    @classmethod
    def after(cls, known: Flown) -> FlightWork:
        """Go on from what an earlier fold kept."""
        return cls(
            count=known.begun,
            last=list(known.last),
            accepted=known.accepted,
            irregular=list(known.irregular),
            reports={r.number: r for r in known.reports},
            outcomes={o.number: o for o in known.outcomes},
        )

    def result(self) -> Flown:
        """What the lines said."""
        return Flown(
            begun=self.count,
            last=tuple(self.last),
            accepted=self.accepted,
            irregular=tuple(self.irregular),
            reports=tuple(self.reports.values()),
            outcomes=tuple(self.outcomes.values()),
        )

    # -- acceptance and flights ------------------------------------------------------------------

    def accept(self, entry: Entry, body: f.FlightAccepted, at: Instant) -> None:
        """Take an acceptance; it stands in place of any before."""
        self.accepted = Acceptance(
            mission=body.mission, pilot=body.by.doer, at=at, ref=entry.ref, paper=body.paper,
            digest=entry.digest.hex(), listed=body.listed, list_of=body.list_of,
        )  # fmt: skip

    def _undo(self, why: str, at: Instant) -> None:
        """Something the pilot has not seen stands against the aircraft now."""
        if self.accepted is not None and not self.accepted.undone:
            self.accepted = self.accepted._replace(undone=why, undone_at=at)

    def begin(
        self, entry: Entry, body: f.FlightBegun, off: Instant, against: Mapping[str, str]
    ) -> None:
        """Take off-block; `against` maps each reason it is out of order to the entry behind it."""
        self.count += 1
        self.last = [*self.last, Flight(
            nth=self.count, mission=body.mission, pilot=body.pilot, off=off, ref=entry.ref,
            digest=entry.digest.hex(),
        )][-KEPT_FLIGHTS:]  # fmt: skip
        reasons = {**self._not_accepted(body, off), **against}
        if reasons:
            named = tuple(dict.fromkeys(n for n in reasons.values() if n))
            self.irregular.append(
                Irregularity(
                    mission=body.mission, pilot=body.pilot, off=off, ref=entry.ref,
                    texts=tuple(reasons), entries=named,
                )
            )  # fmt: skip
        self.accepted = None

    def _not_accepted(self, body: f.FlightBegun, off: Instant) -> dict[str, str]:
        taken = self.accepted
        if taken is None or taken.pilot != body.pilot or taken.at > off:
            return {f"{body.pilot} had not accepted the aircraft": ""}
        undone = taken.undone if taken.undone_at <= off else ""
        return {f"accepted before {undone}": ""} if undone else {}

    def end(self, body: f.FlightEnded) -> None:
        """Take the end of a flight."""
        self._change(body.flight, on=body.on)

    def report(self, body: f.FlightReported) -> None:
        """Take what a pilot said of a flight."""
        said: Said = "reported" if body.entries else "none known" if body.none_known else "owed"
        known = next((x.entries for x in self.last if x.digest == body.flight), ())
        self._change(body.flight, said=said, entries=tuple(dict.fromkeys((*known, *body.entries))))

    def _change(self, digest: str, **changes: str | tuple[str, ...]) -> None:
        self.last = [
            flight._replace(**changes) if flight.digest == digest else flight  # type: ignore[arg-type]  # fields by name
            for flight in self.last
        ]

    def _late(self, number: str, symbol: str, at: Instant) -> None:
        """An entry of before the last off-block that this record learnt of only after it."""
        flight = self.last[-1] if self.last else None
        if flight is None or at >= flight.off:
            return
        text = f"{number} {symbol} of before off-block was not seen by the pilot"
        known = next((i for i in self.irregular if i.ref == flight.ref), None)
        if known is None:
            self.irregular.append(
                Irregularity(
                    mission=flight.mission, pilot=flight.pilot, off=flight.off, ref=flight.ref,
                    texts=(text,), entries=(number,),
                )
            )  # fmt: skip
        elif text not in known.texts:
            more = known._replace(texts=(*known.texts, text), entries=(*known.entries, number))
            self.irregular[self.irregular.index(known)] = more

    # -- reports of one thing --------------------------------------------------------------------

    def raised(self, body: DefectRaised, at: Instant) -> None:
        """Take an entry: it undoes an acceptance, and may report what was reported before."""
        self._undo(f"{body.number} {body.symbol} was raised", at)
        self._late(body.number, body.symbol, at)
        if not (body.takes or body.weakens or body.unit) or body.untested:
            return
        report = Report(
            number=body.number, at=at, flight=self.count, by=body.by.doer, unit=body.unit,
            functions=(*body.takes, *body.weakens), symptom=body.symptom, text=body.text,
        )  # fmt: skip
        self.reports[body.number] = report
        oldest = self.count - FLIGHTS
        since = later(max(r.at for r in self.reports.values()), hours=-24 * (DAYS + 1))
        self.reports = {n: r for n, r in self.reports.items() if r.flight > oldest or r.at >= since}

    def acted(self, body: object, was: OpenEntry, now: OpenEntry, at: Instant) -> None:
        """Take what became of an entry: closed, graver, less grave, put off."""
        if isinstance(body, CHANGING) and not now.closed:
            self._undo(f"{now.number} was changed", at)
        if not now.closed or was.closed:
            return
        if now.closed == "entered in error" or now.closed.startswith("same as"):
            self.reports.pop(now.number, None)
            return
        cure = now.work.text if now.work else ""
        known = self.reports.get(now.number)
        if known is not None and isinstance(body, DefectCleared):
            self.reports[now.number] = known._replace(cleared=self.count, cure=cure)
        if any(now.number in flight.entries for flight in self.last):
            found = f"{now.closed}: {cure or getattr(body, 'words', '')}".rstrip(": ")
            self.outcomes[now.number] = Outcome(
                number=now.number, pilot=now.found_by, text=now.text, found=found, at=at,
                by=now.work.by if now.work else "",
            )  # fmt: skip

    def told(self, body: f.PilotTold) -> None:
        """Take that a pilot was told."""
        self.outcomes.pop(body.number, None)
