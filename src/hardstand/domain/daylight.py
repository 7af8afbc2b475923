"""When the sun is up at the base, from the operator's own table. Light to import."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import tzinfo

from hardstand.domain.quantity import Instant, moment


@dataclass(frozen=True, slots=True, kw_only=True)
class Daylight:
    """Local sunrise and sunset, `HH:MM`, from a day of any year on, `MM-DD`."""

    since: str
    rises: str
    sets: str


def is_day(table: Sequence[Daylight], at: Instant, where: tzinfo) -> bool | None:
    """Whether the sun is up: sunrise included, sunset not; None where there is no table.

    A day before the first row belongs to the last row of the year before.
    """
    if not table:
        return None
    local = moment(at).astimezone(where)
    day, clock = local.strftime("%m-%d"), local.strftime("%H:%M")
    begun = [row for row in table if row.since <= day]
    row = (begun or table)[-1]
    return row.rises <= clock < row.sets
