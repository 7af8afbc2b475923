"""How a walk leaves: jumps after a fault, undo, finishing, ending with what is left. Pure."""

from __future__ import annotations

from collections.abc import Container, Iterable
from dataclasses import dataclass, replace
from typing import get_args

from hardstand.domain import bodies as b
from hardstand.domain.bodies import By, Outcome
from hardstand.domain.checklist import ItemKind, Step
from hardstand.domain.defects import Refused, Report, proved_by_walk, take_back, untested
from hardstand.domain.facts import AirframeFacts, OpenEntry
from hardstand.domain.ledger_paths import fault_target
from hardstand.domain.walk import PASSED, WalkState

OUTCOMES: dict[Outcome, str] = {
    "taken_away": "aircraft taken away",
    "stopped_by_x": "stopped by a red X",
    "left_unfinished": "left unfinished",
}
"""Ways to end a walk that is not finished."""


def jump(state: WalkState, step: Step) -> tuple[Step, ...]:
    """Steps without an answer that an answer FAULT at this step passes over, by its `if_fault`.

    They are passed over by their place in the list, also where the step led to does not apply here
    or has its answer already. `end` passes over everything before the last two zones.
    """
    steps = state.plan.checklist.steps
    place = [s.id for s in steps].index(step.id)
    passed = {s.id for s in steps[place + 1 : fault_target(state.plan.checklist, place)]}
    return tuple(s for s in _after(state, step) if s.id in passed)


def _after(state: WalkState, step: Step) -> tuple[Step, ...]:
    steps = state.plan.steps
    place = [s.id for s in steps].index(step.id)
    return tuple(s for s in steps[place + 1 :] if not state.answer(s.id))


def pass_over(
    state: WalkState, facts: AirframeFacts, step: Step, *, device: str, by: By
) -> tuple[b.Body, ...]:
    """SKIPPED for each step a fault passes over, and one dash for what they would have proved.

    Written together with the FAULT, whose own entry takes the number before the dash's.
    """
    reason = f"{PASSED}{state.plan.checklist.number(step.id)}"
    passed = Skipping(at=step, steps=jump(state, step), reason=reason)
    return skip(state, facts, passed, device=device, by=by, after=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Skipping:
    """Steps that are not done, all for one reason; `at` is the step where that was decided."""

    at: Step
    steps: tuple[Step, ...]
    reason: str


def rest_of_zone(state: WalkState, step: Step) -> tuple[Step, ...]:
    """The open steps of a zone that may be left out together with this one.

    Not those that bring something home which is away: they are asked whatever the reason.
    """
    fit = state.plan.fit

    def brings_home(later: Step) -> bool:
        return any(
            to == fit.items[item].home != state.items[item]
            for item, to in (later.sets or {}).items()
        )

    rest = (s for s in _after(state, step) if s.zone == step.zone)
    return tuple(s for s in rest if not brings_home(s))


def skip(
    state: WalkState,
    facts: AirframeFacts,
    skipping: Skipping,
    *,
    device: str,
    by: By,
    after: int = 0,
) -> tuple[b.Body, ...]:
    """SKIPPED for each of the steps, and one dash for what they would have proved."""
    answers = tuple(
        b.StepAnswered(step=s.id, answer="SKIPPED", reason=skipping.reason, by=by)
        for s in skipping.steps
    )
    functions = tuple(dict.fromkeys(p for s in skipping.steps for p in s.proves))
    if not functions:
        return answers
    report = Report(
        symbol="-",
        text=f"{titles(state, functions)} not tested: {skipping.reason}",
        step=skipping.at.id,
        zone=skipping.at.zone,
    )
    return (*answers, *untested(facts, functions, report, device=device, by=by, after=after))


def titles(state: WalkState, functions: Iterable[str]) -> str:
    """The words of functions, units and controls, for a person."""
    fit = state.plan.fit
    names = [
        fit.functions[f].title
        if f in fit.functions
        else fit.units[f].title
        if f in fit.units
        else fit.controls[f].plate
        if f in fit.controls
        else f
        for f in functions
    ]
    return ", ".join(names)


def undo(
    state: WalkState, facts: AirframeFacts, step_id: str, by: By
) -> tuple[b.Body, ...] | Refused:
    """Take an answer back: by adding, never by removing.

    An item it put home is away again until looked at; one it moved away stays. Entries it raised
    are entered in error, but for an X, for what others found or acted on, which takes two people,
    and for a dash that another answer still needs. What a FAULT passed over is open again.
    """
    given = state.given.get(step_id)
    if given is None:
        return Refused(what=f"step {step_id} has no answer to take back")
    passed = _passed_over(state, given.body)
    undone = (b.StepUndone(step=s, of=state.given[s].digest, by=by) for s in (step_id, *passed))
    before = state.before.get(given.digest, {})
    moves = [
        b.LineMoved(
            item=item,
            title=state.plan.fill(known.title),
            item_kind=known.kind,
            home=known.home,
            from_=known.home,
            to=before[item],
            step=step_id,
            words="answer taken back",
            by=by,
            seen=(),
        )
        for item, known in state.plan.fit.items.items()
        if state.mover.get(item) == given.digest
        and before.get(item, known.home) != known.home
        and state.items[item] == known.home
    ]
    voided: list[b.Body] = []
    for number in state.raised.get(given.digest, ()):
        entry = facts.entry(number)
        if entry is not None and not _needed(state, entry, {step_id, *passed}):
            act = take_back(facts, number, f"answer of step {step_id} taken back", by)
            voided.extend(() if isinstance(act, Refused) else act)
    return (*undone, *moves, *voided)


def _passed_over(state: WalkState, answer: b.StepAnswered) -> tuple[str, ...]:
    """The steps that are SKIPPED for no other reason than that answer."""
    reason = f"{PASSED}{state.plan.checklist.number(answer.step)}"
    faulty = answer.answer == "FAULT"
    return tuple(s for s, g in state.given.items() if faulty and g.body.reason == reason)


def _needed(state: WalkState, entry: OpenEntry, taken_back: Container[str]) -> bool:
    """Whether a dash says what another step, not answered OK, leaves untested."""
    waiting = frozenset(entry.untested)
    return any(
        waiting.intersection((*step.proves, f"step {step.id}"))
        for step in state.plan.steps
        if step.id not in taken_back and state.answer(step.id) not in {"", "OK"}
    )


def proved(state: WalkState) -> tuple[str, ...]:
    """What this walk proved: every proving step of the list was answered, and each of them OK.

    NOT FITTED steps neither prove nor disprove.
    """
    good: dict[str, bool] = {}
    for step in state.plan.applicable:
        for name in step.proves:
            if state.answer(step.id) != "NOT FITTED":
                good[name] = good.get(name, True) and _proves(state, step, name)
    return tuple(sorted(name for name, holds in good.items() if holds))


def _proves(state: WalkState, step: Step, name: str) -> bool:
    """Whether the answer proved that: as it says itself, else if it is OK."""
    given = state.given.get(step.id)
    proved = given.body.proved if given else None
    return state.answer(step.id) == "OK" if proved is None else name in proved


def _proving(state: WalkState) -> dict[str, tuple[str, ...]]:
    """The steps that tested something, by its name; what is NOT FITTED tested nothing."""
    found: dict[str, tuple[str, ...]] = {}
    for step in (s for s in state.plan.steps if state.answer(s.id) != "NOT FITTED"):
        for name in (*step.proves, f"step {step.id}"):
            found[name] = (*found.get(name, ()), step.id)
    return found


def _looked_at(state: WalkState) -> tuple[str, ...]:
    """Step marks of dashes that this walk closes: steps answered OK that prove nothing else."""
    return tuple(f"step {s.id}" for s in state.plan.steps if state.answer(s.id) == "OK")


def finish(
    state: WalkState, facts: AirframeFacts, words: str, by: By
) -> tuple[b.Body, ...] | Refused:
    """FINISHED: every step answered and nothing of the aircraft away from home.

    Dashes whose functions this walk proved are tested good in the same write.
    """
    rest = state.next_step()
    if rest is not None:
        return Refused(what=f"step {state.plan.checklist.number(rest.id)} is not answered yet")
    if facts.due_home:
        named = "; ".join(f"{line.title} recorded {line.value}" for line in facts.due_home)
        return Refused(
            what=f"Not FINISHED: {len(facts.due_home)} not put back: {named}",
            rule="a walk is finished when everything it moved is home",
            hint="Put it back and answer its line, or end the walk with the lines open.",
        )
    good = proved(state)
    acts = proved_by_walk(facts, (*good, *_looked_at(state)), _proving(state), by)
    return (*acts, _closed(state, facts, "finished", good, words, by))


def end(
    state: WalkState, facts: AirframeFacts, outcome: Outcome, *, words: str, device: str, by: By
) -> tuple[b.Body, ...]:
    """End a walk that is not finished; open lines stay with the aircraft and are seen there.

    Taken away or left: one dash names every function still unproved. Stopped by a red X: the X
    stands, and nothing is added to it; without an X that stands, the dash is needed.
    """
    functions = tuple(
        dict.fromkeys(
            p
            for s in state.plan.steps
            for p in s.proves
            if not state.answer(s.id) and p in state.plan.fit.functions
        )
    )
    dash: tuple[b.Body, ...] = ()
    stopped = outcome == "stopped_by_x" and any(e.symbol == "X" for e in facts.open)
    if functions and not stopped:
        text = words or f"{OUTCOMES[outcome]}: {titles(state, functions)} not tested"
        report = Report(symbol="-", text=text)
        dash = untested(facts, functions, report, device=device, by=by)
    return (*dash, _closed(state, facts, outcome, (), words, by))


def _closed(
    state: WalkState,
    facts: AirframeFacts,
    outcome: Outcome,
    good: tuple[str, ...],
    words: str,
    by: By,
) -> b.WalkClosed:
    plan = state.plan
    return b.WalkClosed(
        outcome=outcome,
        purpose=plan.purpose,
        checklist=plan.checklist.id,
        revision=plan.checklist.revision,
        proved=good,
        words=words,
        by=replace(by, late=by.late or state.late),
        gaps=tuple(step.id for step in state.not_ok),
        open_lines=tuple(line.item for line in facts.lines),
    )


def put_back(
    state: WalkState, facts: AirframeFacts, item: str, seen: str, by: By
) -> tuple[b.Body, ...] | Refused:
    """Answer an open line with the position seen now."""
    line = facts.line(item)
    if line is None:
        return Refused(what=f"{item} has no open line at {facts.tail}")
    if seen == line.value:
        return ()
    return (
        b.LineMoved(
            item=item,
            title=line.title,
            item_kind=item_kind(line.kind),
            home=line.home,
            from_=line.value,
            to=seen,
            words="put back",
            by=by,
            seen=line.heads,
        ),
    )


def item_kind(kind: str) -> ItemKind:
    """The kind of item a stored word names."""
    return next(k for k in get_args(ItemKind) if k == kind)
