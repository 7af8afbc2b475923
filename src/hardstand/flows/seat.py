"""A person sitting at a walk: what the loop carries along, how they are asked, how they come back.

Every question shows the place strip. From each of them B leaves and R shows the rescue card; after
a while without an answer the place is looked at again before anything more is taken.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import tzinfo
from decimal import Decimal

from hardstand.domain import bodies as b
from hardstand.domain import closing
from hardstand.domain.asking import CAME_BACK, ESCAPE, Ask
from hardstand.domain.battery_use import Move, Used
from hardstand.domain.bodies import By
from hardstand.domain.checklist import Step
from hardstand.domain.defects import Refused
from hardstand.domain.entry import Entry
from hardstand.domain.facts import AirframeFacts, Line
from hardstand.domain.flight_acts import no_longer
from hardstand.domain.flight_facts import flown_of
from hardstand.domain.guidance import Level, Shown
from hardstand.domain.quantity import Instant, seconds_between
from hardstand.domain.walk import WalkState, evolve, replay
from hardstand.flows import questions as q
from hardstand.flows.pen import Pen
from hardstand.flows.recording import recorded
from hardstand.flows.teaching import Find
from hardstand.flows.timing import battery_today, battery_words, moves_of
from hardstand.ports import Prompter, Writing

IDLE_S = 120
"""So long without an answer and the place is looked at again; ours, a setting to come."""


class CalledAway(Exception):
    """The person leaves; what was not whole when they were asked is not taken."""


class Again(Exception):
    """Nothing was taken: what is to be asked next is found anew."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ahead:
    """What a plain OK of a step writes, and the question of the step that follows, made ready.

    `state` and `facts` are those it was worked out from, `at` when, to the minute: nothing that is
    asked changes within one.
    """

    state: WalkState
    facts: AirframeFacts
    at: Instant
    answered: b.StepAnswered
    step: Step
    question: Ask

    def is_of(self, state: WalkState, facts: AirframeFacts, step: Step) -> bool:
        """Whether it is still what an OK of that step would write."""
        return state is self.state and facts is self.facts and step.id == self.answered.step

    def came_true(self, state: WalkState) -> bool:
        """Whether this very OK was written, in the minute it was worked out for."""
        last = state.given.get(self.answered.step)
        return last is not None and last.body is self.answered and last.at[:16] == self.at[:16]


@dataclass(slots=True)
class Walking:
    """One walk being walked by one person on one device: what the loop carries along.

    `offered` are zones whose gaps were offered in this sitting. `at` is the step being asked where
    it is not the next one. `half` says that something of it was given and is not recorded yet.
    `kept` says that what is asked about is in the record already and is asked to its end.
    `expected` is, in a practice, what was said of each step before its good was shown, `seeded` are
    the steps at which something made up is still to be shown, and whether it is a fault. `moves`
    are those of the aircraft's items today; `usable` ampere-hours are in its battery when full.
    `put_at` is when a step was first put. `levels` are guidance levels by zone, `finds` what was
    last found at each step, `shown` the walks the person finished; looked up when first needed.
    `ahead` is what follows if the step being asked is OK.
    """

    pen: Pen
    prompter: Prompter
    by: By
    where: tzinfo
    state: WalkState
    facts: AirframeFacts
    offered: set[str] = field(default_factory=set)
    left: bool = False
    returned: bool = False
    at: Step | None = None
    half: bool = False
    kept: bool = False
    expected: dict[str, str] = field(default_factory=dict)
    seeded: dict[str, bool] | None = None
    moves: tuple[Move, ...] = ()
    usable: Decimal | None = None
    put_at: dict[str, Instant] = field(default_factory=dict)
    levels: dict[str, Level] = field(default_factory=dict)
    finds: Mapping[str, Find] | None = None
    shown: tuple[Shown, ...] | None = None
    ahead: Ahead | None = None

    @property
    def step(self) -> Step | None:
        """The step being asked, or the next one; None when all are answered."""
        return self.at or self.state.next_step()

    def write(
        self, decision: Callable[[AirframeFacts], Sequence[b.Body] | Refused]
    ) -> tuple[Entry, ...]:
        """Append what a decision says and take it into the state; a refusal is raised.

        Raises:
            Again: the walk was gone on with by another process; nothing was written.
        """
        tail = self.state.airframe

        def decided(writing: Writing) -> Sequence[b.Body] | Refused:
            if self._gone_on(writing):
                raise Again
            return decision(writing.facts(tail))

        try:
            entries, bodies, facts = recorded(self.pen, tail, decided, walk=self.state.walk)
        except Again:
            self._catch_up()
            raise
        for entry, body in zip(entries, bodies, strict=True):
            self.state = evolve(self.state, entry, body)
        self._take_in(entries, facts)
        return entries

    def _take_in(self, entries: Sequence[Entry], facts: AirframeFacts) -> None:
        """Take in the facts that came with lines of the walk's own."""
        before, self.facts = self.facts, facts
        self.moves = (*self.moves, *moves_of(entries))
        if before.flown != self.facts.flown:
            call = no_longer(self.state.airframe, flown_of(before), flown_of(self.facts))
            if call:
                self.say(call)

    def _gone_on(self, writing: Writing) -> bool:
        """Whether this device's chain holds lines of this walk that are not in the state."""
        last = self.state.last
        if last is None or writing.head(self.pen.device).seq == last.seq:
            return False
        lines = self.pen.journal.entries(walk=self.state.walk)
        return any(line.seq > last.seq for line in lines)

    def _catch_up(self) -> None:
        last = self.state.last.seq if self.state.last else 0
        lines = [e for e in self.pen.journal.entries(walk=self.state.walk) if e.seq > last]
        self.state = replay(self.state, lines)
        self._take_in(lines, self.pen.journal.facts(self.state.airframe))
        self.say("This walk was gone on with elsewhere; it is shown as it stands now.")

    def say(self, text: str) -> None:
        """Show words that ask nothing."""
        self.prompter.show(text)

    def put(self, question: Ask, now: Instant | None = None) -> str:
        """Put a question as it is."""
        return asked(self.prompter, self.dressed(question, now or self.pen.clock.now()))

    def dressed(self, question: Ask, now: Instant) -> Ask:
        """The question by the aircraft it is about, with the place strip and its battery."""
        strip = question.strip
        if strip is None:
            strip = q.strip(self.state, self.facts, self.step, self.where)
            prompt = question.prompt and f"{self.state.airframe}: {question.prompt}"
            question = replace(question, prompt=prompt, strip=strip)
        if self.moves:
            strip = replace(strip, battery=battery_words(self.battery(now), self.usable))
            question = replace(question, strip=strip)
        return question

    def battery(self, now: Instant) -> Used:
        """What the battery gave today, whoever walked."""
        return battery_today(self.state, self.moves, now, self.where)

    def ask(self, question: Ask) -> str:
        """The reply to a question; never one that somebody gave after idling, unless it is words.

        Raises:
            CalledAway: B was pressed.
            Again: somebody came back to it; it is to be asked from its first word.
        """
        if question.typed != "text":
            for key in "BR":
                if key not in question.keys:
                    question = replace(question, keys=question.keys + key)
        while True:
            since = self.pen.clock.now()
            reply = self.put(question, since)
            if reply == ESCAPE + "B" or (reply == "B" and question.typed != "text"):
                raise CalledAway
            now = self.pen.clock.now()
            idle = now != since and seconds_between(since, now) >= IDLE_S
            if not idle and reply != CAME_BACK:
                return reply
            before = self.state.given
            look_again(self)
            if question.typed == "text" and reply != CAME_BACK and before == self.state.given:
                return reply
            if not self.kept:
                raise Again


def asked(prompter: Prompter, question: Ask) -> str:
    """The reply to a question, after the rescue card as often as its key is pressed."""
    while True:
        reply = prompter.ask(question)
        if reply != ESCAPE + "R" and (reply != "R" or "R" not in question.keys):
            return reply
        prompter.ask(replace(q.RESCUE_ASK, strip=question.strip))


def look_again(walking: Walking) -> None:
    """Coming back: the last three answers and every energy line are looked at on the aircraft.

    Source: human-factors PLC-04, PLC-06, PLC-07.
    """
    while True:
        reply = walking.put(q.resume_ask(walking.state, walking.facts, walking.where))
        if reply == "B":
            raise CalledAway
        if reply == "C":
            break
        if reply.isdigit():
            take_back(walking, walking.state.last_three[int(reply) - 1].body.step)
    for line in (x for x in q.safe_order(walking.facts) if x.kind == "energy"):
        put_back(walking, line.item)
    step = walking.state.next_step()
    looked = tuple(g.digest for g in walking.state.last_three)
    name = step.id if step else ""
    if step is not None and walking.returned:  # the program was started by typing the tail
        walking.offered.add(f"tail {step.zone}")
    walking.write(lambda _: (b.WalkResumed(step=name, looked_at=looked, by=walking.by),))
    walking.half, walking.returned = False, False


def take_back(walking: Walking, step_id: str) -> None:
    """Undo the answer of a step by adding to the record."""
    walking.write(lambda facts: closing.undo(walking.state, facts, step_id, walking.by))


def put_back(walking: Walking, item: str) -> None:
    """Ask one open line: what is seen there now."""
    line = walking.facts.line(item)
    if line is None:
        return
    known = walking.state.plan.fit.items.get(item)
    values = tuple(dict.fromkeys((*(known.values if known else ()), line.home, line.value)))
    named = tuple(counted(line, v) for v in values) if line.kind == "count" else values
    reply = walking.ask(q.line_ask(line, named, walking.where))
    seen = values[int(reply) - 1]
    walking.write(lambda facts: closing.put_back(walking.state, facts, item, seen, walking.by))


def counted(line: Line, value: str) -> str:
    """What a value of something counted out means when it is counted back."""
    return f"{value}: all {line.value} are back" if value == line.home else f"{value}: not all"
