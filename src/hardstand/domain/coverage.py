"""What the checks of a list can show: what nothing proves, what nobody would notice.

A check is predicted from the units lost: it is good while everything it proves is. Knows nothing
of a walk under way.

Source: computations 3.1, 10a; the hidden failures of reliability-centred maintenance, from memory.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from hardstand.domain.checklist import Checklist, Fit, Step
from hardstand.domain.finding import Finding

CODES: dict[str, str] = {
    "HS321": "Nothing in the list proves a unit or a control of the fit.",
    "HS322": "Nobody would notice a unit that failed alone.",
    "HS323": "Units cannot be told apart by the checks of the list.",
    "HS324": "Something is proved on some airframes only.",
    "HS325": "What was taken apart is not tested after it.",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Checks:
    """Checks by name, the units they may depend on, and what each would show.

    `good` maps the units lost to the outcome of every check, in the order of `names`.
    """

    names: tuple[str, ...]
    units: tuple[str, ...]
    good: Callable[[frozenset[str]], tuple[bool, ...]]


def units_behind(name: str, fit: Fit) -> frozenset[str]:
    """The units that must all work for a function, a unit or a control to be good."""
    found: set[str] = set()
    seen: set[str] = set()
    todo = [name]
    while todo:
        one = todo.pop()
        if one in seen:
            continue
        seen.add(one)
        if one in fit.functions:
            todo += fit.functions[one].fed_by
        elif one in fit.units:
            found.add(one)
        elif one in fit.controls and fit.controls[one].unit:
            found.add(fit.controls[one].unit)
    return frozenset(found)


def checks_of(checklist: Checklist, fit: Fit) -> Checks:
    """The steps of a list that prove something, as checks named by their ids."""
    steps = [s for s in checklist.steps if s.proves]
    behind = [frozenset[str]().union(*(units_behind(p, fit) for p in s.proves)) for s in steps]

    def good(lost: frozenset[str]) -> tuple[bool, ...]:
        return tuple(not needed & lost for needed in behind)

    return Checks(names=tuple(s.id for s in steps), units=tuple(fit.units), good=good)


def unproved(checklist: Checklist, fit: Fit) -> tuple[str, ...]:
    """Functions, units and controls of the fit that no step names under `proves`, in its order."""
    proved = {name for step in checklist.steps for name in step.proves}
    return tuple(n for n in (*fit.functions, *fit.units, *fit.controls) if n not in proved)


def hidden(checks: Checks) -> tuple[str, ...]:
    """Units whose loss alone changes no check."""
    whole = checks.good(frozenset())
    return tuple(u for u in checks.units if checks.good(frozenset({u})) == whole)


def alike(checks: Checks) -> tuple[tuple[str, ...], ...]:
    """Groups of units whose loss alone is noticed, but looks the same in every check."""
    whole = checks.good(frozenset())
    columns: dict[tuple[bool, ...], list[str]] = {}
    for unit in checks.units:
        columns.setdefault(checks.good(frozenset({unit})), []).append(unit)
    return tuple(
        tuple(units) for column, units in columns.items() if column != whole and len(units) > 1
    )


def only_where(checklist: Checklist, fit: Fit) -> tuple[tuple[str, str], ...]:
    """Functions proved on some airframes only, each with the condition of its proof.

    A function whose proof stands under a fact and under its opposite is proved everywhere.
    """
    found = []
    for name in fit.functions:
        terms = [s.applies_if for s in checklist.steps if name in s.proves]
        opposite = {t.removeprefix("not ") if t.startswith("not ") else f"not {t}" for t in terms}
        if terms and "" not in terms and not opposite & set(terms):
            found.append((name, " or ".join(dict.fromkeys(terms))))
    return tuple(found)


def cover(checklist: Checklist, fit: Fit) -> tuple[Finding, ...]:
    """Every gap in what the list shows, about the fit first, then step by step.

    That each function has a proving step is left to the reading of the file.
    """
    return (
        *_about_units(checklist, fit),
        *_about_controls(checklist, fit),
        *_about_airframes(checklist, fit),
        *_about_reassembly(checklist, fit),
    )


def _about_units(checklist: Checklist, fit: Fit) -> Iterator[Finding]:
    checks = checks_of(checklist, fit)
    unseen = hidden(checks)
    for unit in unseen:
        feeds = any(unit in units_behind(f, fit) for f in fit.functions)
        yield Finding(
            code="HS322" if feeds else "HS321",
            level="error",
            step="",
            field=f"fit.units.{unit}",
            message=f"Nobody would notice if {unit} alone failed: every check would still be good."
            if feeds
            else f"Nothing in the list proves {unit}.",
            hint=f"Add {unit} to proves of a step that would fail without it, or add such a step.",
        )
    for group in alike(checks):
        yield Finding(
            code="HS323",
            level="advice",
            step="",
            field=f"fit.units.{group[0]}",
            message=f"If one of {', '.join(group)} failed, the checks could not tell which.",
            hint="Add a check that only one of them can fail, or tell them apart under causes.",
        )


def _about_controls(checklist: Checklist, fit: Fit) -> Iterator[Finding]:
    for control in unproved(checklist, fit):
        if control in fit.controls:
            yield Finding(
                code="HS321",
                level="advice",
                step="",
                field=f"fit.controls.{control}",
                message=f"Nothing in the list proves the control {fit.controls[control].plate}.",
                hint=f"Add {control} to proves of a step that works it in every position.",
            )


def _about_airframes(checklist: Checklist, fit: Fit) -> Iterator[Finding]:
    for name, where in only_where(checklist, fit):
        yield Finding(
            code="HS324",
            level="error",
            step=next(s.id for s in checklist.steps if name in s.proves),
            field="proves",
            message=f"{fit.functions[name].title} is proved only where {where}.",
            hint="Add a step that proves it on the other airframes, or drop the condition.",
        )


def _about_reassembly(checklist: Checklist, fit: Fit) -> Iterator[Finding]:
    """Source: human-factors LED-13, a function check after each connector or unit disturbed."""
    for index, step in enumerate(checklist.steps):
        proofs = [n for n in step.sets or {} if fit.items[n].kind == "proof"]
        for name in _taken_apart(step, fit):
            home = fit.items[name].home
            back = (
                i
                for i, s in enumerate(checklist.steps)
                if i > index and (s.sets or {}).get(name) == home
            )
            tested = any(s.proves for s in checklist.steps[next(back, len(checklist.steps)) :])
            if not proofs and not tested:
                yield Finding(
                    code="HS325",
                    level="error",
                    step=step.id,
                    field="sets",
                    message=f"{checklist.number(step.id)} takes {fit.named(name)} apart, "
                    "and no later step proves anything once it is back.",
                    hint="Put a proving step after it, or set an item of kind proof here that the "
                    "test brings home.",
                )


def _taken_apart(step: Step, fit: Fit) -> Iterator[str]:
    for name, value in (step.sets or {}).items():
        if fit.items[name].kind in {"removed", "disconnected"} and value != fit.items[name].home:
            yield name
