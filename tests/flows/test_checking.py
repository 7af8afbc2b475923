"""Files checked together: each for itself, against the others, and by the proofs."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from formats.small_files import FIT, FLEET, LIST
from hardstand.domain.diagnostic import in_order
from hardstand.flows.checking import Checked, check_files, kind_of, plain_findings
from hardstand.views import findings as view

_FIT_H = FIT.replace("id: V\n", "id: H\n")


def _check(*texts: tuple[str, str], live: bool = False, complete: bool = False) -> Checked:
    return check_files([(n, t.encode()) for n, t in texts], live=live, complete=complete)


def _said(checked: Checked) -> list[str]:
    """What is told of the files themselves; the small list is none that its proofs would pass."""
    return [found.text() for found in checked.findings if found.code < "HS3"]


def test_good_files_are_values_without_findings() -> None:
    checked = _check(("fit.yaml", FIT), ("pre.yaml", LIST), ("fleet.yaml", FLEET), complete=True)
    assert _said(checked) == []
    assert list(checked.fits) == ["V"]
    assert [one.id for one in checked.checklists] == ["V-PRE"]
    assert checked.fleet is not None
    assert list(checked.fleet.airframes) == ["QM-161", "QM-116"]


def test_the_order_of_the_files_does_not_matter() -> None:
    broken = LIST.replace("proves: [v.rx]", "proves: [v.r]")
    files = [("fit.yaml", _FIT_H), ("pre.yaml", broken), ("fleet.yaml", FLEET)]
    assert _check(*files).findings == _check(*reversed(files)).findings


def test_findings_of_all_files_come_at_once_and_in_order() -> None:
    checked = _check(
        ("fleet.yaml", FLEET.replace("Etc/GMT+3", "Etc/GMT+99")),
        ("fit.yaml", FIT.replace("unit: TR-V", "unit: TR")),
        ("pre.yaml", LIST.replace("after: [open]", "after: [done]")),
    )
    assert [(d.file, d.code) for d in checked.findings] == [
        ("fit.yaml", "HS201"),
        ("fleet.yaml", "HS275"),
        ("pre.yaml", "HS234"),
    ]
    assert in_order(checked.findings) == checked.findings
    assert not checked.may_be_used


def test_a_list_without_its_fit_is_told() -> None:
    assert _said(_check(("pre.yaml", LIST))) == [
        (
            "pre.yaml:4:6: HS220 no file holds the fit 'V'\n"
            "  hint: check the list together with its fit.yaml"
        )
    ]
    assert _said(_check(("pre.yaml", LIST), ("fit.yaml", _FIT_H))) == [
        "pre.yaml:4:6: HS220 no file holds the fit 'V'\n  hint: accepted: H"
    ]


def test_a_list_beside_a_broken_fit_is_not_told_that_its_fit_is_missing() -> None:
    checked = _check(("fit.yaml", FIT.replace("title: VHF set", "titel: x")), ("pre.yaml", LIST))
    assert {d.file for d in checked.findings} == {"fit.yaml"}


def test_two_files_of_one_fit_are_told_and_the_first_counts() -> None:
    second = FIT.replace("title: VHF set", "title: another")
    checked = _check(("a/fit.yaml", FIT), ("b/fit.yaml", second))
    assert _said(checked) == [
        "b/fit.yaml:2:5: HS215 the fit 'V' stands in a/fit.yaml already\n  hint: give another id"
    ]
    assert checked.fits["V"].title == "VHF set"


def test_two_lists_of_one_id_are_told() -> None:
    assert _said(_check(("fit.yaml", FIT), ("a.yaml", LIST), ("b.yaml", LIST))) == [
        (
            "b.yaml:2:5: HS250 a list 'V-PRE' for fit 'V' stands in a.yaml already\n"
            "  hint: give another id"
        )
    ]


def test_a_zone_of_the_fit_that_no_list_walks_is_told() -> None:
    fit = FIT.replace("zone: bay}", "zone: tail}").replace("zone: cockpit}", "zone: cokpit}")
    assert _said(_check(("fit.yaml", fit))) == []
    assert _said(_check(("fit.yaml", fit), ("pre.yaml", LIST))) == [
        (
            "fit.yaml:5:45: HS213 no list of the fit has the zone 'tail'\n"
            "  hint: accepted: cockpit, bay, end"
        ),
        (
            "fit.yaml:17:61: HS213 no list of the fit has the zone 'cokpit'\n"
            "  hint: nearest: cockpit; accepted: cockpit, bay, end"
        ),
    ]


def test_a_fleet_is_held_against_the_fits_only_when_they_should_all_be_there() -> None:
    fleet = FLEET.replace("{since: 2027-02-28, fit: V}", "{since: 2027-02-28, fit: W}")
    files = (("fit.yaml", FIT), ("fleet.yaml", fleet))
    assert _said(_check(*files)) == []
    assert _said(_check(*files, complete=True)) == [
        "fleet.yaml:22:34: HS274 no fit 'W' is known\n  hint: accepted: V"
    ]


def test_only_the_types_that_carry_the_fit_need_its_places() -> None:
    extra = "  Pask 9:\n    places: {tail: {panel: T1}}\nairframes:\n"
    assert (
        _said(_check(("fit.yaml", FIT), ("fleet.yaml", FLEET.replace("airframes:\n", extra)))) == []
    )


def test_a_type_needs_no_place_of_a_step_that_does_not_apply_to_it() -> None:
    fleet = FLEET.replace("bay: {panel: R2, fasteners: 12}", "bay: {panel: R2}")
    files = (("fit.yaml", FIT), ("pre.yaml", LIST), ("fleet.yaml", fleet))
    assert _said(_check(*files)) == []
    everywhere = LIST.replace("    applies_if: not high_wing\n", "")
    assert _said(_check(files[0], ("pre.yaml", everywhere), files[2])) == [
        (
            "pre.yaml:93:13: HS247 type 'Pask 6' has no part for '{bay.fasteners}'\n"
            "  hint: accepted: panel"
        )
    ]


def test_the_ledger_proof_runs_over_files_without_errors_and_is_told_at_its_line() -> None:
    jumping = LIST.replace("if_fault: shut", "if_fault: fasteners")
    checked = _check(("fit.yaml", FIT), ("pre.yaml", jumping))
    (found,) = (d for d in checked.findings if d.code < "HS31" and d.code > "HS3")
    assert (found.code, found.file, found.line, found.column) == ("HS301", "pre.yaml", 42, 5)
    assert "FAULT at 2.02 passes over it" in found.hint
    broken = jumping.replace("proves: [v.rx]", "proves: [v.r]")
    codes = {d.code for d in _check(("fit.yaml", FIT), ("pre.yaml", broken)).findings}
    assert codes == {"HS240", "HS243"}


def test_examples_are_errors_only_for_a_live_record() -> None:
    files = (("fit.yaml", FIT), ("pre.yaml", LIST), ("fleet.yaml", FLEET))
    assert "HS295" not in {d.code for d in _check(*files).findings}
    live = _check(*files, live=True)
    assert not live.may_be_used
    assert [(d.file, d.line, d.code) for d in live.findings if d.code < "HS3"] == [
        ("fit.yaml", 35, "HS295"),
        ("fleet.yaml", 26, "HS295"),
        ("fleet.yaml", 27, "HS295"),
        ("pre.yaml", 53, "HS295"),
    ]


@pytest.mark.parametrize(
    ("name", "text", "kind"),
    [
        ("checklists/vhf/fit.yaml", "", "fit"),
        (r"demo\fleet.yaml", "", "fleet"),
        ("vhf.yaml", FIT, "fit"),
        ("quennock.yaml", FLEET, "fleet"),
        ("preflight.yaml", LIST, "checklist"),
        ("preflight.yaml", "", "checklist"),
    ],
)
def test_a_file_is_what_its_name_or_its_keys_say(name: str, text: str, kind: str) -> None:
    assert kind_of(name, text.encode()) == kind


def test_findings_are_plain_for_json() -> None:
    checked = _check(("pre.yaml", LIST.replace("fit: V\n", "fit: H\n")))
    plain = json.loads(json.dumps(plain_findings(checked.findings)))
    assert plain == {
        "schema": "findings/1",
        "findings": [
            {
                "code": "HS220",
                "level": "error",
                "answered": False,
                "file": "pre.yaml",
                "line": 4,
                "column": 6,
                "message": "no file holds the fit 'H'",
                "hint": "check the list together with its fit.yaml",
            }
        ],
    }


_SHIPPED = Path(__file__).parents[2] / "checklists" / "vhf"


def _shipped(old: str, new: str, *, file: str = "preflight.yaml") -> tuple[Checked, list[str]]:
    """The shipped list with one change; each finding as the line it is placed at and its words."""
    texts = {name: (_SHIPPED / name).read_text() for name in ("fit.yaml", "preflight.yaml")}
    assert texts[file].count(old) == 1
    texts[file] = texts[file].replace(old, new)
    checked = _check(*texts.items())
    lines = {name: text.splitlines() for name, text in texts.items()}
    return checked, [
        f"{d.file}: {lines[d.file][d.line - 1][d.column - 1 :]}\n{d.text().split(': ', 1)[1]}"
        for d in checked.findings
    ]


_DO = "    do: Look at the BATTERY switch.\n"
_LOOSE = "    do: Look at the BATTERY switch, plus or minus.\n"


def test_a_proof_stops_a_file_until_its_author_says_why_it_stands() -> None:
    checked, told = _shipped(_DO, _LOOSE)
    assert not checked.may_be_used
    assert told == [
        (
            "preflight.yaml: do: Look at the BATTERY switch, plus or minus.\n"
            "HS408 2.01 gives a limit as 'plus or minus'.\n"
            "  hint: Give the lowest and the highest number, with the unit the meter shows."
        )
    ]
    reason = "    answered:\n      - {code: HS408, reason: No meter stands here.}\n"
    checked, told = _shipped(_DO, _LOOSE + reason)
    assert checked.may_be_used
    assert told == [
        (
            "preflight.yaml: do: Look at the BATTERY switch, plus or minus.\n"
            "HS408 2.01 gives a limit as 'plus or minus'.\n"
            "  answered: No meter stands here."
        )
    ]
    assert "0 to mend, 0 advice, 1 answered. Read: fit V; list V-PREFLIGHT" in view.text(checked)


def test_an_answer_to_nothing_is_told_at_its_own_line() -> None:
    odd = "{code: HS404, reason: Few enough.}"
    _, told = _shipped("zones:\n", f"answered:\n  - {odd}\n\nzones:\n")
    assert told == [
        (
            f"preflight.yaml: {odd}\n"
            "HS331 This answer to HS404 matches no finding here.\n"
            "  hint: What it answered is mended or stands elsewhere: take it out, or move it there."
        )
    ]
    _, told = _shipped("missions:\n", f"answered: [{odd}]\nmissions:\n", file="fit.yaml")
    assert [line.splitlines()[0] for line in told] == [f"fit.yaml: {odd}]"]


def test_an_answer_without_a_reason_is_refused() -> None:
    _, told = _shipped(_DO, _DO + '    answered: [{code: HS408, reason: ""}]\n')
    assert told == [
        (
            'preflight.yaml: ""}]\n'
            "HS122 steps/safe-battery/answered/#1/reason is an empty text\n"
            "  hint: say it in words, or take it out"
        )
    ]
