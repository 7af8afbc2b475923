"""Bench sums as text: the list, one sum explained, one sum worked, a table as CSV, all as JSON."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:  # the list of the sums must not cost the decimals
    from hardstand.domain.readings.family import Family
    from hardstand.flows.reckoning import Worked

CONTENTS_SCHEMA = "reckon-contents/1"
EXPLAINED_SCHEMA = "reckon-sum/1"
SCHEMA = "reckon/1"
TABLE_SCHEMA = "reckon-table/1"

Headings = Sequence[tuple[str, Sequence[tuple[str, str]]]]


def listed(headings: Headings) -> str:
    """The sums by heading, with what each is for."""
    width = max(len(name) for _, sums in headings for name, _ in sums)
    lines = []
    for heading, sums in headings:
        lines.append(heading)
        lines += [f"  {name:<{width}}  {words}" for name, words in sums]
    return "\n".join((*lines, "", "hardstand reckon NAME  says what a sum asks for"))


def listed_json(headings: Headings) -> str:
    """The sums as JSON."""
    sums = [
        {"name": name, "heading": heading, "words": words}
        for heading, group in headings
        for name, words in group
    ]
    return _json({"schema": CONTENTS_SCHEMA, "sums": sums})


def explained(family: Family, purpose: str) -> str:
    """What a sum asks for, how it reckons and on what basis."""
    width = max(len(ask.name) for ask in family.asks)
    asks = [f"  {a.name:<{width}}  {a.words} ({a.accepted})" for a in family.asks]
    answers = f"Answers: {', '.join(family.answers)}"
    return "\n".join((f"{family.name}: {purpose}", "Asks for:", *asks, answers, *_footing(family)))


def explained_json(family: Family, purpose: str) -> str:
    """What a sum asks for, as JSON."""
    inputs = [{"name": a.name, "words": a.words, "accepted": a.accepted} for a in family.asks]
    return _json(
        {
            "schema": EXPLAINED_SCHEMA,
            "name": family.name,
            "words": purpose,
            "inputs": inputs,
            "answers": list(family.answers),
            "formula": family.formula,
            "source": family.source,
        }
    )


def worked(sum_: Worked, purpose: str) -> str:
    """One sum: the numbers, the answers, the verdict with its limit, the formula, the source."""
    family, judged = sum_.family, sum_.judged
    if judged is None:
        return f"{family.name}: {sum_.refused}"
    width = max(len(column) for column in family.columns)
    units = {ask.name: ask.units[0] for ask in family.asks if ask.units}
    pairs = zip(family.columns, sum_.row, strict=True)
    lines = [f"{family.name}: {purpose}"]
    lines += [
        f"  {name:<{width}}  {_with_unit(text, units.get(name, ''))}".rstrip()
        for name, text in pairs
    ]
    if judged.verdict:
        lines.append(f"Verdict: {judged.verdict}")
    if judged.limit:
        lines.append(f"Limit: {judged.limit}")
    lines += [f"Look at: {words}" for words in judged.look_at]
    return "\n".join((*lines, *_footing(family)))


def as_csv(family: Family, sums: Sequence[Worked]) -> str:
    """The block: header, then a line for each sum, in the block's order of columns."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(family.columns)
    writer.writerows(sum_.row for sum_ in sums)
    return out.getvalue().removesuffix("\n")


def as_json(sum_: Worked) -> str:
    """One sum as JSON."""
    return _json({"schema": SCHEMA, **_object(sum_)})


def table_json(family: Family, sums: Sequence[Worked]) -> str:
    """A table of sums as JSON."""
    return _json(
        {"schema": TABLE_SCHEMA, "name": family.name, "rows": [_object(sum_) for sum_ in sums]}
    )


def _object(sum_: Worked) -> dict[str, object]:
    """One sum as plain values; numbers stay texts, so that no reader makes them binary."""
    family, judged = sum_.family, sum_.judged
    known: dict[str, object] = {
        "name": family.name,
        "inputs": dict(sum_.typed),
        "formula": family.formula,
    }
    if judged is None:
        return {**known, "refused": sum_.refused, "source": family.source}
    return {
        **known,
        "answers": {column: judged.figures.get(column, "") for column in family.answers},
        "value": None if judged.value is None else f"{judged.value:f}",
        "unit": judged.unit,
        "limit": judged.limit,
        "verdict": judged.verdict,
        "look_at": list(judged.look_at),
        "source": judged.basis,
    }


def _footing(family: Family) -> tuple[str, str]:
    return f"Sum: {family.formula}", f"Source: {family.source}"


def _with_unit(text: str, unit: str) -> str:
    """The number with its unit, once."""
    return f"{text} {unit}" if unit and text[-1:].isdigit() else text


def _json(value: dict[str, object]) -> str:
    import json  # noqa: PLC0415  start-up: only --json needs it

    return json.dumps(value, ensure_ascii=False, indent=2)
