"""A checklist of one fit: zones in order, steps in order inside their zone."""

from __future__ import annotations

from collections.abc import Mapping

from hardstand.domain.checklist import Checklist, Fit
from hardstand.domain.diagnostic import Diagnostic
from hardstand.domain.fleet import AirframeType
from hardstand.formats.rules import result
from hardstand.formats.shape import Loaded, load


def read(
    name: str,
    data: bytes,
    fit: Fit | None = None,
    types: Mapping[str, AirframeType] | None = None,
) -> Loaded[Checklist]:
    """The file as a checklist, with everything found in it; `name` is what findings call it.

    With `fit`, everything the list names is looked up there. `types` are the airframe types that
    carry the fit: each must have every place the list names.
    """
    return load(name, data, Checklist)


def parse(
    name: str,
    data: bytes,
    fit: Fit | None = None,
    types: Mapping[str, AirframeType] | None = None,
) -> Checklist | tuple[Diagnostic, ...]:
    """The checklist, or everything found if there is an error in it; see `read`."""
    return result(read(name, data, fit, types))
