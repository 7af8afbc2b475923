"""Bench sums on demand: the list of them, one sum from typed inputs, a table of them."""

from __future__ import annotations

import csv
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from io import StringIO
from typing import TYPE_CHECKING

from hardstand.domain.readings.registry import CONTENTS, REGISTRY, WORDS
from hardstand.errors import NotThere, Usage

if TYPE_CHECKING:  # the list of the sums must not cost the decimals
    from hardstand.domain.readings.family import Family
    from hardstand.domain.readings.judged import Judged

TOTAL = "total"


@dataclass(frozen=True, slots=True, kw_only=True)
class Worked:
    """A sum that was asked for: its inputs as typed and what came of them, or why nothing did."""

    family: Family
    typed: Mapping[str, str]
    judged: Judged | None = None
    refused: str = ""

    @property
    def row(self) -> tuple[str, ...]:
        """The line of the block."""
        if self.judged is None:
            return self.family.row(self.typed, self.family.refused(self.refused))
        return self.family.row(self.typed, self.judged.figures)


def contents() -> tuple[tuple[str, tuple[tuple[str, str], ...]], ...]:
    """Every sum by heading, as (name, what it is for)."""
    return tuple((heading, sums) for _, heading, sums in CONTENTS)


def purpose(name: str) -> str:
    """What a sum is for, in the technician's words."""
    return WORDS[name]


def family(name: str) -> Family:
    """The sum of that name.

    Raises:
        NotThere: there is no such sum; the hint names the nearest.
    """
    if name in REGISTRY:
        return REGISTRY[name]
    from difflib import get_close_matches  # noqa: PLC0415  start-up: only the refusal needs it

    near = ", ".join(get_close_matches(name, tuple(REGISTRY), n=3))
    hint = f"Nearest: {near}." if near else "See the list: hardstand reckon."
    raise NotThere(f"There is no sum {name!r}.", hint=hint)


def one(name: str, pairs: Sequence[str]) -> Worked:
    """The sum of that name from `key=value` inputs.

    Raises:
        NotThere: there is no such sum.
        Usage: a pair has no key, a key is not of this sum or comes twice, a value is refused.
    """
    found = family(name)
    wanted = tuple(ask.name for ask in found.asks)
    typed: dict[str, str] = {}
    for pair in pairs:
        key, sign, value = pair.partition("=")
        if not sign or key not in wanted:
            raise Usage(f"{pair!r} is not an input of {name}.", hint=_form(found))
        if key in typed:
            raise Usage(f"{key} is given twice.", hint=_form(found))
        typed[key] = value
    missing = [key for key in wanted if key not in typed]
    if missing:
        raise Usage(f"{name} also needs {', '.join(missing)}.", hint=_form(found))
    return Worked(family=found, typed=typed, judged=found.judge(typed))


def table(name: str, text: str) -> tuple[Worked, ...]:
    """The sum of that name for each line of a CSV text: header first, `#` lines left out.

    Inputs are found by their column names and other columns are passed over. A line whose values
    are refused stays in its place with the reason. A sum over the whole table ends with its total.

    Raises:
        NotThere: there is no such sum.
        Usage: the text is not a table, or its header lacks an input.
    """
    found = family(name)
    header, lines = _lines(text)
    asked = [ask.name for ask in found.asks]
    missing = [column for column in asked if column not in header]
    if missing:
        raise Usage(
            f"The header has no column {', '.join(missing)}.",
            hint=f"{name} needs the columns {', '.join(asked)}.",
        )
    worked: list[Worked] = []
    for cells in lines:
        typed = {c: v for c, v in zip(header, cells, strict=False) if c in asked}
        worked.append(_worked(found, header, cells, typed, worked))
    if found.closing and not (worked and _is_total(found, worked[-1].typed)):
        worked.append(_closed(found, {asked[0]: TOTAL}, worked))
    return tuple(worked)


def _lines(text: str) -> tuple[list[str], list[list[str]]]:
    """The header and the lines below it.

    Raises:
        Usage: there is no header, a column comes twice, or a quoted cell does not end.
    """
    kept = (line for line in StringIO(text, newline="") if not line.startswith("#"))
    try:
        rows = [cells for cells in csv.reader(kept, strict=True) if cells]
    except csv.Error as problem:
        raise Usage(f"The text is not CSV: {problem}.") from None
    if not rows:
        raise Usage("The table is empty.", hint="A header comes first, then one line for each sum.")
    header, *lines = rows
    twice = [column for column in dict.fromkeys(header) if header.count(column) > 1]
    if twice:
        raise Usage(f"The header has the column {twice[0]!r} twice.")
    return header, lines


def _worked(
    found: Family,
    header: Sequence[str],
    cells: Sequence[str],
    typed: Mapping[str, str],
    above: Sequence[Worked],
) -> Worked:
    """One line of a table: worked, closing, or refused with its reason."""
    if len(cells) != len(header):
        reason = f"{len(cells)} cells under {len(header)} columns"
        return Worked(family=found, typed=typed, refused=reason)
    if found.closing and _is_total(found, typed):
        return _closed(found, typed, above)
    try:
        return Worked(family=found, typed=typed, judged=found.judge(typed))
    except Usage as refusal:
        return Worked(family=found, typed=typed, refused=refusal.what)


def _is_total(found: Family, typed: Mapping[str, str]) -> bool:
    """Whether a line only asks for the sum of those above it."""
    first, *others = (typed.get(ask.name, "") for ask in found.asks)
    return first == TOTAL and not any(others)


def _closed(found: Family, typed: Mapping[str, str], above: Sequence[Worked]) -> Worked:
    """The total of the lines above, refused while one of them is."""
    lines = [worked.judged for worked in above if not _is_total(found, worked.typed)]
    if found.closing is None or None in lines:
        return Worked(family=found, typed=typed, refused="a line above could not be reckoned")
    total = found.closing([judged for judged in lines if judged is not None])
    return Worked(family=found, typed=typed, judged=total)


def _form(found: Family) -> str:
    """How the sum is asked for."""
    pairs = " ".join(f"{ask.name}=..." for ask in found.asks)
    return f"Write: hardstand reckon {found.name} {pairs}"
