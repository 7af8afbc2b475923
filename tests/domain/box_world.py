"""Two aircraft and a store for tests of boxes, written as the flows do: decide, then fold."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field

from hardstand.domain import bodies as b
from hardstand.domain.bodies import By
from hardstand.domain.box_facts import Shelved
from hardstand.domain.boxes import BoxWork, Moving, Whereabouts, shelved, whereabouts
from hardstand.domain.checklist import Fit, Function, Unit
from hardstand.domain.defects import Refused
from hardstand.domain.entry import Entry
from hardstand.domain.facts import AirframeFacts
from hardstand.domain.plain import to_plain
from hardstand.domain.quantity import Instant, later
from hardstand.domain.unit_acts import (
    Aircraft,
    Swap,
    Taking,
)

BY = By(doer="BT")
START = Instant("2027-03-08T08:00:00Z")
FIT = Fit(
    id="V",
    title="VHF set",
    units={
        "TR-V": Unit(title="set", part="CRW-8010"),
        "DYN-V": Unit(title="dynamotor", part="CRW-8020"),
        "ANT-V": Unit(title="mast"),
    },
    functions={
        "v.tx": Function(title="transmit", fed_by=("TR-V", "DYN-V", "ANT-V")),
        "ch1": Function(title="channel 1", fed_by=("TR-V",)),
    },
    items={},
    controls={},
)
SERIALS = {
    "QM-164": {"TR-V": "V-6111", "DYN-V": "W-3312"},
    "QM-170": {"TR-V": "V-6116", "DYN-V": "W-3317"},
}
SPARE = "W-3340"


@dataclass
class World:
    """Two aircraft and a store, written as the flows do: decide, then fold what comes out."""

    works: dict[str, BoxWork] = field(
        default_factory=lambda: {t: BoxWork(t, dict(s)) for t, s in SERIALS.items()}
    )
    shelf: dict[str, Shelved] = field(
        default_factory=lambda: {
            f"CRW-8020 {SPARE}": Shelved(
                part="CRW-8020", serial=SPARE, state="serviceable store", at=START, ref="S-1"
            )
        }
    )
    holes: dict[str, int] = field(default_factory=dict)
    written: list[tuple[str, object]] = field(default_factory=list)
    seq: int = 0

    def aircraft(self, tail: str) -> Aircraft:
        work = self.works[tail]
        facts = AirframeFacts(
            tail=tail, type="Pask 6", fits=(), short=tail[-3:], serials=dict(work.serials),
            boxes=to_plain(work.result()), raised={"S": self.holes.get(tail, 0)},
        )  # fmt: skip
        return Aircraft(facts=facts, fit=FIT, device="S")

    def boxes(self) -> tuple[Whereabouts, ...]:
        fitted = [
            (tail, position, FIT.units[position].part, serial)
            for tail, work in self.works.items()
            for position, serial in work.serials.items()
        ]
        out = [box for work in self.works.values() for box in work.result().out]
        return whereabouts(fitted, out, self.shelf.values())

    def box(self, serial: str) -> Whereabouts | None:
        return next((box for box in self.boxes() if box.serial == serial), None)

    def write(self, tail: str, bodies: tuple[object, ...]) -> None:
        for body in bodies:
            self.seq += 1
            at = later(START, seconds=60 * self.seq)
            entry = entry_at(self.seq, at)
            self.written.append((tail, body))
            if isinstance(body, Moving):
                self.works[tail].moved(entry, body, at)
            elif isinstance(body, b.DefectRaised):
                self.holes[tail] = self.holes.get(tail, 0) + 1
            else:
                self.shelf = dict(shelved(self.shelf, entry, body, at))


def entry_at(seq: int, at: Instant) -> Entry:
    def digest(n: int) -> bytes:
        return hashlib.sha256(str(n).encode()).digest()

    return Entry(
        device="S", seq=seq, tick=seq, at=at, author="BT", airframe=None, walk=None,
        kind="unit.fitted", version=1, body=b"", prev=digest(seq - 1), digest=digest(seq),
    )  # fmt: skip


def swap(serial: str, out: str = "", position: str = "DYN-V") -> Swap:
    return Swap(position=position, serial=serial, reason="noisy, hot smell", out=out)


def taking(serial: str, goes_to: str = "unserviceable store") -> Taking:
    return Taking(position="DYN-V", serial=serial, goes_to=goes_to, reason="noisy, hot smell")


def refused(found: object) -> Refused:
    assert isinstance(found, Refused)
    return found
