"""Findings that an author answered in the file, each with the reason why it stands.

An answer holds for one finding, so that the next one of the same code is told again. Only what
proofs and writing rules find can be answered: a file that cannot be read is mended.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from hardstand.domain.checklist import Answered, Checklist, Fit
from hardstand.domain.finding import Finding

CODES: dict[str, str] = {
    "HS331": "An answer in the file matches no finding.",
    "HS332": "An answer in the file matches more than one finding.",
}

_ANSWERABLE = ("HS3", "HS4")

_Placed = tuple[str, str, Answered]
"""An answer with the step it stands at (empty for a list or fit) and its field there."""


def settled_in_list(findings: Iterable[Finding], checklist: Checklist) -> tuple[Finding, ...]:
    """The findings about a list, those answered with their reason, and what is wrong with answers.

    An answer at a step is about that step, one at the top of the list about the whole of it.
    """
    placed = [("", f"answered.{n}", a) for n, a in enumerate(checklist.answered)]
    placed += [
        (step.id, f"answered.{n}", a) for step in checklist.steps
        for n, a in enumerate(step.answered)
    ]  # fmt: skip
    return _settled(tuple(findings), placed)


def settled_in_fit(findings: Iterable[Finding], fit: Fit) -> tuple[Finding, ...]:
    """The findings about a fit, by all lists of it, settled by the answers in the fit."""
    placed = [("", f"fit.answered.{n}", a) for n, a in enumerate(fit.answered)]
    return _settled(tuple(findings), placed)


def _settled(findings: tuple[Finding, ...], placed: Sequence[_Placed]) -> tuple[Finding, ...]:
    reasons: dict[Finding, str] = {}
    odd: list[Finding] = []
    for step, field, answer in placed:
        met = [f for f in findings if _is_about(answer, step, f)]
        if len(met) == 1:
            reasons.setdefault(met[0], answer.reason)
        else:
            odd.append(_odd(step, field, answer, len(met)))
    return (*(replace(f, reason=reasons.get(f, "")) for f in findings), *odd)


def _is_about(answer: Answered, step: str, found: Finding) -> bool:
    same = (found.code, found.step) == (answer.code, step)
    return same and answer.code.startswith(_ANSWERABLE) and answer.about in found.message


def _odd(step: str, field: str, answer: Answered, met: int) -> Finding:
    if met:
        code, said = "HS332", f"This answer to {answer.code} would answer {met} findings."
        hint = "Answer each by itself: put words of its message under about."
    elif answer.code.startswith(_ANSWERABLE):
        code, said = "HS331", f"This answer to {answer.code} matches no finding here."
        hint = "What it answered is mended or stands elsewhere: take it out, or move it there."
    else:
        code, said = "HS331", f"{answer.code} is not answered in a file."
        hint = "Only HS3 and HS4 codes are; mend the others."
    return Finding(code=code, level="advice", step=step, field=field, message=said, hint=hint)
