"""What is said of flights, acceptances and pilots' reports, as bodies: past-tense facts.

`seen` lists the digests of the last lines of every open entry that the author had in front of
them, in hex. Times of flights are stated instants: flights are often entered afterwards.
"""

from __future__ import annotations

from dataclasses import dataclass

from hardstand.domain.hands import By


@dataclass(frozen=True, slots=True, kw_only=True)
class FlightAccepted:
    """A pilot took the aircraft on the list of open entries shown, kept word for word.

    `digest` is the SHA-256 of the canonical JSON of `listed`, hex. `limits_read` are the limits
    read out line by line. `paper` means a printed list, dated `list_of`; `told` are entries of the
    pilot's own whose outcome was shown.
    """

    mission: str
    listed: tuple[str, ...]
    digest: str
    list_of: str
    limits_read: tuple[str, ...] = ()
    paper: bool = False
    told: tuple[str, ...] = ()
    by: By
    seen: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FlightRefused:
    """A pilot did not take the aircraft; no reason is needed."""

    mission: str
    words: str = ""
    by: By
    seen: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FlightBegun:
    """The aircraft left its parking place at `off`.

    `uses_radio` says whether the mission needs any function of the set, so that it needs a
    preflight.
    """

    mission: str
    pilot: str
    off: str
    uses_radio: bool
    words: str = ""
    by: By
    seen: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FlightEnded:
    """The flight begun by the line of that digest was over at `on`."""

    flight: str
    on: str
    by: By


@dataclass(frozen=True, slots=True, kw_only=True)
class FlightReported:
    """What the pilot said of a flight: the entries it led to, or that no defect is known."""

    flight: str
    entries: tuple[str, ...] = ()
    none_known: bool = False
    words: str = ""
    by: By


@dataclass(frozen=True, slots=True, kw_only=True)
class PilotTold:
    """A pilot was shown what came of an entry of theirs."""

    number: str
    pilot: str
    by: By
