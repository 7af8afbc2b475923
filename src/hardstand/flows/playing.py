"""Play a walk from a file of answers, one line a step, through the same decisions as the keys.

A demo record plays them as made. A live record takes them only as LATE, with the doer and the
typist named; the typist does not finish another's walk.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from hardstand.domain import bodies as b
from hardstand.domain import closing
from hardstand.domain.bodies import By, Late
from hardstand.domain.checklist import Step
from hardstand.domain.codec import decode
from hardstand.domain.facts import AirframeFacts
from hardstand.domain.ids import find_tail, is_initials
from hardstand.domain.quantity import Instant, local_day, zone
from hardstand.domain.verdict import fit_of
from hardstand.domain.walk import WalkState
from hardstand.errors import BadFile, Interrupted, NotThere, Refusal, Usage
from hardstand.flows.adopting import Lists, lists
from hardstand.flows.answer_file import Script, reply_of
from hardstand.flows.pen import Pen
from hardstand.flows.reading_log import in_log_order, note_log
from hardstand.flows.seat import Walking
from hardstand.flows.starting import open_walk
from hardstand.flows.walking import decision_for
from hardstand.ports import Prompter


def late(by: By, made_at: Instant | None, typist: str) -> By:
    """Hands and typist of a walk made on paper; as they are when neither is stated.

    Raises:
        Usage: only one of the two is stated, or the typist is no initials.
    """
    if made_at is None and not typist:
        return by
    if made_at is None or not is_initials(typist):
        raise Usage(
            "A walk made on paper needs --made-at TIME and --typist INITIALS.",
            hint="Such as --made-at 2027-03-08T04:50-03:00 --typist MS",
        )
    return replace(by, late=Late(made_at=made_at, typist=typist.upper()))


_GO_ON = "Go on by hand with `hardstand walk`; the file is not played twice."


class Silent:
    """A prompter for scripts: it is never asked, and says nothing."""

    def ask(self, question: object) -> str:
        """Never asked: a script brings its answers.

        Raises:
            Interrupted: always.
        """
        raise Interrupted("The script ended before the walk did.")

    def show(self, text: str) -> None:
        """Says nothing."""


def play(pen: Pen, script: Script, *, by: By, planned: str = "") -> WalkState:
    """Walk the script's aircraft by its answers; the state at its end.

    Args:
        pen: who writes where.
        script: the answers.
        by: whose hands.
        planned: the tail planned, if any; another one in the script is refused.

    Raises:
        Refusal: a live record without LATE; an answer cannot be taken; entries were not taken; it
            was played already, and its walk is open.
        BadFile: a step has no answer in the script.
    """
    *_, (walking, _) = stages(pen, script, by=by, planned=planned)
    return walking.state


def stages(
    pen: Pen, script: Script, *, by: By, planned: str = "", closer: str = ""
) -> Iterator[tuple[Walking, Step | None]]:
    """The same walk stage by stage: each step before it is answered, then None before the close.

    Whoever draws the stages may set the clock, write other lines or take an answer back between
    them. `closer` answers for the close, if not the doer.
    """
    walking = _started(pen, script, by, planned)
    while (prompt := walking.state.next_step()) is not None:
        if prompt.id not in script.answers:
            if script.end is None:
                raise BadFile(
                    f"Step {prompt.id} of {walking.state.plan.checklist.id} has no answer.",
                    safe=f"Walk {walking.state.walk} stays open; what was played is recorded.",
                    hint=_GO_ON,
                )
            break
        yield walking, prompt
        if walking.state.next_step() is not prompt:
            continue
        reply = reply_of(prompt, *script.answers[prompt.id])
        reply = replace(reply, day=_day(walking))
        walking.write(decision_for(walking.state, prompt, reply, pen.device, by))
        _refuse_to_repeat(walking, prompt)
    yield walking, None
    walking.pen = replace(pen, author=closer or pen.author)
    _ended(walking, script)


def _day(walking: Walking) -> str:
    """The local day on which the numbers were read: when it was walked, not when it was typed."""
    late = walking.by.late
    at = late.made_at if late else walking.pen.clock.now()
    return local_day(Instant(at), walking.where).isoformat()


def _refuse_to_repeat(walking: Walking, step: Step) -> None:
    """Stop where an answer sends the walk back: a script has each step once."""
    if not walking.state.answer(step.id):
        raise BadFile(
            f"Step {step.id}: what was on the air changed from the first to the last position.",
            safe=f"Walk {walking.state.walk} stays open; what was played is recorded.",
            hint=_GO_ON,
        )


def _started(pen: Pen, script: Script, by: By, planned: str) -> Walking:
    record = pen.journal.record()
    if not record.demo and by.late is None:
        raise Refusal(
            "A live record takes a file of answers only as a walk made on paper, LATE.",
            rule="an answer is given where the thing is seen",
            safe="Nothing was written.",
            hint="State --made-at TIME and --typist INITIALS, or walk with `hardstand walk`.",
        )
    tail = find_tail(script.tail, record.tails)
    if tail is None or (planned and tail != find_tail(planned, record.tails)):
        raise NotThere(
            f"The script is for {script.tail}, planned was {planned or 'nothing'}.",
            safe="No walk was started.",
        )
    facts = pen.journal.facts(tail)
    known = lists(pen.journal)
    digest = _digest(known, fit_of(facts, pen.clock.now(), record), script.list_id)
    _refuse_twice(pen, facts, digest, by)
    standing = in_log_order(facts.open)
    grave = [e.number for e in standing if e.symbol != "/"]
    left = [number for number in grave if number not in script.taken]
    if left:
        raise Refusal(
            f"{', '.join(left)} stands on {tail} and the script does not take it.",
            rule="each X, circled X and dash is taken before anything is touched",
            safe="No walk was started.",
            hint=f"Add the line: taken {' '.join(grave)}",
        )
    state = open_walk(pen, facts, known, digest, planned=tail if planned else "", by=by)
    prompter: Prompter = Silent()
    walking = Walking(
        pen=pen, prompter=prompter, by=by, where=zone(record.time_zone), state=state,
        facts=pen.journal.facts(tail),
    )  # fmt: skip
    note_log(walking, standing, grave)
    return walking


def _refuse_twice(pen: Pen, facts: AirframeFacts, digest: str, by: By) -> None:
    """Stop where the same hands, of the same time, have a walk of that list open on this device."""
    for own in facts.walks:
        if (own.device, own.digest) != (pen.device, digest):
            continue
        first = decode(next(iter(pen.journal.entries(walk=own.walk))))
        if isinstance(first, b.WalkStarted) and first.by == by:
            raise Refusal(
                f"Walk {own.walk} of {facts.tail} on this list, by {by.doer}, is open already.",
                rule="what was answered is in the record; nothing is answered twice",
                safe="Nothing was written.",
                hint=f"Go on by hand with `hardstand walk {facts.tail}`; B there can also end it.",
            )


def _digest(known: Lists, fit: str, list_id: str) -> str:
    for digest, checklist in known.current.items():
        if checklist.fit == fit and list_id in {"", checklist.id}:
            return digest
    raise NotThere(
        f"No adopted list{' ' + list_id if list_id else ''} is for fit {fit}.",
        safe="No walk was started.",
    )


def _ended(walking: Walking, script: Script) -> None:
    by, device = walking.by, walking.pen.device
    if script.end is not None:
        outcome = script.end

        def left(facts: AirframeFacts) -> tuple[b.Body, ...]:
            return closing.end(
                walking.state, facts, outcome, words=script.end_words, device=device, by=by
            )

        walking.write(left)
        return
    if by.late is not None and by.late.typist != by.doer:
        walking.write(lambda _: (b.WalkBroken(step="", by=by),))
        return
    walking.write(lambda facts: closing.finish(walking.state, facts, "", by))
