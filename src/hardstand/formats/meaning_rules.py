"""What must be true of a checklist against its fit: names, items, proofs, what comes home."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from hardstand.domain.checklist import COUNTED, Checklist, Fit
from hardstand.formats.fit_rules import unknown_values
from hardstand.formats.located import Path
from hardstand.formats.rules import Remark
from hardstand.formats.wording import accepted, quoted


def list_is_for_this_fit(checklist: Checklist, fit: Fit) -> Iterator[Remark]:
    """HS220: the list names the fit it is held against."""
    if checklist.fit != fit.id:
        said = f"the list is for fit {quoted(checklist.fit)}, the fit file is {quoted(fit.id)}"
        yield Remark(code="HS220", path=("fit",), message=said, hint=f"accepted: {fit.id}")


def items_and_values_are_known(checklist: Checklist, fit: Fit) -> Iterator[Remark]:
    """HS235, HS236: `must_be` and `sets` name items and values of the fit."""
    for index, step in enumerate(checklist.steps):
        sets = {n: v for n, v in (step.sets or {}).items() if not _is_counting(fit, n, v)}
        for field, values in (("must_be", step.must_be or {}), ("sets", sets)):
            yield from unknown_values(fit, values, ("steps", index, field), ("HS235", "HS236"))


def counts_have_a_number_to_meet(checklist: Checklist, fit: Fit) -> Iterator[Remark]:
    """HS230: a count step says what it expects, or moves a count, which knows."""
    for index, step in enumerate(checklist.steps):
        moves = [n for n in step.sets or {} if n in fit.items and fit.items[n].kind == "count"]
        if step.kind == "count" and not step.expect and not moves:
            said = "a count step needs 'expect', or a count under 'sets'"
            hint = "give the number, a mark such as {place.part}, or the item counted"
            yield Remark(code="HS230", path=("steps", index), message=said, hint=hint)


def conditions_are_facts(checklist: Checklist, fit: Fit) -> Iterator[Remark]:
    """HS239: `applies_if` is one fact of the fit, or `not` and one."""
    for index, step in enumerate(checklist.steps):
        if not step.applies_if:
            continue
        fact = step.applies_if.removeprefix("not ")
        if fact not in fit.facts:
            said = f"{quoted(step.applies_if)} is no condition of this fit"
            hint = accepted(fact, fit.facts, none="the fit declares no facts")
            hint += "; 'not ' may stand before it" if fit.facts else ""
            yield Remark(code="HS239", path=("steps", index, "applies_if"), message=said, hint=hint)


def proofs_are_known(checklist: Checklist, fit: Fit) -> Iterator[Remark]:
    """HS240, HS241: `proves` names functions, units, controls; faults bear on functions."""
    provable = (*fit.functions, *fit.units, *fit.controls)
    for index, step in enumerate(checklist.steps):
        for number, proved in enumerate(step.proves):
            if proved not in provable:
                said = f"the fit has no function, unit or control {quoted(proved)}"
                path = ("steps", index, "proves", number)
                yield Remark(code="HS240", path=path, message=said, hint=accepted(proved, provable))
        for field in ("takes", "weakens"):
            for number, function in enumerate(getattr(step.on_fault, field)):
                if function not in fit.functions:
                    said = f"the fit has no function {quoted(function)}"
                    yield Remark(
                        code="HS241",
                        path=("steps", index, "on_fault", field, number),
                        message=said,
                        hint=accepted(function, fit.functions, none="the fit has no functions"),
                    )


def functions_are_proved(checklist: Checklist, fit: Fit) -> Iterator[Remark]:
    """HS243: a preflight list proves every function of its fit."""
    if checklist.purpose != "preflight" or not checklist.steps:
        return
    proved = {name for step in checklist.steps for name in step.proves}
    for function in fit.functions:
        if function not in proved:
            said = f"no step proves the function {quoted(function)}"
            hint = "add a step that does, or name the function in the proves of one that does"
            yield Remark(code="HS243", path=("steps",), message=said, hint=hint, on_key=True)


def items_are_brought_home(checklist: Checklist, fit: Fit) -> Iterator[Remark]:
    """HS244, HS245, HS249: each item moved away has a later step that brings it home, one only."""
    for name, item in fit.items.items():
        yield from _travels(checklist, name, item.home)


RULES: tuple[Callable[[Checklist, Fit], Iterable[Remark]], ...] = (
    list_is_for_this_fit,
    items_and_values_are_known,
    counts_have_a_number_to_meet,
    conditions_are_facts,
    proofs_are_known,
    functions_are_proved,
    items_are_brought_home,
)


def _is_counting(fit: Fit, name: str, value: str) -> bool:
    return value == COUNTED and name in fit.items and fit.items[name].kind == "count"


def _travels(checklist: Checklist, name: str, home: str) -> Iterator[Remark]:
    """Follows one item through the list, no step skipped and no fault found.

    A state step sees where the item is and may say home as often as it likes.
    """
    away: Path | None = None
    moved = False
    closed: dict[str, Path] = {}
    for index, step in enumerate(checklist.steps):
        if name not in (step.sets or {}):
            continue
        path = ("steps", index, "sets", name)
        if (step.sets or {})[name] != home:
            away, moved, closed = path, True, {}
            continue
        if not moved and step.kind != "state":
            yield Remark(
                code="HS245",
                level="advice",
                path=path,
                message=f"{quoted(name)} is brought home, but no earlier step moves it",
                hint="ask for it with must_be, or let the step that moves it say so",
            )
        elif step.applies_if in closed and step.kind != "state":
            yield Remark(
                code="HS249",
                path=path,
                message=f"{quoted(name)} is brought home a second time",
                hint="one step brings it home; ask for it here with must_be",
                also=closed[step.applies_if],
            )
        away = None
        closed[step.applies_if] = path
    if away is not None:
        yield Remark(
            code="HS244",
            path=away,
            message=f"no later step brings {quoted(name)} back to {quoted(home)}",
            hint=f"add a step that sets {name}: {home}",
        )
