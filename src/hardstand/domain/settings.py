"""Thresholds the operator may change; every default is ours, from the papers, and a setting."""

from __future__ import annotations

from typing import Literal, NamedTuple


class Settings(NamedTuple):
    """One per record. Changing it is an entry; earlier verdicts are told by today's settings.

    `preflight_hours`: a finished preflight counts that long. `walk_alive_min`: a walk counts as
    in progress that long after its last answer. `day_basis`: whose midnight ends a day.
    `extensions`: whose rule says which deferrals may be extended once, `faa` (B, C) or `uk`
    (B, C, D). `circled_x_days`: most days a circled X may stand, never over 7.
    `doer_clears_diagonal`: whoever did the work may clear a diagonal. `again_by_doer`: whether a
    doer may inspect their own work for unforeseen need, ordered by a chief: `never`, `below_x`
    or `all`, not before `second_look_min` minutes. `look_after_flights`: how many flights a fault
    that could not be duplicated is watched. `clock_grace_s`: how far a clock may be behind the
    newest line and still be trusted. `likely_same_hours`: how far apart two reports of one thing
    are offered as the same.
    """

    preflight_hours: int = 24
    walk_alive_min: int = 15
    day_basis: Literal["local", "utc"] = "local"
    extensions: Literal["faa", "uk"] = "faa"
    circled_x_days: int = 7
    doer_clears_diagonal: bool = False
    again_by_doer: Literal["never", "below_x", "all"] = "never"
    second_look_min: int = 30
    look_after_flights: int = 5
    clock_grace_s: int = 120
    likely_same_hours: int = 48


DEFAULTS = Settings()
"""The settings of a record that adopted none."""
