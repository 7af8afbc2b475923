"""fit.yaml: units, functions, items to put back, missions, permitted defects, controls."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from hardstand.domain.checklist import Fit
from hardstand.domain.diagnostic import Diagnostic
from hardstand.domain.fleet import AirframeType
from hardstand.formats import mark_rules
from hardstand.formats.fit_rules import RULES
from hardstand.formats.rules import Remark, judged, result
from hardstand.formats.shape import Loaded, load


def read(name: str, data: bytes, types: Mapping[str, AirframeType] | None = None) -> Loaded[Fit]:
    """The file as a fit, with everything found in it; `name` is what findings call it.

    `types` are the airframe types that carry the fit: each must have every place it names.
    """
    loaded = load(name, data, Fit)
    fit = loaded.value
    return judged(loaded, _remarks(fit, types or {}) if fit else ())


def parse(name: str, data: bytes) -> Fit | tuple[Diagnostic, ...]:
    """The fit, or everything found if there is an error in it."""
    return result(read(name, data))


def _remarks(fit: Fit, types: Mapping[str, AirframeType]) -> Iterator[Remark]:
    for rule in RULES:
        yield from rule(fit)
    yield from mark_rules.of_fit(fit, types)
