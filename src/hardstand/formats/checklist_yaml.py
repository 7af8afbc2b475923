"""A checklist of one fit: zones in order, steps in order inside their zone."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from hardstand.domain.checklist import Checklist, Fit
from hardstand.domain.diagnostic import Diagnostic
from hardstand.domain.fleet import AirframeType
from hardstand.formats import judge_rules, list_rules, mark_rules, meaning_rules, step_rules
from hardstand.formats.rules import Remark, judged, result
from hardstand.formats.shape import Loaded, load


def read(name: str, data: bytes) -> Loaded[Checklist]:
    """The file as a checklist, with what it says of itself; `name` is what findings call it."""
    loaded = load(name, data, Checklist)
    checklist = loaded.value
    return judged(loaded, _alone(checklist) if checklist else ())


def against(
    loaded: Loaded[Checklist], fit: Fit, types: Mapping[str, AirframeType] | None = None
) -> Loaded[Checklist]:
    """The same file held against its fit, where everything it names is looked up.

    `types` are the airframe types that carry the fit: each must have every place the list names.
    """
    checklist = loaded.value
    if checklist is None:
        return loaded
    rules = (*meaning_rules.RULES, judge_rules.positions_are_units)
    named = (remark for rule in rules for remark in rule(checklist, fit))
    return judged(loaded, (*named, *mark_rules.of_list(checklist, types or {})))


def parse(
    name: str,
    data: bytes,
    fit: Fit | None = None,
    types: Mapping[str, AirframeType] | None = None,
) -> Checklist | tuple[Diagnostic, ...]:
    """The checklist, or everything found if there is an error in it; see `against`."""
    loaded = read(name, data)
    return result(against(loaded, fit, types) if fit else loaded)


def _alone(checklist: Checklist) -> Iterator[Remark]:
    for rule in (*list_rules.RULES, judge_rules.filter_is_heard_in_order):
        yield from rule(checklist)
    yield from step_rules.of_steps(checklist)
    yield from mark_rules.of_list(checklist, {})
