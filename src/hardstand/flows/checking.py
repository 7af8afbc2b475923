"""Checking an author's files together: fits, their checklists and, if there is one, the fleet.

Takes bytes and gives values; it opens nothing and prints nothing.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, TypeVar

from hardstand.domain.answered import settled_in_fit, settled_in_list
from hardstand.domain.checklist import Checklist, Fit
from hardstand.domain.coverage import cover
from hardstand.domain.diagnostic import Diagnostic, in_order
from hardstand.domain.finding import Finding
from hardstand.domain.fleet import AirframeType, Fleet
from hardstand.domain.ledger_proof import prove
from hardstand.domain.order import too_many_moves
from hardstand.domain.writing import read_cold
from hardstand.formats import checklist_yaml, fit_yaml, fleet_yaml, proof_places
from hardstand.formats.examples import example_findings
from hardstand.formats.rules import Remark, judged
from hardstand.formats.shape import Loaded
from hardstand.formats.wording import accepted, quoted

T = TypeVar("T")
Types = Mapping[str, AirframeType]
FileKind = Literal["fit", "checklist", "fleet"]

PROOFS: tuple[Callable[[Checklist, Fit], Iterable[Finding]], ...] = (
    prove,
    cover,
    too_many_moves,
    read_cold,
)
"""Run over a list and its fit once neither has an error of its own."""

_TELLING = re.compile(
    rb"^(?:(?P<fleet>airframes|types|stations|operator)|(?P<checklist>steps|zones|purpose|manual)"
    rb"|(?P<fit>units|functions|items|missions|controls|never|permitted)) *:",
    re.MULTILINE,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Checked:
    """What became of the files: values for those that could be read, and everything found.

    A value stands here even if there are findings against it; `may_be_used` asks for none.
    `by_name` has the value of each file under the name it was given.
    """

    fits: Mapping[str, Fit]
    checklists: tuple[Checklist, ...]
    fleet: Fleet | None
    findings: tuple[Diagnostic, ...]
    by_name: Mapping[str, Fit | Checklist | Fleet]

    @property
    def may_be_used(self) -> bool:
        """True if no unanswered error was found in any of the files."""
        return not any(d.stops for d in self.findings)


def check_files(
    texts: Sequence[tuple[str, bytes]], *, live: bool = False, complete: bool = False
) -> Checked:
    """Everything wrong with the files, each for itself and against the others.

    Args:
        texts: names, as findings shall call them, with the bytes of the files.
        live: the files are meant for a live record, so that examples are errors.
        complete: the files are all there is: a fit the fleet names must be among them.
    """
    kinds = [(kind_of(name, data), name, data) for name, data in texts]
    fits = [fit_yaml.read(name, data) for kind, name, data in kinds if kind == "fit"]
    fleets = [fleet_yaml.read(name, data) for kind, name, data in kinds if kind == "fleet"]
    lists = [checklist_yaml.read(name, data) for kind, name, data in kinds if kind == "checklist"]

    types = _types_by_fit(fleets)
    lists = [_against_its_fit(one, fits, types) for one in _each_list_once(lists)]
    fits = [_against_its_lists(fit, lists, types) for fit in _each_fit_once(fits)]
    by_id = {fit.value.id: fit.value for fit in reversed(fits) if fit.value}
    fleets = [_against_the_fits(fleet, by_id, complete=complete) for fleet in fleets]
    lists, fits = _proved(lists, fits)
    everything: list[Loaded[Checklist | Fit | Fleet]] = [*fits, *lists, *fleets]
    examples = [d for one in everything for d in example_findings(one)] if live else []
    return Checked(
        fits=by_id,
        checklists=tuple(one.value for one in lists if one.value),
        fleet=next((fleet.value for fleet in fleets if fleet.value), None),
        findings=in_order([*(d for one in everything for d in one.findings), *examples]),
        by_name={one.name: one.value for one in everything if one.value},
    )


def kind_of(name: str, data: bytes) -> FileKind:
    """What a file is meant to be: by its name, else by most of its top-level keys."""
    last = name.replace("\\", "/").rpartition("/")[2]
    if last in {"fit.yaml", "fleet.yaml"}:
        return "fit" if last == "fit.yaml" else "fleet"
    told = [match.lastgroup for match in _TELLING.finditer(data)]
    kinds: tuple[FileKind, ...] = ("checklist", "fit", "fleet")
    return max(kinds, key=told.count)


def plain_findings(findings: Iterable[Diagnostic]) -> dict[str, object]:
    """The findings as `findings/1`, ready for JSON."""
    return {
        "schema": "findings/1",
        "findings": [
            {
                "code": d.code,
                "level": d.level,
                "answered": d.answered,
                "file": d.file,
                "line": d.line,
                "column": d.column,
                "message": d.message,
                "hint": d.hint,
            }
            for d in findings
        ],
    }


def _each_fit_once(fits: list[Loaded[Fit]]) -> list[Loaded[Fit]]:
    """HS215 against the second file of one fit."""
    first: dict[str, str] = {}
    return [
        fit
        if fit.value is None
        else _once(fit, first, fit.value.id, "HS215", f"the fit {quoted(fit.value.id)}")
        for fit in fits
    ]


def _each_list_once(lists: list[Loaded[Checklist]]) -> list[Loaded[Checklist]]:
    """HS250 against the second list of one id for one fit."""
    first: dict[str, str] = {}
    return [
        one
        if one.value is None
        else _once(
            one,
            first,
            f"{one.value.fit}/{one.value.id}",
            "HS250",
            f"a list {quoted(one.value.id)} for fit {quoted(one.value.fit)}",
        )
        for one in lists
    ]


def _once(loaded: Loaded[T], first: dict[str, str], key: str, code: str, what: str) -> Loaded[T]:
    other = first.setdefault(key, loaded.name)
    if other == loaded.name:
        return loaded
    said = f"{what} stands in {other} already"
    return judged(loaded, [Remark(code=code, path=("id",), message=said, hint="give another id")])


def _against_its_fit(
    one: Loaded[Checklist], fits: Sequence[Loaded[Fit]], types: Mapping[str, Types]
) -> Loaded[Checklist]:
    """A list is held against the fit it names; without one only if a fit file is unreadable."""
    if one.value is None:
        return one
    known = {fit.value.id: fit.value for fit in reversed(fits) if fit.value}
    wanted = one.value.fit
    if wanted in known:
        return checklist_yaml.against(one, known[wanted], types.get(wanted))
    if len(known) < len(fits):
        return one
    said = f"no file holds the fit {quoted(wanted)}"
    hint = accepted(wanted, known, none="check the list together with its fit.yaml")
    return judged(one, [Remark(code="HS220", path=("fit",), message=said, hint=hint)])


def _against_its_lists(
    fit: Loaded[Fit], lists: Sequence[Loaded[Checklist]], types: Mapping[str, Types]
) -> Loaded[Fit]:
    if fit.value is None:
        return fit
    own = [one.value for one in lists if one.value and one.value.fit == fit.value.id]
    return fit_yaml.against(fit, types.get(fit.value.id), own)


def _against_the_fits(
    fleet: Loaded[Fleet], fits: Mapping[str, Fit], *, complete: bool
) -> Loaded[Fleet]:
    """A fleet is held against the fits only where all it names are there, or should be."""
    if fleet.value is None:
        return fleet
    named = {dated.fit for airframe in fleet.value.airframes.values() for dated in airframe.fits}
    if not complete and not named <= fits.keys():
        return fleet
    return fleet_yaml.against(fleet, fits)


def _types_by_fit(fleets: Iterable[Loaded[Fleet]]) -> dict[str, Types]:
    """The airframe types that carry each fit, now, before or later."""
    found: dict[str, Types] = {}
    for fleet in (one.value for one in fleets if one.value):
        for airframe in fleet.airframes.values():
            known = fleet.types.get(airframe.type)
            for dated in airframe.fits if known else ():
                carrying = found.setdefault(dated.fit, {})
                found[dated.fit] = {**carrying, airframe.type: fleet.types[airframe.type]}
    return found


def _proved(
    lists: list[Loaded[Checklist]], fits: list[Loaded[Fit]]
) -> tuple[list[Loaded[Checklist]], list[Loaded[Fit]]]:
    """The proofs over each list that has no error, with the fit that has none."""
    about_fit: dict[int, list[Finding]] = {}
    proved = []
    for one in lists:
        index = next((n for n, f in enumerate(fits) if _is_fit_of(one, f)), -1)
        fit = fits[index].value if index >= 0 else None
        if one.value is None or fit is None or not (one.usable and fits[index].usable):
            proved.append(one)
            continue
        found = [finding for proof in PROOFS for finding in proof(one.value, fit)]
        in_fit = [f for f in found if not f.step and f.field.startswith(proof_places.IN_FIT)]
        about_fit.setdefault(index, []).extend(in_fit)
        own = settled_in_list((f for f in found if f not in in_fit), one.value)
        proved.append(proof_places.in_list(one, own))
    return proved, [_with_proofs(fit, about_fit.get(n)) for n, fit in enumerate(fits)]


def _is_fit_of(one: Loaded[Checklist], fit: Loaded[Fit]) -> bool:
    return bool(one.value and fit.value and fit.value.id == one.value.fit)


def _with_proofs(fit: Loaded[Fit], found: Sequence[Finding] | None) -> Loaded[Fit]:
    """A fit with what the proofs of its lists found in it; None if no list was proved."""
    if fit.value is None or found is None:
        return fit
    return proof_places.in_fit(fit, settled_in_fit(dict.fromkeys(found), fit.value))
