"""What a station said of a test call: kept in its words, weighed, never filled in. Pure.

A digit is stored only if the station gave it. One poor report asks for another; another station
than the one called may be two crystals changed over. Source: whole-job C-6, scenarios 26 to 28.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from hardstand.domain.checklist import Step
from hardstand.domain.defects import Refused
from hardstand.domain.readings.frequency import answers_as_called
from hardstand.domain.readings.judged import Judged
from hardstand.domain.readings.report import SCALE, Report, findings, weighed
from hardstand.domain.settled import Settled, kept, pairs
from hardstand.domain.walk import WalkState

NOT_GIVEN, NO_ANSWER = "not given", "no answer"
CHOICES = ("answered", NO_ANSWER)
"""What is picked after a call."""

READABILITY = (*(words for words, _ in SCALE.values()), "no digit was given")
"""What is picked next: the digit pressed is the readability said, 1 to 5."""

ASK_ANOTHER = "Ask another station or channel."


def said(pick: int) -> str:
    """The readability behind a pick: a digit of the scale, or `not given`."""
    return str(pick) if pick <= len(SCALE) else NOT_GIVEN


def line(readability: str, station: str, channel: str, words: str) -> str:
    """A report as one stored line, which `report` reads back."""
    flat = [" ".join(part.replace("|", "/").split()) for part in (station, channel, words)]
    return " | ".join((readability, *flat)).rstrip()


def report(text: str) -> Report | None:
    """The report of a stored line; None if it is none, or nobody is named who gave it."""
    parts = [part.strip() for part in text.split("|")]
    if len(parts) != 4 or parts[0] not in {*SCALE, NOT_GIVEN, NO_ANSWER}:
        return None
    if not parts[1] and parts[0] != NO_ANSWER:
        return None
    readability, station, channel, words = parts
    digit = int(readability) if readability in SCALE else None
    return Report(station=_plain(station), channel=channel, digit=digit, words=words)


def said_last(lines: tuple[str, ...]) -> str:
    """The newest of some reports in words, for an entry; empty where they are no reports."""
    if not lines or report(lines[-1]) is None:
        return ""
    readability, station, _, words = (part.strip() for part in lines[-1].split("|"))
    return f"{station}: {words}".strip(": ") or readability


def _plain(station: str) -> str:
    return " ".join(station.lower().split())


def settle(
    state: WalkState, step: Step, lines: tuple[str, ...], *, by_ear: bool
) -> Settled | Refused:
    """What the reports on one transmitter come to, the newest last.

    Args:
        state: the walk, for the other channels of its list.
        step: the step of the call.
        lines: every report given here, as `line` writes them.
        by_ear: the person says OK to words that came without a digit, or with a finding in them.
    """
    reports = tuple(r for r in map(report, lines) if r is not None)
    if not lines or report(lines[-1]) is None:
        lacks = "station was named" if lines else "report was given"
        return Refused(
            what=f"No {lacks} at step {state.plan.checklist.number(step.id)}",
            hint="Readability as said, the station that answered, its words.",
        )
    other = crossed(state, step, reports[-1])
    judged = weighed(reports)
    if other is not None:
        return _kept(step, lines, judged, "FAULT", "crossed", other=other)
    if judged.verdict == "defect_offered":
        fault = _kept(step, lines, judged, "FAULT", judged.verdict)
        return replace(fault, look_at=(*pointer(state, step), *fault.look_at))
    last = reports[-1]
    found = findings(last.words)
    if judged.verdict == "pass" and (not found or by_ear):
        return _kept(step, lines, judged, "OK", judged.verdict)
    if judged.verdict == "pass":
        named = ", ".join(found)
        return Refused(
            what=f"{named} is a finding, even with a {last.digit}",
            hint="O keeps the words, F is a fault.",
        )
    if by_ear and _heard_well(lines, reports):
        return _kept(step, lines, judged, "OK", NOT_GIVEN)
    return _ask_again(lines[-1], heard=_heard(lines[-1]))


def takes_ear(lines: Sequence[str]) -> bool:
    """Whether OK may be said by ear to the newest of some reports, as `settle` takes it."""
    reports = tuple(r for r in map(report, lines) if r is not None)
    if not lines or report(lines[-1]) is None:
        return False
    return weighed(reports).verdict == "pass" or _heard_well(lines, reports)


def _heard(newest: str) -> bool:
    """Whether words came back, but no digit."""
    return newest.startswith(NOT_GIVEN)


def _heard_well(lines: Sequence[str], reports: Sequence[Report]) -> bool:
    """Whether only words came back each time, and the newest hold no finding."""
    said_so = _heard(lines[-1]) and all(r.digit is None for r in reports)
    return said_so and not findings(reports[-1].words)


def _ask_again(newest: str, *, heard: bool) -> Refused:
    if heard:
        return Refused(
            what="No digit was given; none is stored",
            hint="Ask for it, or O if the words were good.",
        )
    if newest.startswith(NO_ANSWER):
        return Refused(what="No answer is one report", hint=ASK_ANOTHER)
    return Refused(what="Not settled; all reports are kept", hint=ASK_ANOTHER)


def crossed(state: WalkState, step: Step, given: Report) -> Step | None:
    """The step of the channel whose station answered here; None if nobody else's did.

    The set then has two crystals changed over, or the selector stands elsewhere than it shows.
    """
    called = (step.judge or {}).get("called", "")
    if not called or not given.station or _same(called, given.station):
        return None
    others = (s for s in state.plan.steps if s is not step and s.judge)
    return next(
        (s for s in others if _same((s.judge or {}).get("called", ""), given.station)), None
    )


def pointer(state: WalkState, step: Step) -> tuple[str, ...]:
    """What to look at first when this call is bad, by how the calls that share units with it went.

    Two boxes rarely fail together; what they share does. While one is untested the answer is a
    test, not a box. Source: whole-job C-7.
    """
    shared = (step.judge or {}).get("shared", "")
    others = [s for s in state.plan.steps if s is not step and (s.judge or {}).get("shared")]
    others = [s for s in others if shared and (s.judge or {})["shared"] == shared]
    if not others:
        return ()
    waiting = [s for s in others if state.answer(s.id) not in {"OK", "FAULT"}]
    if waiting:
        return (f"call on {(waiting[0].judge or {})['channel']} before anything is opened",)
    if all(state.answer(s.id) == "FAULT" for s in others):
        return (shared,)
    return tuple(p for p in step.proves if p in state.plan.fit.units)


def _same(called: str, answered: str) -> bool:
    return answers_as_called(_plain(called), _plain(answered)) == "pass"


def _both(step: Step, other: Step) -> tuple[str, ...]:
    """What is lost when two channels are changed over: all that both calls would prove of them."""
    return tuple(dict.fromkeys((*step.on_fault.takes, *other.on_fault.takes)))


def _kept(
    step: Step,
    lines: tuple[str, ...],
    judged: Judged,
    answer: str,
    verdict: str,
    *,
    other: Step | None = None,
) -> Settled:
    rule = step.judge or {}
    readability, station, _, _ = (part.strip() for part in lines[-1].split("|"))
    inputs = {k: rule[k] for k in ("called", "channel", "frequency") if k in rule}
    by_ear = "O" if verdict == NOT_GIVEN else ""
    crosses = (other.judge or {}).get("channel", "") if other else ""
    crossing = (f"{station} is called on {crosses}: are two crystals changed over?",)
    evidence = said_last(lines)
    return Settled(
        answer="OK" if answer == "OK" else "FAULT",
        value=readability if readability in SCALE else "",
        unit="readability" if readability in SCALE else "",
        earlier=lines[:-1],
        evidence=evidence,
        detail=evidence,
        limit=judged.limit,
        verdict=verdict,
        basis=judged.basis,
        judged=kept(
            "transmitter_report", **inputs, report=lines[-1], by_ear=by_ear, crosses=crosses
        ),
        takes=_both(step, other) if other else None,
        look_at=crossing if other else judged.look_at if answer != "OK" else (),
    )


def verdict_again(judged: tuple[str, ...], earlier: tuple[str, ...]) -> str:
    """The verdict of stored reports, weighed anew; what a person added to it stands."""
    given = pairs(judged)
    if given.get("crosses"):
        return "crossed"
    lines = (*earlier, given["report"])
    found = weighed(tuple(r for r in map(report, lines) if r is not None)).verdict
    return NOT_GIVEN if found == "ask_again" and given.get("by_ear") else found
