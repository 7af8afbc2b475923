"""Answers in the file: each holds for one finding, and an odd one is told."""

from __future__ import annotations

from dataclasses import replace

from domain.proofs.sound_list import FIT, SOUND, with_step
from hardstand.domain.answered import settled_in_fit, settled_in_list
from hardstand.domain.checklist import Answered, Checklist
from hardstand.domain.codes import CODES
from hardstand.domain.diagnostic import Level
from hardstand.domain.finding import Finding


def _found(code: str, step: str, message: str, *, level: Level = "error") -> Finding:
    return Finding(code=code, level=level, step=step, field="do", message=message, hint="do so")


LATE = _found("HS410", "mast", "3.02 is critical, but comes 2 of 3 in its zone.")
HOT = _found("HS401", "mast", "3.02 comes with no warning about hot parts.")
RADIUM = _found("HS401", "mast", "3.02 comes with no warning about radium paint.")
LONG = _found("HS404", "", "12 of 45 steps carry a warning of their own.", level="advice")


def _answering(*answers: Answered, step: str = "mast") -> Checklist:
    return with_step(step, answered=answers)


def _told(found: tuple[Finding, ...]) -> list[tuple[str, str, str, str]]:
    return [(f.code, f.step, f.message, f.reason) for f in found]


def test_an_answer_at_the_step_settles_the_finding_and_leaves_the_others() -> None:
    answer = Answered(code="HS410", reason="The stand must be up first.")
    settled = settled_in_list([LATE, HOT], _answering(answer))
    assert settled == (replace(LATE, reason="The stand must be up first."), HOT)


def test_an_answer_at_another_step_settles_nothing_and_is_told() -> None:
    answer = Answered(code="HS410", reason="The stand must be up first.")
    settled = settled_in_list([LATE], _answering(answer, step="climb"))
    assert settled[0] == LATE
    assert settled[1:] == (
        Finding(
            code="HS331",
            level="advice",
            step="climb",
            field="answered.0",
            message="This answer to HS410 matches no finding here.",
            hint="What it answered is mended or stands elsewhere: take it out, or move it there.",
        ),
    )


def test_an_answer_that_would_hold_for_two_findings_holds_for_none() -> None:
    settled = settled_in_list([HOT, RADIUM], _answering(Answered(code="HS401", reason="Cold.")))
    assert settled[:2] == (HOT, RADIUM)
    assert settled[2:] == (
        Finding(
            code="HS332",
            level="advice",
            step="mast",
            field="answered.0",
            message="This answer to HS401 would answer 2 findings.",
            hint="Answer each by itself: put words of its message under about.",
        ),
    )


def test_words_of_the_message_say_which_of_two_is_answered() -> None:
    answer = Answered(code="HS401", about="hot parts", reason="The set is cold here.")
    settled = settled_in_list([HOT, RADIUM], _answering(answer))
    assert settled == (replace(HOT, reason="The set is cold here."), RADIUM)


def test_an_answer_at_the_top_of_the_list_is_about_the_whole_list_only() -> None:
    answer = Answered(code="HS404", reason="Each was asked for by the local rules.")
    listed = replace(SOUND, answered=(answer, Answered(code="HS410", reason="So be it.")))
    assert _told(settled_in_list([LONG, LATE], listed)) == [
        ("HS404", "", LONG.message, "Each was asked for by the local rules."),
        ("HS410", "mast", LATE.message, ""),
        ("HS331", "", "This answer to HS410 matches no finding here.", ""),
    ]


def test_what_makes_a_file_unreadable_cannot_be_answered() -> None:
    found = settled_in_list([], _answering(Answered(code="HS222", reason="Two is fine.")))
    assert [(f.message, f.hint) for f in found] == [
        ("HS222 is not answered in a file.", "Only HS3 and HS4 codes are; mend the others."),
    ]


def test_an_answer_in_the_fit_is_placed_in_the_fit() -> None:
    alike = Finding(
        code="HS323", level="advice", step="", field="fit.units.SET",
        message="If one of SET, DYN failed, the checks could not tell which.", hint="",
    )  # fmt: skip
    kit = replace(
        FIT,
        answered=(
            Answered(code="HS323", about="SET", reason="One box in the workshop's book."),
            Answered(code="HS321", reason="Nothing."),
        ),
    )
    told = settled_in_fit([alike], kit)
    assert [(f.code, f.field, f.reason) for f in told] == [
        ("HS323", "fit.units.SET", "One box in the workshop's book."),
        ("HS331", "fit.answered.1", ""),
    ]


def test_one_table_holds_every_code_in_order_and_no_module_has_another() -> None:
    from hardstand.domain import answered, coverage, diagnostic, ledger_proof, order, writing

    assert list(CODES) == sorted(CODES)
    parts = (diagnostic, ledger_proof, order, coverage, answered, writing)
    assert sum(len(part.CODES) for part in parts) == len(CODES)
