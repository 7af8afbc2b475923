"""What a proof found is put at its line, in the list or in the fit."""

from __future__ import annotations

from formats.small_files import FIT, LIST
from hardstand.domain.diagnostic import Diagnostic
from hardstand.domain.finding import Finding
from hardstand.formats import checklist_yaml, fit_yaml
from hardstand.formats.proof_places import in_fit, in_list


def _placed(step: str, field: str) -> tuple[str, int, int]:
    found = Finding(code="HS301", level="advice", step=step, field=field, message="so", hint="do")
    told: tuple[Diagnostic, ...] = (
        in_fit(fit_yaml.read("fit.yaml", FIT.encode()), [found])
        if field.startswith("fit.")
        else in_list(checklist_yaml.read("list.yaml", LIST.encode()), [found])
    ).findings
    assert [(d.code, d.level, d.message, d.hint) for d in told] == [("HS301", "advice", "so", "do")]
    return (told[0].file, told[0].line, told[0].column)


def test_a_field_of_a_step_is_placed_at_its_key() -> None:
    assert _placed("open", "sets") == ("list.yaml", 42, 5)


def test_a_dotted_field_of_a_step_is_placed_at_the_value_it_leads_to() -> None:
    assert _placed("meter", "on_fault.symptoms.1") == ("list.yaml", 65, 75)
    assert _placed("meter", "accept.high") == ("list.yaml", 53, 23)
    assert _placed("open", "sets.panel") == ("list.yaml", 42, 12)
    assert _placed("open", "sets.no.such") == ("list.yaml", 42, 5)


def test_an_answered_finding_carries_its_reason_to_its_place() -> None:
    found = Finding(
        code="HS410", level="error", step="open", field="do", message="late", reason="By order."
    )
    (told,) = in_list(checklist_yaml.read("list.yaml", LIST.encode()), [found]).findings
    assert told.answered
    assert told.text() == "list.yaml:40:5: HS410 late\n  answered: By order."


def test_a_step_is_placed_where_it_begins() -> None:
    assert _placed("open", "") == ("list.yaml", 37, 5)


def test_a_field_the_step_leaves_out_is_placed_at_the_step() -> None:
    assert _placed("open", "proves") == ("list.yaml", 37, 5)


def test_the_whole_list_is_placed_at_its_start_and_a_field_at_its_key() -> None:
    assert _placed("", "") == ("list.yaml", 1, 1)
    assert _placed("", "steps") == ("list.yaml", 12, 1)
    assert _placed("", "zones.1.title") == ("list.yaml", 10, 15)


def test_keys_of_the_fit_may_hold_points_themselves() -> None:
    assert _placed("", "fit.functions.v.rx") == ("fit.yaml", 8, 3)
    assert _placed("", "fit.functions.v.tx.fed_by.1") == ("fit.yaml", 9, 42)
    assert _placed("", "fit.items.battery.actions.0.to") == ("fit.yaml", 17, 21)
    assert _placed("", "fit.nothing.such") == ("fit.yaml", 1, 1)
