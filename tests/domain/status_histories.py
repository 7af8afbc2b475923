"""Histories of the log that laws of status are tried on: one week, three devices, ten people."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from random import Random

from hypothesis import strategies as st

from hardstand.domain import bodies as b
from hardstand.domain.bodies import By
from hardstand.domain.checklist import Symbol
from hardstand.domain.clearing import Looked
from hardstand.domain.entry import Entry
from hardstand.domain.quantity import Instant, later
from hardstand.domain.settings import Settings
from line_office import Office, at, ground

START = at("Mon 04:00")


@dataclass(frozen=True, slots=True)
class Move:
    """One thing somebody does on a device at an hour of the week, to one of the entries."""

    what: str
    who: str
    device: str
    number: int
    hours: int


WHO = ("", "", "", "", "", "BT", "YB", "DQ", "MS", "LH", "IO", "NH", "RA")
"""Empty: whoever is entitled to it, so that histories do not consist of refusals."""

ENTITLED = {
    "limit": "LH", "extend": "LH", "settle": "LH", "defer": "MS", "defer B": "OH", "lower": "MS",
    "join": "MS", "act": "BT", "clear": "DQ", "reject": "DQ", "prove": "YB", "void": "RA",
}  # fmt: skip
WHAT = (
    "raise", "dash", "raise X", "worse", "lower", "act", "act", "act", "clear", "clear", "clear",
    "reject", "defer", "defer", "defer B", "defer B", "extend", "extend", "extend", "limit",
    "limit", "limit", "void", "void", "join", "settle", "settle", "prove", "exchange", "exchange",
    "mend", "mend", "mend", "fork", "put off", "put off",
)  # fmt: skip

moves = st.builds(
    Move, what=st.sampled_from(WHAT), who=st.sampled_from(WHO), device=st.sampled_from("SAC"),
    number=st.sampled_from([0, 0, 0, 1, 1, 2, 3]), hours=st.integers(0, 9),
)  # fmt: skip


def played(script: list[Move], settings: Settings | None = None) -> Office:
    """The office after these moves; what is refused is left out.

    Three entries are known to all devices before.
    """
    office = Office(ground(settings))
    for symbol in ("/", "X", "-"):
        office.raises(str(START), "RA", "X" if symbol == "X" else "-" if symbol == "-" else "/",
                      untested=("lf.rx",) if symbol == "-" else ())  # fmt: skip
    office.exchange("S", "A", "C")
    now = START
    for move in script:
        now = later(now, hours=move.hours)
        who = move.who or ENTITLED.get(move.what, "IO")
        move = replace(move, who=who)  # noqa: PLW2901  the move as it is made
        _DO[move.what](office, move, str(now), _name(office, move))
    return office


def _name(office: Office, move: Move) -> str:
    open_ = [e.number for e in office.facts(move.device).open] or ["107-S01"]
    return open_[move.number % len(open_)]


def _raise(symbol: Symbol) -> Callable[[Office, Move, str, str], object]:
    def do(office: Office, m: Move, when: str, _: str) -> object:
        names = ("lf.rx",) if symbol == "-" else ()
        return office.raises(when, m.who, symbol, "hum", m.device, untested=names)

    return do


def _join(office: Office, m: Move, when: str, number: str) -> object:
    others = [e.number for e in office.facts(m.device).open if e.number != number]
    return office.joins(when, m.who, number, others[0], m.device) if others else None


def _mend(office: Office, m: Move, when: str, number: str) -> None:
    """Work by one person, cleared by another."""
    office.acts(when, "NH" if m.hours % 2 else "BT", "done", m.device, number=number)
    how = Looked(text="seen", placard_off=True)
    office.clears(when, "YB" if m.hours % 3 else "DQ", m.device, number, how)


def _fork(office: Office, m: Move, when: str, number: str) -> None:
    """Work that one tablet clears while another makes the entry worse, or puts it off."""
    office.exchange("S", "A", "C")
    office.acts(when, "BT", number=number)
    office.exchange("S", "A", "C")
    office.clears(when, "DQ", "A", number, Looked(text="seen", placard_off=True))
    if m.hours % 2:
        office.worse(when, "YB", "X", "C", number)
    else:
        office.acts(when, "YB", "more", "C", number=number)
    office.exchange("S", "A", "C")


def _put_off(office: Office, m: Move, when: str, number: str) -> None:
    """Put off by two leads who had not heard of each other; one of the two is extended."""
    office.exchange("A", "C")
    office.defers(when, "MS", "23-H-04", "A", number=number)
    office.defers(when, "OH", "23-H-05", "C", ("a", "b"), number)
    if m.hours % 2:
        office.exchange("A", "C")
    office.extends(when, "LH", 1 + m.hours % 3, number, "A")


_DO: Mapping[str, Callable[[Office, Move, str, str], object]] = {
    "raise": _raise("/"),
    "raise X": _raise("X"),
    "dash": _raise("-"),
    "worse": lambda o, m, w, n: o.worse(w, m.who, "X", m.device, n),
    "lower": lambda o, m, w, n: o.worse(w, m.who, "/", m.device, n),
    "act": lambda o, m, w, n: o.acts(w, m.who, "done", m.device,
                                     ("BT",) if m.who == "IO" else (), n),
    "clear": lambda o, m, w, n: o.clears(w, m.who, m.device, n,
                                         Looked(text="seen", placard_off=True)),
    "reject": lambda o, m, w, n: o.rejects(w, m.who, m.device, n),
    "defer": lambda o, m, w, n: o.defers(w, m.who, "23-H-04", m.device, number=n),
    "defer B": lambda o, m, w, n: o.defers(w, m.who, "23-H-05", m.device, ("a", "b"), n),
    "extend": lambda o, m, w, n: o.extends(w, m.who, 2, n, m.device),
    "limit": lambda o, m, w, n: o.limits(w, m.who, str(later(Instant(w), hours=60)),
                                         device=m.device, number=n),
    "void": lambda o, m, w, n: o.voids(w, m.who, m.device, n),
    "join": _join,
    "settle": lambda o, m, w, n: o.settles(w, m.who, "", m.device, n),
    "prove": lambda o, m, w, n: o.does(
        w, m.who,
        lambda f, c: (b.DefectProved(number=n, functions=("lf.rx",), words="heard",
                                     by=By(doer=m.who), seen=e.seen),)
        if (e := f.entry(n)) else (), m.device, n,
    ),
    "mend": _mend,
    "fork": _fork,
    "put off": _put_off,
    "exchange": lambda o, m, w, n: o.exchange(m.device, "SAC"[m.number % 3]),
}  # fmt: skip

scripts = st.lists(moves, min_size=1, max_size=18)
hours = st.integers(0, 24 * 20)


@dataclass(frozen=True, slots=True)
class Case:
    """A history and what a law needs beside it."""

    office: Office
    lines: tuple[Entry, ...]
    hour: int
    more: int
    pick: int


@st.composite
def cases(draw: st.DrawFn) -> Case:
    """Histories with two instants and a choice."""
    office = played(draw(scripts))
    office.exchange("S", "A", "C")
    lines = tuple(office.lines.get("S", ()))
    return Case(office, lines, draw(hours), draw(hours), draw(st.integers(0, 9)))


def pool(count: int, seed: int = 107) -> tuple[Case, ...]:
    """So many histories, always the same ones, for laws that are tried many times over."""
    dice = Random(seed)  # noqa: S311  for histories, not for keys
    return tuple(_drawn(dice) for _ in range(count))


def _drawn(dice: Random) -> Case:
    script = [
        Move(dice.choice(WHAT), dice.choice(WHO), dice.choice("SSAC"), dice.choice((0, 0, 0, 1, 2)),
             dice.randrange(7))
        for _ in range(dice.randrange(6, 30))
    ]  # fmt: skip
    office = played(script)
    office.exchange("S", "A", "C")
    numbers = (dice.randrange(480), dice.randrange(480), dice.randrange(10))
    return Case(office, tuple(office.lines["S"]), *numbers)
