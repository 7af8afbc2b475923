"""What is true of an airframe's boxes, as a fold keeps it: types only, light to import."""

from __future__ import annotations

from typing import Literal, NamedTuple

from hardstand.domain.facts import AirframeFacts, RecordFacts
from hardstand.domain.plain import from_plain
from hardstand.domain.quantity import Instant
from hardstand.domain.recurrence import Removal

State = Literal["serviceable store", "unserviceable store", "bench", "scrapped", "lost"]
"""Where a box in no aircraft is."""


class Slot(NamedTuple):
    """A position that has been moved at: what is in it now, and its last lines.

    `serial` is empty where the position is. Two heads: two people moved at it who had not seen
    each other, and what is in it is in doubt.
    """

    position: str
    part: str
    serial: str
    at: Instant
    ref: str
    by: str
    what: str
    heads: tuple[str, ...]


class Shelved(NamedTuple):
    """A box in no aircraft, by the last line about it: where it is, and since when."""

    part: str
    serial: str
    state: State
    at: Instant
    ref: str
    words: str = ""


class Boxes(NamedTuple):
    """What an airframe's own lines say of boxes.

    `slots` are the positions ever moved at; `removals` the boxes taken out of it in the last 12
    months, as far as the newest of them can see; `out` where each went.
    """

    slots: tuple[Slot, ...] = ()
    removals: tuple[Removal, ...] = ()
    out: tuple[Shelved, ...] = ()

    @property
    def holes(self) -> tuple[Slot, ...]:
        """Positions that are empty."""
        return tuple(slot for slot in self.slots if not slot.serial)

    @property
    def doubtful(self) -> tuple[Slot, ...]:
        """Positions moved at by people who had not seen each other."""
        return tuple(slot for slot in self.slots if len(slot.heads) > 1)

    def slot(self, position: str) -> Slot | None:
        """The position as moved at; None where nothing was ever moved."""
        return next((s for s in self.slots if s.position == position), None)


def boxes_of(facts: AirframeFacts) -> Boxes:
    """The boxes of an airframe, read from what its facts keep."""
    return from_plain(Boxes, facts.boxes) if facts.boxes else Boxes()


def shelf_of(record: RecordFacts) -> dict[str, Shelved]:
    """The boxes in no aircraft, by part and serial, read from what the record's facts keep."""
    return {name: from_plain(Shelved, tree) for name, tree in (record.shelf or {}).items()}
