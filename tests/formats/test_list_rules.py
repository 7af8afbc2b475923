"""Ids, zones, order and what points to what: every finding verbatim."""

from __future__ import annotations

from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from formats.small_files import FIT, FLEET, LIST, Bent, bent, cases
from hardstand.domain.checklist import Fit
from hardstand.domain.fleet import Fleet
from hardstand.formats import checklist_yaml, fit_yaml, fleet_yaml
from hardstand.formats.list_rules import _longest_in_order


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
        "two zones of one id are refused, both lines named",
        "{id: bay, title: radio bay}",
        "{id: cockpit, title: radio bay}",
        "10:10: HS221 zone id 'cockpit' is given twice (first on line 9) | give each its own id",
        "38:11: HS224 the list has no zone 'bay' | accepted: cockpit, cockpit, end",
        "48:11: HS224 the list has no zone 'bay' | accepted: cockpit, cockpit, end",
        "67:11: HS224 the list has no zone 'bay' | accepted: cockpit, cockpit, end",
    ),
    bent(
        "two steps of one id are refused, both lines named",
        "- id: done",
        "- id: tools",
        "109:9: HS222 step id 'tools' is given twice (first on line 13) | give each its own id",
    ),
    bent(
        "a look-alike letter in an id is refused",
        "- id: done",
        "- id: d\u043ene",
        "109:9: HS223 the id 'd\u043ene' holds other characters | accepted: A-Z a-z 0-9 - .",
    ),
    bent(
        "a step may not be called end",
        "- id: done",
        "- id: end",
        "109:9: HS223 the id 'end' has a meaning of its own under if_fault | choose another id",
    ),
    bent(
        "a step in an unknown zone is refused",
        "    zone: cockpit\n    place: left wall",
        "    zone: cockpits\n    place: left wall",
        "24:11: HS224 the list has no zone 'cockpits' | nearest: cockpit; accepted: cockpit, "
        "bay, end",
    ),
    bent(
        "going back to an earlier zone is refused",
        "    zone: end\n    place: panel",
        "    zone: bay\n    place: panel",
        "89:11: HS225 zone 'bay' comes before 'end' | move the step up to its zone, give it the "
        "zone it stands in, or put the zones in the order they are walked",
    ),
    bent(
        "a step that comes too early is told, not those it overtook",
        "    zone: cockpit\n    place: left wall",
        "    zone: end\n    place: left wall",
        "24:11: HS225 zone 'end' comes after 'bay' | move the step down to its zone, give it the "
        "zone it stands in, or put the zones in the order they are walked",
    ),
    bent(
        "a zone without a step is refused",
        "  - {id: end, title: close up}",
        "  - {id: end, title: close up}\n  - {id: log, title: log}",
        "12:10: HS226 zone 'log' has no step | add a step, or take the zone out",
    ),
    bent(
        "a step cannot wait for a later one",
        "after: [open]",
        "after: [hear]",
        "56:13: HS234 step 'hear' does not come before 'meter' (it is on line 66) | name an "
        "earlier step, or change the order",
    ),
    bent(
        "a step cannot wait for an unknown one",
        "after: [open]",
        "after: [opem]",
        "56:13: HS234 the list has no step 'opem' | nearest: open; accepted: tools, lever, open",
    ),
    bent(
        "a fault cannot lead back",
        "if_fault: shut",
        "if_fault: open",
        "58:15: HS237 step 'open' does not come after 'meter' | accepted: go_on, end, hear, "
        "shut, fasteners, count-out, done",
    ),
    bent(
        "a fault cannot lead to an unknown step",
        "if_fault: shut",
        "if_fault: stop",
        "58:15: HS237 the list has no step 'stop' | accepted: go_on, end, hear, shut, "
        "fasteners, count-out, done",
    ),
    bent(
        "a step beside an unknown zone is refused",
        "beside: [end]",
        "beside: [tail]",
        "59:14: HS238 the list has no zone 'tail' | accepted: cockpit, bay, end",
    ),
)
def test_each_change_to_a_good_list_is_told_in_full(case: Bent) -> None:
    assert _said(case) == case.says


@given(st.lists(st.integers(0, 4), max_size=9))
def test_the_fewest_steps_are_told_that_stand_in_a_wrong_zone(zones: list[int]) -> None:
    """Against every choice of steps that could be kept."""
    kept = sorted(_longest_in_order(tuple(enumerate(zones))))
    assert [zones[i] for i in kept] == sorted(zones[i] for i in kept)
    longer = combinations(range(len(zones)), len(kept) + 1)
    assert not any(sorted(found) == found for found in ([zones[i] for i in c] for c in longer))
