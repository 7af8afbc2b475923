"""Thresholds the operator may change; every default is ours, from the papers, and a setting."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """One per record. Changing it is an entry; earlier verdicts are told by today's settings.

    `preflight_hours`: a finished preflight counts that long. `walk_alive_min`: a walk counts as
    in progress that long after its last answer. `day_basis`: whose midnight ends a day.
    """

    preflight_hours: int = 24
    walk_alive_min: int = 15
    day_basis: Literal["local", "utc"] = "local"
