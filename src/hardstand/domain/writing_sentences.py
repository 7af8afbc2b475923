"""Writing rules about sentences: one action, verb first, short, positive, in the plate's words.

All are advice: a sentence is judged by patterns, and a person may know better.

Source: human-factors 5 (AUT-01 to 07, 13 to 16) and 1 (ANS-15, 17).
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from hardstand.domain.checklist import Checklist, Fit, Peril, Step, Zone
from hardstand.domain.finding import Finding
from hardstand.domain.writing_vocabulary import ALSO_NOUNS, SMALL_WORDS, VERBS

_KINDS_OF_VERB: dict[str, tuple[str, ...]] = {
    "listen": ("listen",),
    "hear": ("listen",),
    "count": ("count",),
    "record": ("record",),
    "write": ("record",),
    "measure": ("reading",),
    "look": ("look", "state", "gate"),
    "check": ("look", "listen", "state", "reading", "gate"),
    "set": ("set", "state"),
    "transmit": ("transmit",),
}
DO_WORDS, TEXT_WORDS, WARNING_WORDS, DO_LENGTH = 20, 25, 20, 180
"""Longest sentence of a step, of an explanation, of a warning; longest step, three lines of 60.

Source: ASD-STE100, from memory; human-factors 12 for warnings.
"""


def _words(text: str) -> list[str]:
    return re.findall(r"[^\s]+", re.sub(r"\{[^}]*\}", "it", text))


def _sentences(text: str) -> list[str]:
    return [s for s in re.split(r"(?<=[.!?;])\s+", text.strip()) if s]


def _first(sentence: str) -> str:
    words = _words(sentence)
    return words[0].strip(",.;:").lower() if words else ""


def _advice(code: str, step: Step, field: str, message: str, hint: str) -> Finding:
    return Finding(code=code, level="advice", step=step.id, field=field, message=message, hint=hint)


def a_verb_comes_first(checklist: Checklist, _fit: Fit) -> Iterator[Finding]:
    """HS421: a step begins with its command, or with the condition for it."""
    for step in checklist.steps:
        if _first(step.do) not in {*VERBS, "if", "when"}:
            said = f"{checklist.number(step.id)} does not begin with what to do: '{step.do}'"
            yield _advice("HS421", step, "do", said, "Begin with a command verb, or If or When.")


def one_action_a_step(checklist: Checklist, _fit: Fit) -> Iterator[Finding]:
    """HS422: one answer belongs to one action. A hold that pairs two is written with while."""
    for step in checklist.steps:
        sentences = _sentences(step.do)
        second = [s for s in sentences[1:] if _first(s) in VERBS]
        second += re.findall(r"\bthen\b.*", step.do, re.IGNORECASE)
        for joined in re.findall(r"\band\s+([A-Za-z-]+)", step.do):
            if joined.lower() in VERBS - ALSO_NOUNS:
                second.append(f"and {joined}")
        if second:
            said = f"{checklist.number(step.id)} holds two actions: '{second[0]}'."
            yield _advice("HS422", step, "do", said, "Make two steps, each with its own answer.")


def sentences_are_short(checklist: Checklist, _fit: Fit) -> Iterator[Finding]:
    """HS423: 20 words for a step or a warning, 25 for an explanation, three lines a step."""
    for place, zone in enumerate(checklist.zones):
        for kind, perils in (("warning", zone.warning), ("caution", zone.caution)):
            for n, peril in enumerate(perils):
                where = f"zones.{place}.{kind}.{n}"
                yield from _long_peril("", where, peril, zone)
    for step in checklist.steps:
        number = checklist.number(step.id)
        if len(step.do) > DO_LENGTH:
            said = f"{number} is {len(step.do)} characters long; {DO_LENGTH} fill three lines."
            yield _advice("HS423", step, "do", said, "Move the how to good, bad or a note.")
        texts = [("do", step.do, DO_WORDS)]
        texts += [(f, getattr(step, f), TEXT_WORDS) for f in ("why", "good", "bad")]
        texts += [(f"note.{n}", text, TEXT_WORDS) for n, text in enumerate(step.note)]
        for field, text, most in texts:
            for sentence in _sentences(text):
                if len(_words(sentence)) > most:
                    said = f"{number} has a sentence of {len(_words(sentence))} words in {field}."
                    yield _advice("HS423", step, field, said, f"Cut it: at most {most} words.")
        for kind, perils in (("warning", step.warning), ("caution", step.caution)):
            for n, peril in enumerate(perils):
                yield from _long_peril(step.id, f"{kind}.{n}", peril, None)


def _long_peril(step: str, field: str, peril: Peril, zone: Zone | None) -> Iterator[Finding]:
    for name in ("hazard", "consequence", "avoid"):
        for sentence in _sentences(getattr(peril, name)):
            if len(_words(sentence)) > WARNING_WORDS:
                where = f"at the head of {zone.title}" if zone else "here"
                yield Finding(
                    code="HS423",
                    level="advice",
                    step=step,
                    field=f"{field}.{name}",
                    message=f"'{name}' {where} has a sentence of {len(_words(sentence))} words.",
                    hint=f"Cut it: at most {WARNING_WORDS} words.",
                )


def conditions_come_first_and_alone(checklist: Checklist, _fit: Fit) -> Iterator[Finding]:
    """HS424: the condition stands before the action, and there is one."""
    for step in checklist.steps:
        found = re.findall(r"\b(?:if|when|unless|provided)\b", step.do, re.IGNORECASE)
        number = checklist.number(step.id)
        if len(found) > 1:
            said = f"{number} puts one condition inside another."
            yield _advice("HS424", step, "do", said, "Make two steps, or use applies_if.")
        elif found and _first(step.do) not in {"if", "when"}:
            said = f"{number} gives its condition after the action: '{found[0]}'."
            yield _advice("HS424", step, "do", said, "Put If or When first, then the action.")


_NEGATIVE = re.compile(r"\bexcept\b|\bunless\b|\b(?:do not|don't|not)\b.*\buntil\b", re.IGNORECASE)


def wording_is_positive(checklist: Checklist, _fit: Fit) -> Iterator[Finding]:
    """HS425: what to do, not what to leave; and no question that asks for a no."""
    for step in checklist.steps:
        number = checklist.number(step.id)
        if found := _NEGATIVE.search(step.do):
            said = f"{number} is worded by exception: '{found[0]}'."
            yield _advice("HS425", step, "do", said, "Say what to do and where.")
        if "?" in step.do and re.search(r"\b(?:no|not|un\w+|free of)\b", step.do, re.IGNORECASE):
            said = f"{number} asks a question that means no when all is well."
            yield _advice("HS425", step, "do", said, "Ask what is seen at the place.")


_NOUNS = r"(?:switch|knob|lever|button|selector|control)"


def controls_are_named_as_on_the_plate(checklist: Checklist, fit: Fit) -> Iterator[Finding]:
    """HS426: one name a control, spelled as on its plate."""
    plates = {c.plate for c in fit.controls.values()}
    for step in checklist.steps:
        for plate in sorted(plates):
            words = r"[\s-]?".join(re.escape(w) for w in re.split(r"[\s-]", plate))
            plain = rf"\b{words}\b" if re.search(r"[\s-]", plate) else rf"\b{words}(?= {_NOUNS}\b)"
            for field in ("do", "touch", "place"):
                for found in re.findall(plain, getattr(step, field), re.IGNORECASE):
                    if found not in plates:
                        said = f"{checklist.number(step.id)} writes '{found}'."
                        yield _advice("HS426", step, field, said, f"The plate says {plate}.")


def verbs_fit_the_kind_of_step(checklist: Checklist, _fit: Fit) -> Iterator[Finding]:
    """HS427: check is hands off, verify may touch, set changes, record writes down."""
    for step in checklist.steps:
        verb = _first(step.do)
        kinds = _KINDS_OF_VERB.get(verb)
        number = checklist.number(step.id)
        if kinds and step.kind not in kinds:
            said = f"{number} says {verb}, but its kind is {step.kind}."
            yield _advice("HS427", step, "kind", said, f"{verb} goes with: {', '.join(kinds)}.")
        elif verb == "check" and step.touch:
            said = f"{number} says check, which is hands off, and has a touch."
            yield _advice("HS427", step, "do", said, "Say verify, or take the touch out.")


def times_choices_and_repeats_say_how(checklist: Checklist, _fit: Fit) -> Iterator[Finding]:
    """HS428: what to do when a time is missed; one of what; how often and when to stop."""
    for step in checklist.steps:
        number = checklist.number(step.id)
        told = " ".join((step.bad, *step.note))
        if re.search(r"\b(?:within|by the end of|no later than)\b", step.do, re.IGNORECASE) and (
            not re.search(r"\b(?:missed|too late|late|over|if)\b", told, re.IGNORECASE)
        ):
            said = f"{number} has a time to keep, and nothing says what to do when it is missed."
            yield _advice("HS428", step, "note", said, "Say it in a note.")
        if re.search(r"\beither\b|\band/or\b", step.do, re.IGNORECASE):
            said = f"{number} leaves a choice without saying one of."
            yield _advice("HS428", step, "do", said, "Write one of, and answer for that one.")
        if re.search(
            r"\b(?:repeat|repeatedly|several times|a few times|some times)\b",
            step.do,
            re.IGNORECASE,
        ) and not re.search(r"\d|\b(?:once|twice|three|four|five|six|until)\b", step.do):
            said = f"{number} repeats without a number."
            yield _advice("HS428", step, "do", said, "Say how often, or when to stop.")


_VAGUE = re.compile(
    r"(?:not good|bad|not ok|wrong|faulty|defective|damaged?|broken|anything else|otherwise"
    r"|not as above|a fault|any fault|unserviceable)\W*",
    re.IGNORECASE,
)


def why_and_bad_teach_something(checklist: Checklist, _fit: Fit) -> Iterator[Finding]:
    """HS429: why gives a reason, not the step again; bad shows one thing that can be seen."""
    for step in checklist.steps:
        number = checklist.number(step.id)
        if _likeness(step.do, step.why) >= 0.6:
            said = f"{number} says why in the words of the step."
            yield _advice("HS429", step, "why", said, "Say what goes wrong without it, or drop it.")
        if _VAGUE.fullmatch(step.bad.strip()) or len(_words(step.bad)) < 2:
            said = f"{number} does not say what bad looks like: '{step.bad.strip()}'."
            yield _advice("HS429", step, "bad", said, "Name one thing that was found here before.")


def _likeness(one: str, other: str) -> float:
    """The share of the words of either text that stand in both, small words aside."""
    sets = [
        {w.strip(".,;:!?'\"").lower() for w in _words(text)} - SMALL_WORDS - {""}
        for text in (one, other)
    ]
    union = sets[0] | sets[1]
    return len(sets[0] & sets[1]) / len(union) if union else 0.0


RULES = (
    a_verb_comes_first,
    one_action_a_step,
    sentences_are_short,
    conditions_come_first_and_alone,
    wording_is_positive,
    controls_are_named_as_on_the_plate,
    verbs_fit_the_kind_of_step,
    times_choices_and_repeats_say_how,
    why_and_bad_teach_something,
)
