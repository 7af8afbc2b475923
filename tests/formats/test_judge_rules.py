"""What `judge` may name and needs: every finding verbatim, and the shipped lists without one."""

from __future__ import annotations

import pytest

from formats.small_files import FIT, FLEET, LIST, Bent, bent, cases
from hardstand.domain.checklist import Checklist, Fit
from hardstand.domain.fleet import Fleet
from hardstand.domain.measuring import gauge
from hardstand.domain.readings.registry import REGISTRY
from hardstand.formats import checklist_yaml, fit_yaml, fleet_yaml
from hardstand.formats.examples import examples
from hardstand.formats.judge_rules import KINDS, NUMBERS

ACCEPT = "    accept: {low: 24, high: 28.5, example: true}\n"
VOLTS = "    judge: {name: bus_voltage, case: external, example: true}\n"
HEAR = "    sounds_bad: hum\n"
JUDGED = LIST.replace(ACCEPT, VOLTS)
NAMES = ", ".join(NUMBERS)


def _said(case: Bent, text: str = LIST) -> tuple[str, ...]:
    fit = fit_yaml.parse("fit.yaml", FIT.encode())
    fleet = fleet_yaml.parse("fleet.yaml", FLEET.encode())
    assert isinstance(fit, Fit)
    assert isinstance(fleet, Fleet)
    loaded = checklist_yaml.read("x.yaml", case.of(text))
    found = checklist_yaml.against(loaded, fit, fleet.types).findings
    return tuple(finding.text() for finding in found)


@cases(
    bent("a bench sum may judge the number of a reading step", ACCEPT, VOLTS),
    bent(
        "a dial may be judged by its graduation, with its images and its position",
        "    unit: V\n" + ACCEPT,
        "    unit: kHz\n    judge: {name: dial_grain, true_khz: 329, limit_pct: 1, if_khz: 100, "
        "position: TR-V}\n",
    ),
    bent(
        "a judgement has a name",
        ACCEPT,
        "    judge: {case: external}\n",
        f"53:12: HS251 'judge' has no name | accepted: {NAMES}",
    ),
    bent(
        "the nearest judgement is named",
        ACCEPT,
        "    judge: {name: bus_volts, case: external}\n",
        "53:19: HS251 no judgement is called 'bus_volts' | nearest: bus_voltage; accepted: "
        f"{NAMES}",
    ),
    bent(
        "a sum without a verdict is no judgement",
        ACCEPT,
        "    judge: {name: watts_dbm}\n",
        f"53:19: HS251 no judgement is called 'watts_dbm' | accepted: {NAMES}",
    ),
    bent(
        "a judgement fits one kind of step",
        ACCEPT,
        "    judge: {name: range_filter, reads: BOTH}\n",
        "53:19: HS252 range_filter judges a listen step, this is a reading step | accepted: "
        f"{NAMES}",
    ),
    bent(
        "a step that is only looked at is judged by nobody's sum",
        "    sets: {panel: OPEN}\n",
        "    sets: {panel: OPEN}\n    judge: {name: ident_match, expected: TK}\n",
        "43:19: HS252 ident_match judges a listen step, this is a set step | no judgement fits "
        "this kind; take 'judge' out",
    ),
    bent(
        "the nearest input is named",
        ACCEPT,
        "    judge: {name: bus_voltage, cas: external}\n",
        "53:12: HS253 bus_voltage leaves volts, case to be read, a reading step reads one number "
        "| lay down all but one of: volts, case",
        "53:32: HS253 bus_voltage has no input 'cas' | nearest: case; accepted: volts, case, "
        "name, example, position, band, if_khz",
    ),
    bent(
        "a reading step reads one number and no word",
        ACCEPT,
        "    judge: {name: bus_voltage, volts: 28}\n",
        "53:12: HS253 bus_voltage leaves case to be read, a reading step reads one number | lay "
        "down all but one of: volts, case",
    ),
    bent(
        "an input is one the sum can take",
        ACCEPT,
        "    judge: {name: bus_voltage, case: spare}\n",
        "53:38: HS254 case: 'spare' is not one of external, normal, abnormal | accepted: "
        "external, normal, abnormal",
    ),
    bent(
        "a number of an input is read by the one grammar",
        "    unit: V\n" + ACCEPT,
        "    unit: kHz\n    judge: {name: dial_grain, true_khz: 3e2, limit_pct: 1}\n",
        "53:41: HS254 true_khz: '3e2' is not read as a number: 'e2' stands behind '3' | accepted: "
        "a number in kHz above 0",
    ),
    bent(
        "the unit of the step is that of the sum",
        "    unit: V\n" + ACCEPT,
        "    unit: mV\n" + VOLTS,
        "52:11: HS255 bus_voltage reads bus volts in V, the step says mV | accepted: V",
    ),
    bent(
        "one number has one limit",
        ACCEPT,
        ACCEPT + VOLTS,
        "53:5: HS256 'accept' and 'judge' both judge the number | keep the judgement and what is "
        "possible, take accept out",
    ),
    bent(
        "only a dial has images",
        ACCEPT,
        "    judge: {name: bus_voltage, case: external, if_khz: 455}\n",
        "53:48: HS253 only a dial has images | take if_khz out",
    ),
    bent(
        "an intermediate frequency is a number",
        "    unit: V\n" + ACCEPT,
        "    unit: kHz\n    judge: {name: dial_grain, true_khz: 329, limit_pct: 1, if_khz: low}\n",
        "53:68: HS254 the intermediate frequency 'low' is no number above 0 | give it in kHz, "
        "such as 455",
    ),
    bent(
        "a band has two ends",
        "    unit: V\n" + ACCEPT,
        "    unit: kHz\n    judge: {name: dial_grain, true_khz: 329, limit_pct: 1, "
        "band: 500-200}\n",
        "53:66: HS254 the band '500-200' is not two frequencies, the lower first | write it in "
        "kHz, such as 200-500",
    ),
    bent(
        "the position of a dial is a unit of the fit",
        "    unit: V\n" + ACCEPT,
        "    unit: kHz\n    judge: {name: dial_grain, true_khz: 329, limit_pct: 1, "
        "position: TR-W}\n",
        "53:70: HS240 the fit has no unit 'TR-W' | nearest: TR-V; accepted: TR-V, DYN-V",
    ),
    bent(
        "an ident is asked for in words, and can be sent",
        HEAR,
        HEAR + "    judge: {name: ident_match, expected: T#}\n",
        "66:5: HS230 a step that matches an ident needs 'evidence' | add evidence: ident heard",
        "73:42: HS254 '#' has no signal here | give the ident in letters and figures",
    ),
    bent(
        "the filter is heard in four positions and its parts are named",
        HEAR,
        HEAR + "    judge: {name: range_filter, reads: BOTH}\n",
        "73:12: HS258 the filter is listened to as BOTH | one step for each, in this order: BOTH, "
        "RANGE, VOICE, BOTH_again",
        "73:12: HS258 the parts nothing, nothing, nothing are not what the step proves | give "
        "both, range and voice under judge, and name the same under proves",
    ),
)
def test_each_judgement_is_held_to_what_it_needs(case: Bent) -> None:
    assert _said(case) == case.says


CALL = """\
  - id: done
    zone: end
    place: seat
    do: Say that the walk is done.
    kind: gate
    evidence: who was told
"""


def _call(judge: str, *says: str) -> Bent:
    sent = CALL.replace("kind: gate", "kind: transmit") + f"    judge: {judge}\n"
    return bent("a call", CALL, sent, *says)


@pytest.mark.parametrize(
    "case",
    [
        _call("{name: transmitter_report, channel: 1, frequency: 122.1 MHz, called: Tower}"),
        _call("{name: transmitter_report, channel: SET 1, frequency: 3270 kHz}"),
        _call(
            "{name: transmitter_report, channel: 6, frequency: 121.5 MHz}",
            "115:62: HS257 nothing is sent on 121.5 MHz in a test: emergency | make it a listen "
            "step, or call on another channel",
        ),
        _call(
            "{name: transmitter_report, channel: SET 1, frequency: 5680 kHz}",
            "115:66: HS257 nothing is sent on 5680 kHz in a test: search and rescue | make it a "
            "listen step, or call on another channel",
        ),
        _call(
            "{name: transmitter_report, channel: 1, frequency: '122.1'}",
            "115:62: HS254 the frequency '122.1' is neither a VHF channel nor a whole number of "
            "kHz | write it as 3270 kHz or 122.1 MHz",
        ),
        _call(
            "{name: transmitter_report, channel: SET 1, frequency: 3270 MHz}",
            "115:66: HS254 the frequency '3270 MHz' is neither a VHF channel nor a whole number "
            "of kHz | write it as 3270 kHz or 122.1 MHz",
        ),
        _call(
            "{name: transmitter_report, frequency: 122.1 MHz}",
            "115:12: HS253 transmitter_report needs 'channel' | add channel under judge",
        ),
    ],
    ids=lambda case: str(len(case.says)) + case.new[-40:].strip(),
)
def test_a_test_call_stands_where_one_may_be_made(case: Bent) -> None:
    assert _said(case) == case.says


def test_each_sum_that_may_judge_a_number_has_a_verdict_and_one_number_to_read() -> None:
    for name in NUMBERS:
        family = REGISTRY[name]
        assert "verdict" in family.columns
        assert any(not (ask.free or ask.choices) for ask in family.asks)
    assert {n for n, kind in KINDS.items() if kind == "reading"} == set(NUMBERS)


def test_a_limit_laid_down_for_a_judgement_is_an_example_like_any_other() -> None:
    found = checklist_yaml.read("x.yaml", JUDGED.encode()).value
    assert isinstance(found, Checklist)
    assert examples(found) == (("steps", 3, "judge"),)
    held = gauge(found.step("meter"))
    assert held is not None
    assert held.judged("29.1").verdict == "high"


def test_a_meter_has_a_real_day_until_which_it_may_be_trusted() -> None:
    good = FLEET + "gear:\n  M-3: {title: bench voltmeter, due: 2027-03-01}\n"
    fleet = fleet_yaml.parse("fleet.yaml", good.encode())
    assert isinstance(fleet, Fleet)
    assert (fleet.gear or {})["M-3"].due == "2027-03-01"
    bad = fleet_yaml.parse("x.yaml", good.replace("2027-03-01}\n", "soon}\n").encode())
    assert isinstance(bad, tuple)
    said = "x.yaml:29:38: HS272 'soon' is not a date"
    hint = "  hint: write year, month, day, such as 2027-03-01"
    assert [d.text() for d in bad] == [f"{said}\n{hint}"]
