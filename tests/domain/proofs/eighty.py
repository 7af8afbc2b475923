"""Eighty steps in eight zones over twelve items: as a list is, and at its worst."""

from __future__ import annotations

from domain.proofs.tables import checklist, fit, functions, item, step, units
from hardstand.domain.checklist import Checklist, Fit, Step

ZONES = tuple(f"zone-{n}" for n in range(8))
ITEMS = tuple(f"panel-{n}" for n in range(12))


def kit() -> Fit:
    """Twelve panels, four units, four functions, and two pairs that may not stand open together."""
    panels = {
        name: item([name, "access", "SHUT", "", "SHUT > OPEN; OPEN > SHUT"]) for name in ITEMS
    }
    fed = {f"f{n}": f"U{n}" for n in range(4)}
    return fit(
        panels,
        [{ITEMS[0]: "OPEN", ITEMS[11]: "OPEN"}],
        units=units(*fed.values()),
        functions=functions(**fed),
    )


def ordinary() -> Checklist:
    """Each panel is opened, looked behind and shut in its own zone."""
    steps: list[Step] = []
    for n in range(80):
        zone, panel = ZONES[n // 10], ITEMS[n // 10 + (4 if n % 10 >= 5 else 0)]
        place = n % 5
        if place == 0:
            steps.append(step(f"s{n}", zone, sets={panel: "OPEN"}, kind="set"))
        elif place == 4:
            steps.append(step(f"s{n}", zone, sets={panel: "SHUT"}, kind="state"))
        else:
            proves = (f"f{n % 4}",) if place == 2 else ()
            steps.append(step(f"s{n}", zone, must_be={panel: "OPEN"}, proves=proves))
    return checklist(steps)


def worst() -> Checklist:
    """All twelve panels are opened by the first steps and shut by the last; any may be skipped."""
    opens = [step(f"o{n}", ZONES[0], sets={p: "OPEN"}) for n, p in enumerate(ITEMS)]
    looks = [step(f"l{n}", ZONES[1 + n // 10]) for n in range(56)]
    shuts = [step(f"c{n}", ZONES[7], sets={p: "SHUT"}) for n, p in enumerate(ITEMS)]
    return checklist([*opens, *looks, *shuts])
