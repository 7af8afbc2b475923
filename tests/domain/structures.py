"""The invented model of table required_capability, and random structures for the laws."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from hypothesis import strategies as st

from hardstand.domain.capability import InTheWay, Wanted
from hardstand.domain.mission_words import AtLeast, Needs


def every(*parts: Needs) -> Needs:
    """All of the parts."""
    return AtLeast(len(parts), parts)


def either(*parts: Needs) -> Needs:
    """One of the parts."""
    return AtLeast(1, parts)


_VHF = tuple(f"VHF {i}" for i in (1, 2, 3, 4))

FUNCTIONS: Mapping[str, Needs] = {
    "power": either("ground feed", "battery"),
    "interphone": every("power", "audio box", "headset lead"),
    "HF receive": every("power", "audio box", "HF receiver", "HF aerial"),
    "HF transmit": every("power", "HF transmitter", "HF aerial", "key line"),
    **{f"VHF {i}": every("VHF set", f"crystal {i}") for i in (1, 2, 3, 4)},
    "VHF working": every("power", "audio box", AtLeast(2, _VHF)),
    "two-way voice": either("VHF working", every("HF receive", "HF transmit")),
    "LF nav": every(
        "power", "audio box", either("LF receiver", "spare LF receiver"), "loop aerial"
    ),
}


def _wanted(**levels: int) -> Wanted:
    needs = tuple(
        (name.replace("_", " ").replace("two way", "two-way"), n) for name, n in levels.items()
    )
    return Wanted(needs=needs, limited_by=tuple(name for name, _ in needs))


MISSIONS = {
    "local day": _wanted(two_way_voice=1),
    "cross-country": _wanted(two_way_voice=2, LF_nav=1, interphone=1),
    "night": _wanted(two_way_voice=2, LF_nav=2, interphone=2),
    "instrument": _wanted(VHF_working=2, LF_nav=2, HF_receive=1, interphone=2),
}


def defects(cell: str) -> tuple[InTheWay, ...]:
    """The defects of a cell such as `D1 loop aerial=1|D2 HF aerial=0`."""
    found = []
    for words in filter(None, cell.split("|")):
        name, _, rest = words.partition(" ")
        target, _, level = rest.partition("=")
        found.append(InTheWay(name=name, caps={target: int(level)}))
    return tuple(found)


def sets(cell: str) -> set[frozenset[str]]:
    """The sets of a cell such as `D1+D2|D3`."""
    return {frozenset(part.split("+")) for part in filter(None, cell.split("|"))}


@dataclass(frozen=True, kw_only=True)
class Case:
    """A random structure with a mission and things in its way."""

    structure: Mapping[str, Needs]
    wanted: Wanted
    things: tuple[InTheWay, ...]


UNITS = tuple("abcde")
_TREES: st.SearchStrategy[Needs] = st.recursive(
    st.sampled_from(UNITS),
    lambda inner: st.lists(inner, min_size=1, max_size=3).flatmap(
        lambda parts: st.integers(0, len(parts) + 1).map(lambda k: AtLeast(k, tuple(parts)))
    ),
    max_leaves=6,
)


@st.composite
def cases(draw: st.DrawFn, most: int = 5) -> Case:
    """Structures of two functions and a mission over both, with up to `most` things."""
    structure = {
        "p": draw(_TREES),
        "q": draw(_TREES),
        "m": AtLeast(draw(st.integers(1, 2)), ("p", "q")),
    }
    names = st.sampled_from((*UNITS, "p", "q"))
    wanted = Wanted(needs=(("m", draw(st.integers(1, 2))),), limited_by=("p", "q"))
    caps = st.dictionaries(names, st.integers(0, 1), min_size=1, max_size=2)
    things = draw(st.lists(caps, max_size=most))
    return Case(
        structure=structure,
        wanted=wanted,
        things=tuple(InTheWay(name=f"D{i}", caps=c) for i, c in enumerate(things, 1)),
    )
