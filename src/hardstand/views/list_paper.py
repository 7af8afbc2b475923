"""A whole list as paper: the same numbers as on the screen, boxes for the answers, nothing hidden.

What the screen shows only after the answer stands on the last page, so that the pencil comes first.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from hardstand.domain.checklist import Peril, Step, Zone
from hardstand.domain.ledger_paths import fault_target
from hardstand.domain.words import visible
from hardstand.flows import giving
from hardstand.flows import questions as q
from hardstand.flows.printing import BLANK, Sheet

WIDTH = 78
_WHY = "_" * 9
OTHERS = f"[ ] FAULT  [ ] SKIPPED {_WHY}  [ ] NOT FITTED {_WHY}  [ ] UNSURE"


def paper(sheet: Sheet) -> str:
    """The list as lines of text, head first, last page with what must be found."""
    listed = sheet.plan.checklist
    lines = [*_head(sheet)]
    for n, zone in enumerate(listed.zones, 1):
        lines += ["", "=" * WIDTH, f"{n}  {zone.title.upper()}", *_perils(sheet, zone)]
        for step in (s for s in listed.steps if s.zone == zone.id):
            lines += ["", *_step(sheet, step)]
    lines += ["", "=" * WIDTH, *_ledger(sheet), "", "=" * WIDTH, *_found(sheet), "", *_foot(sheet)]
    return "\n".join(visible(line) for line in lines)


def _wrap(text: str, lead: str = "", after: str = "") -> list[str]:
    return textwrap.wrap(
        text, WIDTH, initial_indent=lead, subsequent_indent=after or lead, break_on_hyphens=False
    )


def _head(sheet: Sheet) -> Iterator[str]:
    listed = sheet.plan.checklist
    if sheet.demo:
        yield "DEMO RECORD — example limits. Not for a real aircraft."
    if listed.draft:
        yield "DRAFT: no named person has tried this list at an aircraft."
    yield f"{listed.title}   list {listed.id} {listed.revision}, fit {listed.fit}"
    yield f"digest {sheet.plan.digest[:12]}"
    yield f"Manual: {listed.manual.title}, revision {listed.manual.revision}.  [ ] to hand"
    yield f"Tail as painted {sheet.tail or BLANK * 2}   Date {BLANK * 2}   From ______ to ______"
    yield f"Initials {BLANK}   With {BLANK}"
    yield from _wrap(q.MEMORY_AID)
    yield from (line for text in q.RESCUE for line in _wrap(text))
    yield from _wrap(
        "Tick one box a step. Write why after SKIPPED and NOT FITTED, and the time of a FAULT."
    )
    if listed.tools:
        yield from _wrap("Bring: " + "; ".join(listed.tools) + ".")


def _perils(sheet: Sheet, place: Zone | Step) -> Iterator[str]:
    for word, group in (
        ("WARNING (people)", place.warning),
        ("CAUTION (equipment)", place.caution),
    ):
        for peril in group:
            yield from _wrap(f"{word} — {sheet.fill(_whole(peril))}", after="  ")
    for note in place.note:
        yield from _wrap(f"NOTE — {sheet.fill(note)}", after="  ")
    if isinstance(place, Zone) and place.ask_tail:
        yield f"Tail as painted, read here again {BLANK * 2}"
    if isinstance(place, Zone) and place.warning:
        yield from _wrap(f"NOTE — {q.LOCAL_RULES}", after="  ")


def _whole(peril: Peril) -> str:
    return q.peril("warning", peril).text


def _step(sheet: Sheet, step: Step) -> Iterator[str]:
    number = sheet.plan.checklist.number(step.id)
    where = sheet.is_for(step)
    if sheet.tail and where:
        yield f"{number}  {where}  ({step.id})"
        return
    yield from _perils(sheet, step)
    critical = " CRITICAL." if step.critical else ""
    only = f" ({where})" if where else ""
    yield from _wrap(
        f"{number}  {sheet.fill(step.do)}{critical}{only}  [{step.id}]", after="      "
    )
    details = [f"Place: {sheet.fill(step.place)}."]
    if step.touch:
        details.append(f"Touch: {sheet.fill(step.touch)}.")
    if step.meter:
        details.append(f"Meter: {step.meter}.")
    if step.wait_s:
        details.append(f"Wait {step.wait_s} s, then answer.")
    details.append(f"Bad: {sheet.fill(step.sounds_bad or step.bad)}")
    yield from _wrap(" ".join(details), "      ")
    yield from _wrap(_boxes(step), "      ")
    yield from _wrap(OTHERS, "      ")
    if step.evidence:
        yield from _wrap(f"{sheet.fill(step.evidence)}: {BLANK * 5}", "      ")
    if step.kind == "gate" and step.stale_after_min:
        said = f"Good for {step.stale_after_min} min: ask again after that, and after a break."
        yield from _wrap(said, "      ")
    if step.if_fault != "go_on":
        yield from _wrap(_on_fault(sheet, step), "      ")


def _on_fault(sheet: Sheet, step: Step) -> str:
    """Where a FAULT leads, which the screen does by itself."""
    listed = sheet.plan.checklist
    steps = listed.steps
    target = fault_target(listed, steps.index(step))
    if target == len(steps):
        return "After FAULT: stop. Leave out all that follows."
    numbers = [listed.number(s.id) for s in steps[steps.index(step) + 1 : target]]
    between = f"; {' to '.join(dict.fromkeys((numbers[0], numbers[-1])))}" if numbers else ""
    are = " are SKIPPED" if len(numbers) > 1 else " is SKIPPED" if numbers else ""
    return f"After FAULT: go on at {listed.number(steps[target].id)}{between}{are}."


def _boxes(step: Step) -> str:
    """What may be answered well: a position, a number, or OK."""
    if step.kind in {"reading", "count"}:
        return f"{BLANK * 2} {step.unit or 'pieces'}"
    picks = giving.picks(step)
    return "  ".join(f"[ ] {pick}" for pick in picks) if picks else "[ ] OK"


def _ledger(sheet: Sheet) -> Iterator[str]:
    yield "PUT BACK: tick when moved, and when seen home"
    for item in sheet.plan.fit.items.values():
        home = "all back" if item.kind == "count" else item.home
        yield from _wrap(f"[ ] moved  [ ] {home}   {sheet.fill(item.title)}", "  ", "      ")
    yield f"  [ ] moved  [ ] as found   other: {BLANK * 4}"


def _found(sheet: Sheet) -> Iterator[str]:
    """What must be found: to be looked at once the answer is written."""
    yield "WHAT MUST BE FOUND — read this after you have written your answers"
    for step in sheet.plan.checklist.steps:
        wanted = _wanted(sheet, step)
        if wanted:
            yield from _wrap(f"{sheet.plan.checklist.number(step.id)}  {wanted}", "  ", "        ")


def _wanted(sheet: Sheet, step: Step) -> str:
    if step.accept is not None:
        example = " (example)" if step.accept.example else ""
        return f"{step.accept.low} to {step.accept.high} {step.unit}{example}"
    if step.kind in {"state", "count"} and step.expect:
        return f"{sheet.fill(step.expect)} {step.unit}".strip()
    if step.kind == "count" and "0" in (step.sets or {}).values():
        return "as many as were brought"
    return ""


def _foot(sheet: Sheet) -> Iterator[str]:
    listed = sheet.plan.checklist
    yield from _wrap(
        "A record of checks answered by the people named. Not a release to service, not an "
        f"approval, not legal advice. {q.NO_RELEASE} Reference: {listed.manual.title}, revision "
        f"{listed.manual.revision}; checklist {listed.id}, {listed.revision}, "
        f"{sheet.plan.digest[:12]}."
    )
    yield from _wrap("Typed in later it is entered LATE, with its doer, its typist and both times.")
