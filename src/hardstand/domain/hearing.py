"""What is heard at a listening step: the four positions of the range filter, and idents. Pure.

The four hearings are four steps, so that nothing heard waits in memory; the last of them settles
all. Source: whole-job C-5, scenarios 24 and 29.
"""

from __future__ import annotations

from collections.abc import Mapping

from hardstand.domain.checklist import Step
from hardstand.domain.defects import Refused
from hardstand.domain.readings.judged import Judged
from hardstand.domain.readings.morse import ident_match
from hardstand.domain.readings.range_filter import (
    FAULT,
    HALF_PROVEN,
    NOT_TESTED,
    PARTS,
    REPEAT,
    Heard,
    judged_filter,
    parts,
)
from hardstand.domain.settled import Settled, kept, pairs
from hardstand.domain.walk import WalkState
from hardstand.errors import Usage

READS = ("BOTH", "RANGE", "VOICE", "BOTH_again")
"""The positions in the order they are listened to; BOTH first and last is the control."""

_PLAIN: Mapping[str, Heard] = {
    "code and voice": Heard(code="yes", voice="yes"),
    "code alone": Heard(code="yes", voice="no"),
    "voice alone": Heard(code="no", voice="yes"),
    "nothing": Heard(code="no", voice="no"),
}
WORDS: Mapping[str, Mapping[str, Heard]] = {
    "BOTH": _PLAIN,
    "RANGE": {
        **_PLAIN,
        "code, faint voice": Heard(code="yes", voice="faint"),
        "faint code alone": Heard(code="faint", voice="no"),
    },
    "VOICE": {
        **_PLAIN,
        "voice, faint code": Heard(code="faint", voice="yes"),
        "faint voice alone": Heard(code="no", voice="faint"),
    },
    "BOTH_again": _PLAIN,
}
"""What can be heard in each position, as it is picked and stored."""

REASON = {
    ("00", NOT_TESTED): "no station on the air",
    ("10", HALF_PROVEN): "nobody was talking",
    ("01", HALF_PROVEN): "no code was sent",
}
"""Why a filter is not wholly tested, by what was on the air."""


def choices(step: Step) -> tuple[str, ...]:
    """What may be picked at a hearing of the range filter; nothing at other steps."""
    rule = step.judge or {}
    return tuple(WORDS[rule["reads"]]) if rule.get("name") == "range_filter" else ()


def good_hearing(step: Step) -> str:
    """What is heard there on a filter that works, while code and voice are on the air."""
    return {"RANGE": "code alone", "VOICE": "voice alone"}.get(
        (step.judge or {}).get("reads", ""), "code and voice"
    )


def hear(state: WalkState, step: Step, heard: str) -> Settled | Refused:
    """What one hearing comes to: noted, or with the last one all four settled.

    Where the station changed in between, the last hearing is the first of the next round.
    """
    rule = step.judge or {}
    if heard not in choices(step):
        return Refused(
            what=f"step {step.id} is answered with what is heard",
            hint=f"Heard: {', '.join(choices(step))}.",
        )
    if rule["reads"] != READS[-1]:
        note = kept("range_filter", reads=rule["reads"], heard=heard)
        return Settled(answer="OK", state=heard, verdict="noted", judged=note)
    steps = positions(state)
    given = {reads: _heard(state, one) for reads, one in steps.items()}
    silent = [one for reads, one in steps.items() if reads != READS[-1] and not given[reads]]
    if silent or len(steps) < len(READS):
        named = state.plan.checklist.number(silent[0].id) if silent else "one of them"
        return Refused(
            what=f"the four positions are judged together, and {named} was not heard",
            hint="Z takes the last answer back; S skips this step with a reason.",
        )
    return _settled(state, step, {**given, READS[-1]: heard})


def positions(state: WalkState) -> dict[str, Step]:
    """The steps of the range filter in this walk, by what they read."""
    return {
        s.judge["reads"]: s
        for s in state.plan.steps
        if s.judge and s.judge["name"] == "range_filter"
    }


def _heard(state: WalkState, step: Step) -> str:
    given = state.given.get(step.id)
    return given.body.state if given else ""


def judged_words(heard: Mapping[str, str]) -> tuple[Judged, Mapping[str, str], str]:
    """The verdict on four hearings in words, what it says of each part, what was on the air."""
    first, ranged, voiced, last = (WORDS[reads][heard[reads]] for reads in READS)
    on_air = first.bits(code_passes=True, voice_passes=True)
    found = parts(
        on_air,
        ranged.bits(code_passes=True, voice_passes=False),
        voiced.bits(code_passes=False, voice_passes=True),
        last.bits(code_passes=True, voice_passes=True),
    )
    return judged_filter(first, ranged, voiced, last), found, on_air


def _settled(state: WalkState, step: Step, heard: Mapping[str, str]) -> Settled:
    judged, found, on_air = judged_words(heard)
    record = kept("range_filter", **heard)
    if judged.verdict == REPEAT:
        first, ranged, voiced, _ = (positions(state)[reads].id for reads in READS)
        return Settled(
            answer="OK",
            step=first,
            state=heard[READS[-1]],
            verdict="noted",
            words="taken again: what was on the air changed",
            judged=kept("range_filter", reads=READS[0], heard=heard[READS[-1]]),
            undone=(ranged, voiced),
            look_at=("what was on the air changed: take the other two positions again",),
        )
    rule = step.judge or {}
    proved = tuple(rule[p] for p in PARTS if found[p] == "good" and p in rule)
    bad = tuple(rule[p] for p in PARTS if found[p] == "bad" and p in rule)
    untested = judged.verdict in {NOT_TESTED, HALF_PROVEN}
    where = rule.get("voice_from", "") if on_air == "10" else rule.get("code_from", "")
    return Settled(
        answer="FAULT" if judged.verdict == FAULT else "SKIPPED" if untested else "OK",
        state=heard[READS[-1]],
        detail="; ".join(f"{reads.replace('_', ' ')}: {heard[reads]}" for reads in READS),
        reason=REASON.get((on_air, judged.verdict), ""),
        limit=judged.limit,
        verdict=judged.verdict,
        basis=f"{step.ref}. {judged.basis}",
        judged=record,
        proved=proved,
        takes=bad if bad else None,
        look_at=(*judged.look_at, *((f"heard there: {where}",) if where and untested else ())),
    )


def verdict_again(judged: tuple[str, ...]) -> str:
    """The verdict of stored hearings, reckoned anew."""
    given = pairs(judged)
    return "noted" if "reads" in given else judged_words(given)[0].verdict


def identify(step: Step, typed: str) -> Settled | Refused:
    """Whether the ident heard is that of the list; another one answers nothing."""
    expected = (step.judge or {})["expected"]
    try:
        judged = ident_match(expected=expected, heard=typed.strip())
    except Usage as refusal:
        return Refused(what=refusal.what, hint="Give its letters, or its dots and dashes.")
    if judged.verdict != "match":
        return Refused(
            what=f"{typed.strip()} is not the ident that the list gives",
            hint=f"{judged.look_at[0].capitalize()}. S: station not identified.",
        )
    return Settled(
        answer="OK",
        evidence=typed.strip(),
        limit=f"ident {expected}",
        verdict=judged.verdict,
        basis=step.ref,
        judged=kept("ident_match", expected=expected, heard=typed.strip()),
    )
