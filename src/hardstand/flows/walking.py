"""Drive a walk: state → question → reply → decide → append, before the next question.

The walk's state is always the fold of its own lines, so leaving at any moment loses at most the
key being pressed.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial

from hardstand.domain import bodies as b
from hardstand.domain import closing
from hardstand.domain.answering import (
    NOT_IDENTIFIED,
    REASONS,
    STALE_MIN,
    WEATHER,
    Reply,
    is_kept,
    settle,
    stale_gate,
    written,
)
from hardstand.domain.asking import Ask
from hardstand.domain.bodies import By
from hardstand.domain.checklist import Step
from hardstand.domain.codec import decode
from hardstand.domain.defects import Refused
from hardstand.domain.facts import AirframeFacts
from hardstand.domain.quantity import later, local_day, seconds_between
from hardstand.domain.settled import Settled
from hardstand.domain.walk import WalkState
from hardstand.flows import giving
from hardstand.flows import questions as q
from hardstand.flows.browsing import browse
from hardstand.flows.careful import confirmed, made_safe, right_tail, set_anew
from hardstand.flows.finishing import close
from hardstand.flows.foresight import look_ahead, looks_ahead, taken_up, wrote_as_foreseen
from hardstand.flows.gaps import last_chance, offer
from hardstand.flows.holding import ear, with_others
from hardstand.flows.next_step import step_ask
from hardstand.flows.reading_log import read_log
from hardstand.flows.rehearsing import rehearse
from hardstand.flows.seat import Again, CalledAway, Walking, look_again, put_back
from hardstand.flows.sitting import (
    defect_elsewhere,
    describe,
    other_level,
    take_break,
    undo_last,
    unplanned_line,
    write_to_author,
)
from hardstand.flows.suspecting import with_suspects
from hardstand.flows.taking import report_of, tried_gear
from hardstand.flows.timing import battery_warning, wait_over


def drive(walking: Walking) -> WalkState:
    """Ask on until the walk is closed or left; everything answered is in the record by then."""
    if looks_ahead(walking):
        walking.foresee = partial(look_ahead, _go_on)
    while not walking.state.outcome and not walking.left:
        walking.begin_turn()
        try:
            _once(walking)
        except Again:
            continue
        except CalledAway:
            _leave(walking)
    return walking.state


def _go_on(marked: Walking) -> None:
    """Go on with a walk from where it was marked."""
    if marked.at is not None and marked.first is not None:
        answer_step(marked, marked.at, marked.first)
    else:
        _once(marked)
    drive(marked)


def _leave(walking: Walking) -> None:
    """Leave; anew where the walk was gone on with meanwhile, elsewhere or by whoever came back."""
    if walking.state.plan.practice:
        walking.left = True
        walking.say("is over. Nothing of it counts.")
        return
    while True:
        try:
            take_break(walking)
        except Again:
            continue
        return


def _once(walking: Walking) -> None:
    question = taken_up(walking)
    if question is not None and walking.at is not None:
        answer_step(walking, walking.at, question)
        return
    if walking.returned:
        look_again(walking)
        if walking.state.held_steps:
            answer_step(walking, walking.state.held_steps[0])
            return
    if not walking.state.log_read:
        read_log(walking)
        return
    state = with_others(walking)
    step = state.next_step()
    if step is None:
        close(walking)
        return
    previous = state.last_three[-1:]
    zone = state.plan.checklist.step(previous[0].body.step).zone if previous else step.zone
    if zone != step.zone:
        _tell_newer(walking)
        if zone not in walking.offered and _goes_on(state, zone, step.zone):
            asked = offer(walking, zone)
            walking.offered.add(zone)
            if asked:
                return
    if last_chance(walking, step):
        return
    _tell_battery(walking)
    if not right_tail(walking, step) or set_anew(walking, step):
        return
    stale = stale_gate(state, step, walking.pen.clock.now())
    if stale is not None:
        walking.say(f"Passed {_stale_words(walking, stale)}; ask once more.")
    answer_step(walking, stale or step)


def _goes_on(state: WalkState, zone: str, to: str) -> bool:
    """Whether a zone is left for a later one: what is taken up in an earlier one is asked first."""
    order = [z.id for z in state.plan.checklist.zones]
    return order.index(zone) < order.index(to)


def _tell_battery(walking: Walking) -> None:
    """Once each: half, four fifths, all of what the battery can give is drawn."""
    if not walking.moves:
        return
    words = battery_warning(walking.battery(walking.pen.clock.now()), walking.usable)
    if words and words not in walking.offered:
        walking.offered.add(words)
        walking.say(f"Battery: {words}.")


def _stale_words(walking: Walking, gate: Step) -> str:
    """How long ago a gate was passed that does not hold any more."""
    minutes = gate.stale_after_min or STALE_MIN
    passed = walking.state.given[gate.id].at
    if later(passed, seconds=60 * minutes) < walking.pen.clock.now():
        return f"more than {minutes} minutes ago"
    return "before the break"


def _tell_newer(walking: Walking) -> None:
    """Once, between zones: the list was revised; a walk ends on the revision it began with."""
    own = walking.state.plan.checklist
    mine = f"checklist {own.id} "
    for act in walking.pen.journal.record().adopted:
        newer = act.what.startswith(mine) and act.what != mine + own.revision
        if newer and act.what not in walking.offered:
            walking.offered.add(act.what)
            walking.say(
                f"{act.what.removeprefix('checklist ')} was adopted meanwhile. "
                f"This walk stays on {own.revision} to its end."
            )


def answer_step(walking: Walking, step: Step, ready: Ask | None = None) -> None:
    """Put one step until it is answered, or something else was done instead.

    `ready` is its question where that was made ready.
    """
    earlier = list[str]()
    walking.at = step
    rehearse(walking, step)
    while True:
        walking.half = bool(earlier)
        question = ready or step_ask(walking, step, earlier)
        ready = None
        if not earlier:
            walking.mark(question)
        reply = walking.ask(question)
        if wrote_as_foreseen(walking):
            return
        if reply == "H":
            told = q.help_ask(walking.state, walking.facts, step, walking.where)
            walking.ask(with_suspects(told, walking.state))
        elif reply in _WORDS:
            _WORDS[reply](walking, step)
        elif reply == "E":
            beside = ear(walking, step)
            if beside is not None:
                answer_step(walking, beside)
            return
        elif reply in _ASIDE:
            walking.kept = True
            _ASIDE[reply](walking)
            return
        elif _taken(walking, step, reply, earlier):
            return


def _taken(walking: Walking, step: Step, reply: str, earlier: list[str]) -> bool:
    """Whether a reply became the answer of a step; a value that was kept joins the earlier ones."""
    walking.half = True
    given = _complete(walking, step, reply, further=bool(earlier))
    if given is None:
        return False
    day = local_day(walking.pen.clock.now(), walking.where).isoformat()
    given = replace(given, earlier=tuple(earlier), day=day)
    found = settle(walking.state, step, given)
    if isinstance(found, Refused):
        walking.say(" ".join(p for p in (found.what + ".", found.hint) if p))
        earlier.extend([given.value] if is_kept(step, given.value) else [])
        return False
    if _too_soon(walking, step, found.answer) or not confirmed(walking, step, given):
        return False
    return _record_answer(walking, step, found)


def _too_soon(walking: Walking, step: Step, answer: str) -> bool:
    """Whether OK is given before the wait is over; a demo, where time is played, lets it pass."""
    put = walking.put_at.get(step.id)  # none where the step cannot be OK yet, which is told
    if put is None or not step.wait_s or answer != "OK" or walking.pen.journal.record().demo:
        return False
    now = walking.pen.clock.now()
    over = wait_over(step, walking.facts, put)
    if over is None or now >= over:
        return False
    walking.say(f"{seconds_between(now, over)} s of the wait are left. Look again then.")
    return True


def _complete(walking: Walking, step: Step, reply: str, *, further: bool) -> Reply | None:
    """The whole reply behind a key: its reason, its evidence; None to ask the step again."""
    if giving.picks(step) and reply.isdigit():
        pick = giving.picks(step)[int(reply) - 1]
        if giving.is_call(step):
            return Reply(value=report_of(walking, step, pick, further=further))
        return Reply(state=pick)
    if reply not in set(q.ANSWER_KEYS):
        return Reply(value=reply)
    if reply == "S":
        return _with_reason(
            walking, "S", q.reasons_ask(walking.state, walking.facts, step, walking.where)
        )
    if reply == "N":
        return _with_reason(
            walking, "N", q.not_fitted_ask(walking.state, walking.facts, step, walking.where)
        )
    if reply == "U":
        return Reply(key="U", words=walking.ask(q.words_ask("Not sure of what? (Enter = later)")))
    if reply == "O" and step.evidence and not giving.is_call(step):
        evidence = walking.ask(q.words_ask(f"{walking.state.plan.fill(step.evidence)}:"))
        return Reply(key="O", evidence=evidence)
    return Reply(key=reply)


def _with_reason(walking: Walking, key: str, question: Ask) -> Reply | None:
    picked = walking.ask(question)
    if picked == "Z":
        return None
    reason = question.choices[int(picked) - 1]
    if reason == REASONS[-1]:
        reason = walking.ask(q.words_ask("Why, in words:")).strip()
        if not reason:
            return None
    if reason == NOT_IDENTIFIED:
        heard = walking.ask(q.words_ask("Heard where on the dial? (Enter = not noted)")).strip()
        return Reply(key=key, reason=reason, words=f"heard at {heard}" if heard else "")
    return Reply(key=key, reason=reason)


def decision_for(
    state: WalkState, step: Step, found: Settled | Refused, device: str, by: By
) -> Callable[[AirframeFacts], Sequence[b.Body] | Refused]:
    """What an answer writes, with the steps that a FAULT passes over, as one decision."""

    def decision(facts: AirframeFacts) -> Sequence[b.Body] | Refused:
        if isinstance(found, Refused):
            return found
        bodies = written(state, facts, step, found, device=device, by=by)
        if isinstance(bodies, Refused):
            return bodies
        answer = bodies[0]
        if isinstance(answer, b.StepAnswered) and answer.answer == "FAULT":
            return (*bodies, *closing.pass_over(state, facts, step, device=device, by=by))
        return bodies

    return decision


def _record_answer(walking: Walking, step: Step, found: Settled) -> bool:
    """Write the answer, and after a FAULT ask for words; False if it cannot be taken."""
    decision = decision_for(walking.state, step, found, walking.pen.device, walking.by)
    known = walking.facts
    first = decision(known)
    if isinstance(first, Refused):
        walking.say(" ".join(p for p in (first.what + ".", first.hint) if p))
        return False
    entries = walking.write(lambda now: first if now is known else decision(now))
    walking.half, walking.kept = False, True
    raised = (decode(entry) for entry in entries if entry.kind == "defect.raised")
    number = next((x.number for x in raised if isinstance(x, b.DefectRaised)), "")
    said = giving.told(step, found)
    if said:
        walking.say(said)
    if walking.state.answer(step.id) == "FAULT":
        if tried_gear(walking, step, number):
            return True
        describe(walking, number, step.on_fault.symptoms)
        _set_now(walking, step)
        if step.kind == "gate" and walking.facts.due_home:
            made_safe(walking)
    elif number:
        walking.say(f"Recorded. {number} is open; it waits for a test.")
    if found.reason == WEATHER:
        _rest_of_zone(walking, step)
    return True


def _rest_of_zone(walking: Walking, step: Step) -> None:
    """Weather stops a zone, not a step: the rest of it may be left out in one key."""
    rest = closing.rest_of_zone(walking.state, step)
    if not rest:
        return
    question = q.rest_ask(walking.state, walking.facts, step, rest, walking.where)
    if walking.ask(question) == "2":
        skipping = closing.Skipping(at=step, steps=rest, reason=WEATHER)
        device, by = walking.pen.device, walking.by
        walking.write(lambda now: closing.skip(walking.state, now, skipping, device=device, by=by))


def _set_now(walking: Walking, step: Step) -> None:
    """After a position found wrong: what it is now, once it was set; the finding stands."""
    for item, to in (step.sets or {}).items():
        if step.kind == "state" and to == walking.state.plan.fit.items[item].home:
            put_back(walking, item)


_WORDS: dict[str, Callable[[Walking, Step], None]] = {
    "M": other_level,
    "V": browse,
    "W": write_to_author,
}

_ASIDE: dict[str, Callable[[Walking], None]] = {
    "Z": undo_last,
    "D": defect_elsewhere,
    "A": unplanned_line,
}
