"""Small values for tests: a tiny set, its list, a fleet of three, and records that hold them.

The set is invented: one receiver-transmitter, a battery switch, one panel, counted tools.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from pathlib import Path

from hardstand.domain import bodies as b
from hardstand.domain.bodies import By
from hardstand.domain.chain import ZERO, seal
from hardstand.domain.checklist import (
    COUNTED,
    Action,
    Bounds,
    Checklist,
    Fit,
    Function,
    Item,
    Manual,
    OnFault,
    Step,
    Unit,
    Zone,
)
from hardstand.domain.codec import encode, kind_of
from hardstand.domain.dated import DatedFit
from hardstand.domain.entry import Entry
from hardstand.domain.fleet import Airframe, AirframeType, Fleet
from hardstand.domain.quantity import Instant, later
from hardstand.flows.adopting import Paper, adopt, begin_record
from hardstand.flows.pen import Pen
from hardstand.ports import Journal
from hardstand.store.journal import SqlJournal, create

MORNING = Instant("2027-03-08T08:00:00Z")
"""When the records of these tests begin."""

IO = By(doer="IO")
TAIL = "QM-161"


@dataclass(slots=True)
class Watch:
    """A clock that moves on by `step` seconds each time it is read."""

    at: Instant = MORNING
    step: int = 1

    def now(self) -> Instant:
        """The present instant, which is then past."""
        read = self.at
        self.at = later(self.at, seconds=self.step)
        return read


# -- the tiny set ----------------------------------------------------------------------------------


def fit() -> Fit:
    """The fit T: two functions, one unit, a switch, a panel and a count to bring home."""
    return Fit(
        id="T",
        title="tiny set",
        units={"TR": Unit(title="transmitter-receiver", zone="bay")},
        functions={
            "rx": Function(title="receive", fed_by=("TR",)),
            "tx": Function(title="transmit", fed_by=("TR",)),
        },
        items={
            "battery": Item(title="BATTERY switch", kind="energy", home="OFF",
                            actions=(Action(from_="OFF", to="ON"), Action(from_="ON", to="OFF"))),
            "panel": Item(title="panel {bay.panel}", kind="access", home="SHUT",
                          actions=(Action(from_="SHUT", to="OPEN"),
                                   Action(from_="OPEN", to="SHUT"))),
            "tools": Item(title="tools", kind="count", home="0"),
        },
        controls={},
    )  # fmt: skip


def step(name: str, zone: str, kind: str = "look", *, do: str = "", **changes: object) -> Step:
    """A step that is complete; `changes` are fields by name."""
    whole = Step(
        id=name, zone=zone, place=f"at {name}", do=do or f"Do {name}.", kind="look",
        why=f"why of {name}", good=f"good {name}", bad=f"bad {name}", ref="chapter 1",
    )  # fmt: skip
    return replace(whole, kind=kind, **changes)  # type: ignore[arg-type]  # fields by name


ZONES = ("cockpit", "bay", "test", "close", "log")
TAKES = OnFault(takes=("rx", "tx"), symbol="X", symptoms=("loose", "burnt"), text="plug not home")


def steps() -> tuple[Step, ...]:
    """Every kind of step once, in an order that brings everything home."""
    return (
        step("tools", "cockpit", "count", sets={"tools": COUNTED}, unit="things"),
        step("safe", "cockpit", "state", states=("OFF", "ON"), expect="OFF",
             sets={"battery": "OFF"}, critical=True),
        step("gate", "cockpit", "gate", evidence="who is near", if_fault="end"),
        step("open", "bay", "set", sets={"panel": "OPEN"}, must_be={"battery": "OFF"}),
        step("plugs", "bay", must_be={"panel": "OPEN"}, proves=("TR",), on_fault=TAKES),
        step("shut", "bay", "state", states=("SHUT", "OPEN"), expect="SHUT",
             sets={"panel": "SHUT"}),
        step("power", "test", "state", states=("OFF", "ON"), expect="ON", after=("gate",),
             must_be={"panel": "SHUT"}, sets={"battery": "ON"}),
        step("volts", "test", "reading", unit="V", meter="panel meter",
             accept=Bounds(low=Decimal("22.5"), high=Decimal(29)),
             possible=Bounds(low=Decimal(0), high=Decimal(40)),
             on_fault=OnFault(weakens=("tx",), symbol="-", text="bus volts")),
        step("hear", "test", "listen", must_be={"battery": "ON"}, proves=("rx",),
             if_fault="call", on_fault=OnFault(takes=("rx",), symbol="X")),
        step("tune", "test", "listen", proves=("rx",)),
        step("call", "test", "transmit", evidence="who answered", after=("gate",),
             proves=("tx",), on_fault=OnFault(takes=("tx",))),
        step("wing", "test", applies_if="high_wing"),
        step("off", "close", "state", states=("OFF", "ON"), expect="OFF",
             sets={"battery": "OFF"}),
        step("count", "close", "count", sets={"tools": "0"}, unit="things"),
        step("sign", "log", "record"),
    )  # fmt: skip


def checklist(*, listed: Sequence[Step] | None = None, **changes: object) -> Checklist:
    """The list T-PRE, a preflight in five zones."""
    whole = Checklist(
        id="T-PRE",
        title="tiny preflight",
        fit="T",
        purpose="preflight",
        revision="1",
        manual=Manual(title="tiny manual", revision="4"),
        zones=tuple(Zone(id=name, title=f"zone {name}") for name in ZONES),
        steps=steps() if listed is None else tuple(listed),
    )
    return replace(whole, **changes)  # type: ignore[arg-type]  # fields by name


def fleet() -> Fleet:
    """QM-161 and its look-alike QM-116 with low wings, QM-164 with a high one and a paper book."""
    fits = (DatedFit(since="2026-01-01", fit="T"),)
    return Fleet(
        operator="Quennock Mail & Survey Flight",
        time_zone="-03:00",
        types={
            "low": AirframeType(places={"bay": {"panel": "7"}}),
            "high": AirframeType(places={"bay": {"panel": "9"}}, facts=("high_wing",)),
        },
        airframes={
            "QM-161": Airframe(type="low", fits=fits, serials={"TR": "T-5"}),
            "QM-116": Airframe(type="low", fits=fits),
            "QM-164": Airframe(type="high", fits=fits, entries_before={"A": 4}),
        },
    )


GOOD = {
    "tools": ("9",),
    "safe": ("1",),
    "gate": ("o", "BT at the wing tip"),
    "open": ("o",),
    "plugs": ("o",),
    "shut": ("1",),
    "power": ("2",),
    "volts": ("24.5",),
    "hear": ("o",),
    "tune": ("o",),
    "call": ("o", "Tarrick Tower"),
    "wing": ("o",),
    "off": ("1",),
    "count": ("9",),
    "sign": ("o",),
}
"""The lines that answer each step of T-PRE well."""


def lines(tail: str = TAIL, *, until: str = "", **other: Sequence[str]) -> list[str]:
    """What a person types to walk a clean aircraft: tail, manual, log, each step, FINISHED.

    Args:
        tail: as painted.
        until: the step to stop before; the whole walk if empty.
        other: lines for steps answered otherwise than well.
    """
    typed = [tail, "c", "c"]
    for one in steps():
        if one.id == until:
            return typed
        if one.id == "wing" and tail != "QM-164":
            continue
        answer, *rest = other.get(one.id, GOOD[one.id])
        typed += [answer, *(["c"] if one.critical else []), *rest]
    return [*typed, "c"]


# -- records ---------------------------------------------------------------------------------------


def papers(
    *, listed: Checklist | None = None, flown: Fleet | None = None, fitted: Fit | None = None
) -> tuple[Paper, ...]:
    """The tiny fleet, fit and list, ready to enter a record."""
    a_fleet, a_fit, a_list = flown or fleet(), fitted or fit(), listed or checklist()
    return (
        Paper(kind="fleet.loaded", id=a_fleet.operator, revision="", fit="", text="(text)",
              value=a_fleet),
        Paper(kind="fit.adopted", id=a_fit.id, revision="", fit=a_fit.id, text="(text)",
              value=a_fit),
        Paper(kind="checklist.adopted", id=a_list.id, revision=a_list.revision, fit=a_list.fit,
              text="(text)", value=a_list),
    )  # fmt: skip


def begun(journal: Journal, *, demo: bool = False, listed: Checklist | None = None) -> Pen:
    """A pen on an empty record, after it was begun and the tiny papers were adopted."""
    pen = Pen(journal=journal, clock=Watch(), author="IO")
    begin_record(pen, demo=demo, program="test")
    adopt(pen, papers(listed=listed))
    return pen


def on_disk(
    folder: Path, *, device: str = "A", demo: bool = False, listed: Checklist | None = None
) -> Pen:
    """A pen on a new SQLite record in a folder, with the tiny papers in it."""
    path = folder / "record.db"
    create(path, device)
    return begun(opened(path), demo=demo, listed=listed)


_OPENED: list[SqlJournal] = []


def opened(path: Path, device: str = "", *, read_only: bool = False) -> SqlJournal:
    """A record opened for the length of one test."""
    _OPENED.append(SqlJournal(path, device, read_only=read_only))
    return _OPENED[-1]


def close_all() -> None:
    """Give back every record a test had opened; conftest calls it after each test."""
    while _OPENED:
        _OPENED.pop().close()


# -- single entries --------------------------------------------------------------------------------


def entry(
    body: b.Body,
    *,
    device: str = "A",
    seq: int = 1,
    tick: int = 0,
    at: Instant = MORNING,
    tail: str | None = TAIL,
    walk: str | None = None,
    author: str = "IO",
    prev: bytes = ZERO,
) -> Entry:
    """A sealed entry that says `body`; its tick is its place in the chain unless given."""
    kind, version = kind_of(body)
    return seal(
        Entry(device, seq, tick or seq, at, author, tail, walk, kind, version, encode(body), prev,
              b"")
    )  # fmt: skip


def chain(bodies: Sequence[b.Body], *, device: str = "A", walk: str | None = None) -> list[Entry]:
    """Sealed entries of one device, one after another, a minute apart."""
    made = list[Entry]()
    for n, body in enumerate(bodies, 1):
        prev = made[-1].digest if made else ZERO
        at = later(MORNING, seconds=60 * n)
        made.append(entry(body, device=device, seq=n, at=at, walk=walk, prev=prev))
    return made
