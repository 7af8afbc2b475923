"""What a revision of a list asks more, what it changed, and what must be walked again for it.

An answer counts for a revision as long as the step still asks the same: its text, limits, needs,
effects and what it proves. Teaching, references and minutes may change without that.

Source: human-factors AUT-21 (burden, growth over a tenth needs a reason); computations 12d.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields
from decimal import Decimal
from difflib import SequenceMatcher
from typing import TypeVar

from hardstand.domain.checklist import Checklist, Fit, Step, Zone
from hardstand.domain.plain import canonical, to_plain
from hardstand.domain.retest import sublist

MOST_GROWTH = Decimal("0.10")
"""A measure may grow so much without a reason; ours, from the human-factors paper."""

ASKED = (
    "id", "kind", "place", "do", "touch", "good", "bad", "sounds_good", "sounds_bad", "evidence",
    "must_be", "sets", "states", "expect", "unit", "meter", "graduation", "accept", "possible",
    "judge", "proves", "applies_if", "verify", "hold",
)  # fmt: skip
"""The fields by which a step asks the same thing as before."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Burden:
    """What a list asks of whoever walks it; `free_text` are steps that ask for words."""

    steps: int
    minutes: Decimal
    warnings: int
    free_text: int
    gates: int


def burden(checklist: Checklist) -> Burden:
    """The burden of a list, every step counted whether or not it is for each aircraft."""
    steps = checklist.steps
    warned = [z.warning for z in checklist.zones] + [s.warning for s in steps]
    return Burden(
        steps=len(steps),
        minutes=sum((s.minutes for s in steps), Decimal(0)),
        warnings=sum(len(perils) for perils in warned),
        free_text=sum(1 for s in steps if s.evidence),
        gates=sum(1 for s in steps if s.kind == "gate"),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """One measure of the burden in two revisions."""

    name: str
    old: Decimal
    new: Decimal

    @property
    def too_much(self) -> bool:
        """Whether it grew by more than a tenth; from nothing, any growth is."""
        return self.new - self.old > self.old * MOST_GROWTH


def measures(old: Checklist, new: Checklist) -> tuple[Measure, ...]:
    """Every measure of the burden of two revisions, side by side."""
    before, after = burden(old), burden(new)
    return tuple(
        Measure(
            name=f.name.replace("_", " "),
            old=Decimal(getattr(before, f.name)),
            new=Decimal(getattr(after, f.name)),
        )
        for f in fields(Burden)
    )


def unexplained(old: Checklist, new: Checklist) -> tuple[Measure, ...]:
    """The measures that grew too much, if the new revision gives no reason for it."""
    if new.revision_reason.strip():
        return ()
    return tuple(m for m in measures(old, new) if m.too_much)


def mark_of(step: Step) -> str:
    """What a step asks, as a SHA-256 in hex: two steps with one mark ask the same."""
    asked = {name: to_plain(getattr(step, name)) for name in ASKED}
    return hashlib.sha256(canonical(asked)).hexdigest()


def changed_steps(old: Checklist, new: Checklist) -> tuple[str, ...]:
    """The steps of the new revision whose answers by the old one no longer count, in order."""
    known = {step.id: mark_of(step) for step in old.steps}
    return tuple(s.id for s in new.steps if known.get(s.id) != mark_of(s))


def walk_again(old: Checklist, new: Checklist, fit: Fit) -> tuple[str, ...]:
    """What to walk on an aircraft last walked by the old revision: the changed steps, set up whole.

    Source: computations 12d.
    """
    return sublist(new, fit, changed_steps(old, new))


@dataclass(frozen=True, slots=True, kw_only=True)
class Changes:
    """What became of the steps: ids, and for each that stayed the fields that differ.

    `zones` has the same for the zones that stayed; `listed` are fields of the list itself, `zones`
    among them where some came, went or changed places.
    """

    added: tuple[str, ...] = ()
    removed: tuple[str, ...] = ()
    moved: tuple[str, ...] = ()
    edited: tuple[tuple[str, tuple[str, ...]], ...] = ()
    zones: tuple[tuple[str, tuple[str, ...]], ...] = ()
    listed: tuple[str, ...] = ()

    @property
    def nothing(self) -> bool:
        """Whether the two say the same."""
        return self == Changes()


def changes(old: Checklist, new: Checklist) -> Changes:
    """What an author did between two revisions; a step moved if the order of the rest stands."""
    before, after = {s.id: s for s in old.steps}, {s.id: s for s in new.steps}
    common = [i for i in before if i in after]
    kept = _in_order(common, [i for i in after if i in before])
    zones, anew = {z.id: z for z in old.zones}, {z.id: z for z in new.zones}
    listed = [n for n in ("title", "purpose", "manual", "tools", "draft")
              if getattr(old, n) != getattr(new, n)]  # fmt: skip
    return Changes(
        added=tuple(i for i in after if i not in before),
        removed=tuple(i for i in before if i not in after),
        moved=tuple(i for i in after if i in before and i not in kept),
        edited=_edited(before, after, Step),
        zones=_edited(zones, anew, Zone),
        listed=(*listed, *(["zones"] if [*zones] != [*anew] else [])),
    )


T = TypeVar("T", Step, Zone)


def _edited(
    before: Mapping[str, T], after: Mapping[str, T], kind: type[T]
) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """For each that stayed and differs, the fields that do."""
    names = [f.name for f in fields(kind)]
    found = (
        (i, tuple(n for n in names if getattr(before[i], n) != getattr(after[i], n)))
        for i in after
        if i in before
    )
    return tuple((i, differ) for i, differ in found if differ)


def _in_order(old: Sequence[str], new: Sequence[str]) -> set[str]:
    """The ids that stand in one order in both."""
    blocks = SequenceMatcher(a=old, b=new, autojunk=False).get_matching_blocks()
    return {name for block in blocks for name in old[block.a : block.a + block.size]}
