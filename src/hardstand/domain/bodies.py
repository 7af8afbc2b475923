"""What an entry says: the closed union of bodies, past-tense facts.

Each body has a fixed `kind` and `version` in KINDS; a stored body is never rewritten. A newer
version reads the older one by the defaults of its fields, or gets its own class and an upcast.
`seen` lists the digests of the item's last lines that the author had in front of them, in hex.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal, TypeAlias

from hardstand.domain.bodies_flight import (
    FlightAccepted,
    FlightBegun,
    FlightEnded,
    FlightRefused,
    FlightReported,
    PilotTold,
)
from hardstand.domain.bodies_log import (
    ActionRecorded,
    AttemptRefused,
    Condition,
    DefectCleared,
    DefectDeferred,
    DefectExtended,
    DefectNoted,
    DefectProlonged,
    DefectProved,
    DefectRaised,
    DefectRejected,
    DefectRetested,
    DefectRuled,
    DefectSameAs,
    DefectSettled,
    DefectVoided,
    SymbolLimited,
    SymbolLowered,
    SymbolRaised,
)
from hardstand.domain.bodies_papers import NotTouched, Seconded, Withdrawn
from hardstand.domain.bodies_people import (
    ClockJumped,
    ClockObserved,
    DaybookMarked,
    Granted,
    HeadSeen,
    NotMine,
    PersonEnded,
    PersonEnrolled,
    PersonKeyed,
    PersonRole,
    PublicKey,
    Witnessed,
)
from hardstand.domain.bodies_shift import (
    EntryTaken,
    HandoverGiven,
    HandoverTaken,
)
from hardstand.domain.bodies_units import (
    UnitBenched,
    UnitCarded,
    UnitFitted,
    UnitLost,
    UnitRead,
    UnitReceived,
    UnitRemoved,
    UnitTagged,
)
from hardstand.domain.bodies_walk import (
    Guided,
    Practised,
    ProposalAnswered,
    Proposed,
    StepHeld,
)
from hardstand.domain.checklist import ItemKind
from hardstand.domain.hands import By, Late

__all__ = [
    "ActionRecorded",
    "AttemptRefused",
    "By",
    "ClockJumped",
    "ClockObserved",
    "Condition",
    "DaybookMarked",
    "DefectCleared",
    "DefectDeferred",
    "DefectExtended",
    "DefectNoted",
    "DefectProlonged",
    "DefectProved",
    "DefectRaised",
    "DefectRejected",
    "DefectRetested",
    "DefectRuled",
    "DefectSameAs",
    "DefectSettled",
    "DefectVoided",
    "EntryTaken",
    "FlightAccepted",
    "FlightBegun",
    "FlightEnded",
    "FlightRefused",
    "FlightReported",
    "Granted",
    "Guided",
    "HandoverGiven",
    "HandoverTaken",
    "HeadSeen",
    "Late",
    "NotMine",
    "NotTouched",
    "PersonEnded",
    "PersonEnrolled",
    "PersonKeyed",
    "PersonRole",
    "PilotTold",
    "Practised",
    "ProposalAnswered",
    "Proposed",
    "PublicKey",
    "Seconded",
    "StepHeld",
    "SymbolLimited",
    "SymbolLowered",
    "SymbolRaised",
    "UnitBenched",
    "UnitCarded",
    "UnitFitted",
    "UnitLost",
    "UnitRead",
    "UnitReceived",
    "UnitRemoved",
    "UnitTagged",
    "Withdrawn",
    "Witnessed",
]
"""What the modules beside this one define and this one hands on; its own names need no list."""

Answer = Literal["OK", "FAULT", "SKIPPED", "NOT FITTED", "UNSURE"]
Outcome = Literal["finished", "taken_away", "stopped_by_x", "left_unfinished"]


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordMade:
    """A record begins; `demo` records take demo clocks, demo keys and example limits."""

    demo: bool
    program: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Adopted:
    """A fit, checklist, fleet or settings file, whole: its text and the value read from it.

    `digest` is the SHA-256 of the canonical JSON of `value`, hex.
    """

    id: str
    revision: str
    fit: str
    digest: str
    text: str
    value: Mapping[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class WalkStarted:
    """A walk begins at an aircraft whose tail was typed; the list is pinned by digest.

    `only` are the steps of a walk of a part of the list; empty: all of it.
    """

    checklist: str
    revision: str
    digest: str
    purpose: str
    fit: str
    planned: str
    typed: str
    only: tuple[str, ...] = ()
    by: By


@dataclass(frozen=True, slots=True, kw_only=True)
class WalkRefused:
    """No walk began: the tail typed is not the tail planned."""

    planned: str
    typed: str
    by: By


@dataclass(frozen=True, slots=True, kw_only=True)
class LogRead:
    """The open list as shown before the walk, kept by digest; `taken` had a key of their own."""

    listed: tuple[str, ...]
    digest: str
    taken: tuple[str, ...]
    by: By


@dataclass(frozen=True, slots=True, kw_only=True)
class StepAnswered:
    """One answer as given: the key, the position or number seen, and words.

    `earlier` keeps numbers typed before and looked at again; `evidence` is a gate's or a call's.
    `typed` is the text as typed where it is more than `value`. `judged` names the judgement, then
    each of its inputs as KEY=VALUE, so that `verdict` can be reckoned again; `limit` and `basis`
    are in words. `proved` is what of the step was proved, where the answer alone does not say it.
    """

    step: str
    answer: Answer
    state: str = ""
    value: str = ""
    unit: str = ""
    earlier: tuple[str, ...] = ()
    reason: str = ""
    words: str = ""
    evidence: str = ""
    typed: str = ""
    meter: str = ""
    limit: str = ""
    verdict: str = ""
    basis: str = ""
    judged: tuple[str, ...] = ()
    proved: tuple[str, ...] | None = None
    by: By


@dataclass(frozen=True, slots=True, kw_only=True)
class StepUndone:
    """The last answer of a step was not meant; it stays readable and no longer counts."""

    step: str
    of: str
    by: By


@dataclass(frozen=True, slots=True, kw_only=True)
class WalkBroken:
    """The walk was left for a while at a step that is to be done from its first word.

    `half`: something of the step had been done or given, which does not count.
    """

    step: str
    half: bool = False
    by: By


@dataclass(frozen=True, slots=True, kw_only=True)
class WalkResumed:
    """The walk goes on; `looked_at` are the last answers shown and looked at again."""

    step: str
    looked_at: tuple[str, ...]
    by: By


@dataclass(frozen=True, slots=True, kw_only=True)
class WalkClosed:
    """The walk is over: finished, or ended with what was left.

    `proved` are functions all of whose proving steps were OK; `open_lines` are items still away.
    """

    outcome: Outcome
    purpose: str
    checklist: str
    revision: str
    proved: tuple[str, ...]
    gaps: tuple[str, ...]
    open_lines: tuple[str, ...]
    words: str = ""
    by: By


@dataclass(frozen=True, slots=True, kw_only=True)
class LineMoved:
    """An item of the aircraft was moved: away from home opens its line, home closes it."""

    item: str
    title: str
    item_kind: ItemKind
    home: str
    from_: str
    to: str
    step: str = ""
    words: str = ""
    by: By
    seen: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Unknown:
    """A kind or version this hardstand does not know: kept, chained, passed on."""

    kind: str
    version: int


Body: TypeAlias = (
    RecordMade | Adopted | WalkStarted | WalkRefused | LogRead | StepAnswered | StepUndone
    | WalkBroken | WalkResumed | WalkClosed | LineMoved | DefectRaised | DefectNoted
    | DefectExtended | SymbolRaised | ActionRecorded | DefectProved | DefectCleared
    | DefectRejected | DefectSameAs | DefectVoided | SymbolLowered | SymbolLimited
    | DefectDeferred | DefectProlonged | DefectRuled | DefectRetested | DefectSettled
    | AttemptRefused | PersonEnrolled | PersonRole | PersonEnded | PersonKeyed | Witnessed
    | NotMine | ClockJumped | ClockObserved | DaybookMarked | FlightAccepted | FlightRefused
    | FlightBegun | FlightEnded | FlightReported | PilotTold
    | UnitFitted | UnitRemoved | UnitRead | UnitCarded
    | UnitReceived | UnitTagged | UnitBenched | UnitLost | HandoverGiven | HandoverTaken
    | EntryTaken | Seconded | Withdrawn | StepHeld | Practised
    | Guided | Proposed | ProposalAnswered
)  # fmt: skip

KINDS: Mapping[tuple[str, int], type[Any]] = {
    ("record.made", 1): RecordMade,
    ("fit.adopted", 1): Adopted,
    ("checklist.adopted", 1): Adopted,
    ("fleet.loaded", 1): Adopted,
    ("settings.adopted", 1): Adopted,
    ("checklist.withdrawn", 1): Withdrawn,
    ("paper.seconded", 1): Seconded,
    ("walk.started", 1): WalkStarted,
    ("walk.refused", 1): WalkRefused,
    ("log.read", 1): LogRead,
    ("step.answered", 1): StepAnswered,
    ("step.undone", 1): StepUndone,
    ("step.held", 1): StepHeld,
    ("walk.practised", 1): Practised,
    ("person.guided", 1): Guided,
    ("checklist.proposed", 1): Proposed,
    ("checklist.answered", 1): ProposalAnswered,
    ("walk.broken", 1): WalkBroken,
    ("walk.resumed", 1): WalkResumed,
    ("walk.closed", 1): WalkClosed,
    ("ledger.moved", 1): LineMoved,
    ("defect.raised", 1): DefectRaised,
    ("defect.noted", 1): DefectNoted,
    ("defect.extended", 1): DefectExtended,
    ("defect.symbol", 1): SymbolRaised,
    ("defect.action", 1): ActionRecorded,
    ("defect.proved", 1): DefectProved,
    ("defect.cleared", 1): DefectCleared,
    ("defect.rejected", 1): DefectRejected,
    ("defect.same_as", 1): DefectSameAs,
    ("defect.voided", 1): DefectVoided,
    ("defect.voided", 2): DefectVoided,  # with `asked`; one of form 1 asked nothing
    ("defect.lowered", 1): SymbolLowered,
    ("defect.limited", 1): SymbolLimited,
    ("defect.deferred", 1): DefectDeferred,
    ("defect.prolonged", 1): DefectProlonged,
    ("defect.ruled", 1): DefectRuled,
    ("defect.retested", 1): DefectRetested,
    ("defect.settled", 1): DefectSettled,
    ("attempt.refused", 1): AttemptRefused,
    ("person.enrolled", 1): PersonEnrolled,
    ("person.role", 1): PersonRole,
    ("person.ended", 1): PersonEnded,
    ("person.keyed", 1): PersonKeyed,
    ("person.witnessed", 1): Witnessed,
    ("person.disowned", 1): NotMine,
    ("clock.observed", 1): ClockObserved,
    ("clock.jumped", 1): ClockJumped,
    ("daybook.marked", 1): DaybookMarked,
    ("flight.accepted", 1): FlightAccepted,
    ("flight.refused", 1): FlightRefused,
    ("flight.begun", 1): FlightBegun,
    ("flight.ended", 1): FlightEnded,
    ("flight.reported", 1): FlightReported,
    ("flight.told", 1): PilotTold,
    ("unit.fitted", 1): UnitFitted,
    ("unit.removed", 1): UnitRemoved,
    ("unit.read", 1): UnitRead,
    ("unit.carded", 1): UnitCarded,
    ("unit.received", 1): UnitReceived,
    ("unit.tagged", 1): UnitTagged,
    ("unit.benched", 1): UnitBenched,
    ("unit.lost", 1): UnitLost,
    ("handover.given", 1): HandoverGiven,
    ("handover.taken", 1): HandoverTaken,
    ("defect.taken", 1): EntryTaken,
}
