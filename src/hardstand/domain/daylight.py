"""When the sun is up at the base, from the operator's own table. Light to import."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import tzinfo

from hardstand.domain.quantity import Instant, moment

Table = Mapping[str, tuple[str, ...]]
"""Local sunrise and sunset, `HH:MM`, by the day of any year they hold from, `MM-DD`, in order."""


def is_day(table: Table, at: Instant, where: tzinfo) -> bool | None:
    """Whether the sun is up: sunrise included, sunset not; None where there is no table.

    A day before the first row belongs to the last row of the year before.
    """
    if not table:
        return None
    local = moment(at).astimezone(where)
    day, clock = local.strftime("%m-%d"), local.strftime("%H:%M")
    begun = [since for since in table if since <= day]
    rises, sets = table[(begun or list(table))[-1]]
    return rises <= clock < sets
