"""The verdict of a stored answer, reckoned anew from nothing but what is stored with it. Pure."""

from __future__ import annotations

from hardstand.domain import hearing, measuring, reporting
from hardstand.domain.bodies import StepAnswered
from hardstand.domain.readings.morse import ident_match
from hardstand.domain.settled import pairs


def verdict_again(body: StepAnswered) -> str:
    """The verdict that follows from the inputs kept with an answer; empty where none is kept.

    Raises:
        Usage: the judgement is none of this version, or an input cannot be read.
    """
    if not body.judged:
        return ""
    match body.judged[0]:
        case "range_filter":
            return hearing.verdict_again(body.judged)
        case "transmitter_report":
            return reporting.verdict_again(body.judged, body.earlier)
        case "ident_match":
            given = pairs(body.judged)
            return ident_match(expected=given["expected"], heard=given["heard"]).verdict
        case _:
            return measuring.verdict_again(body.judged)
