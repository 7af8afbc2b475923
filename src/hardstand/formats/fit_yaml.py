"""fit.yaml: units, functions, items to put back, missions, permitted defects, controls."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from hardstand.domain.checklist import Checklist, Fit
from hardstand.domain.diagnostic import Diagnostic
from hardstand.domain.fleet import AirframeType
from hardstand.formats import mark_rules
from hardstand.formats.fit_rules import RULES, zones_are_walked
from hardstand.formats.rules import Remark, judged, result
from hardstand.formats.shape import Loaded, load


def read(name: str, data: bytes) -> Loaded[Fit]:
    """The file as a fit, with what it says of itself; `name` is what findings call it."""
    loaded = load(name, data, Fit)
    fit = loaded.value
    return judged(loaded, _alone(fit) if fit else ())


def against(
    loaded: Loaded[Fit],
    types: Mapping[str, AirframeType] | None = None,
    lists: Iterable[Checklist] = (),
) -> Loaded[Fit]:
    """The same file held against what it stands with.

    `types` are the airframe types that carry the fit: each must have every place it names. Where
    there are `lists` of the fit, one of them must have each zone it names.
    """
    fit = loaded.value
    if fit is None:
        return loaded
    marks = mark_rules.of_fit(fit, types or {})
    return judged(loaded, (*marks, *zones_are_walked(fit, tuple(lists))))


def parse(name: str, data: bytes) -> Fit | tuple[Diagnostic, ...]:
    """The fit, or everything found if there is an error in it."""
    return result(read(name, data))


def _alone(fit: Fit) -> Iterator[Remark]:
    for rule in RULES:
        yield from rule(fit)
    yield from mark_rules.of_fit(fit, {})
