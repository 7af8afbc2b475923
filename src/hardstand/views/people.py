"""The register of people as text: who holds which role, on what, until when. No decisions."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import tzinfo

from hardstand.domain.people import Grant, Person, role_words
from hardstand.domain.quantity import Instant, later, moment, zone
from hardstand.views.tables import table

SOON_DAYS = 30
"""Authority that ends within so many days is said to; ours, from the whole-job paper S-21."""


def text(people: Sequence[Person], now: Instant, time_zone: str, *, plain: bool) -> str:
    """Everybody enrolled, in the order they were, with what they may do now."""
    if not people:
        return "Nobody is enrolled: nothing in this record is signed yet. hardstand people enrol"
    where = zone(time_zone)
    rows = [[p.initials, p.name, _roles(p, now, where), _key(p), _soon(p, now)] for p in people]
    return table(("initials", "name", "may now", "key", ""), rows, plain=plain)


def _roles(person: Person, now: Instant, where: tzinfo) -> str:
    held = [_role(g, where) for g in (person.grant(r, now) for r in person.roles(now)) if g]
    coming = [
        f"{role_words(g.role)} from {day(g.since, where)}"
        for g in person.grants
        if g.since > now and not (g.until and g.until <= g.since)
    ]
    ended = [f"ended {day(person.ended, where)}"] if person.ended and person.ended <= now else []
    return "; ".join([*held, *coming, *ended]) or "nothing"


def _role(grant: Grant, where: tzinfo) -> str:
    fits = f" on {', '.join(grant.fits)}" if grant.fits else ""
    defers = f" deferring {', '.join(grant.categories)}" if grant.categories else ""
    until = f" until {day(grant.until, where)}" if grant.until else ""
    return f"{role_words(grant.role)}{fits}{defers}{until}"


def day(at: str, where: tzinfo) -> str:
    """An instant as a local day and time."""
    return moment(Instant(at)).astimezone(where).strftime("%Y-%m-%d %H:%M")


def _key(person: Person) -> str:
    demo = " DEMO" if person.key and person.key.demo else ""
    return f"{len(person.keys)}{demo}"


def _soon(person: Person, now: Instant) -> str:
    until = later(now, hours=24 * SOON_DAYS)
    ends = [role_words(r) for r in person.roles(now) if "" < person.ends(r, now) <= until]
    return f"ends soon: {', '.join(ends)}" if ends else ""
