"""A person sitting at a walk: what the loop carries along, how they are asked, how they come back.

Every question shows the place strip. From each of them B leaves and R shows the rescue card; after
a while without an answer the place is looked at again before anything more is taken.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import tzinfo
from decimal import Decimal
from typing import cast

from hardstand.domain import bodies as b
from hardstand.domain import closing
from hardstand.domain.asking import CAME_BACK, ESCAPE, Ask
from hardstand.domain.battery_use import Move, Used
from hardstand.domain.bodies import By
from hardstand.domain.checklist import Step
from hardstand.domain.defects import Refused
from hardstand.domain.defects import take_back as take_entry_back
from hardstand.domain.entry import Entry
from hardstand.domain.facts import AirframeFacts, Line
from hardstand.domain.flight_acts import no_longer
from hardstand.domain.flight_facts import flown_of
from hardstand.domain.guidance import Level, Shown
from hardstand.domain.quantity import Instant, seconds_between
from hardstand.domain.walk import Given, WalkState, evolve, replay
from hardstand.flows import questions as q
from hardstand.flows.pen import Pen
from hardstand.flows.recording import DecideIn, Recorded, recorded
from hardstand.flows.teaching import Find
from hardstand.flows.timing import battery_today, battery_words, drawing, moves_of
from hardstand.ports import Forehanded, Prompter, Writing

IDLE_S = 120
"""So long without an answer and the place is looked at again; ours, a setting to come."""


class CalledAway(Exception):
    """The person leaves; what was not whole when they were asked is not taken."""


class Again(Exception):
    """Nothing was taken: what is to be asked next is found anew."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Foreseen:
    """What a reply writes in one go, and what is asked after it: not so yet, and written nowhere.

    `bodies` are what `lines` say. `at` is when, to the minute: nothing that is asked changes within
    one. `words` stand where the reply holds any that are not known. `then` is the walk as it would
    stand at that question.
    """

    reply: str
    words: str
    bodies: Sequence[b.Body]
    lines: Sequence[Entry]
    at: Instant
    question: Ask
    then: Walking

    def came(self, entries: Sequence[Entry], bodies: Sequence[b.Body]) -> bool:
        """Whether this very thing was written, in the minute that it was foreseen in."""
        if not entries or len(entries) != len(self.lines) or entries[0].at[:16] != self.at[:16]:
            return False
        if bodies is self.bodies:
            return True
        pairs = zip(entries, self.lines, strict=True)
        return all(e.kind == f.kind and self._says(e.body, f.body) for e, f in pairs)

    def _says(self, written: bytes, foreseen: bytes) -> bool:
        """Whether both say the same, whatever the words."""
        if not self.words:
            return written == foreseen
        before, _, after = foreseen.partition(self.words.encode())
        return written.startswith(before) and written.endswith(after)


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
    `turn` counts what was put afresh; since it was marked, `first` was put first, if that is known,
    and `replies` were given. `writes` counts what was written in one go, `since` until the mark;
    `wrote` is the newest, and `record` writes it. `foresee` looks for what follows the question
    being put; that is `foreseen`.
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
    turn: int = 0
    first: Ask | None = None
    replies: list[str] = field(default_factory=list)
    writes: int = 0
    since: int = 0
    wrote: Sequence[b.Body] = ()
    record: Callable[[Pen, str, DecideIn, str], Recorded] = recorded
    foresee: Callable[[Walking, Ask], None] | None = None
    foreseen: Foreseen | None = None
    _used: tuple[object, str, Used] | None = None

    @property
    def step(self) -> Step | None:
        """The step being asked, or the next one; None when all are answered."""
        return self.at or self.state.next_step()

    def begin_turn(self) -> None:
        """What is put from here on is put afresh."""
        self.at, self.half, self.kept = None, False, False
        self.turn += 1
        self.mark(None)

    def mark(self, first: Ask | None) -> None:
        """The turn can be gone through again from here; `first` is put first, if that is known."""
        self.first, self.replies, self.since = first, [], self.writes

    def copied(self) -> Walking:
        """The walk as it stands, to be gone on with apart from this one."""
        return replace(
            self, offered=set(self.offered), expected=dict(self.expected),
            put_at=dict(self.put_at), levels=dict(self.levels), replies=[], foresee=None,
            foreseen=None,
        )  # fmt: skip

    def write(
        self, decision: Callable[[AirframeFacts], Sequence[b.Body] | Refused]
    ) -> tuple[Entry, ...]:
        """Append what a decision says and take it into the state; a refusal is raised.

        Raises:
            Again: the walk was gone on with by another process; nothing was written.
        """
        tail, known = self.state.airframe, False

        def decided(writing: Writing) -> Sequence[b.Body] | Refused:
            nonlocal known
            if self._gone_on(writing):
                raise Again
            facts = writing.facts(tail)
            known = facts is self.facts
            return decision(facts)

        try:
            entries, bodies, facts = self.record(self.pen, tail, decided, self.state.walk)
        except Again:
            self._catch_up()
            raise
        self.writes, self.wrote = self.writes + 1, bodies
        if self.foreseen is not None and not (known and self._show(self.foreseen, entries)):
            self.foreseen = None
        for entry, body in zip(entries, bodies, strict=True):
            self.state = evolve(self.state, entry, body)
        self._take_in(entries, facts)
        return entries

    def _show(self, foreseen: Foreseen, entries: Sequence[Entry]) -> bool:
        """Show what was foreseen as soon as it is durable that it came; whether it did."""
        came = foreseen.came(entries, self.wrote)
        if came:
            cast(Forehanded, self.prompter).at_once()
        return came

    def _take_in(self, entries: Sequence[Entry], facts: AirframeFacts) -> None:
        """Take in the facts that came with lines of the walk's own."""
        before, self.facts = self.facts, facts
        moved = drawing(moves_of(entries), self.state.plan.fit)
        if moved:
            self.moves = (*self.moves, *moved)
        if before.flown != self.facts.flown:
            call = no_longer(self.state.airframe, flown_of(before), flown_of(self.facts))
            if call:
                self.say(call)

    def _show_unwritten(self, now: Instant) -> None:
        """Show what was foreseen where nothing is written before it."""
        foreseen = self.foreseen
        if (
            foreseen is not None
            and foreseen.then.writes == self.writes
            and not foreseen.words
            and foreseen.at[:16] == now[:16]
        ):
            cast(Forehanded, self.prompter).at_once()

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
        question = self.dressed(question, now or self.pen.clock.now())
        self.foreseen = None
        if self.foresee is not None:
            self.foresee(self, question)
        reply = asked(self.prompter, question)
        self._said(reply)
        return reply

    def _said(self, reply: str) -> None:
        self.replies.append(reply)
        foreseen = self.foreseen
        if foreseen is not None and not (
            reply == foreseen.reply or (foreseen.words and reply.strip())
        ):
            self.foreseen = None

    def dressed(self, question: Ask, now: Instant) -> Ask:
        """The question by the aircraft it is about, with the place strip and its battery."""
        strip = question.strip
        if strip is None:
            strip = q.strip(self.state, self.facts, self.step, self.where)
            prompt = question.prompt and f"{self.state.airframe}: {question.prompt}"
            question = replace(question, prompt=prompt, strip=strip)
        if self.moves:
            battery = battery_words(self.battery(now), self.usable)
            if battery != strip.battery:
                question = replace(question, strip=replace(strip, battery=battery))
        return question

    def battery(self, now: Instant) -> Used:
        """What the battery gave today, whoever walked, as first looked up in this minute."""
        known = self._used
        if known is None or known[0] is not self.moves or known[1] != now[:16]:
            found = battery_today(self.state, self.moves, now, self.where)
            known = self._used = (self.moves, now[:16], found)
        return known[2]

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
            idle = now[:16] != since[:16] and seconds_between(since, now) >= IDLE_S
            if not idle and reply != CAME_BACK:
                self._show_unwritten(now)
                return reply
            before, self.since = self.state.given, -1  # what comes now is gone through once only
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
        now = walking.pen.clock.now()
        reply = walking.put(q.resume_ask(walking.state, walking.facts, walking.where, now), now)
        if reply == "B":
            raise CalledAway
        if reply == "C":
            break
        if reply.isdigit():
            take_back_and_tell(walking, walking.state.last_three[int(reply) - 1])
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


def take_back_and_tell(walking: Walking, given: Given) -> None:
    """Undo an answer; tell by its number what became of each entry it raised."""
    before, answers = walking.facts, len(walking.state.given)
    raised = walking.state.raised.get(given.digest, ())
    take_back(walking, given.body.step)
    walking.say(f"Taken back: {q.told(walking.state, given, walking.where)}. Answer it again.")
    passed = answers - len(walking.state.given) - 1
    if passed > 0:
        walking.say(f"With it what it passed over is open again: {passed} steps.")
    for number in (n for n in raised if before.entry(n) is not None):
        walking.say(_became(walking, before, number))


def _became(walking: Walking, before: AirframeFacts, number: str) -> str:
    """What the end of an answer did to an entry it raised: no answer takes back what is grave."""
    if walking.facts.entry(number) is None:
        return f"{number} is entered in error with it."
    stays = take_entry_back(before, number, "", walking.by)
    why = stays.rule if isinstance(stays, Refused) else "another step of this walk needs it"
    who = f" {stays.who_could}." if isinstance(stays, Refused) else ""
    return f"{number} stays open: {why}.{who[:2].upper()}{who[2:]}"


def put_back(walking: Walking, item: str) -> None:
    """Ask one open line: what is seen there now."""
    line = walking.facts.line(item)
    if line is None:
        return
    known = walking.state.plan.fit.items.get(item)
    values = tuple(dict.fromkeys((*(known.values if known else ()), line.home, line.value)))
    step = walking.at
    if step is not None and item in (step.sets or {}) and set(step.states) == set(values):
        values = step.states  # one digit means one position, on both screens
    named = tuple(counted(line, v) for v in values) if line.kind == "count" else values
    reply = walking.ask(q.line_ask(line, named, walking.where))
    seen = values[int(reply) - 1]
    walking.write(lambda facts: closing.put_back(walking.state, facts, item, seen, walking.by))


def counted(line: Line, value: str) -> str:
    """What a value of something counted out means when it is counted back."""
    return f"{value}: all {line.value} are back" if value == line.home else f"{value}: not all"
