"""What a set can do with what stands against it: levels of functions, answers for missions.

Tuples with names, not dataclasses: every hot read makes these types, and ten cost what one does.

Monotone structures of three levels: a name is as good as what it is made of, and never better
than its cap. What is not known is tried both ways; where the two answers differ it is UNKNOWN.

Source: Birnbaum, Esary and Saunders 1961 (coherent structures), Barlow and Wu 1978 (several
levels), from memory; three values as in Kleene's strong logic, from memory.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Literal, NamedTuple

if TYPE_CHECKING:
    from hardstand.domain.mission_words import Needs

Word = Literal["CAN", "CAN WITH LIMITS", "CANNOT", "UNKNOWN", "BARRED"]
"""What is said of a mission; BARRED is said by the symbol, never by what the set can do."""

GONE, WEAK, GOOD = 0, 1, 2

Structure = Mapping[str, "Needs"]
"""What a name is made of; a name that stands alone is a unit, or a function fed by nothing."""


class Levels:
    """The level of every name of a structure, each worked out once."""

    def __init__(
        self, structure: Structure, caps: Mapping[str, int], lost: Iterable[str] = ()
    ) -> None:
        """Take what is made of what, the caps, and the names taken as GONE besides."""
        self._structure = structure
        self._caps = caps
        self._found = dict.fromkeys(lost, GONE)

    def of(self, name: str) -> int:
        """The level of a name: the worse of its cap and of what it is made of."""
        known = self._found.get(name)
        if known is None:
            made = self._structure.get(name)
            whole = GOOD if made is None else self.met(made)
            known = self._found[name] = min(whole, self._caps.get(name, GOOD))
        return known

    def met(self, needs: Needs) -> int:
        """The level of an expression: that of the k-th best of its parts."""
        if isinstance(needs, str):
            return self.of(needs)
        k, parts = needs
        if k > len(parts):
            return GONE
        best = sorted((self.met(part) for part in parts), reverse=True)
        return best[k - 1] if k > 0 else GOOD


class Wanted(NamedTuple):
    """What a mission wants: names with the least level each, and names that limit it when WEAK."""

    needs: tuple[tuple[str, int], ...]
    limited_by: tuple[str, ...] = ()


class Answer(NamedTuple):
    """What is said of a mission, and the names whose weakness limits it."""

    word: Word
    limits: tuple[str, ...] = ()


class InTheWay(NamedTuple):
    """One thing that stands against the set: its name, and the best each name it touches can be."""

    name: str
    caps: Mapping[str, int]


def caps_of(things: Iterable[InTheWay]) -> dict[str, int]:
    """The best each name can be with all of these in the way."""
    caps: dict[str, int] = {}
    for thing in things:
        for name, level in thing.caps.items():
            caps[name] = min(level, caps.get(name, level))
    return caps


def answer(
    structure: Structure, wanted: Wanted, caps: Mapping[str, int], unknown: Iterable[str] = ()
) -> Answer:
    """Whether what is wanted is there: CAN, CAN WITH LIMITS, CANNOT or UNKNOWN.

    Args:
        structure: what is made of what.
        wanted: the mission.
        caps: for a name something stands against, the best it can be.
        unknown: names nothing is known of; both GOOD and GONE are thought of.
    """
    best = Levels(structure, caps)
    if not has(best, wanted):
        return Answer(word="CANNOT")
    if not has(Levels(structure, caps, unknown), wanted):
        return Answer(word="UNKNOWN")
    limits = tuple(name for name in wanted.limited_by if best.of(name) == WEAK)
    return Answer(word="CAN WITH LIMITS" if limits else "CAN", limits=limits)


def has(levels: Levels, wanted: Wanted) -> bool:
    """Whether every name wanted is at its level at least."""
    return all(levels.of(name) >= least for name, least in wanted.needs)
