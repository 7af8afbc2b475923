"""What a proof or a writing rule found, at a step and a field: lines are put to it by formats.

Knows nothing of files; `diagnostic` holds the same thing once it has a place in one.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from hardstand.domain.diagnostic import Level

Field = tuple[str | int, ...]
"""Keys and list places down to a value, as `("warning", 0, "avoid")`; empty for the whole."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One finding in a list, or in the fit it is for.

    `step` is a step id, or empty. `field` goes down from that step, or with no step from the top
    of the file that `where` names. A field that the file does not have stands for what is missing.
    """

    code: str
    level: Level
    step: str
    field: Field
    message: str
    hint: str = ""
    where: Literal["list", "fit"] = "list"
