"""The fleet: airframe types with their places, airframes with dated fits, stations."""

from __future__ import annotations

from collections.abc import Mapping

from hardstand.domain.checklist import Fit
from hardstand.domain.diagnostic import Diagnostic
from hardstand.domain.fleet import Fleet
from hardstand.formats.fleet_rules import RULES, against_fits
from hardstand.formats.rules import judged, result
from hardstand.formats.shape import Loaded, load


def read(name: str, data: bytes) -> Loaded[Fleet]:
    """The file as a fleet, with what it says of itself; `name` is what findings call it."""
    loaded = load(name, data, Fleet)
    fleet = loaded.value
    return judged(loaded, (r for rule in RULES for r in rule(fleet)) if fleet else ())


def against(loaded: Loaded[Fleet], fits: Mapping[str, Fit]) -> Loaded[Fleet]:
    """The same file held against the fits, by id: all that there are."""
    fleet = loaded.value
    return judged(loaded, against_fits(fleet, fits) if fleet else ())


def parse(
    name: str, data: bytes, fits: Mapping[str, Fit] | None = None
) -> Fleet | tuple[Diagnostic, ...]:
    """The fleet, or everything found if there is an error in it; see `against`."""
    loaded = read(name, data)
    return result(loaded if fits is None else against(loaded, fits))
