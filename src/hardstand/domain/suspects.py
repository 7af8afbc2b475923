"""Which lost units would explain the checks that failed, and which check to do next.

Says "would explain", never "is": an intermittent or partial fault breaks the assumption.

Source: computations 12a; Reiter 1987, de Kleer and Williams 1987 (consistency-based diagnosis),
from memory.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import combinations

from hardstand.domain.coverage import Checks

MOST = 3
"""Units lost at once that are thought of; ours."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspects:
    """The smallest sets of units whose loss gives exactly what was seen, and the next best check.

    `sets` is empty when nothing failed, or when nothing simple explains it. `next_check` is empty
    when no check left would tell the sets apart.
    """

    failed: bool
    sets: tuple[tuple[str, ...], ...] = ()
    next_check: str = ""

    def sentence(self) -> str:
        """What may be said of it."""
        if not self.failed:
            return "Nothing failed."
        if not self.sets:
            return "No simple explanation: the fault may come and go, or be partial."
        said = ", or ".join(" with ".join(units) for units in self.sets)
        ask = f" To tell them apart: {self.next_check}." if self.next_check else ""
        return f"The loss of {said} would explain this.{ask}"


def suspects(checks: Checks, seen: Mapping[str, bool], *, most: int = MOST) -> Suspects:
    """The suspects for the outcomes seen, by check name: True for good, False for failed.

    Looks at every set of up to `most` units, the smallest first, and stops at the first size that
    explains anything.
    """
    if all(seen.values()):
        return Suspects(failed=False)
    places = [(i, seen[name]) for i, name in enumerate(checks.names) if name in seen]
    for size in range(1, most + 1):
        found = []
        for units in combinations(checks.units, size):
            outcome = checks.good(frozenset(units))
            if all(outcome[i] == good for i, good in places):
                found.append(units)
        if found:
            best = _next_check(checks, seen, found)
            return Suspects(failed=True, sets=tuple(found), next_check=best)
    return Suspects(failed=True)


def _next_check(checks: Checks, seen: Mapping[str, bool], sets: list[tuple[str, ...]]) -> str:
    """The check not seen yet that parts the sets most evenly; empty if none parts them."""
    outcomes = [checks.good(frozenset(units)) for units in sets]
    best, most = "", 0
    for index, name in enumerate(checks.names):
        good = sum(outcome[index] for outcome in outcomes)
        smaller = min(good, len(outcomes) - good)
        if name not in seen and smaller > most:
            best, most = name, smaller
    return best
