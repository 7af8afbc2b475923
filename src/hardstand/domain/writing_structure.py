"""Writing rules about the shape of steps and zones: gates, counts, limits, what is critical.

Source: human-factors 3 (LED-05, omission score), 4 (WCN-07 to 09), 5 (AUT-08, 09, 11, 12, 17).
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from hardstand.domain.checklist import Checklist, Fit, Step
from hardstand.domain.disturbance import count_of, gates_of, is_guarded
from hardstand.domain.finding import Finding
from hardstand.domain.ledger_paths import fault_target
from hardstand.domain.order import order_of

MOST_STEPS = 12
"""Steps of one zone. Source: AUT-11; shorter zones are set by the aircraft, and pass."""


def gates_lead_safely_on(checklist: Checklist, fit: Fit) -> Iterator[Finding]:
    """HS406: power and transmission stand behind a gate whose "no" passes over them.

    So does every step that comes after a gate by name.
    """
    places = {s.id: i for i, s in enumerate(checklist.steps)}
    for index, step in enumerate(checklist.steps):
        number = checklist.number(step.id)
        if step.kind == "gate" and step.if_fault == "go_on":
            said = f"A no at the gate {number} leads straight on to what it guards."
            hint = "Send if_fault past the guarded steps, or end."
            yield _error("HS406", step, "if_fault", said, hint)
        gates = gates_of(checklist.steps, index, fit)
        for gate in gates:
            if gate.if_fault != "go_on" and fault_target(checklist, places[gate.id]) <= index:
                said = f"A no at the gate {checklist.number(gate.id)} does not "
                said += f"pass over {number}, which it guards."
                hint = f"Send its if_fault past {number}, or move {number} up."
                yield _error("HS406", step, "after", said, hint)
        if is_guarded(step, fit) and not gates:
            what = "transmits" if step.kind == "transmit" else "brings power"
            said = f"{number} {what}, and no gate stands before it."
            hint = "Put a gate before it whose if_fault leads to a step after it."
            yield _error("HS406", step, "kind", said, hint)


def _error(code: str, step: Step, field: str, message: str, hint: str) -> Finding:
    return Finding(code=code, level="error", step=step.id, field=field, message=message, hint=hint)


def counted_things_are_counted(checklist: Checklist, fit: Fit) -> Iterator[Finding]:
    """HS407: an item of kind count moves by counting; what fastens a panel is counted shut."""
    steps = checklist.steps
    for index, step in enumerate(steps):
        for name, value in (step.sets or {}).items():
            item = fit.items[name]
            said = ""
            if item.kind == "count" and step.kind != "count":
                said = f"{checklist.number(step.id)} moves {fit.named(name)} without counting them."
                hint = "Make it a count step."
            elif item.kind == "access" and value == item.home and not count_of(steps, index):
                said = f"{checklist.number(step.id)} closes {fit.named(name)}, and nobody counts "
                said += "what fastens it."
                hint = "Put a count step after it with the same place, or the same place mark."
            if said:
                yield Finding(
                    code="HS407",
                    level="error",
                    step=step.id,
                    field="kind",
                    message=said,
                    hint=hint,
                )


_LOOSE = re.compile(r"±|\+/-|\bplus or minus\b|\bwithin \d[\d.]* ?(?:%|percent)", re.IGNORECASE)


def limits_are_two_numbers(checklist: Checklist, _fit: Fit) -> Iterator[Finding]:
    """HS408: a limit is its low and its high number with a unit; no ± and no percent of."""
    for step in checklist.steps:
        for field in ("do", "good", "bad", "why"):
            if found := _LOOSE.search(getattr(step, field)):
                yield Finding(
                    code="HS408",
                    level="error",
                    step=step.id,
                    field=field,
                    message=f"{checklist.number(step.id)} gives a limit as '{found[0]}'.",
                    hint="Give the lowest and the highest number, with the unit the meter shows.",
                )
        if step.kind == "reading" and not (step.unit and (step.accept or step.judge)):
            missing = "accept" if step.unit else "unit"
            yield Finding(
                code="HS408",
                level="error",
                step=step.id,
                field=missing,
                message=f"{checklist.number(step.id)} reads a number that nothing can judge: "
                f"{missing} is missing.",
                hint="Give unit, and accept with low and high.",
            )


_NOWHERE = re.compile(
    r"(?:tb[ads]|to be (?:added|decided|done)|todo|none|n/?a|\?+|-+|\.+|xxx+|(?:see )?manual)?\.?",
    re.IGNORECASE,
)


def references_lead_somewhere(checklist: Checklist, _fit: Fit) -> Iterator[Finding]:
    """HS409: each step says where it is written, or that it is common practice."""
    for step in checklist.steps:
        if _NOWHERE.fullmatch(step.ref.strip()):
            yield Finding(
                code="HS409",
                level="error",
                step=step.id,
                field="ref",
                message=f"{checklist.number(step.id)} has no reference: '{step.ref.strip()}'.",
                hint="Name book and paragraph; where there is none, write common practice.",
            )


def the_gravest_come_early(checklist: Checklist, fit: Fit) -> Iterator[Finding]:
    """HS410: a critical step stands in the first half of its zone, where its order allows."""
    order = order_of(checklist, fit)
    for zone in checklist.zones:
        here = [i for i, s in enumerate(checklist.steps) if s.zone == zone.id]
        for position, index in enumerate(here, start=1):
            step = checklist.steps[index]
            if not step.critical or position * 2 <= len(here) + 1:
                continue
            bound = [i for i in here if order.before[index] >> i & 1]
            free = [
                i for i in here[: position - 1]
                if i > max(bound, default=-1) and not checklist.steps[i].critical
            ]  # fmt: skip
            if free:
                yield Finding(
                    code="HS410",
                    level="error",
                    step=step.id,
                    field="critical",
                    message=f"{checklist.number(step.id)} is critical, but comes {position} of "
                    f"{len(here)} in its zone.",
                    hint=f"Move it before {checklist.number(checklist.steps[free[0]].id)}.",
                )


def the_gravest_are_looked_at_last(checklist: Checklist, fit: Fit) -> Iterator[Finding]:
    """HS411: what a critical step guards is looked at again, as critical, after its last move.

    Source: AUT-09; Degani and Wiener on repeating critical items before the end.
    """
    for index, step in enumerate(checklist.steps):
        if not step.critical:
            continue
        guarded = [*(step.sets or {})]
        guarded += [n for n in step.must_be or {} if fit.items[n].hazard and n not in guarded]
        for name in guarded:
            last = _last_away(checklist, fit, name)
            if last < index or step.repeat_at_end or _looked_at_after(checklist, fit, name, last):
                continue
            yield Finding(
                code="HS411",
                level="error",
                step=step.id,
                field="repeat_at_end",
                message=f"{checklist.number(step.id)} is critical, but {fit.named(name)} "
                f"moves again at {checklist.number(checklist.steps[last].id)} and no critical "
                "step looks at it after that.",
                hint="Mark the step that brings it home critical, of kind state, or set "
                "repeat_at_end here.",
            )


def _last_away(checklist: Checklist, fit: Fit, name: str) -> int:
    moved = [
        i
        for i, s in enumerate(checklist.steps)
        if (s.sets or {}).get(name, fit.items[name].home) != fit.items[name].home
    ]
    return moved[-1] if moved else -1


def _looked_at_after(checklist: Checklist, fit: Fit, name: str, last: int) -> bool:
    return any(
        (s.critical or s.repeat_at_end)
        and s.kind in {"state", "count"}
        and (s.sets or {}).get(name) == fit.items[name].home
        for s in checklist.steps[last + 1 :]
    )


def zones_are_short_and_the_walk_ends(checklist: Checklist, _fit: Fit) -> Iterator[Finding]:
    """HS412: at most twelve steps a zone; the last step says that the walk is complete."""
    for place, zone in enumerate(checklist.zones):
        count = sum(s.zone == zone.id for s in checklist.steps)
        if count > MOST_STEPS:
            yield Finding(
                code="HS412",
                level="advice",
                step="",
                field=f"zones.{place}",
                message=f"{zone.title} has {count} steps.",
                hint=f"Cut it at a natural pause: at most {MOST_STEPS} are kept in mind.",
            )
    if checklist.steps and not re.search(
        r"complete|finished|\bends?\b|\bdone\b", checklist.steps[-1].do, re.IGNORECASE
    ):
        last = checklist.steps[-1]
        yield Finding(
            code="HS412",
            level="advice",
            step=last.id,
            field="do",
            message=f"The last step, {checklist.number(last.id)}, does not say that the walk is "
            "complete.",
            hint="End with a step that says so, so that nobody takes the walk up again.",
        )


def hazards_are_found_safe_first(checklist: Checklist, fit: Fit) -> Iterator[Finding]:
    """HS414: before hands go on the set, each hazard and supply is looked at and found at home.

    Source: human-factors 12, W-MULTI and W-TAG; the order of zones is ours.
    """
    kinds = {"access", "removed", "disconnected", "placed"}
    safe: set[str] = set()
    for step in checklist.steps:
        moves = [(n, fit.items[n], v) for n, v in (step.sets or {}).items()]
        if any(item.kind in kinds and value != item.home for _, item, value in moves):
            for name, item in fit.items.items():
                if (item.hazard or item.kind == "energy") and name not in safe:
                    said = f"{checklist.number(step.id)} puts hands on before anyone has looked "
                    said += f"whether {fit.named(name)} is {item.home}."
                    hint = f"Put a state step before it that sets {name}: {item.home}."
                    yield _error("HS414", step, "", said, hint)
            return
        safe |= {n for n, item, value in moves if value == item.home}


_OUT_OF_SIGHT = re.compile(r"\b(?:behind|under|beneath|inside|belly|rear|back of)\b", re.IGNORECASE)
_SMALL = re.compile(
    r"\b(?:fastener|screw|pin|cap|nut|washer|fuse|crystal|safety wire|lockwire|clip)s?\b",
    re.IGNORECASE,
)
_TAKE_OFF = re.compile(r"^(?:remove|unplug|take|pull out|disconnect)\b", re.IGNORECASE)


def forgettable_steps_have_a_reminder(checklist: Checklist, _fit: Fit) -> Iterator[Finding]:
    """HS413: two marks or more of a step that is easily left out, and nothing to bring it back.

    The last step is the reminder of itself.

    Source: AUT-17, after Reason 2002; the marks a list can show.
    """
    said: set[str] = set()
    keyed = [i for i, s in enumerate(checklist.steps) if s.kind == "transmit"]
    for index, step in enumerate(checklist.steps):
        zone = [s.id for s in checklist.steps if s.zone == step.zone]
        marks = {
            "late in its zone": zone.index(step.id) * 3 >= len(zone) * 2 and len(zone) > 2,
            "after the operating test": bool(keyed) and index > keyed[-1],
            "out of sight": bool(_OUT_OF_SIGHT.search(f"{step.do} {step.place}")),
            "a small part": bool(_SMALL.search(step.do)),
            "takes something away": bool(_TAKE_OFF.search(step.do)),
            "the same words as before": step.do.lower() in said,
        }
        said.add(step.do.lower())
        met = [name for name, holds in marks.items() if holds]
        if len(met) >= 2 and not _has_reminder(step) and step is not checklist.steps[-1]:
            yield Finding(
                code="HS413",
                level="advice",
                step=step.id,
                field="",
                message=f"{checklist.number(step.id)} is easily left out: {', '.join(met)}.",
                hint="Give it a note, a count, evidence, or an item that the ledger asks for.",
            )


def _has_reminder(step: Step) -> bool:
    kept = step.note or step.sets or step.evidence or step.warning or step.caution
    return bool(kept) or step.kind == "count" or step.repeat_at_end or step.critical


RULES = (
    gates_lead_safely_on,
    counted_things_are_counted,
    limits_are_two_numbers,
    references_lead_somewhere,
    the_gravest_come_early,
    the_gravest_are_looked_at_last,
    hazards_are_found_safe_first,
    zones_are_short_and_the_walk_ends,
    forgettable_steps_have_a_reminder,
)
