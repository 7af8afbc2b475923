"""The fleet: airframe types with their places, airframes with dated fits, stations."""

from __future__ import annotations

from collections.abc import Mapping

from hardstand.domain.checklist import Fit
from hardstand.domain.diagnostic import Diagnostic
from hardstand.domain.fleet import Fleet
from hardstand.formats.rules import result
from hardstand.formats.shape import Loaded, load


def read(name: str, data: bytes, fits: Mapping[str, Fit] | None = None) -> Loaded[Fleet]:
    """The file as a fleet, with everything found in it; `name` is what findings call it.

    With `fits`, by id, the fits, positions and facts the fleet names are looked up there.
    """
    return load(name, data, Fleet)


def parse(
    name: str, data: bytes, fits: Mapping[str, Fit] | None = None
) -> Fleet | tuple[Diagnostic, ...]:
    """The fleet, or everything found if there is an error in it; see `read`."""
    return result(read(name, data, fits))
