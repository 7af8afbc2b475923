"""What a proof or a writing rule found, at a step and a field: lines are put to it by formats.

Knows nothing of files; `diagnostic` holds the same thing once it has a place in one.
"""

from __future__ import annotations

from dataclasses import dataclass

from hardstand.domain.diagnostic import Level


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One finding in one list and its fit.

    `step` is a step id, or empty for the whole list. `field` is a dotted path down from that step,
    as `warning.0.avoid`; with no step down from the top of the list, or of the fit when it begins
    with `fit.`; empty for the whole. Places in a list count from 0.
    `reason` is why the author lets it stand.
    """

    code: str
    level: Level
    step: str
    field: str
    message: str
    hint: str = ""
    reason: str = ""
