"""Marks for places: every finding verbatim."""

from __future__ import annotations

from formats.small_files import FIT, FLEET, LIST, Bent, bent, cases
from hardstand.domain.checklist import Fit
from hardstand.domain.fleet import Fleet
from hardstand.formats import checklist_yaml, fit_yaml, fleet_yaml


def _said(case: Bent) -> tuple[str, ...]:
    fit = fit_yaml.parse("fit.yaml", FIT.encode())
    fleet = fleet_yaml.parse("fleet.yaml", FLEET.encode())
    assert isinstance(fit, Fit)
    assert isinstance(fleet, Fleet)
    loaded = checklist_yaml.read("x.yaml", case.of(LIST))
    found = checklist_yaml.against(loaded, fit, fleet.types).findings
    return tuple(finding.text() for finding in found)


@cases(
    bent(
        "an expected count that a type gives in words is refused",
        "expect: '{bay.fasteners}'",
        "expect: '{bay.panel}'",
        "93:13: HS233 type 'Pask 4' has 'L3' for '{bay.panel}', which is no count | name a "
        "part that holds a whole number",
    ),
    bent(
        "a mark without a part is refused",
        "place: left wall",
        "place: left of {bay}",
        "25:12: HS246 a mark that is not well formed: 'left of {bay}' | write {place.part}, "
        "such as {radio_compartment.panel}; no other { or }",
    ),
    bent(
        "a mark for a place no type has is refused",
        "place: left wall",
        "place: left of {tail.panel}",
        "25:12: HS247 type 'Pask 4' has no place for '{tail.panel}' | accepted: bay",
        "25:12: HS247 type 'Pask 6' has no place for '{tail.panel}' | accepted: bay",
    ),
    bent(
        "a mark for a part no type has is refused",
        "place: left wall",
        "place: left of {bay.panal}",
        "25:12: HS247 type 'Pask 4' has no part for '{bay.panal}' | nearest: panel; accepted: "
        "panel, fasteners",
        "25:12: HS247 type 'Pask 6' has no part for '{bay.panal}' | nearest: panel; accepted: "
        "panel, fasteners",
    ),
    bent(
        "a warning may hold marks too",
        "    place: left wall",
        "    warning: [{hazard: hot, consequence: burns, avoid: 'keep off {bay.pane}'}]\n    "
        "place: left wall",
        "25:56: HS247 type 'Pask 4' has no part for '{bay.pane}' | nearest: panel; accepted: "
        "panel, fasteners",
        "25:56: HS247 type 'Pask 6' has no part for '{bay.pane}' | nearest: panel; accepted: "
        "panel, fasteners",
    ),
)
def test_each_change_to_a_good_list_is_told_in_full(case: Bent) -> None:
    assert _said(case) == case.says
