"""decide: what one answer at a step writes. Pure.

No answer is made from silence: OK comes from the key O, or from a position or number that was
given and judged. FAULT raises its entry in the same decision; SKIPPED and UNSURE open or extend
the function's dash; positions seen move the items they belong to.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from hardstand.domain import bodies as b
from hardstand.domain import hearing, measuring, reporting
from hardstand.domain.bodies import Answer, By
from hardstand.domain.checklist import COUNTED, Step
from hardstand.domain.consequences import logged, moved
from hardstand.domain.defects import Refused
from hardstand.domain.disturbance import forbidden_after, unmet
from hardstand.domain.facts import AirframeFacts
from hardstand.domain.holding import barred
from hardstand.domain.quantity import Instant, later
from hardstand.domain.settled import Settled
from hardstand.domain.walk import WalkState

KEYS: dict[str, Answer] = {
    "O": "OK",
    "F": "FAULT",
    "S": "SKIPPED",
    "N": "NOT FITTED",
    "U": "UNSURE",
}

WEATHER = "weather"
"""The one reason that stops a whole zone."""

REASONS = (
    "no station on the air",
    "tower not on watch",
    "fuelling",
    WEATHER,
    "no stand",
    "no time",
    "no test gear",
    "other",
)
"""Why a step is SKIPPED; the last asks for words. Source: whole-job M-05."""

STALE_MIN = 10
"""How many minutes a gate holds where its list does not say; human-factors WCN-08, ours."""

NOT_IDENTIFIED = "station not identified"
"""Why a dial is not read or an ident not matched: what was heard is no check point."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reply:
    """What the person gave at a step: a key, a position seen or heard, a number read, a report.

    `earlier` keeps numbers and reports given before; `day` is the local day, for meters.
    """

    key: str = ""
    state: str = ""
    value: str = ""
    earlier: tuple[str, ...] = ()
    reason: str = ""
    words: str = ""
    evidence: str = ""
    day: str = ""


def decide(
    state: WalkState, facts: AirframeFacts, step: Step, reply: Reply, *, device: str, by: By
) -> tuple[b.Body, ...] | Refused:
    """The bodies that an answer writes, the answer first; or why it cannot be taken.

    Args:
        state: the walk so far.
        facts: the airframe, for its open dashes and numbers.
        step: the step answered.
        reply: what was given.
        device: whose entry numbers are used.
        by: whose hands.
    """
    found = settle(state, step, reply)
    if isinstance(found, Refused):
        return found
    return written(state, facts, step, found, device=device, by=by)


def written(
    state: WalkState, facts: AirframeFacts, step: Step, found: Settled, *, device: str, by: By
) -> tuple[b.Body, ...] | Refused:
    """The bodies of an answer that was settled; see `decide`."""
    blocked = missing(state, step)
    if found.answer == "OK" and blocked:
        return Refused(
            what=f"Step {state.plan.checklist.number(step.id)} cannot be OK now: {blocked}",
            hint="Z takes the last answer back; S skips this step with a reason.",
        )
    body = _answered(facts, step, found, by)
    if found.step:
        return (body, *_taken_back(state, found.undone, by))
    moves = tuple(moved(state, facts, step, body))
    return (body, *moves, *logged(state, facts, step, body, found, device=device))


def _answered(facts: AirframeFacts, step: Step, found: Settled, by: By) -> b.StepAnswered:
    """What was settled, as the record keeps it."""
    return b.StepAnswered(
        step=found.step or step.id,
        answer=found.answer,
        state=found.state,
        value=found.value,
        unit=found.unit,
        earlier=found.earlier,
        reason=found.reason,
        words=found.words,
        evidence=found.evidence,
        typed=found.typed,
        meter=found.meter,
        limit=found.limit,
        verdict=found.verdict,
        basis=found.basis,
        judged=(*found.judged, *_box(facts, step, found)),
        proved=found.proved,
        by=by,
    )


def _box(facts: AirframeFacts, step: Step, found: Settled) -> tuple[str, ...]:
    """Whose dial was read: a result belongs to the box that was tested, by its serial number."""
    position = (step.judge or {}).get("position", "")
    serial = (facts.serials or {}).get(position, "")
    if not found.judged or not position:
        return ()
    return (f"position={position}", *((f"serial={serial}",) if serial else ()))


def _taken_back(state: WalkState, steps: tuple[str, ...], by: By) -> Iterable[b.StepUndone]:
    """The answers that no longer count, to be given again."""
    for name in steps:
        given = state.given.get(name)
        if given is not None:
            yield b.StepUndone(step=name, of=given.digest, by=by)


def judge(state: WalkState, step: Step, reply: Reply) -> Answer | Refused:
    """The answer that was given, or why it is none yet."""
    found = settle(state, step, reply)
    return found if isinstance(found, Refused) else found.answer


def settle(state: WalkState, step: Step, reply: Reply) -> Settled | Refused:
    """What a reply comes to: by key, or by holding what was given to what the list says."""
    if reply.key and reply.key != "O":
        return _by_key(state, step, reply)
    if step.kind == "state":
        return _by_position(step, reply)
    if step.kind == "count":
        return _by_count(state, step, reply)
    if step.kind == "reading":
        doubt = overdue(state, step, reply.day)
        return measuring.settle(step, (*reply.earlier, reply.value), doubt=doubt)
    return _by_ear(state, step, reply)


def _by_ear(state: WalkState, step: Step, reply: Reply) -> Settled | Refused:
    """Steps answered by O, and those where what is heard or told is given and judged."""
    name = (step.judge or {}).get("name", "")
    if name == "range_filter":
        return hearing.hear(state, step, reply.state)
    if name == "transmitter_report":
        newest = (reply.value,) if reply.value else ()
        return reporting.settle(state, step, (*reply.earlier, *newest), by_ear=reply.key == "O")
    if reply.key != "O":
        return Refused(what=f"nothing was answered at step {step.id}")
    if step.evidence and not reply.evidence.strip():
        number = state.plan.checklist.number(step.id)
        return Refused(what=f"Step {number} needs words: {step.evidence}")
    if name == "ident_match":
        return hearing.identify(step, reply.evidence)
    return Settled(answer="OK", words=reply.words, evidence=reply.evidence)


def _by_key(state: WalkState, step: Step, reply: Reply) -> Settled | Refused:
    answer = KEYS.get(reply.key)
    if answer is None:
        return Refused(what=f"{reply.key} is no answer", hint="Answers: O F S N U.")
    if answer in {"SKIPPED", "NOT FITTED"} and not reply.reason.strip():
        return Refused(what=f"{answer} needs a reason")
    return Settled(
        answer=answer,
        earlier=reply.earlier,
        reason=reply.reason,
        words=reply.words,
        evidence=reply.evidence,
        detail=reporting.said_last(reply.earlier),
        look_at=reporting.pointer(state, step) if answer == "FAULT" else (),
    )


def _by_position(step: Step, reply: Reply) -> Settled | Refused:
    if reply.state not in step.states:
        return Refused(
            what=f"step {step.id} is answered with the position seen",
            hint=f"Positions: {', '.join(step.states)}.",
        )
    return Settled(
        answer="OK" if reply.state == step.expect else "FAULT",
        state=reply.state,
        words=reply.words,
        detail=f"seen {reply.state}",
    )


def _by_count(state: WalkState, step: Step, reply: Reply) -> Settled | Refused:
    number = measuring.digits(reply.value, step.unit)
    if not number:
        return measuring.no_number(reply.value, step.unit)
    if "." in number or number.startswith("-"):
        return Refused(what=f"{number!r} is no count", hint="A whole number, such as 12.")
    expected = expected_count(state, step)
    return Settled(
        answer="OK" if expected is None or int(number) == expected else "FAULT",
        value=number,
        unit=step.unit,
        typed=reply.value if reply.value != number else "",
        earlier=reply.earlier,
        words=reply.words,
        detail=" ".join(filter(None, (_of(number, expected), counted(state, step) or step.unit))),
    )


def _of(number: str, expected: int | None) -> str:
    return number if expected in {None, int(number)} else f"{number} of {expected}"


def counted(state: WalkState, step: Step) -> str:
    """What a step counts out or back, as its fit names it; empty where it counts something else."""
    items = state.plan.fit.items
    names = (name for name in step.sets or {} if items[name].kind == "count")
    return next((state.plan.fill(items[name].title) for name in names), "")


def overdue(state: WalkState, step: Step, day: str) -> str:
    """Why nothing read on the meter of a step can be trusted on that day; empty if it can."""
    due = (state.plan.due or {}).get(step.meter, "")
    return f"{step.meter} was due for its check on {due}" if due and day > due else ""


def is_kept(step: Step, value: str) -> bool:
    """Whether something given and not accepted is kept beside what is given next."""
    if step.kind == "reading":
        return bool(measuring.digits(value, step.unit))
    return reporting.report(value) is not None


def expected_count(state: WalkState, step: Step) -> int | None:
    """How many a count step must find; None where it takes whatever is counted."""
    for item, to in (step.sets or {}).items():
        if state.plan.fit.items[item].kind != "count":
            continue
        if to == COUNTED:
            return None
        if to == state.plan.fit.items[item].home:
            return int(state.items[item])
    text = state.plan.fill(step.expect)
    return int(text) if text.isdecimal() else None


def reasons(step: Step) -> tuple[str, ...]:
    """Why this step may be SKIPPED; where a station must be identified, that it was not."""
    on_a_station = (step.judge or {}).get("name", "") in {*measuring.BOTH_SIDES, "ident_match"}
    if not on_a_station:
        return REASONS
    return tuple(NOT_IDENTIFIED if r == "no stand" else r for r in REASONS)


def missing(state: WalkState, step: Step) -> str:
    """What stands in the way of an OK here, in words; empty if nothing does.

    As strict as the proof of the list: gates, `must_be`, what the fit's own action for the same
    move needs, and combinations the fit forbids.
    """
    number, fit = state.plan.checklist.number, state.plan.fit
    if found := barred(step, state.others):
        return found
    for earlier in (name for name in step.after if name in state.plan.gates):
        if not state.answer(earlier):
            return f"step {number(earlier)} comes first"
    for gate in state.plan.gates[step.id]:
        if state.answer(gate.id) != "OK":
            return f"the gate {number(gate.id)} was not passed"
    lacking = unmet(step, fit, state.items)
    if lacking is not None:
        item, value = lacking
        return f"{_title(state, item)} is recorded {state.items[item]}, it must be {value}"
    forbidden = forbidden_after(step, fit, state.items)
    if forbidden is not None:
        pairs = (f"{_title(state, item)} {value}" for item, value in forbidden.items())
        return f"{' and '.join(pairs)} may not stand together"
    return ""


def _title(state: WalkState, item: str) -> str:
    return state.plan.fill(state.plan.fit.items[item].title)


def stale_gate(state: WalkState, step: Step, now: Instant) -> Step | None:
    """The gate before a step that was passed before a break or longer ago than it holds.

    Source: human-factors WCN-08.
    """
    for gate in state.plan.gates[step.id]:
        given = state.given.get(gate.id)
        if given is None or given.body.answer != "OK":
            continue
        minutes = gate.stale_after_min or STALE_MIN
        if gate.id in state.earlier or later(given.at, seconds=60 * minutes) < now:
            return gate
    return None
