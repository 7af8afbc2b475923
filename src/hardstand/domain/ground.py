"""What an airframe's entries are folded on: fleet, register, settings, clocks. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import tzinfo

from hardstand.domain.authority import Case
from hardstand.domain.clocks import Clocks, corrected_at
from hardstand.domain.dated import DatedFit
from hardstand.domain.entry import Entry
from hardstand.domain.hands import By
from hardstand.domain.people import People, Person
from hardstand.domain.quantity import Instant, local_day, parse_instant, zone
from hardstand.domain.settings import DEFAULTS, Settings

NO_CLOCKS: Clocks = {}


def corrected(entry: Entry, clocks: Clocks = NO_CLOCKS) -> Instant:
    """The instant an entry was made, by all that is known of its device's clock.

    The one place where `at` is read as a time.
    """
    return corrected_at(clocks, entry.device, entry.seq, entry.at)


def made_at(at: Instant, by: By) -> Instant:
    """When an act was done: a LATE one at its stated time, never after it was written at `at`."""
    stated = parse_instant(by.late.made_at) if by.late else None
    return min(stated, at) if stated else at


def disowning(digest: str, author: str) -> str:
    """How a disowned line is kept: only its own author disowns it."""
    return f"{digest} {author}"


def in_order(entries: Iterable[Entry]) -> list[Entry]:
    """Entries so that cause precedes effect: by tick, then device, then place in its chain."""
    return sorted(entries, key=lambda e: (e.tick, e.device, e.seq))


def fit_at(fits: tuple[DatedFit, ...], day: str) -> str:
    """The fit carried on a local day, `YYYY-MM-DD`; empty before the first."""
    since = [f.fit for f in fits if f.since <= day]
    return since[-1] if since else ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """What stands before any entry of one airframe is read.

    `founded` maps each device to its last line before the first person was enrolled; None while
    nobody is. `disowned` are lines whose author says they are not theirs, as `disowning`
    names them.
    """

    tail: str
    type: str
    fits: tuple[DatedFit, ...]
    short: str
    serials: Mapping[str, str]
    entries_before: Mapping[str, int]
    time_zone: str = "UTC"
    settings: Settings = DEFAULTS
    people: People = ()
    founded: Mapping[str, int] | None = None
    clocks: Clocks = field(default_factory=dict)
    disowned: frozenset[str] = frozenset()

    @property
    def where(self) -> tzinfo:
        """The zone that local days are told in."""
        return zone(self.time_zone)

    @property
    def days(self) -> tzinfo:
        """The zone whose midnight ends a day: the record's one day basis."""
        return zone(self.time_zone if self.settings.day_basis == "local" else "UTC")

    def corrected(self, entry: Entry) -> Instant:
        """When an entry was made."""
        return corrected(entry, self.clocks)

    def case_of(self, entry: Entry, *, cnd_before: int = 0) -> Case:
        """The circumstances under which an entry was written."""
        at = self.corrected(entry)
        before = (self.founded or {}).get(entry.device, 0)
        signed = self.founded is not None and entry.seq > before
        return Case(
            people=self.people if signed else (),
            settings=self.settings,
            at=at,
            where=self.days,
            fit=fit_at(self.fits, local_day(at, self.where).isoformat()) if self.fits else "",
            cnd_before=cnd_before,
            disowned=disowning(entry.digest.hex(), entry.author) in self.disowned,
        )


def judged_alike(was: Ground, now: Ground, newest: Instant) -> bool:
    """Whether two registers judge every line alike that was written until `newest`.

    True when people were only added, or given or deprived of roles from a later time on. A line
    told with NOT_ENROLLED may still be told otherwise. With a clock in doubt nothing is said.
    """
    if now.clocks or replace(was, people=()) != replace(now, people=()):
        return False
    known = {p.initials: _as_of(p, newest) for p in was.people}
    return known == {p.initials: _as_of(p, newest) for p in now.people if p.enrolled <= newest}


def _as_of(person: Person, newest: Instant) -> Person:
    """What was said of a person's roles until an instant; keys judge signatures, not lines."""
    said = tuple(g for g in person.grants if g.since <= newest)
    return person._replace(grants=said, keys=(), ended="")
