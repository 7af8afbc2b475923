"""Writing rules about danger: warnings where they are needed, whole, few, and nothing unsafe asked.

A list cannot be held to every danger there is. It is held to those its own steps show: what they
switch on, open, climb, key or listen to.

Source: human-factors 4 (WCN-02, 04, 05, 06, 13) and 12, with the manuals named there.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from hardstand.domain.checklist import Checklist, Fit, Peril, Step, Zone
from hardstand.domain.diagnostic import Level
from hardstand.domain.finding import Finding

Raises = Callable[[Checklist, Fit, Step], bool]


@dataclass(frozen=True, slots=True, kw_only=True)
class Topic:
    """A danger that steps show, and the words by which a warning speaks of it.

    The warning stands at the step, before it in its zone, or at the zone's head; with `anywhere`,
    in an earlier zone too. With `each_place` every open panel of a zone needs it of its own, where
    the zone's head does not give it for all.
    """

    about: str
    words: str
    raises: Raises
    anywhere: bool = False
    each_place: bool = False
    level: Level = "error"

    def is_met_by(self, peril: Peril) -> bool:
        """Whether a warning speaks of this danger."""
        text = f"{peril.hazard} {peril.consequence} {peril.avoid}"
        return re.search(self.words, text, re.IGNORECASE) is not None


def _moves(step: Step, fit: Fit, kind: str, *, home: bool = False) -> bool:
    return any(
        fit.items[n].kind == kind and (v == fit.items[n].home) is home
        for n, v in (step.sets or {}).items()
    )


def _energises(_list: Checklist, fit: Fit, step: Step) -> bool:
    return any(fit.items[n].hazard and v != fit.items[n].home for n, v in (step.sets or {}).items())


def _opens(_list: Checklist, fit: Fit, step: Step) -> bool:
    return _moves(step, fit, "access")


def _closes_after_power(checklist: Checklist, fit: Fit, step: Step) -> bool:
    earlier = checklist.steps[: checklist.steps.index(step)]
    return _moves(step, fit, "access", home=True) and any(
        _energises(checklist, fit, s) for s in earlier
    )


def _transmits(_list: Checklist, _fit: Fit, step: Step) -> bool:
    return step.kind == "transmit"


def _starts_fire(checklist: Checklist, fit: Fit, step: Step) -> bool:
    return _energises(checklist, fit, step) or step.kind == "transmit"


def _climbs(_list: Checklist, fit: Fit, step: Step) -> bool:
    return any(
        fit.items[n].kind == "placed"
        and v != fit.items[n].home
        and re.search(r"stand|ladder|steps|platform", fit.items[n].title, re.IGNORECASE)
        for n, v in (step.sets or {}).items()
    )


_SHIFTED = re.compile(r"\b(?:moved?|shift(?:ed)?|roll(?:ed)?|push(?:ed)?)\b", re.IGNORECASE)


def _shifts_a_stand(_list: Checklist, fit: Fit, step: Step) -> bool:
    """Whether work goes on from a stand that was moved in between."""
    asked = (step.must_be or {}).items()
    placed = any(fit.items[n].kind == "placed" and v != fit.items[n].home for n, v in asked)
    return placed and _SHIFTED.search(step.do) is not None


def _at_open_live_set(_list: Checklist, fit: Fit, step: Step) -> bool:
    asked = step.must_be or {}
    away = [fit.items[n] for n, v in asked.items() if v != fit.items[n].home]
    return any(i.hazard for i in away) and any(i.kind == "access" for i in away)


def _at_antenna(checklist: Checklist, _fit: Fit, step: Step) -> bool:
    title = next(z.title for z in checklist.zones if z.id == step.zone)
    return re.search(r"antenna|aerial", title, re.IGNORECASE) is not None


def _listens(_list: Checklist, _fit: Fit, step: Step) -> bool:
    return step.kind == "listen"


def _on_distress(_list: Checklist, _fit: Fit, step: Step) -> bool:
    text = f"{step.do} {step.place} {step.why}"
    return re.search(r"\b(emergency|distress)\b|121\.5", text, re.IGNORECASE) is not None


def _at_dial(_list: Checklist, _fit: Fit, step: Step) -> bool:
    return re.search(r"\bdial\b", f"{step.do} {step.place}", re.IGNORECASE) is not None


def _first_at_aircraft(checklist: Checklist, _fit: Fit, step: Step) -> bool:
    return checklist.purpose == "preflight" and step is checklist.steps[0]


TOPICS: tuple[Topic, ...] = (
    Topic(about="propellers", words=r"propeller|rotor", raises=_first_at_aircraft),
    Topic(about="fuel", words=r"\bfuel", raises=_starts_fire, anywhere=True),
    Topic(about="working alone", words=r"\balone\b", raises=_energises, anywhere=True),
    Topic(
        about="more than one supply", words=r"suppl(y|ies)|sources", raises=_opens, anywhere=True
    ),
    Topic(about="metal and wet hands", words=r"\bmetal\b|\brings\b", raises=_opens, anywhere=True),
    Topic(about="what lies behind the panel", words=r".", raises=_opens),
    Topic(about="live power", words=r".", raises=_energises),
    Topic(about="falls", words=r"\bfalls\b|\bfallen\b|climb|rails", raises=_climbs),
    Topic(about="a stand that is moved", words=r"pushed|is moved", raises=_shifts_a_stand),
    Topic(about="a keyed antenna", words=r"keyed|radiat|\bRF\b", raises=_at_antenna),
    Topic(about="storms", words=r"lightning|storm", raises=_at_antenna, level="advice"),
    Topic(
        about="voltage at the open set", words=r"voltage|terminals", raises=_at_open_live_set,
        each_place=True,
    ),
    Topic(about="hot parts", words=r"\bhot\b", raises=_at_open_live_set, level="advice"),
    Topic(about="noise in the headset", words=r"hearing|\bears\b", raises=_listens, anywhere=True),
    Topic(about="cartridges and squibs", words=r"cartridge|squib|explosive", raises=_transmits),
    Topic(about="radiating", words=r"radiat", raises=_transmits),
    Topic(about="the distress channel", words=r"distress", raises=_on_distress),
    Topic(about="charge left in the set", words=r"charged|discharge", raises=_closes_after_power),
    Topic(about="radium paint", words=r"radium", raises=_at_dial, level="advice"),
)  # fmt: skip


def warnings_stand_before_the_danger(checklist: Checklist, fit: Fit) -> Iterator[Finding]:
    """HS401: each danger is named once, at the latest at the first step of a zone that shows it."""
    for topic in TOPICS:
        told: set[tuple[str, frozenset[str]]] = set()
        for step in checklist.steps:
            place = _open_at(step, fit) if topic.each_place else frozenset[str]()
            if (step.zone, place) in told or not topic.raises(checklist, fit, step):
                continue
            told |= {(z.id, place) for z in checklist.zones if topic.anywhere or z.id == step.zone}
            heard = _heard(checklist, fit, step, topic)
            if not any(topic.is_met_by(p) for p in heard):
                yield _unwarned(checklist, step, topic)


def _open_at(step: Step, fit: Fit) -> frozenset[str]:
    """The panels that must stand open for a step: where its hands are."""
    asked = (step.must_be or {}).items()
    return frozenset(
        n for n, v in asked if fit.items[n].kind == "access" and v != fit.items[n].home
    )


def _heard(checklist: Checklist, fit: Fit, step: Step, topic: Topic) -> Iterator[Peril]:
    """The warnings a person has met when they come to the step."""
    steps = checklist.steps[: checklist.steps.index(step) + 1]
    passed = {s.zone for s in steps} if topic.anywhere else {step.zone}
    for zone in checklist.zones:
        if zone.id in passed:
            yield from zone.warning
    for earlier in steps:
        here = not topic.each_place or _open_at(earlier, fit) == _open_at(step, fit)
        if earlier.zone in passed and here:
            yield from earlier.warning


def _unwarned(checklist: Checklist, step: Step, topic: Topic) -> Finding:
    number = checklist.number(step.id)
    later = (
        checklist.number(s.id)
        for s in checklist.steps[checklist.steps.index(step) + 1 :]
        if topic.words != "." and any(topic.is_met_by(p) for p in s.warning)
    )
    found = next(later, "")
    where = f" One stands at {found}, too late." if found else ""
    return Finding(
        code="HS401",
        level=topic.level,
        step=step.id,
        field="warning",
        message=f"{number} comes with no warning about {topic.about} at or before it.{where}",
        hint="Put it at this step or at the head of its zone.",
    )


_NOTED = re.compile(
    r"(?:^|[.;] |\b(?:and|then) )(?:record|write|enter|note down|log|sign|tick|report|measure)\b",
    re.IGNORECASE,
)


def perils_are_whole_and_ask_nothing(checklist: Checklist, _fit: Fit) -> Iterator[Finding]:
    """HS402, HS403: hazard, consequence, avoidance, none empty; what is recorded is a step."""
    for step, field, peril in _perils(checklist):
        parts = (peril.hazard, peril.consequence, peril.avoid)
        for name, text in zip(("hazard", "consequence", "avoid"), parts, strict=True):
            if not text.strip():
                yield Finding(
                    code="HS402",
                    level="error",
                    step=step,
                    field=f"{field}.{name}",
                    message=f"'{name}' of this {_kind(field)} is empty.",
                    hint="Say what can happen, to whom or what, and how to keep clear of it.",
                )
        if _NOTED.search(". ".join(parts)):
            yield Finding(
                code="HS403",
                level="error",
                step=step,
                field=field,
                message=f"This {_kind(field)} asks for something to be recorded.",
                hint="Make it a step of its own; here say only how to keep clear.",
            )


def _kind(field: str) -> str:
    return "caution" if "caution" in field else "warning"


def _perils(checklist: Checklist) -> Iterator[tuple[str, str, Peril]]:
    """Every warning and caution with its step (empty for a zone's) and its field."""
    for place, zone in enumerate(checklist.zones):
        for kind, group in (("warning", zone.warning), ("caution", zone.caution)):
            for n, peril in enumerate(group):
                yield "", f"zones.{place}.{kind}.{n}", peril
    for step in checklist.steps:
        for kind, group in (("warning", step.warning), ("caution", step.caution)):
            for n, peril in enumerate(group):
                yield step.id, f"{kind}.{n}", peril


def warnings_are_few(checklist: Checklist, _fit: Fit) -> Iterator[Finding]:
    """HS404: none twice in a zone, at most two at a step, at most at a quarter of the steps.

    Source: WCN-06; the numbers are ours.
    """
    warned = [s for s in checklist.steps if s.warning]
    if len(warned) * 4 > len(checklist.steps):
        said = f"{len(warned)} of {len(checklist.steps)} steps carry a warning of their own."
        hint = "Put what holds for a whole zone at its head: each repeat is read less."
        yield Finding(code="HS404", level="advice", step="", field="", message=said, hint=hint)
    for step in warned:
        if len(step.warning) > 2:
            said = f"{checklist.number(step.id)} carries {len(step.warning)} warnings."
            hint = "Keep two, the gravest first; make a gate of the rest or move it to the zone."
            yield Finding(
                code="HS404", level="advice", step=step.id, field="warning", message=said, hint=hint
            )
    for zone in checklist.zones:
        yield from _repeated(checklist, zone)


def _repeated(checklist: Checklist, zone: Zone) -> Iterator[Finding]:
    met = set(zone.warning)
    for step in checklist.steps:
        for peril in step.warning if step.zone == zone.id else ():
            if peril in met:
                yield Finding(
                    code="HS404",
                    level="advice",
                    step=step.id,
                    field="warning",
                    message=f"{checklist.number(step.id)} repeats a warning of its zone.",
                    hint="Give it once, where it is first needed.",
                )
            met.add(peril)


_DEFEAT = re.compile(
    r"\b(?:defeat|bypass|by-pass|overrid|jumper|bridg|short|tap(?:e|ed|ing)\b|wedg|cheat|disabl"
    r"|tie|tying|hold|block|disconnect|remov)\w*(?:\W+\w+){0,4}?\W+"
    r"(?:interlock|safety switch|door switch|cover switch|guard switch)",
    re.IGNORECASE,
)
_ALONE = re.compile(
    r"\bwork\w*\b[^.]*\b(?:energi[sz]ed|live)\b[^.]*\balone\b"
    r"|\b(?:tape|wedge|tie|jam)\b[^.]*\b(?:switch|guard|button)\b[^.]*\b(?:in|down|back|on|shut)\b"
    r"|\b(?:defeat|bypass|by-pass)\w*\b[^.]*\b(?:guard|safety)\b",
    re.IGNORECASE,
)
_DENIED = re.compile(r"\b(?:never|not|nobody|no one|don't|without)\b", re.IGNORECASE)


def nothing_unsafe_is_asked(checklist: Checklist, _fit: Fit) -> Iterator[Finding]:
    """HS405: no interlock defeated, no switch taped, no guard bypassed, no live work alone."""
    for place, zone in enumerate(checklist.zones):
        for field, text in _told(zone):
            yield from _unsafe("", f"zones.{place}.{field}", zone.title, text)
    for step in checklist.steps:
        for field, text in (*_texts(step), *_told(step)):
            yield from _unsafe(step.id, field, checklist.number(step.id), text)


def _unsafe(step: str, field: str, where: str, text: str) -> Iterator[Finding]:
    for sentence in re.split(r"(?<=[.;!?])\s+", text):
        found = _DEFEAT.search(sentence) or _ALONE.search(sentence)
        if found and not _DENIED.search(sentence[: found.end()]):
            yield Finding(
                code="HS405",
                level="error",
                step=step,
                field=field,
                message=f"{where} reads as if a protection may be defeated: '{found[0]}'.",
                hint="Interlocks, guards and the second person stay; write the step without it, "
                "or answer this with the name of who reviewed it.",
            )


def _texts(step: Step) -> Iterator[tuple[str, str]]:
    for field in ("do", "touch", "why", "good", "bad", "sounds_good", "sounds_bad", "evidence"):
        yield field, getattr(step, field)
    for n, cause in enumerate(step.causes):
        yield f"causes.{n}.cause", cause.cause
        yield f"causes.{n}.confirm", cause.confirm


def _told(place: Zone | Step) -> Iterator[tuple[str, str]]:
    """What warnings, cautions and notes tell to do."""
    yield from ((f"note.{n}", text) for n, text in enumerate(place.note))
    for kind, group in (("warning", place.warning), ("caution", place.caution)):
        for n, peril in enumerate(group):
            yield f"{kind}.{n}.avoid", peril.avoid


RULES = (
    warnings_stand_before_the_danger,
    perils_are_whole_and_ask_nothing,
    warnings_are_few,
    nothing_unsafe_is_asked,
)
