"""What is asked after the likely answer, found while the question is read.

The walk is gone on with on a copy that writes nowhere, by the very functions that go on with it
after the key. What they write and ask is kept: where the key comes and writes the same, that
question is shown as soon as the answer is durable, and the walk goes on behind it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import cache, partial
from typing import Self, cast

from hardstand.domain.airframe import fold_on
from hardstand.domain.answering import expected_count, stale_gate
from hardstand.domain.asking import Ask
from hardstand.domain.bodies import Body
from hardstand.domain.chain import Head
from hardstand.domain.codec import encode, kind_of
from hardstand.domain.defects import Refused
from hardstand.domain.entry import Entry, bears_on_status
from hardstand.domain.facts import AirframeFacts, Folded
from hardstand.domain.quantity import Instant
from hardstand.domain.record import ground_on
from hardstand.errors import HardstandError, Interrupted
from hardstand.flows import giving
from hardstand.flows.behind import Before
from hardstand.flows.pen import Pen
from hardstand.flows.recording import DecideIn, Recorded
from hardstand.flows.seat import Foreseen, Walking
from hardstand.flows.signing import signs
from hardstand.flows.timing import resting_s
from hardstand.ports import Forehanded, Journal

GoOn = Callable[[Walking], object]

WORDS = "(words to come)"
"""Stands for words that nobody can foresee."""


def looks_ahead(walking: Walking) -> bool:
    """Whether what follows is looked for at all: by this prompter, and not in a practice."""
    return _is_forehanded(type(walking.prompter)) and not walking.state.plan.practice


@cache
def _is_forehanded(kind: type[object]) -> bool:
    return issubclass(kind, Forehanded)


def look_ahead(go_on: GoOn, walking: Walking, question: Ask) -> None:
    """Have what follows the likely answer to a question looked for while it is read.

    Args:
        go_on: goes on with a walk from where it was marked.
        walking: the walk, as it stands before anything that is asked now is answered.
        question: what is being put.
    """
    reply = _likely(walking, question)
    again = walking.first is not None or not walking.replies
    if reply and again and walking.since == walking.writes:
        prompter = cast(Forehanded, walking.prompter)
        prompter.ahead(partial(_looked, go_on, walking, reply))


def _likely(walking: Walking, question: Ask) -> str:
    """The reply that an aircraft in order would get; empty where none can be told."""
    step = walking.at
    if question.typed == "text":
        at_the_paint = question.strip is not None and not question.strip.tail
        return walking.state.airframe if at_the_paint else giving.ident(step) or WORDS
    if step is None or "F" not in question.keys:
        return "C" if "C" in question.keys else ""
    if step.kind == "count":
        return str(expected_count(walking.state, step) or "")
    picks, good = giving.picks(step), giving.good_pick(step)
    return str(picks.index(good) + 1) if good in picks else "O" * ("O" in question.keys)


def _looked(go_on: GoOn, walking: Walking, reply: str) -> Ask | None:
    """The question after a reply; with all that comes before it, it is kept in `walking`."""
    now = walking.pen.clock.now()
    unwritten = Unwritten(walking.pen.journal, walking.facts, walking.state.last)
    then = walking.copied()
    then.pen, then.record = unwritten.pen(walking.pen, now), unwritten.recorded
    then.prompter = _Script([*walking.replies, reply])
    try:
        go_on(then)
    except _Asked as asked:
        question = asked.question
    except Interrupted:
        raise  # the person leaves, at any moment
    except (_Said, HardstandError):
        return None
    else:
        return None
    words = WORDS if reply == WORDS else ""
    walking.levels, walking.finds, walking.shown = then.levels, then.finds, then.shown
    if _may_change(walking, then) or (words and words in str(question)):
        return None
    walking.foreseen = Foreseen(
        reply=reply, words=words, bodies=then.wrote, lines=unwritten.kept, at=now,
        question=question, then=then,
    )  # fmt: skip
    return question


def _may_change(walking: Walking, then: Walking) -> bool:
    """Whether the question may come to read otherwise within the minute."""
    step = then.at
    runs = step is not None and (step.wait_s or resting_s(then.state, step, then.pen.clock.now()))
    return bool(runs) or then.moves is not walking.moves  # what draws does so from the second on


def wrote_as_foreseen(walking: Walking) -> bool:
    """Write what the only reply to a step was foreseen to write, where that is all of its answer.

    False, and nothing written, where it is not so, or not any more.

    Raises:
        Again: the walk was gone on with by another process; nothing was written.
    """
    foreseen = walking.foreseen
    if foreseen is None or foreseen.words or len(walking.replies) > 1 or not _is_whole(walking):
        return False
    known = walking.facts

    def decision(now: AirframeFacts) -> Sequence[Body]:
        if now is not known:
            raise _Changed
        return foreseen.bodies

    try:
        walking.write(decision)
    except _Changed:
        walking.foreseen = None
        return False
    return True


def taken_up(walking: Walking) -> Ask | None:
    """The step foreseen to be put next, at `walking.at`, with its question; None to look anew."""
    foreseen, walking.foreseen = walking.foreseen, None
    if foreseen is None or foreseen.words or not _goes_on_alike(walking, foreseen.then):
        return None
    then = foreseen.then
    now, step = walking.pen.clock.now(), then.at
    if step is None or now[:16] != foreseen.at[:16]:
        return None
    if stale_gate(walking.state, step, now) is not None:
        return None
    walking.at, walking.offered = step, then.offered
    return foreseen.question


def _goes_on_alike(walking: Walking, then: Walking) -> bool:
    """Whether the walk stands as it was foreseen to, at a step of which nothing was said yet."""
    return (
        walking.facts is then.facts
        and (walking.turn, walking.writes) == (then.turn, then.writes)
        and not then.replies
        and walking.state.items == then.state.items
        and walking.state.others == then.state.others
    )


def _is_whole(walking: Walking) -> bool:
    """Whether what is foreseen is one write, and the walk goes on afresh after it."""
    foreseen = walking.foreseen
    if foreseen is None:
        return False
    then = foreseen.then
    return then.turn > walking.turn and then.writes == walking.writes + 1


class Unwritten(Before):
    """A journal whose lines are forgotten with it; it knows one walk and its airframe."""

    def __init__(self, behind: Journal, facts: AirframeFacts, last: Entry | None) -> None:
        super().__init__(behind, behind.device)
        self._facts, self._last = facts, last

    def pen(self, pen: Pen, now: Instant) -> Pen:
        """A pen that writes here, at an instant, and signs nothing."""
        return Pen(
            journal=cast(Journal, self), clock=_Stands(now), author=pen.author, trusted=pen.trusted
        )

    def recorded(self, pen: Pen, tail: str, decide: DecideIn, walk: str | None) -> Recorded:
        """What recording.recorded comes to, not sealed: nothing of a digest is ever shown.

        Raises:
            _Said: it is refused, or is to be signed.
        """
        bodies = decide(self)
        if isinstance(bodies, Refused) or signs(bodies):
            raise _Said
        head, at = self.head(pen.device), pen.clock.now()
        lines = []
        for seq, body in enumerate(bodies, head.seq + 1):
            kind, version = kind_of(body)
            lines.append(
                Entry(
                    device=pen.device, seq=seq, tick=head.tick + seq - head.seq, at=at,
                    author=pen.author, airframe=tail, walk=walk, kind=kind, version=version,
                    body=encode(body), prev=b"", digest=b"",
                )
            )  # fmt: skip
        self.append(lines)
        return Recorded(tuple(lines), bodies, self.facts(tail))

    def write(self) -> Unwritten:
        """Open a write."""
        return self

    def __enter__(self) -> Self:
        """It is open already."""
        return self

    def __exit__(self, *_: object) -> None:
        """Nothing is kept for longer than this."""

    def head(self, device: str) -> Head:
        """The end of the walk, as if its device wrote nothing else."""
        last = self.kept[-1] if self.kept else self._last
        return Head(last.seq, last.digest, last.tick) if last and device == self.device else Head()

    def entries(
        self, *, airframe: str = "", walk: str = "", kind: str = "", until: Instant | None = None
    ) -> Iterator[Entry]:
        """Those of the record; after those of a walk what is not written of it."""
        yield from super().entries(airframe=airframe, walk=walk, kind=kind, until=until)
        if walk:
            yield from (e for e in self.kept if e.walk == walk and kind in {"", e.kind})

    def facts(self, tail: str) -> AirframeFacts:
        """The airframe of the walk; of any other, what the record says."""
        return self._facts if tail == self._facts.tail else self.behind.facts(tail)

    def append(self, entries: Sequence[Entry]) -> None:
        """Go on with the fold of the airframe.

        Raises:
            _Said: only a fold of all its lines could tell.
        """
        super().append(entries)
        lines = [e for e in entries if bears_on_status(e.kind, e.airframe)]
        if not lines:
            return
        heads = {line.item: line.heads for line in self._facts.lines}
        ground = ground_on(self._facts, self.record())
        after = fold_on(Folded(facts=self._facts, line_heads=heads), lines, ground)
        if after is None:
            raise _Said
        self._facts = after.facts


class _Stands:
    """A clock that stands."""

    def __init__(self, at: Instant) -> None:
        self._at = at

    def now(self) -> Instant:
        """Always the same instant."""
        return self._at


class _Script:
    """Says what was said and what likely will be; stops at the question after that."""

    def __init__(self, replies: list[str]) -> None:
        self._replies = replies

    def ask(self, question: Ask) -> str:
        """The next reply.

        Raises:
            _Asked: there is none.
            _Said: it is no reply to this; time has made another question of it.
        """
        if not self._replies:
            raise _Asked(question)
        reply = self._replies.pop(0)
        picks = "12345678"[: len(question.choices)]
        if not question.typed and reply not in (*question.keys, *picks):
            raise _Said
        return reply

    def show(self, text: str) -> None:
        """Words are told beside a question that is drawn when they are known.

        Raises:
            _Said: always.
        """
        raise _Said(text)


class _Asked(Exception):
    """A question that nobody has answered yet."""

    def __init__(self, question: Ask) -> None:
        super().__init__()
        self.question = question


class _Said(Exception):
    """Words were said, or something came up that cannot be looked ahead at."""


class _Changed(Exception):
    """The airframe is not any more what something was decided on."""
