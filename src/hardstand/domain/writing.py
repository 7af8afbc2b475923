"""The writing rules: what a cold reader would trip over, found before anyone walks the list.

Errors where safety hangs on it, advice for the rest. Knows nothing of what the list proves.

Source: human-factors 3 to 5.
"""

from __future__ import annotations

from hardstand.domain import writing_sentences, writing_structure, writing_warnings
from hardstand.domain.checklist import Checklist, Fit
from hardstand.domain.finding import Finding

CODES: dict[str, str] = {
    "HS401": "A danger comes before its warning, or without one.",
    "HS402": "A warning or caution lacks one of its three parts.",
    "HS403": "A warning or caution asks for something to be recorded.",
    "HS404": "There are more warnings than are read.",
    "HS405": "The text reads as if a protection may be defeated.",
    "HS406": "Power or transmission stands behind no gate, or a no leads on to it.",
    "HS407": "What must be counted is not counted.",
    "HS408": "A limit is not two numbers with a unit.",
    "HS409": "A step has no reference.",
    "HS410": "A critical step comes late in its zone.",
    "HS411": "What a critical step guards is not looked at again before the end.",
    "HS412": "A zone is too long, or the list does not end.",
    "HS413": "A step is easily left out.",
    "HS414": "Hands go on before every hazard was found safe.",
    "HS421": "A step does not begin with what to do.",
    "HS422": "A step holds two actions.",
    "HS423": "A sentence or step is too long.",
    "HS424": "A condition is nested or comes after its action.",
    "HS425": "A step is worded by what not to do.",
    "HS426": "A control is not named as on its plate.",
    "HS427": "The verb does not fit the kind of step.",
    "HS428": "A time, a choice or a repeat is left open.",
    "HS429": "A why or a bad says nothing.",
}

_RULES = (*writing_warnings.RULES, *writing_structure.RULES, *writing_sentences.RULES)


def read_cold(checklist: Checklist, fit: Fit) -> tuple[Finding, ...]:
    """Everything the writing rules find, the whole list first, then step by step.

    Raises:
        ValueError: an `after` or a fault names a step that is not where it must be.
    """
    found = [finding for rule in _RULES for finding in rule(checklist, fit)]
    place = {step.id: index for index, step in enumerate(checklist.steps, start=1)}
    found.sort(key=lambda f: (place.get(f.step, 0), f.code, f.field))
    return tuple(found)
