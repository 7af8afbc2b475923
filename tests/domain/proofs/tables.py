"""Builds lists and fits from the compact tables of tests/vectors, for the proofs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any, get_args

from hardstand.domain.checklist import (
    Action,
    Checklist,
    Fit,
    Function,
    Item,
    ItemKind,
    Manual,
    Step,
    Unit,
    Zone,
)

VECTORS = Path(__file__).parents[2] / "vectors"


def sections(name: str) -> dict[str, list[list[str]]]:
    """The rows of each `[section]` of a vector file, split at the bars."""
    found: dict[str, list[list[str]]] = {}
    rows: list[list[str]] = []
    for line in (VECTORS / name).read_text(encoding="utf-8").splitlines():
        if line.startswith("["):
            rows = found.setdefault(line.strip("[]"), [])
        elif line and not line.startswith("#"):
            rows.append([cell.strip() for cell in line.split("|")])
    return found


def pairs(text: str) -> dict[str, str]:
    """`cover off, power on` as a mapping."""
    words = [part.split() for part in text.split(",") if part.strip()]
    return dict(words)


def names(text: str) -> list[str]:
    """A list of names between commas."""
    return [part.strip() for part in text.split(",") if part.strip()]


def _action(text: str) -> Action:
    rest, _, zone = text.partition(" at ")
    move, _, needs = rest.partition(" with ")
    from_, to = (word.strip() for word in move.split(">"))
    return Action(from_=from_, to=to, only_with=pairs(needs) or None, zone=zone.strip())


def item(row: list[str]) -> Item:
    """An item from its row: name, kind, home, hazard, actions."""
    name, kind, home, hazard, actions = row
    return Item(
        title=name,
        kind=next(k for k in get_args(ItemKind) if k == kind),
        home=home,
        hazard=hazard == "hazard",
        actions=tuple(_action(a) for a in actions.split(";") if a.strip()),
    )


def step(id_: str, zone: str = "z", **fields: Any) -> Step:
    """A step with ordinary words in every field a test does not set."""
    plain: dict[str, Any] = {
        "place": "panel",
        "do": "Look at the panel.",
        "kind": "look",
        "why": "It shows.",
        "good": "Clean.",
        "bad": "A mark is worn off.",
        "ref": "1-1",
    }
    return Step(id=id_, zone=zone, **{**plain, **fields})


def _step(row: list[str]) -> Step:
    id_, zone, sets, must_be, other = row
    fields: dict[str, Any] = {"sets": pairs(sets) or None, "must_be": pairs(must_be) or None}
    for part in other.split(";"):
        key, _, value = part.strip().partition(" ")
        if key:
            fields[key] = tuple(value.split()) if key == "after" else value
    return step(id_, zone, **fields)


def checklist(steps: Iterable[Step], **fields: Any) -> Checklist:
    """A list of those steps, with a zone for each zone they name."""
    kept = tuple(steps)
    zones = dict.fromkeys(s.zone for s in kept)
    plain: dict[str, Any] = {
        "id": "list",
        "title": "List",
        "fit": "fit",
        "purpose": "preflight",
        "revision": "1",
        "manual": Manual(title="Manual", revision="1"),
        "zones": tuple(Zone(id=z, title=z.capitalize()) for z in zones),
    }
    return Checklist(**{**plain, "steps": kept, **fields})


def fit(
    items: Mapping[str, Item] | None = None, never: Iterable[Mapping[str, str]] = (), **fields: Any
) -> Fit:
    """A fit of those items."""
    plain: dict[str, Any] = {"id": "fit", "title": "Fit", "units": {}, "functions": {}}
    plain["controls"] = {}
    return Fit(**{**plain, "items": items or {}, "never": tuple(never), **fields})


def table(name: str) -> tuple[Checklist, Fit]:
    """The list and fit of a vector file."""
    found = sections(name)
    items = {row[0]: item(row) for row in found["items"]}
    never = [pairs(row[0]) for row in found.get("never", [])]
    return checklist(_step(row) for row in found["steps"]), fit(items, never)


def units(*ids: str) -> dict[str, Unit]:
    """Units titled by their ids."""
    return {i: Unit(title=i) for i in ids}


def functions(**fed_by: str) -> dict[str, Function]:
    """Functions titled by their ids, each with the units that feed it, between commas."""
    return {i: Function(title=i, fed_by=tuple(names(feeds))) for i, feeds in fed_by.items()}
