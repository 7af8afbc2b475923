"""Play a walk from a file of answers, one line a step, through the same decisions as the keys.

A demo record plays them as made. A live record takes them only as LATE, with the doer and the
typist named; the typist does not finish another's walk.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import tzinfo

from hardstand.domain import bodies as b
from hardstand.domain import closing
from hardstand.domain.answering import settle
from hardstand.domain.bodies import By, Late
from hardstand.domain.checklist import Checklist, Step
from hardstand.domain.codec import decode
from hardstand.domain.defects import Refused
from hardstand.domain.facts import AirframeFacts
from hardstand.domain.ids import find_tail, is_initials
from hardstand.domain.quantity import Instant, date_time, local_day, zone
from hardstand.domain.settled import Settled
from hardstand.domain.verdict import fit_of
from hardstand.domain.walk import PASSED, Given, WalkState
from hardstand.errors import BadFile, Interrupted, NotThere, Refusal, Usage
from hardstand.flows.adopting import Lists, lists
from hardstand.flows.answer_file import Script, reply_of
from hardstand.flows.pen import Pen
from hardstand.flows.pinned import resumed_state
from hardstand.flows.reading_log import in_log_order, note_log
from hardstand.flows.seat import Again, Walking
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
            was played to its end already, the walk that it began has other answers, or another
            program goes on with it at this moment.
        BadFile: a step has no answer in the script.
    """
    try:
        *_, (walking, _) = stages(pen, script, by=by, planned=planned)
    except Again as gone:
        raise Refusal(
            f"The walk of {script.tail} is gone on with by another program at this moment.",
            safe="What both have played of it is recorded, each answer once.",
            hint="When it has ended, play the file again: it goes on from there.",
        ) from gone
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
            _refuse_gap(walking, prompt, script)
            break
        yield walking, prompt
        if walking.state.next_step() is not prompt:
            continue
        reply = reply_of(prompt, *script.answers[prompt.id])
        reply = replace(reply, day=_day(by, pen, walking.where))
        try:
            found = settle(walking.state, prompt, reply)
            walking.write(decision_for(walking.state, prompt, found, pen.device, by))
        except Refusal as refused:
            refused.safe, go_on = _left_open(walking, prompt)
            refused.hint = " ".join(part for part in (refused.hint, go_on) if part)
            raise
        _refuse_to_repeat(walking, prompt)
    yield walking, None
    walking.pen = replace(pen, author=closer or pen.author)
    _ended(walking, script)


def _refuse_gap(walking: Walking, step: Step, script: Script) -> None:
    """Stop where a step has no line, unless the walk is said to have ended before it."""
    state = walking.state
    rest = (s.id for s in state.plan.steps if not state.answer(s.id) and s.id in script.answers)
    later = ", ".join(rest)
    if script.end is None or later:
        beside = f", and these after it have: {later}" if script.end else ""
        what = f"Step {step.id} of {state.plan.checklist.id} has no answer{beside}."
        safe, hint = _left_open(walking, step)
        raise BadFile(what, safe=safe, hint=hint)


def _left_open(walking: Walking, step: Step) -> tuple[str, str]:
    """Where a file that cannot be played on leaves the walk, and how it is gone on with."""
    state = walking.state
    return (
        f"Walk {state.walk} stays open at step {step.id}; what was played is recorded.",
        f"Mend the file and play it again, or go on by hand: hardstand walk {state.airframe}",
    )


def _day(by: By, pen: Pen, where: tzinfo) -> str:
    """The local day on which the numbers were read: when it was walked, not when it was typed."""
    at = _made(by) or pen.clock.now()
    return local_day(Instant(at), where).isoformat()


def _refuse_to_repeat(walking: Walking, step: Step) -> None:
    """Stop where an answer sends the walk back: a script has each step once."""
    if not walking.state.answer(step.id):
        raise BadFile(
            f"Step {step.id}: what was on the air changed from the first to the last position.",
            safe=_left_open(walking, step)[0],
            hint=f"Go on by hand: hardstand walk {walking.state.airframe}",
        )


def _started(pen: Pen, script: Script, by: By, planned: str) -> Walking:
    tail = _the_tail(pen, script, by, planned)
    facts, known, record = pen.journal.facts(tail), lists(pen.journal), pen.journal.record()
    digest = _digest(known, fit_of(facts, pen.clock.now(), record), script.list_id)
    walk = _played_before(pen, facts, known.by_digest[digest].id, by)
    state = _gone_on(pen, facts, known, walk, script, by) if walk else None
    _refuse_strange(state.plan.checklist if state else known.by_digest[digest], script)
    standing = in_log_order(facts.open)
    grave = [e.number for e in standing if e.symbol != "/"]
    if state is None or not state.log_read:
        _refuse_untaken(tail, grave, script)
    if state is None:
        state = open_walk(pen, facts, known, digest, planned=tail if planned else "", by=by)
    prompter: Prompter = Silent()
    walking = Walking(
        pen=pen, prompter=prompter, by=by, where=zone(record.time_zone), state=state,
        facts=pen.journal.facts(tail),
    )  # fmt: skip
    if walk:
        step = state.next_step()
        name = step.id if step else ""
        walking.write(lambda _: (b.WalkResumed(step=name, looked_at=(), by=by),))
    if not state.log_read:
        note_log(walking, standing, grave)
    return walking


def _the_tail(pen: Pen, script: Script, by: By, planned: str) -> str:
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
    return tail


def _refuse_strange(checklist: Checklist, script: Script) -> None:
    known = {step.id for step in checklist.steps}
    strange = [name for name in script.answers if name not in known]
    if strange:
        raise BadFile(
            f"{checklist.id} {checklist.revision} has no step {', '.join(strange)}.",
            safe="Nothing was written.",
            hint=f"`hardstand checklist show {checklist.id}` lists the steps.",
        )


def _refuse_untaken(tail: str, grave: Sequence[str], script: Script) -> None:
    left = [number for number in grave if number not in script.taken]
    if left:
        raise Refusal(
            f"{', '.join(left)} stands on {tail} and the script does not take it.",
            rule="each X, circled X and dash is taken before anything is touched",
            safe="No walk was started.",
            hint=f"Add the line: taken {' '.join(grave)}",
        )


# -- played before ---------------------------------------------------------------------------------


def _played_before(pen: Pen, facts: AirframeFacts, list_id: str, by: By) -> str:
    """The walk of that list, aircraft and hands, made at that time; empty if there is none.

    Where no time is stated only one that is still open on this device is the same.
    """
    own = {walk.walk for walk in facts.walks if walk.device == pen.device}
    for entry in pen.journal.entries(airframe=facts.tail, kind="walk.started"):
        begun = decode(entry)
        if not isinstance(begun, b.WalkStarted):
            continue
        if (begun.checklist, begun.by.doer) != (list_id, by.doer):
            continue
        if _made(begun.by) == _made(by) and (by.late or entry.walk in own):
            return entry.walk or ""
    return ""


def _made(by: By) -> str:
    return by.late.made_at if by.late else ""


def _gone_on(
    pen: Pen, facts: AirframeFacts, known: Lists, walk: str, script: Script, by: By
) -> WalkState:
    """The walk a file began, to go on with from where it stands; refused where the two differ."""
    where = zone(pen.journal.record().time_zone)
    made = f", made {date_time(Instant(_made(by)), where)}" if by.late else ""
    name = f"Walk {walk} of {facts.tail} on this list, by {by.doer}{made},"
    own = next((w for w in facts.walks if w.walk == walk), None)
    if own is None:
        hint = "A walk made at another time is another walk: state its --made-at."
        raise _answered_twice(f"{name} is in the record and closed already.", hint)
    if own.device != pen.device:
        raise _answered_twice(f"{name} is open on device {own.device}.", "Go on with it there.")
    state = resumed_state(pen, facts, known, own)
    if unlike := tuple(_unlike(state, script, _day(by, pen, where))):
        hint = f"Mend the file, or take an answer back with Z: hardstand walk {facts.tail}"
        raise _answered_twice("\n".join((f"{name} has other answers.", *unlike)), hint)
    if state.next_step() is None and not _finishes(by):
        hint = f"{by.doer} closes it: hardstand walk {facts.tail}"
        raise _answered_twice(f"{name} is typed in to its end.", hint)
    return state


def _answered_twice(what: str, hint: str) -> Refusal:
    rule = "what was answered is in the record; nothing is answered twice"
    return Refusal(what, rule=rule, safe="Nothing was written.", hint=hint)


def _unlike(state: WalkState, script: Script, day: str) -> Iterator[str]:
    """What the record and the file say of each step that both answer, and differently."""
    earlier: dict[str, Given] = {}
    for name, given in state.given.items():
        value, words = script.answers.get(name, ("", ""))
        if value and not given.body.reason.startswith(PASSED):
            step = state.plan.checklist.step(name)
            then = replace(state, given=dict(earlier), items=state.before[given.digest])
            found = settle(then, step, replace(reply_of(step, value, words), day=day))
            if isinstance(found, Refused) or _said(found) != _said(given.body):
                said = " | ".join(part for part in (value, words) if part)
                yield f"Step {name}: recorded {_told(given.body)}; in the file {said}"
        earlier[name] = given


def _said(one: Settled | b.StepAnswered) -> tuple[object, ...]:
    return (
        one.answer, one.state, one.value, one.earlier, one.reason, one.words, one.evidence,
    )  # fmt: skip


def _told(body: b.StepAnswered) -> str:
    given = body.state or " ".join((*body.earlier, body.value)).strip()
    head = given or f"{body.answer} {body.reason}".rstrip()
    return " | ".join(part for part in (head, body.words or body.evidence) if part)


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
    if not _finishes(by):
        walking.write(lambda _: (b.WalkBroken(step="", by=by),))
        return
    walking.write(lambda facts: closing.finish(walking.state, facts, "", by))


def _finishes(by: By) -> bool:
    """Whether who typed it walked it: nobody finishes another's walk."""
    return by.late is None or by.late.typist == by.doer
