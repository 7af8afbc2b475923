"""How many of the flights wanted can be flown by the airframes there are, and what is too few.

Says nothing of which tail flies which flight: hours, crews and fuel decide that, and they are not
in the record.

Source: the deficiency form of Hall's theorem, from memory; flights of one mission want the same.
"""

from __future__ import annotations

from collections.abc import Mapping
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from itertools import combinations

RULE = "Hardest mission first, each to the least capable airframe that will do."
"""The one rule printed on the board. Source: computations 4a, never worse in 6 000 mornings."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cover:
    """Flights that can be flown of those wanted; `short` are missions with too few airframes.

    `short` is empty when all can be flown; `short_wanted` flights of these are wanted, and only
    `short_able` airframes can fly any of them.
    """

    flyable: int
    wanted: int
    short: tuple[str, ...] = ()
    short_wanted: int = 0
    short_able: int = 0

    def sentence(self) -> str:
        """What may be said of it."""
        said = f"{self.flyable} of {self.wanted} flights can be flown"
        if not self.short:
            return f"{said}."
        those = " or ".join(self.short)
        able = f"{self.short_able} airframe{'' if self.short_able == 1 else 's'} can"
        return f"{said}: {self.short_wanted} {those} wanted, {able}."


def cover(wanted: Mapping[str, int], able: Mapping[str, AbstractSet[str]]) -> Cover:
    """The most flights that can be flown in one wave, each airframe once.

    Args:
        wanted: flights by mission.
        able: the missions each airframe can fly.
    """
    asked = tuple(mission for mission, flights in wanted.items() if flights > 0)
    total = sum(wanted[mission] for mission in asked)
    worst = Cover(flyable=total, wanted=total)
    for size in range(1, len(asked) + 1):
        for some in combinations(asked, size):
            flights = sum(wanted[mission] for mission in some)
            airframes = sum(1 for missions in able.values() if not missions.isdisjoint(some))
            if total - (flights - airframes) < worst.flyable:
                worst = Cover(
                    flyable=total - (flights - airframes), wanted=total, short=some,
                    short_wanted=flights, short_able=airframes,
                )  # fmt: skip
    return worst
