"""How a number, a hearing or a report is asked for, and what is told once it was given."""

from __future__ import annotations

from collections.abc import Sequence

from hardstand.domain import hearing, measuring, reporting
from hardstand.domain.asking import Ask, Block
from hardstand.domain.checklist import Cause, Checklist, Step
from hardstand.domain.settled import Settled

SAID = {
    "in": "inside the limits",
    "pass": "inside the limit",
    "low": "below the limits",
    "high": "above the limits",
    "out": "outside the limit",
    "fail": "outside the limit",
    "too_close": "too close to call again: not shown to be out",
    "unknown": "kept, not judged",
}
"""What is told of a verdict on a number."""

GEAR = (
    "yes, it stops: the gear was at fault, not the aircraft",
    "no, it stays",
    "cannot be tried here",
)


def is_call(step: Step) -> bool:
    """Whether a step is answered with what a station said."""
    return (step.judge or {}).get("name", "") == "transmitter_report"


def picks(step: Step) -> tuple[str, ...]:
    """What may be picked by a digit at a step: positions, what is heard, whether one answered."""
    if step.kind == "state":
        return step.states
    return reporting.CHOICES if is_call(step) else hearing.choices(step)


def good_pick(step: Step) -> str:
    """Which of them an aircraft in order would get."""
    if step.kind == "state":
        return step.expect
    return reporting.CHOICES[0] if is_call(step) else hearing.good_hearing(step)


def ident(step: Step | None) -> str:
    """The ident to be heard at a step, where it is judged by its letters."""
    rule = (step.judge or {}) if step is not None else {}
    return rule["expected"] if rule.get("name") == "ident_match" else ""


def keys(step: Step, earlier: Sequence[str]) -> str:
    """The answer keys of a step; OK has none where something is given and judged."""
    judged = step.kind in {"reading", "count"} or bool(picks(step))
    by_ear = is_call(step) and reporting.takes_ear(earlier)
    return ("" if judged and not by_ear else "O") + "FSNU"


def prompt(step: Step, earlier: Sequence[str]) -> str:
    """What a step asks for, in the unit of its meter."""
    if step.kind == "state":
        return "What do you see?"
    if step.kind == "reading":
        return measuring.next_prompt(step, tuple(earlier))
    if step.kind == "count":
        return f"How many, {step.unit or 'pieces'}:"
    if is_call(step):
        return "What came back?"
    return "What do you hear?" if picks(step) else "Answer:"


def confirm_prompt(step: Step) -> str:
    """The question behind a critical answer: of the sense that it was given by."""
    if is_call(step):
        return "Is that what came back?"
    sensed = {"state": "see", "listen": "hear", "reading": "read", "count": "counted"}
    return f"Is that what you {sensed.get(step.kind, 'found')}?"


def limit_before(step: Step) -> str:
    """The limit as shown before the number is given: nothing where the number comes first.

    Source: human-factors ANS-03; a critical reading is always taken first.
    """
    if step.kind != "reading" or step.read_first or step.critical:
        return ""
    words = measuring.limit_words(step)
    return f"Limit: {words}." if words else ""


def told(step: Step, found: Settled) -> str:
    """What is told once something was given and judged; empty where there is nothing to say."""
    said = []
    if found.limit and step.kind == "reading":
        verdict = SAID.get(found.verdict, found.verdict)
        why = f" ({found.words})" if found.words else ""
        said.append(f"{found.value} {found.unit}: {verdict}{why}. Limit: {found.limit}.")
    elif found.verdict in {"GOOD", "FAULT", "HALF PROVEN", "NOT TESTED"}:
        said.append(f"Range filter: {found.verdict}.")
    said += [f"{w[:1].upper()}{w[1:]}{'' if w.endswith('?') else '.'}" for w in _aims(found)]
    return " ".join(said)


def _aims(found: Settled) -> tuple[str, ...]:
    """What to look at next, where the answer leaves something to look at."""
    if found.answer == "OK" and not found.undone and found.verdict != "GOOD":
        return ()
    words = tuple(w.rstrip(".") for w in found.look_at)
    aimed = found.answer == "FAULT"
    return tuple(f"look first at: {w}" if aimed and " before " not in w else w for w in words)


def readability_ask() -> Ask:
    """How readable the call was, in the digit that was said and in no other."""
    return Ask(
        blocks=(Block(kind="do", text="Readability, the digit that was said. None said? 6."),),
        choices=reporting.READABILITY,
        prompt="Readability:",
    )


def station_ask(checklist: Checklist) -> Ask:
    """Which station answered: any that the list calls, or another in words; none suggested."""
    called = [(s.judge or {}).get("called", "") for s in checklist.steps]
    known = tuple(dict.fromkeys(name for name in called if name))
    return Ask(
        blocks=(Block(kind="do", text="Which station answered? As it named itself."),),
        choices=known[:8],
        typed="text",
        prompt="Station, or a digit:",
    )


def words_ask() -> Ask:
    """What the station said, whole."""
    return Ask(blocks=(), typed="text", prompt="Its words as said (Enter = no more):")


def channel_ask(step: Step) -> Ask:
    """On what a further report was given, where it may be another channel."""
    own = (step.judge or {}).get("channel", "")
    return Ask(blocks=(), typed="text", prompt=f"On which set or channel? (Enter = {own})")


def gear_ask(cause: Cause) -> Ask:
    """The test gear is tried before a unit is blamed. Source: scenario 31."""
    text = f"Try this before a unit is blamed: {cause.cause}. Is it so: {cause.confirm}?"
    return Ask(blocks=(Block(kind="do", text=text),), choices=GEAR, prompt="Tried:")
