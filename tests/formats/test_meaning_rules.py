"""A list against its fit: every finding verbatim."""

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
        "a list for another fit is refused",
        "fit: V\n",
        "fit: H\n",
        "4:6: HS220 the list is for fit 'H', the fit file is 'V' | accepted: V",
    ),
    bent(
        "a count needs a number to meet",
        "    expect: '{bay.fasteners}'\n",
        "",
        "88:5: HS230 a count step needs 'expect', or a count under 'sets' | give the number, a "
        "mark such as {place.part}, or the item counted",
    ),
    bent(
        "an unknown item is refused",
        "must_be: {panel: OPEN}",
        "must_be: {pannel: OPEN}",
        "57:15: HS235 the fit has no item 'pannel' | nearest: panel; accepted: battery, panel, "
        "tools",
    ),
    bent(
        "a value the item cannot have is refused",
        "must_be: {panel: OPEN}",
        "must_be: {panel: AJAR}",
        "57:22: HS236 'AJAR' is no value of 'panel' | accepted: SHUT, OPEN",
    ),
    bent(
        "must_be cannot ask for what is counted",
        "must_be: {panel: OPEN}",
        "must_be: {tools: counted}",
        "57:22: HS236 'counted' is no value of the count 'tools' | give a whole number",
    ),
    bent(
        "a condition is a fact of the fit",
        "applies_if: not high_wing",
        "applies_if: not low_wing",
        "94:17: HS239 'not low_wing' is no condition of this fit | accepted: high_wing; 'not ' "
        "may stand before it",
    ),
    bent(
        "a condition is nothing more than a fact",
        "applies_if: not high_wing",
        "applies_if: high_wing and rain",
        "94:17: HS239 'high_wing and rain' is no condition of this fit | nearest: high_wing; "
        "accepted: high_wing; 'not ' may stand before it",
    ),
    bent(
        "an unknown thing cannot be proved",
        "proves: [lever]",
        "proves: [leaver]",
        "36:14: HS240 the fit has no function, unit or control 'leaver' | nearest: lever; "
        "accepted: v.rx, v.tx, TR-V, DYN-V, lever",
    ),
    bent(
        "a fault takes known functions only",
        "takes: [v.tx]",
        "takes: [TR-V]",
        "65:24: HS241 the fit has no function 'TR-V' | accepted: v.rx, v.tx",
    ),
    bent(
        "a fault weakens known functions only",
        "weakens: [v.rx]",
        "weakens: [v.r]",
        "65:41: HS241 the fit has no function 'v.r' | nearest: v.rx; accepted: v.rx, v.tx",
    ),
    bent(
        "a preflight list proves every function",
        "proves: [v.rx]\n",
        "proves: [TR-V]\n",
        "12:1: HS243 no step proves the function 'v.rx' | add a step that does, or name the "
        "function in the proves of one that does",
    ),
    bent(
        "what is moved away comes home",
        "    sets: {panel: SHUT}\n",
        "",
        "42:19: HS244 no later step brings 'panel' back to 'SHUT' | add a step that sets "
        "panel: SHUT",
    ),
    bent(
        "what was never moved need not come home",
        "    sets: {panel: OPEN}\n",
        "",
        "82:19: HS245 'panel' is brought home, but no earlier step moves it | ask for it with "
        "must_be, or let the step that moves it say so",
    ),
    bent(
        "two steps cannot bring one item home",
        "    sets: {tools: 0}\n",
        "    sets: {tools: 0, panel: SHUT}\n",
        "104:29: HS249 'panel' is brought home a second time (first on line 83) | one step "
        "brings it home; ask for it here with must_be",
    ),
)
def test_each_change_to_a_good_list_is_told_in_full(case: Bent) -> None:
    assert _said(case) == case.says
