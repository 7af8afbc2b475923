"""A checklist of one fit: zones in order, steps in order inside their zone."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from hardstand.domain.checklist import Checklist, Fit
from hardstand.domain.diagnostic import Diagnostic
from hardstand.domain.fleet import AirframeType
from hardstand.formats import list_rules, mark_rules, meaning_rules, step_rules
from hardstand.formats.rules import Remark, judged, result
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
    loaded = load(name, data, Checklist)
    checklist = loaded.value
    return judged(loaded, _remarks(checklist, fit, types or {}) if checklist else ())


def parse(
    name: str,
    data: bytes,
    fit: Fit | None = None,
    types: Mapping[str, AirframeType] | None = None,
) -> Checklist | tuple[Diagnostic, ...]:
    """The checklist, or everything found if there is an error in it; see `read`."""
    return result(read(name, data, fit, types))


def _remarks(
    checklist: Checklist, fit: Fit | None, types: Mapping[str, AirframeType]
) -> Iterator[Remark]:
    for rule in list_rules.RULES:
        yield from rule(checklist)
    yield from step_rules.of_steps(checklist)
    yield from mark_rules.of_list(checklist, types)
    if fit is not None:
        for fit_rule in meaning_rules.RULES:
            yield from fit_rule(checklist, fit)
