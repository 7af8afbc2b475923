"""What each kind of step needs and may have: every finding verbatim."""

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
        "one state is no choice",
        "states: [OFF, ON]",
        "states: [OFF]",
        "28:13: HS227 one state, 'OFF', is no choice | give every position the control has, in "
        "panel order",
    ),
    bent(
        "a state given twice is refused",
        "states: [OFF, ON]",
        "states: [OFF, ON, OFF]",
        "28:23: HS227 state 'OFF' is given twice | keep one",
    ),
    bent(
        "nine states are more than the keys",
        "states: [OFF, ON]",
        "states: [OFF, 1, 2, 3, 4, 5, 6, 7, 8]",
        "28:13: HS242 9 to pick from, but the keys are 1 to 8 | keep at most 8",
    ),
    bent(
        "nine symptoms are more than the keys",
        "symptoms: [low, high]",
        "symptoms: [a, b, c, d, e, f, g, h, i]",
        "65:69: HS242 9 to pick from, but the keys are 1 to 8 | keep at most 8",
    ),
    bent(
        "an expected state must be one of them",
        "expect: OFF",
        "expect: 'off'",
        "29:13: HS228 the expected 'off' is not one of the states | nearest: OFF; accepted: "
        "OFF, ON",
    ),
    bent(
        "states belong to a state step only",
        "    sounds_bad: hum",
        "    sounds_bad: hum\n    states: [A, B]",
        "73:5: HS229 a listen step does not use 'states' | take it out, or change the kind; "
        "used by: state",
    ),
    bent(
        "words of evidence belong to a step answered by key",
        "    graduation: 0.5",
        "    evidence: the number",
        "55:5: HS229 a reading step does not use 'evidence' | take it out, or change the kind; "
        "used by: look, listen, set, record, gate, transmit",
    ),
    bent(
        "a reading needs its unit",
        "    unit: V\n",
        "",
        "47:5: HS230 a reading step needs 'unit' | add unit to the step",
    ),
    bent(
        "a critical step names what is touched",
        "    touch: the lever\n",
        "",
        "23:5: HS230 a critical step needs 'touch' | add touch to the step",
    ),
    bent(
        "a listening step says how it sounds",
        "    sounds_good: a clear voice\n    sounds_bad: hum\n",
        "",
        "66:5: HS230 a listen step needs 'sounds_bad' | add sounds_bad to the step",
        "66:5: HS230 a listen step needs 'sounds_good' | add sounds_good to the step",
    ),
    bent(
        "a gate asks for evidence",
        "    evidence: who was told\n",
        "",
        "109:5: HS230 a gate step needs 'evidence' | add evidence to the step",
    ),
    bent(
        "low above high is refused",
        "{low: 24, high: 28.5, example: true}",
        "{low: 28.5, high: 24, example: true}",
        "53:19: HS231 low 28.5 is above high 24 | swap the two",
    ),
    bent(
        "what is possible encloses what is accepted",
        "{low: 0, high: 50}",
        "{low: 0, high: 28.4}",
        "54:15: HS232 possible 0 to 28.4 does not enclose accept 24 to 28.5 | possible is what "
        "the meter can show at all",
    ),
    bent(
        "times are not below zero",
        "    graduation: 0.5",
        "    graduation: 0\n    minutes: -1\n    wait_s: -5\n    stale_after_min: -2",
        "55:17: HS248 'graduation' is 0 | give the step between two lines of the scale, above 0",
        "56:14: HS248 'minutes' is -1 | give 0 or more",
        "57:13: HS248 'wait_s' is -5 | give 0 or more",
        "58:22: HS248 'stale_after_min' is -2 | give 0 or more",
    ),
    bent(
        "what cannot be judged yet is refused",
        "    graduation: 0.5",
        "    verify: witness\n    hold: true",
        "55:5: HS290 not yet: this hardstand cannot judge 'verify' | take the field out or "
        "wait for the version that can",
        "56:5: HS290 not yet: this hardstand cannot judge 'hold' | take the field out or wait "
        "for the version that can",
    ),
    bent(
        "hold: false asks for nothing",
        "    graduation: 0.5",
        "    hold: false",
    ),
    bent(
        "an expected count is a number",
        "expect: '{bay.fasteners}'",
        "expect: all",
        "93:13: HS233 the expected count 'all' is not a number or a mark | give a whole "
        "number, or a mark such as {place.part} and nothing else",
    ),
    bent(
        "only a count step gives a counted number",
        "sets: {panel: OPEN}",
        "sets: {panel: OPEN, tools: counted}",
        "42:32: HS236 a set step counts nothing to give to 'tools' | make it a count step, or "
        "give the value",
    ),
)
def test_each_change_to_a_good_list_is_told_in_full(case: Bent) -> None:
    assert _said(case) == case.says
