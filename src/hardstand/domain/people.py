"""The register of people: who holds which role, on which fits, from when to when. Light, pure.

Times are corrected instants, intervals half open: a role holds from `since` on, and no longer at
`until`. What was said of a role later replaces what was said before, for times from then on.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from typing import Literal, NamedTuple

from hardstand.domain.quantity import Instant

Role = Literal[
    "trainee", "technician", "crew_lead", "inspector", "shift_lead", "chief", "pilot", "author",
    "auditor", "administrator",
]  # fmt: skip

ROLES: tuple[Role, ...] = (
    "trainee", "technician", "crew_lead", "inspector", "shift_lead", "chief", "pilot", "author",
    "auditor", "administrator",
)  # fmt: skip

LINE: tuple[Role, ...] = ("chief", "shift_lead")
"""Roles with line authority: they may witness what gives somebody authority or a new key."""

REGISTRARS: tuple[Role, ...] = ("administrator", "chief")
"""Roles that may enrol, grant, end and give new keys."""

MAINTENANCE: tuple[Role, ...] = (
    "trainee", "technician", "crew_lead", "inspector", "shift_lead", "chief",
)  # fmt: skip
"""Roles that an administrator does not hold: an administrator signs no maintenance."""

SUPERVISORS: tuple[Role, ...] = ("crew_lead", "inspector")
"""Roles that may have a trainee work under them, and then sign for the work."""

NOT_ENROLLED = "is not enrolled in this record"
"""How a line that does not hold is told when its author is unknown; an enrolment changes that."""

WORDS: dict[Role, str] = {
    "crew_lead": "crew lead", "shift_lead": "shift lead",
}  # fmt: skip


def role_words(role: Role) -> str:
    """The role as it is said."""
    return WORDS.get(role, role)


class Grant(NamedTuple):
    """A role as granted; no fits named means all, no end means none is known."""

    role: Role
    since: Instant
    fits: tuple[str, ...] = ()
    categories: tuple[str, ...] = ()
    until: str = ""
    by: str = ""
    ref: str = ""


class Key(NamedTuple):
    """A public key in hex, the line that gave it, and from which lines on it counts no more.

    `replaced` names the device, seq and tick of the line that replaced it; `until` is the last
    seq of each device for which a lost key still counts.
    """

    public: str
    ref: str
    tick: int
    demo: bool = False
    replaced: tuple[str, int, int] | None = None
    lost: bool = False
    until: tuple[tuple[str, int], ...] = ()


class Person(NamedTuple):
    """Somebody enrolled: initials used by nobody else ever, name, keys and roles, oldest first.

    `ended` is when all authority ended, if it did and nothing was granted since.
    """

    initials: str
    name: str
    enrolled: Instant
    grants: tuple[Grant, ...] = ()
    keys: tuple[Key, ...] = ()
    ended: str = ""
    ref: str = ""

    def grant(self, role: Role, at: Instant) -> Grant | None:
        """The grant by which the person holds a role at that instant; None if they do not."""
        said = [g for g in self.grants if g.role == role and g.since <= at]
        return None if not said or (said[-1].until and at >= said[-1].until) else said[-1]

    def ends(self, role: Role, at: Instant) -> str:
        """When the role held at that instant ends, as far as is known; empty: no end."""
        grant = self.grant(role, at)
        later = [g.since for g in self.grants if g.role == role and g.since > at and g.until]
        ends = [e for e in (grant.until if grant else "", *later) if e]
        return min(ends, default="")

    def holds(self, role: Role, at: Instant, fit: str = "", category: str = "") -> bool:
        """Whether the person holds a role at that instant, for the fit and category if given."""
        grant = self.grant(role, at)
        if grant is None or (fit and grant.fits and fit not in grant.fits):
            return False
        return not category or category in (grant.categories or ("B", "C", "D"))

    def holds_any(self, roles: Iterable[Role], at: Instant, fit: str = "") -> bool:
        """Whether the person holds one of the roles."""
        return any(self.holds(role, at, fit) for role in roles)

    def roles(self, at: Instant) -> tuple[Role, ...]:
        """Every role held at that instant, in the order of ROLES."""
        return tuple(role for role in ROLES if self.grant(role, at) is not None)

    @property
    def key(self) -> Key | None:
        """The key in force."""
        return self.keys[-1] if self.keys else None


People = tuple[Person, ...]


def find(people: People, initials: str) -> Person | None:
    """The person of those initials, or None."""
    return next((p for p in people if p.initials == initials), None)


def holders(
    people: People, roles: Iterable[Role], at: Instant, *, fit: str = "", but: Iterable[str] = ()
) -> tuple[Person, ...]:
    """Who holds one of the roles at that instant, those named in `but` left out."""
    wanted, out = tuple(roles), set(but)
    return tuple(p for p in people if p.initials not in out and p.holds_any(wanted, at, fit))


def named(found: Iterable[Person], at: Instant) -> str:
    """People with their roles, for a sentence: `DQ (inspector), YB (technician, inspector)`."""
    return ", ".join(
        f"{p.initials} ({', '.join(role_words(r) for r in p.roles(at))})" for p in found
    )


# -- initials --------------------------------------------------------------------------------------

_LOOKS = str.maketrans(
    "АВЕЗКМНОРСТУХІЈЅΑΒΕΖΗΙΚΜΝΟΡΤΥΧ",
    "ABE3KMHOPCTYXIJSABEZHIKMNOPTYX",
)
"""Capital letters of the Cyrillic and Greek alphabets that look like a Latin one. From memory."""


def looks(initials: str) -> str:
    """What initials look like on paper: two that look alike are one for the eye."""
    return unicodedata.normalize("NFC", initials).upper().translate(_LOOKS)


def clash(people: People, initials: str) -> Person | None:
    """The person whose initials these are, or look like; initials are never given twice."""
    return next((p for p in people if looks(p.initials) == looks(initials)), None)


def proposal(people: People, name: str) -> str:
    """Longer initials that nobody has, from a name; empty if none of four letters is left."""
    parts = [part for part in name.upper().split() if part.isalpha()]
    if len(parts) < 2:
        return ""
    first, last = parts[0], parts[-1]
    tried = [first[:1] + last[:n] for n in (1, 2, 3)] + [first[:2] + last[:n] for n in (1, 2)]
    return next((t for t in tried if 2 <= len(t) <= 4 and clash(people, t) is None), "")
