"""Adopted lists and the fleet as text."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

from hardstand.domain.bodies import Adopted
from hardstand.domain.checklist import Checklist
from hardstand.domain.codec import content
from hardstand.domain.fleet import Fleet
from hardstand.domain.ids import twins
from hardstand.domain.words import visible
from hardstand.views.tables import table


def checklist(found: Sequence[Adopted], gone: Mapping[str, str], *, text: bool) -> str:
    """One adopted list with its steps, or which lists and fits are adopted; `text` is the YAML.

    `gone` says by digest why a revision was withdrawn.
    """
    if len(found) == 1 and found[0].revision:
        if text:
            return found[0].text.rstrip("\n")
        return _steps(found[0], gone.get(found[0].digest, ""))
    lines = (_adopted(one, gone.get(one.digest, "")) for one in found)
    return "\n".join(lines) or "Nothing is adopted yet: hardstand checklist adopt FOLDER"


def _adopted(one: Adopted, why: str) -> str:
    words = ("list" if one.revision else "fit", one.id, one.revision, f"digest {one.digest[:12]}")
    said = " ".join(word for word in words if word)
    return visible(f"{said}, WITHDRAWN: {why}") if why else said


def _steps(adopted: Adopted, why: str) -> str:
    one = content(Checklist, adopted.value)
    minutes = sum((step.minutes for step in one.steps), Decimal(0))
    head = f"{one.id} {one.revision}: {one.title}, fit {one.fit}, digest {adopted.digest[:12]}"
    lines = [
        head,
        *([visible(f"WITHDRAWN: {why}")] if why else []),
        f"Manual: {one.manual.title}, revision {one.manual.revision}.",
        f"{len(one.steps)} steps, about {minutes.normalize():f} minutes.",
    ]
    for n, zone in enumerate(one.zones, 1):
        lines.append(f"{n}  {zone.title}")
        own = [s for s in one.steps if s.zone == zone.id]
        lines += [f"  {one.number(s.id)}  {s.do}  [{s.kind}, {s.id}]" for s in own]
    return "\n".join(lines)


def fleet(fleet: Fleet, *, plain: bool) -> str:
    """Each airframe with its type, dated fits, and the tails that look like it."""
    rows = [
        [
            tail, airframe.type, ", ".join(f"{f.fit} since {f.since}" for f in airframe.fits),
            str(len(airframe.serials or {})), ", ".join(twins(tail, fleet.airframes)),
            airframe.note,
        ]
        for tail, airframe in fleet.airframes.items()
    ]  # fmt: skip
    head = f"{fleet.operator}, times in {fleet.time_zone}"
    heads = ("tail", "type", "fit", "serials", "looks like", "note")
    return f"{head}\n{table(heads, rows, plain=plain)}"
