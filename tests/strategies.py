"""What hypothesis draws from: bodies of every kind, plain trees, histories of three devices."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

from hypothesis import strategies as st

from builders import IO, TAIL, entry
from hardstand.domain import bodies as b
from hardstand.domain import clearing, defects
from hardstand.domain.airframe import Ground, fold
from hardstand.domain.authority import NOBODY_ENROLLED
from hardstand.domain.bodies import By
from hardstand.domain.chain import ZERO
from hardstand.domain.checklist import Symbol
from hardstand.domain.dated import DatedFit
from hardstand.domain.defects import Refused, Report
from hardstand.domain.entry import Entry
from hardstand.domain.facts import AirframeFacts
from hardstand.domain.quantity import Instant, later

MIDNIGHT = Instant("2027-03-08T00:00:00Z")
GROUND = Ground(
    tail=TAIL, type="low", fits=(DatedFit(since="2026-01-01", fit="T"),), short="161",
    serials={"TR": "T-5"}, entries_before={"B": 6},
)  # fmt: skip

texts = st.text(max_size=20)
"""Any language, any control character, no half of a surrogate pair."""

trees = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53) + 1, 2**53 - 1) | texts,
    lambda part: (
        st.lists(part, max_size=3)
        | st.dictionaries(st.text(st.characters(max_codepoint=127), max_size=5), part, max_size=3)
    ),
    max_leaves=10,
)
"""Plain trees that have a canonical form."""


st.register_type_strategy(int, st.integers(-(2**53) + 1, 2**53 - 1))
"""Whole numbers are those that every reader of JSON agrees on."""


def bodies(cls: type[Any]) -> st.SearchStrategy[Any]:
    """Bodies of one class, every field drawn by its type."""
    if cls is b.Adopted:
        values = st.dictionaries(st.text("abc", max_size=3), trees, max_size=3)
        return st.builds(
            b.Adopted, id=texts, revision=texts, fit=texts, digest=texts, text=texts, value=values
        )
    return st.from_type(cls)


# -- histories -------------------------------------------------------------------------------------


@dataclass(slots=True)
class Tablet:
    """A device with what it knows: its own lines and those it was given."""

    device: str
    known: list[Entry] = field(default_factory=list)

    def facts(self) -> AirframeFacts:
        """The airframe as this device sees it."""
        return fold(GROUND, self.known)

    def write(self, body: b.Body, *, minute: int, walk: str | None = None) -> Entry:
        """Add a line to the device's chain, after everything it knows."""
        own = [e for e in self.known if e.device == self.device]
        last = max(own, key=lambda e: e.seq, default=None)
        tick = max((e.tick for e in self.known), default=0) + 1
        made = entry(
            body, device=self.device, seq=last.seq + 1 if last else 1, tick=tick, walk=walk,
            at=later(MIDNIGHT, seconds=60 * minute), prev=last.digest if last else ZERO,
            author=getattr(body, "by", IO).doer,
        )  # fmt: skip
        self.known.append(made)
        return made

    def learn(self, other: Tablet) -> None:
        """Take over every line the other device knows."""
        mine = {(e.device, e.seq) for e in self.known}
        self.known += [e for e in other.known if (e.device, e.seq) not in mine]


PEOPLE = ("IO", "BT", "NH", "DQ")
SYMBOLS: tuple[Symbol, ...] = ("/", "-", "X")


@dataclass(frozen=True, slots=True)
class Deed:
    """One thing somebody does somewhere: device, person, what, to which of the open entries."""

    device: str
    person: str
    what: str
    item: int
    grave: int


deeds = st.builds(
    Deed,
    device=st.sampled_from("ABC"),
    person=st.sampled_from(PEOPLE),
    what=st.sampled_from(
        ("raise", "dash", "symbol", "action", "clear", "reject", "prove", "join", "void", "open",
         "shut", "sync", "sync")
    ),
    item=st.integers(0, 3),
    grave=st.integers(0, 2),
)  # fmt: skip


def _line(facts: AirframeFacts, by: By, to: str) -> tuple[b.Body, ...]:
    line = facts.line("panel")
    now = line.value if line else "SHUT"
    return (
        b.LineMoved(item="panel", title="panel 7", item_kind="access", home="SHUT", from_=now,
                    to=to, by=by, seen=line.heads if line else ()),
    )  # fmt: skip


def decided(facts: AirframeFacts, deed: Deed) -> Sequence[b.Body] | Refused:
    """What a deed writes, by the same decisions as the program makes."""
    by, symbol = By(doer=deed.person), SYMBOLS[deed.grave]
    numbers = [e.number for e in facts.open] or ["none"]
    number, other = numbers[deed.item % len(numbers)], numbers[deed.grave % len(numbers)]
    report = Report(symbol=symbol, text=f"fault {deed.item}", takes=("rx",))
    functions = ("rx", "tx", "TR")[: deed.grave + 1]
    acts: dict[str, Callable[[], Sequence[b.Body] | Refused]] = {
        "raise": lambda: (defects.raised(facts, report, device=deed.device, by=by),),
        "dash": lambda: defects.untested(facts, functions, report, device=deed.device, by=by),
        "symbol": lambda: defects.set_symbol(facts, number, symbol, "grew", by),
        "action": lambda: defects.record_action(facts, number, "strap remade", by),
        "clear": lambda: clearing.clear(facts, number, "seen", by),
        "reject": lambda: defects.reject(facts, number, "still loose", by),
        "prove": lambda: defects.prove(facts, number, (), "called, heard", by),
        "join": lambda: defects.same_as(facts, number, other, by),
        "void": lambda: defects.void(facts, number, "wrong aircraft", by, NOBODY_ENROLLED),
        "open": lambda: _line(facts, by, "OPEN"),
        "shut": lambda: _line(facts, by, "SHUT"),
    }
    return acts[deed.what]()


def played(script: Sequence[Deed]) -> dict[str, Tablet]:
    """The three devices after the deeds; `sync` gives a device what the next one knows."""
    tablets = {name: Tablet(name) for name in "ABC"}
    for minute, deed in enumerate(script):
        tablet = tablets[deed.device]
        if deed.what == "sync":
            tablet.learn(tablets["ABC"[deed.grave]])
            continue
        found = decided(tablet.facts(), deed)
        for body in () if isinstance(found, Refused) else found:
            tablet.write(body, minute=minute)
    return tablets


def union(tablets: dict[str, Tablet]) -> list[Entry]:
    """Every line that any of the devices holds, once."""
    every = {(e.device, e.seq): e for t in tablets.values() for e in t.known}
    return list(every.values())


histories = st.lists(deeds, max_size=25).map(lambda script: union(played(script)))
"""Lines of one airframe, written on three devices that see each other's only now and then."""
