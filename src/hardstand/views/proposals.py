"""What was written to the author of a list, and what came of it."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from hardstand.domain.quantity import date_time, zone
from hardstand.domain.words import visible
from hardstand.flows.proposing import Proposal

WIDE = 72


def text(found: Sequence[Proposal], time_zone: str) -> str:
    """Each proposal with its step, its words and its answer, oldest first."""
    if not found:
        return "Nothing was written to an author."
    where = zone(time_zone)
    lines = list[str]()
    for one in found:
        body = one.body
        step = f"{one.number} {body.step}".strip()
        lines.append(
            f"{one.ref}  {body.checklist} {body.revision}  step {step}  "
            f"{date_time(one.at, where)[:10]}  {body.by.doer}"
        )
        lines += _under(body.text)
        lines += _under(_answer(one))
    return "\n".join(lines)


def _answer(one: Proposal) -> str:
    if one.answer is None:
        return "not answered yet"
    said = "taken" if one.answer.taken else "not taken"
    return f"{said}, {one.answer.by.doer}: {one.answer.text}".rstrip(": ")


def _under(words: str) -> list[str]:
    return [f"  {line}" for line in textwrap.wrap(visible(words), WIDE - 2)]
