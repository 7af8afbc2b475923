"""A fact that holds from a day on."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class DatedFit:
    """The fit an airframe carries from the start of that local day, `YYYY-MM-DD`, on."""

    since: str
    fit: str
