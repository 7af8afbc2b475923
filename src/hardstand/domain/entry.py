"""The entry: one immutable line of the record. Light to import.

`body` is canonical JSON, hashed as stored; docs/reference/record-format.md says how.
"""

from __future__ import annotations

from typing import NamedTuple, TypeAlias

from hardstand.domain.ids import entry_ref
from hardstand.domain.quantity import Instant

Line: TypeAlias = tuple[
    str, int, int, Instant, str, str | None, str | None, str, int, bytes, bytes, bytes, bytes | None
]
"""An entry as a plain tuple of its fields in order, as a store reads it."""


class Entry(NamedTuple):
    """One line: who wrote what, where, when, after which line; identity is (device, seq).

    `tick` is one more than the highest known when it was written, so that cause precedes effect
    whatever the clocks say. `prev` and `digest` are SHA-256, 32 bytes; the first line's `prev` is
    32 zero bytes. `signature` is a person's, where the line attests something.
    """

    device: str
    seq: int
    tick: int
    at: Instant
    author: str
    airframe: str | None
    walk: str | None
    kind: str
    version: int
    body: bytes
    prev: bytes
    digest: bytes
    signature: bytes | None = None

    @property
    def ref(self) -> str:
        """How this line is named on screens: `C-12`."""
        return entry_ref(self.device, self.seq)


ATTESTING = frozenset({
    "walk.closed", "defect.lowered", "defect.limited", "defect.deferred", "defect.prolonged",
    "defect.action", "defect.cleared", "defect.rejected", "defect.settled", "defect.same_as",
    "defect.ruled", "defect.voided", "flight.accepted", "fit.adopted", "checklist.adopted",
    "checklist.withdrawn", "paper.seconded", "fleet.loaded", "settings.adopted",
    "person.enrolled", "person.role", "person.ended", "person.keyed", "person.witnessed",
    "person.disowned", "clock.observed",
})  # fmt: skip
"""Kinds by which a person attests something; the one table. See attesting.attests for when."""

APART = frozenset({
    "walk.practised", "person.guided", "checklist.proposed", "checklist.answered",
})  # fmt: skip
"""Kinds that belong to no airframe and change no facts at all."""

OWN_WORK = ("person.guided", "walk.practised", "walk.resumed", "walk.started")
"""Kinds that are looked for by who wrote them, who is always whose hands they name."""

FOUND = ("defect.noted", "defect.raised", "defect.voided")
"""Kinds that say what was found, in which words, and whether it was an error."""

NOT_BEARING = frozenset({"step.answered", "step.undone", "log.read", "attempt.refused"})
"""Kinds of an airframe that never change its status by themselves."""


def bears_on_status(kind: str, airframe: str | None) -> bool:
    """Whether an entry of that kind makes its airframe's facts be folded anew.

    A kind this version does not know bears, so that the airframe reads "cannot say".
    """
    return airframe is not None and kind not in NOT_BEARING
