"""fit.yaml: units, functions, items to put back, missions, permitted defects, controls."""

from __future__ import annotations

from hardstand.domain.checklist import Fit
from hardstand.domain.diagnostic import Diagnostic
from hardstand.formats.rules import result
from hardstand.formats.shape import Loaded, load


def read(name: str, data: bytes) -> Loaded[Fit]:
    """The file as a fit, with everything found in it; `name` is what findings call it."""
    return load(name, data, Fit)


def parse(name: str, data: bytes) -> Fit | tuple[Diagnostic, ...]:
    """The fit, or everything found if there is an error in it."""
    return result(read(name, data))
