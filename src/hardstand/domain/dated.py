"""A fact that holds from a day on."""

from __future__ import annotations

from typing import NamedTuple


class DatedFit(NamedTuple):
    """The fit an airframe carries from the start of that local day, `YYYY-MM-DD`, on."""

    since: str
    fit: str
