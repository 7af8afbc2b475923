"""The handover sheet as text: short lines to read aloud, no table."""

from __future__ import annotations

from collections.abc import Sequence

from hardstand.domain.daybook import spelled
from hardstand.domain.words import visible
from hardstand.flows.shift import Prepared
from hardstand.views.output import prose


def sheet(found: Prepared, words: Sequence[str] = ()) -> str:
    """The sheet: each line numbered, the giver's words, the daybook mark at its foot."""
    lines = [f"{i}. {visible(line.text)}" for i, line in enumerate(found.lines, 1)]
    added = [f"Added: {visible(text)}" for text in words]
    foot = f"Daybook mark {found.mark}  {spelled(found.mark)}"
    head = f"Handover, {len(found.lines)} lines, about {found.minutes} min to read aloud."
    return prose("\n".join([head, *(lines or ["Nothing stands."]), *added, foot]))
