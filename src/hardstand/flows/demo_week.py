"""The Quennock week, played through the real flows: invented data, no chance, same lines always.

Times are local, UTC-3 all year. What is done at once goes on at once: walks and deeds are taken
in the order of their times, each on its own device, by that device's own clock. Steps are answered
evenly between a walk's start and end; an entry's own time wins, order kept.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Protocol

from hardstand import __version__
from hardstand.domain import closing
from hardstand.domain.bodies import By, Outcome
from hardstand.domain.checklist import Step
from hardstand.domain.facts import Line
from hardstand.domain.quantity import Instant, later
from hardstand.errors import Usage
from hardstand.flows.adopting import begin_record, lists, the_fleet
from hardstand.flows.answer_file import Script
from hardstand.flows.approving import approve
from hardstand.flows.demo_answers import spaced, well
from hardstand.flows.demo_deeds import Desk, Does, time
from hardstand.flows.demo_people import enrol_demo_people
from hardstand.flows.papers import papers
from hardstand.flows.pen import Pen
from hardstand.flows.pinned import plan_of
from hardstand.flows.playing import stages
from hardstand.flows.recording import Decide
from hardstand.flows.seat import Walking, take_back
from hardstand.ports import Clock, Journal, Signer

BEGIN = "2026-11-01T09:00-03:00"
"""When the record begins: people are enrolled, the fleet and the lists are taken in."""


class Settable(Clock, Protocol):
    """A clock that a script may put to a time."""

    at: Instant


@dataclass(frozen=True, slots=True, kw_only=True)
class Tools:
    """What the demo is built with: the record for each device, clocks, keys, texts."""

    opened: Callable[[str], Journal]
    clock: Callable[[Instant], Settable]
    signer: Signer
    texts: Sequence[tuple[str, bytes]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Walked:
    """One walk of the week: who on what, and the steps answered otherwise than well.

    `odd` maps a step to its line in the script, value and words, and the entry's own time, if it
    has one. `undone` maps a step to when its answer was taken back. A walk that `stops` is
    answered up to `stops_at`, and all but `left` is put back at its end.
    """

    tail: str
    who: str
    device: str
    start: str
    end: str
    odd: Mapping[str, tuple[str, str, str]] = field(default_factory=dict)
    undone: Mapping[str, str] = field(default_factory=dict)
    taken: tuple[str, ...] = ()
    stops: Outcome | None = None
    stop_words: str = ""
    stops_at: str = ""
    left: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Deed:
    """Something done at a time, on a device, by somebody; `early` comes before a step so timed."""

    at: str
    device: str
    by: str
    does: Does
    early: bool = False


Event = Walked | Deed


def wrong_by(device: str, at: Instant) -> int:
    """Seconds by which a device's clock is ahead: C is fast, D wakes a day slow after going flat.

    Source: whole-job 7d.
    """
    if device == "D":
        return -86_400 if time("Thu 13:00") <= at < time("Fri 09:00") else 0
    return {"C": 440, "A": -12}.get(device, 0)


def build(tools: Tools, events: Sequence[Event], until: Instant | None = None) -> None:
    """Write the week into the empty demo record that `tools` open for each device.

    Args:
        tools: record, clocks, keys, texts.
        events: what happens, in any order.
        until: what happens after it is left out; a walk begun before stays open there.
    """
    begin = time(BEGIN)
    pens = {d: _pen(tools, d, begin) for d in "SABCD"}
    office = pens["S"]
    begin_record(office, demo=True, program=__version__)
    enrol_demo_people(office, tools.signer)
    approve(office, papers(office.journal, tools.texts), "DQ")
    for _, going in _in_time(tools, pens, events, until):
        going()


def _pen(tools: Tools, device: str, at: Instant) -> Pen:
    clock = tools.clock(later(at, seconds=wrong_by(device, at)))
    return Pen(journal=tools.opened(device), clock=clock, author="ÅL", signer=tools.signer)


Going = Callable[[], None]


def _in_time(
    tools: Tools, pens: Mapping[str, Pen], events: Sequence[Event], until: Instant | None
) -> Iterator[tuple[Instant, Going]]:
    """What is done next, by time; at one time deeds that are early, then walks, then deeds."""
    waiting = sorted(events, key=lambda e: time(e.start if isinstance(e, Walked) else e.at))
    walks: list[_Walk] = []
    while waiting or walks:
        found: list[tuple[Instant, int, Going]] = [(w.due, 1, w.go_on) for w in walks]
        if waiting:
            found.append(_next(tools, pens, waiting, walks))
        at, _, going = min(found, key=lambda f: f[:2])
        if until is not None and at > until:
            return
        yield at, going
        walks[:] = [w for w in walks if not w.over]


def _next(
    tools: Tools, pens: Mapping[str, Pen], waiting: list[Event], walks: list[_Walk]
) -> tuple[Instant, int, Going]:
    event = waiting[0]

    def going() -> None:
        waiting.pop(0)
        if isinstance(event, Walked):
            walks.append(_Walk(tools, pens[event.device], event))
        else:
            _do(tools, pens[event.device], event)

    if isinstance(event, Walked):
        return time(event.start), 0, going
    return time(event.at), 0 if event.early else 2, going


def _at(tools: Tools, pen: Pen, at: Instant, author: str) -> Pen:
    """The pen as the device's own clock has it at a true time."""
    wrong = wrong_by(pen.device, at)
    clock = tools.clock(later(at, seconds=wrong))
    return replace(pen, author=author, clock=clock, trusted=wrong > -3600)


def _do(tools: Tools, pen: Pen, deed: Deed) -> None:
    doer, _, with_ = deed.by.partition("/")
    by = By(doer=doer, with_=(with_,) if with_ else ())
    here = _at(tools, pen, time(deed.at), doer)
    deed.does(Desk(pen=here, by=by, texts=tools.texts))


class _Walk:
    """A walk of the week under way: what it is due for next, and going on with it."""

    def __init__(self, tools: Tools, pen: Pen, walked: Walked) -> None:
        """Begin it: the start and the log are in the record after this."""
        self._walked, self._device = walked, pen.device
        doer, _, with_ = walked.who.partition("/")
        by = By(doer=doer, with_=(with_,) if with_ else ())
        start = time(walked.start)
        self._clock = tools.clock(later(start, seconds=wrong_by(pen.device, start)))
        here = replace(_at(tools, pen, start, doer), clock=self._clock)
        self._answers, self._good, self._times = _answered(here, walked)
        script = Script(
            tail=walked.tail, answers=self._answers, taken=walked.taken, end=walked.stops,
            end_words=walked.stop_words,
        )  # fmt: skip
        self._undone = {step: time(at) for step, at in walked.undone.items()}
        self._stages = stages(here, script, by=by, closer=with_ or doer)
        self._walking: Walking
        self._step: Step | None
        self._walking, self._step = next(self._stages)
        self.over = False

    @property
    def due(self) -> Instant:
        """When the next thing of it happens."""
        answered = self._walking.state.answer
        back = [at for step, at in self._undone.items() if answered(step)]
        step = self._times[self._step.id] if self._step else time(self._walked.end)
        return min([*back, step])

    def go_on(self) -> None:
        """Do that next thing."""
        at = self.due
        self._clock.at = later(at, seconds=wrong_by(self._device, at))
        for step, when in list(self._undone.items()):
            if when <= at and self._walking.state.answer(step):
                self._take_back(step)
                return
        if self._step is None and self._walked.stops is not None:
            self._put_back()
        found = next(self._stages, None)
        if found is None:
            self.over = True
        else:
            self._walking, self._step = found

    def _take_back(self, step: str) -> None:
        take_back(self._walking, step)
        del self._undone[step]
        self._answers[step] = self._good[step]
        self._step = self._walking.state.next_step()
        if self._step is not None:
            self._times[self._step.id] = max(self._times[self._step.id], self._clock.at)

    def _put_back(self) -> None:
        """What was moved goes home before the aircraft is left, but for what is left on purpose."""
        for line in self._walking.facts.due_home:
            if line.item not in self._walked.left:
                self._walking.write(self._homing(line))

    def _homing(self, line: Line) -> Decide:
        walking = self._walking
        return lambda facts: closing.put_back(
            walking.state, facts, line.item, line.home, walking.by
        )


Answers = dict[str, tuple[str, str]]


def _answered(pen: Pen, walked: Walked) -> tuple[Answers, Answers, dict[str, Instant]]:
    """The script of a walk, what a good aircraft would have shown, and when each step is due."""
    start, end = time(walked.start), time(walked.end)
    facts, known = pen.journal.facts(walked.tail), lists(pen.journal)
    fit = facts.fit_on(start[:10])
    digest = next((d for d, c in known.current.items() if c.fit == fit), "")
    if not digest:
        raise Usage(f"No list is for fit {fit}.")
    plan = plan_of(pen, facts, known, digest)
    steps = [s.id for s in plan.steps]
    if walked.stops_at:
        steps = steps[: steps.index(walked.stops_at)]
    serials = the_fleet(pen.journal).airframes[walked.tail].serials or {}
    good = {name: well(plan.fill, plan.checklist.step(name), serials) for name in steps}
    odd = {s: (value, words) for s, (value, words, _) in walked.odd.items()}
    own = {s: time(at) for s, (_, _, at) in walked.odd.items() if at}
    times = spaced(steps, start, end, own | _battery(walked, steps, own))
    return good | odd, good, times


def _battery(
    walked: Walked, steps: Sequence[str], own: Mapping[str, Instant]
) -> dict[str, Instant]:
    """Battery ON two minutes after the start, OFF three before the end, where entries let it.

    Source: whole-job 7m; an entry's own time wins.
    """
    places = {step: i for i, step in enumerate(steps)}
    wanted = {
        "lis-battery": later(time(walked.start), seconds=120),
        "close-battery": later(time(walked.end), seconds=-180),
    }

    def fits(step: str, at: Instant) -> bool:
        return step in places and all(
            (when <= at) == (places[other] < places[step]) for other, when in own.items()
        )

    return {step: at for step, at in wanted.items() if step not in own and fits(step, at)}
