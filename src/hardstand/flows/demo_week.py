"""The Quennock week, played through the real flows: invented data, no chance, same lines always.

Times are local, UTC-3 all year. Steps are answered evenly between a walk's start and end; an
entry's own time wins, order kept.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal
from typing import Protocol

from hardstand import __version__
from hardstand.domain import measuring
from hardstand.domain.bodies import By, Outcome
from hardstand.domain.checklist import COUNTED, Step
from hardstand.domain.defects import Refused
from hardstand.domain.hearing import good_hearing
from hardstand.domain.quantity import Instant, later, parse_instant, seconds_between
from hardstand.domain.walk import WalkState
from hardstand.errors import Usage
from hardstand.flows.adopting import adopt, begin_record, lists, the_fleet
from hardstand.flows.logging_defects import Told, act, raise_defect
from hardstand.flows.papers import papers
from hardstand.flows.playing import Script, play
from hardstand.flows.recording import Pen
from hardstand.flows.starting import plan_of
from hardstand.ports import Clock, Journal


class Settable(Clock, Protocol):
    """A clock that a script may put to a time."""

    at: Instant


Opened = Callable[[str], Journal]
MakeClock = Callable[[Instant], Settable]


@dataclass(frozen=True, slots=True, kw_only=True)
class Walked:
    """One walk of the week: who on what, and the steps answered otherwise than well.

    `odd` maps a step to its line in the script and, where it has one, the entry's own time.
    """

    tail: str
    who: str
    device: str
    start: str
    end: str
    odd: Mapping[str, tuple[str, str, str]]
    taken: tuple[str, ...] = ()
    stops: Outcome | None = None
    stop_words: str = ""
    stops_at: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """An entry raised outside a walk."""

    at: str
    device: str
    by: str
    tail: str
    told: Told


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """An act on an entry outside a walk."""

    at: str
    device: str
    by: str
    number: str
    deed: str
    words: tuple[str, ...]


Event = Walked | Written | Done

BEGIN = "2026-11-01T09:00-03:00"
"""When the record begins: the fleet and the lists are taken in."""

DIALS: Mapping[str, tuple[str, str]] = {
    "L-2201": ("0.0020", "0"), "L-2204": ("-0.0030", "0"), "L-2207": ("0.0010", "0.5"),
    "L-2213": ("0.0045", "0"), "L-2216": ("0.0085", "0"), "A-2401": ("0.0010", "0"),
    "A-2404": ("-0.0020", "0"), "A-2407": ("0.0030", "0"), "A-2410": ("0.0015", "5"),
    "A-2413": ("-0.0010", "0"), "A-2416": ("0.0048", "0"), "B-2601": ("0.0005", "0"),
    "B-2604": ("0.0015", "0"), "B-2607": ("-0.0025", "0"), "B-2610": ("0.0020", "0"),
    "B-2613": ("0.0010", "0"), "B-2616": ("-0.0040", "0"),
}  # fmt: skip
"""Error of each receiver's dial: reading = true × (1 + p) + q, to the graduation."""

EVENTS: tuple[Event, ...] = (
    Written(at="2027-01-20T09:00-03:00", device="S", by="BTR", tail="QM-110",
            told=Told(words="LF receiver dial lamp out", unit="RX-LF")),
    Written(at="2027-02-19T14:00-03:00", device="S", by="MS", tail="QM-170",
            told=Told(words="in work, not radio: wing tip repair", symbol="X")),
    Written(at="2027-03-02T16:00-03:00", device="S", by="YB", tail="QM-164",
            told=Told(words="channel 4 crystals not fitted", unit="TR-V", takes="ch4")),
    Walked(tail="QM-107", who="IO/BT", device="A", start="2027-03-08T04:35-03:00",
           end="2027-03-08T05:24-03:00", odd={
               "filter-stays": ("DOES NOT STAY", "range filter switch does not stay in VOICE",
                                "2027-03-08T05:09-03:00")}),
    Walked(tail="QM-101", who="NH", device="B", start="2027-03-08T04:40-03:00",
           end="2027-03-08T05:26-03:00", odd={}),
    Walked(tail="QM-161", who="YB", device="C", start="2027-03-08T04:50-03:00",
           end="2027-03-08T05:16-03:00", odd={
               "op-call-3": ("SKIPPED no station on watch", "", "2027-03-08T05:11-03:00")}),
    Walked(tail="QM-104", who="BTR", device="D", start="2027-03-08T05:30-03:00",
           end="2027-03-08T06:17-03:00", odd={}),
    Done(at="2027-03-08T07:32-03:00", device="C", by="YB", number="161-C01", deed="prove",
         words=("", "Great Fennoway on watch, called on channel 3, loud and clear")),
    Written(at="2027-03-08T08:35-03:00", device="A", by="AF", tail="QM-107",
            told=Told(words="hum in LF receiver, generator on", unit="RX-LF", weakens="lf.rx",
                      noticed="cruise", conditions="generator on")),
    Done(at="2027-03-08T10:50-03:00", device="A", by="BT", number="107-A02", deed="action",
         words=("could not duplicate on battery; bond strap remade, 1.1 milliohm",)),
    Done(at="2027-03-08T11:05-03:00", device="A", by="DQ", number="107-A02", deed="clear",
         words=("could not duplicate; strap seen, tight",)),
    Written(at="2027-03-08T22:30-03:00", device="S", by="RA", tail="QM-104",
            told=Told(words="no sidetone on either transmitter", takes="sidetone")),
)  # fmt: skip
"""What happens, in the order it begins. Monday is the whole of it so far."""


def build(
    opened: Opened,
    clock: MakeClock,
    texts: Sequence[tuple[str, bytes]],
    until: Instant | None = None,
) -> None:
    """Write the week into the empty demo record that `opened` opens for each device.

    Args:
        opened: the record, writing as the device named.
        clock: makes a clock standing at an instant.
        texts: the fleet, the fits and the lists.
        until: events that begin after it are left out.
    """
    begin = _instant(BEGIN)
    pens = {d: Pen(journal=opened(d), clock=clock(begin), author="ÅL") for d in "SABCD"}
    begin_record(pens["S"], demo=True, program=__version__)
    adopt(pens["S"], papers(pens["S"].journal, texts))
    for event in EVENTS:
        at = _instant(event.start if isinstance(event, Walked) else event.at)
        if until is not None and at > until:
            break
        standing = clock(at)
        pen = replace(pens[event.device], clock=standing)
        match event:
            case Walked():
                _walk(pen, event, standing)
            case Written():
                raise_defect(
                    replace(pen, author=event.by), event.tail, event.told, by=By(doer=event.by)
                )
            case Done():
                signed = replace(pen, author=event.by)
                act(signed, event.number, event.deed, event.words, by=By(doer=event.by))


def _instant(text: str) -> Instant:
    found = parse_instant(text)
    if found is None:
        raise Usage(f"{text!r} is no time.")
    return found


def _walk(pen: Pen, walked: Walked, clock: Settable) -> None:
    doer, _, with_ = walked.who.partition("/")
    by = By(doer=doer, with_=(with_,) if with_ else ())
    start, end = _instant(walked.start), _instant(walked.end)
    facts = pen.journal.facts(walked.tail)
    known = lists(pen.journal)
    fit = facts.fit_on(start[:10])
    digest = next(d for d, c in known.current.items() if c.fit == fit)
    plan = plan_of(pen, facts, known, digest)
    steps = [s.id for s in plan.steps]
    if walked.stops_at:
        steps = steps[: steps.index(walked.stops_at)]
    serials = the_fleet(pen.journal).airframes[walked.tail].serials or {}
    times = spaced(steps, start, end, {s: _instant(a) for s, (_, _, a) in walked.odd.items() if a})
    answers = {}
    for name in steps:
        value, words, _ = walked.odd.get(name, ("", "", ""))
        step = plan.checklist.step(name)
        answers[name] = (value, words) if value else well(plan.fill, step, serials)
    script = Script(
        tail=walked.tail, answers=answers, taken=walked.taken, end=walked.stops,
        end_words=walked.stop_words,
    )  # fmt: skip

    def before(_: WalkState, step: Step) -> None:
        clock.at = times[step.id]

    def closing() -> None:
        clock.at = end

    play(
        replace(pen, author=doer), script, by=by, before=before, ending=closing,
        closer=with_ or doer,
    )  # fmt: skip


def spaced(
    steps: Sequence[str], start: Instant, end: Instant, own: Mapping[str, Instant]
) -> dict[str, Instant]:
    """When each step is answered: evenly from start to end, own times kept, never backwards."""
    whole, count = seconds_between(start, end), len(steps)
    even = [later(start, seconds=whole * (k + 1) // count) for k in range(count)]
    for step, at in own.items():
        place = list(steps).index(step)
        even = [min(t, at) if i < place else max(t, at) for i, t in enumerate(even)]
        even[place] = at
    return dict(zip(steps, even, strict=True))


def well(fill: Callable[[str], str], step: Step, serials: Mapping[str, str]) -> tuple[str, str]:
    """The line of a script that answers a step as a good aircraft would."""
    if step.kind == "state":
        return step.expect, ""
    if step.kind == "count":
        counted = COUNTED in (step.sets or {}).values() or not step.expect
        return ("9" if counted else fill(step.expect)), ""
    if step.kind == "reading":
        return read_off(step, dial(step, serials)), ""
    if step.judge is not None:
        return _heard(step, step.judge)
    return "OK", SAID.get(step.kind, "") if step.evidence else ""


SAID = {
    "gate": "BT outside at the wing tip; tower agreed; fuel truck away; no charges fitted",
    "record": "as said: strength good, modulation good; told MS",
    "listen": "as heard: steady, clear",
    "transmit": "own tone steady, every dot whole; Tarrick Tower: clear",
}
"""What the demo's people write where a step asks for words."""


def _heard(step: Step, rule: Mapping[str, str]) -> tuple[str, str]:
    """What is heard or told on a good set: high frequency is given a digit, VHF only words."""
    if rule["name"] == "ident_match":
        return "OK", rule["expected"]
    if rule["name"] == "range_filter":
        return good_hearing(step), ""
    station = rule.get("called") or "Second set"
    if rule["frequency"].endswith("kHz"):
        return "5", f"{station}: strength good, modulation good"
    return "OK", f"{station}: loud and clear"


def dial(step: Step, serials: Mapping[str, str]) -> str:
    """The reading of a dial step by the error of the receiver's serial, half up."""
    rule = step.judge or {}
    if "true_khz" not in rule:
        raise Usage(f"Step {step.id} reads no dial.")
    p, q = DIALS.get(serials.get(rule.get("position", ""), ""), ("0", "0"))
    grain = step.graduation or Decimal(1)
    steps = ((Decimal(rule["true_khz"]) * (1 + Decimal(p)) + Decimal(q)) / grain).quantize(
        Decimal(1), rounding=ROUND_HALF_UP
    )
    return format((steps * grain).normalize(), "f")


def read_off(step: Step, number: str) -> str:
    """A dial reading as a script gives it: too close to call, it is taken from both sides too."""
    found = measuring.settle(step, (number,))
    return f"{number} {number} {number}" if isinstance(found, Refused) else number
