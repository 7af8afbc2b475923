"""What is done about entries of the defect log, as bodies: past-tense facts.

`seen` lists the digests of the item's last lines that the author had in front of them, in hex.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from hardstand.domain.checklist import Symbol
from hardstand.domain.hands import By

Outcome = Literal["rectified", "could_not_duplicate", "temporary"]


@dataclass(frozen=True, slots=True, kw_only=True)
class DefectRaised:
    """A new entry in the defect log.

    `untested` names what a dash waits for: functions, units, controls, or `step ID`.
    `found_at` is an earlier time of finding, stated; empty means when it was written. A successor
    of a temporary repair, and what stands in place of an error, keeps both days of that entry:
    `logged_at` is when that one was logged.
    """

    number: str
    symbol: Symbol
    text: str
    takes: tuple[str, ...] = ()
    weakens: tuple[str, ...] = ()
    untested: tuple[str, ...] = ()
    step: str = ""
    zone: str = ""
    place: str = ""
    unit: str = ""
    serial: str = ""
    symptom: str = ""
    noticed: str = ""
    conditions: str = ""
    value: str = ""
    found_at: str = ""
    stub: bool = False
    successor_of: str = ""
    logged_at: str = ""
    by: By


@dataclass(frozen=True, slots=True, kw_only=True)
class DefectNoted:
    """Words added to an entry; on a stub the finder's first words become its text."""

    number: str
    text: str
    symptom: str = ""
    by: By
    seen: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DefectExtended:
    """The same function went untested again: a further date on the same dash."""

    number: str
    text: str
    step: str = ""
    by: By
    seen: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SymbolRaised:
    """The entry was made more serious; anyone on the line may."""

    number: str
    symbol: Symbol
    reason: str
    by: By
    seen: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ActionRecorded:
    """What was done about an entry; it changes nothing until cleared.

    `units_out` and `units_in` read `POSITION SERIAL`, as read off the boxes. `taught_by` taught
    the doer this task and may not clear it.
    """

    number: str
    text: str
    outcome: Outcome = "rectified"
    units_out: tuple[str, ...] = ()
    units_in: tuple[str, ...] = ()
    reference: str = ""
    taught_by: tuple[str, ...] = ()
    by: By
    seen: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DefectProved:
    """Functions of a dash were tested good, by steps of a walk or outside one, in words."""

    number: str
    functions: tuple[str, ...]
    steps: tuple[str, ...] = ()
    words: str = ""
    by: By
    seen: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DefectCleared:
    """An inspector who did not do, teach or supervise the work cleared the entry.

    `look_after` counts the flights for which a fault that could not be duplicated is watched.
    `again_by_doer` is the reason of a re-inspection by the doer, which a chief has ordered; it is
    weaker than another pair of eyes.
    """

    number: str
    text: str
    outcome: Outcome = "rectified"
    look_after: int = 0
    again_by_doer: str = ""
    by: By
    seen: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DefectRejected:
    """The work was looked at and not accepted; the entry is open again."""

    number: str
    reason: str
    by: By
    seen: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DefectSameAs:
    """Two entries are one defect; `other` goes on with the earlier discovery of the two."""

    number: str
    other: str
    by: By
    seen: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DefectVoided:
    """Entered in error: struck through and readable, never deleted.

    `asked` is what the finder says, and signs, of what counts as X; `confirmed` is said by a second
    person, who signs. Without either only the finder's own entry that does not count as X is
    closed. `other` is the entry written in its place, on this or another airframe; on this one it
    keeps the days of the error.
    """

    number: str
    reason: str
    other: str = ""
    confirmed: bool = False
    asked: bool = False
    by: By
    seen: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SymbolLowered:
    """The entry was made less serious, by authority and with a reason."""

    number: str
    symbol: Symbol
    reason: str
    by: By
    seen: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SymbolLimited:
    """An X was circled: flying within written limits until `ends`, then it reads X again.

    `one_operation` ends it with the first flight as well.
    """

    number: str
    limits: str
    ends: str
    one_operation: bool = False
    reason: str
    by: By
    seen: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Condition:
    """A condition of a permitted-defects item, and how it was met, in words."""

    condition: str
    met: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DefectDeferred:
    """The entry was put off by an item of the permitted-defects list, on its conditions.

    The run-out is not kept here: it follows from the day the entry was logged, the category and
    the record's day basis. `days` is the interval of a category A item, else 0.
    """

    number: str
    item: str
    category: str
    days: int = 0
    what: str
    conditions: tuple[Condition, ...]
    reason: str
    by: By
    seen: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DefectProlonged:
    """A deferral was extended, once, by a higher authority; `days` are calendar days."""

    number: str
    days: int
    reason: str
    by: By
    seen: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DefectRuled:
    """A lead looked at the entry and said what is to become of it.

    With `again_by_doer` a chief orders that the doer inspects their own work.
    """

    number: str
    text: str
    again_by_doer: bool = False
    by: By
    seen: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DefectRetested:
    """A step that proves the repair was done again, and what it read against what it must read.

    `proved` are what the step proves, where its answer is OK.
    """

    number: str
    step: str
    title: str
    answer: str
    value: str = ""
    unit: str = ""
    low: str = ""
    high: str = ""
    revision: str = ""
    words: str = ""
    proved: tuple[str, ...] = ()
    by: By
    seen: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class DefectSettled:
    """A third person settled acts that had not seen each other.

    `stands` is the digest of the act that stands; empty: the more careful reading.
    """

    number: str
    stands: str = ""
    words: str
    by: By
    seen: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class AttemptRefused:
    """Somebody tried what the rules refuse; nothing came of it but this line."""

    deed: str
    number: str
    rule: str
    by: By
