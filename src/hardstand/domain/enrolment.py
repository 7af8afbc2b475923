"""The fold of the register: who is enrolled, with which roles and keys, from the record's lines.

The first two people found the record: the first enrols themselves, the second is enrolled by the
first. From then on whatever gives somebody authority or a key takes two: a registrar who signs it
and a witness with line authority, neither of them the person concerned. What takes authority away
takes the registrar alone. A line that lacks its witness, or its right, counts for nothing. Pure.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from hardstand.domain import bodies as b
from hardstand.domain.clocks import Clocks, Observation
from hardstand.domain.codec import NOT_FOLDED, misread
from hardstand.domain.entry import Entry
from hardstand.domain.ground import corrected, disowning
from hardstand.domain.people import (
    LINE,
    REGISTRARS,
    ROLES,
    Grant,
    Key,
    People,
    Person,
    clash,
    holders,
)
from hardstand.domain.quantity import Instant

Line = tuple[Entry, b.Body | b.Unknown]


@dataclass(frozen=True, slots=True, kw_only=True)
class Register:
    """People, the end of the time before signing, clocks, and lines that are disowned."""

    people: People = ()
    founded: Mapping[str, int] | None = None
    clocks: Clocks = field(default_factory=dict)
    disowned: tuple[str, ...] = ()


def register(lines: Iterable[Line]) -> Register:
    """The register that the lines of no airframe make, given in order."""
    every = [line for line in lines if type(line[1]) in _TAKES]
    if not every:
        return Register()
    first = _Fold(clocks={})
    for entry, body in every:
        first.take(entry, body)
    work = _Fold(clocks=_clocks(every, first))
    for entry, body in every:
        work.take(entry, body)
    return Register(
        people=tuple(work.people.values()), founded=work.founded, clocks=work.clocks,
        disowned=tuple(work.disowned),
    )  # fmt: skip


def _clocks(lines: Iterable[Line], known: _Fold) -> Clocks:
    """What is known of clocks, from those who were entitled to say it."""
    found: dict[str, list[Observation]] = {}
    jumps: dict[str, tuple[tuple[int, int], ...]] = {}
    for entry, body in lines:
        if isinstance(body, b.ClockJumped):
            jumps[entry.device] = (*jumps.get(entry.device, ()), (entry.seq, body.seconds))
        if not isinstance(body, b.ClockObserved):
            continue
        by = known.people.get(entry.author)
        if known.people and not (by and by.holds_any((*LINE, "administrator"), entry.at)):
            continue
        seen = Observation(
            seq=body.seq, stamped=Instant(body.stamped), offset_s=body.offset_s,
            jumped_after=body.jumped_after, put_right=body.put_right,
        )  # fmt: skip
        try:
            kept = [o for o in found.get(body.device, []) if o.seq != body.seq]
            found[body.device] = sorted([*kept, seen], key=lambda o: o.seq)
        except NOT_FOLDED as error:
            raise misread(entry, error) from error
    return {
        device: tuple(o._replace(jumps=jumps.get(device, ())) for o in observed)
        for device, observed in found.items()
    }


@dataclass(slots=True)
class _Fold:
    """The register while it is folded; `waiting` are lines that still lack their witness."""

    clocks: Clocks
    people: dict[str, Person] = field(default_factory=dict)
    founded: dict[str, int] | None = None
    waiting: dict[str, tuple[Entry, Any]] = field(default_factory=dict)
    disowned: list[str] = field(default_factory=list)

    def take(self, entry: Entry, body: Any) -> None:
        try:
            _TAKES[type(body)](self, entry, body)
        except NOT_FOLDED as error:
            raise misread(entry, error) from error

    def at(self, entry: Entry) -> Instant:
        return corrected(entry, self.clocks)

    def is_registrar(self, entry: Entry, subject: str) -> bool:
        author = self.people.get(entry.author)
        return bool(
            author and entry.author != subject and author.holds_any(REGISTRARS, self.at(entry))
        )

    # -- lines -------------------------------------------------------------------------------------

    def enrolled(self, entry: Entry, body: b.PersonEnrolled) -> None:
        if not self.people:
            first = any(g.role in REGISTRARS for g in body.granted)
            if entry.author == body.initials and first:
                self.founded = {h.device: h.seq for h in body.heads}
                self.founded[entry.device] = entry.seq - 1
                self.enrol(entry, body)
        elif len(self.people) == 1 and entry.author in self.people:
            self.enrol(entry, body)
        elif self.is_registrar(entry, body.initials):
            self.waiting[entry.digest.hex()] = (entry, body)

    def role(self, entry: Entry, body: b.PersonRole) -> None:
        if not self.is_registrar(entry, body.initials):
            return
        if ends_only(body.granted):
            self.grant(entry, body)
        else:
            self.waiting[entry.digest.hex()] = (entry, body)

    def keyed(self, entry: Entry, body: b.PersonKeyed) -> None:
        if self.is_registrar(entry, body.initials):
            self.waiting[entry.digest.hex()] = (entry, body)

    def ended(self, entry: Entry, body: b.PersonEnded) -> None:
        person = self.people.get(body.initials)
        if person is None or not self.is_registrar(entry, body.initials):
            return
        at = Instant(body.at)
        ends = tuple(
            Grant(role=role, since=at, until=at, by=entry.author, ref=entry.ref)
            for role in dict.fromkeys(g.role for g in person.grants)
        )
        grants = (*person.grants, *ends)
        self.people[body.initials] = person._replace(grants=grants, ended=at)

    def witnessed(self, entry: Entry, body: b.Witnessed) -> None:
        made, given = self.waiting.get(body.of, (None, None))
        if made is None or given is None:
            return
        witness = self.people.get(entry.author)
        stood_by = witness and witness.holds_any(LINE, self.at(entry))
        if stood_by and entry.author not in {made.author, given.initials}:
            del self.waiting[body.of]
            _GIVES[type(given)](self, made, given)

    def not_mine(self, entry: Entry, body: b.NotMine) -> None:
        self.disowned.append(disowning(body.digest, entry.author))

    def nothing(self, _: Entry, __: b.ClockObserved | b.ClockJumped) -> None:
        """Clocks were read before."""

    # -- what they make ----------------------------------------------------------------------------

    def enrol(self, entry: Entry, body: b.PersonEnrolled) -> None:
        if clash(tuple(self.people.values()), body.initials) is not None:
            return
        at = self.at(entry)
        self.people[body.initials] = Person(
            initials=body.initials,
            name=body.name,
            grants=tuple(_granted(entry, at, g) for g in body.granted if g.role in ROLES),
            keys=(_key(entry, body.key),),
            enrolled=at,
            ref=entry.ref,
        )

    def grant(self, entry: Entry, body: b.PersonRole) -> None:
        person = self.people.get(body.initials)
        if person is None or body.granted.role not in ROLES:
            return
        given = _granted(entry, self.at(entry), body.granted)
        ended = person.ended if ends_only(body.granted) else ""
        grants = (*person.grants, given)
        self.people[body.initials] = person._replace(grants=grants, ended=ended)

    def key(self, entry: Entry, body: b.PersonKeyed) -> None:
        person = self.people.get(body.initials)
        if person is None:
            return
        until = tuple((h.device, h.seq) for h in body.heads)
        place = (entry.device, entry.seq, entry.tick)
        past = person.keys[-1]._replace(replaced=place, lost=body.lost, until=until)
        keys = (*person.keys[:-1], past, _key(entry, body.key))
        self.people[body.initials] = person._replace(keys=keys)


def ends_only(given: b.Granted) -> bool:
    """Whether a line about a role says only that it ends."""
    return bool(given.until) and given.until <= given.since


def _granted(entry: Entry, at: Instant, given: b.Granted) -> Grant:
    """A grant as it counts: authority is never given for a time before it was written."""
    role = next(r for r in ROLES if r == given.role)
    return Grant(
        role=role, fits=given.fits, categories=given.categories, until=given.until,
        since=Instant(given.since) if ends_only(given) else Instant(max(given.since, at)),
        by=entry.author, ref=entry.ref,
    )  # fmt: skip


def _key(entry: Entry, given: b.PublicKey) -> Key:
    return Key(public=given.public, demo=given.demo, ref=entry.ref, tick=entry.tick)


_GIVES: Mapping[type[Any], Callable[[_Fold, Entry, Any], None]] = {
    b.PersonEnrolled: _Fold.enrol,
    b.PersonRole: _Fold.grant,
    b.PersonKeyed: _Fold.key,
}

_TAKES: Mapping[type[Any], Callable[[_Fold, Entry, Any], None]] = {
    b.PersonEnrolled: _Fold.enrolled,
    b.PersonRole: _Fold.role,
    b.PersonKeyed: _Fold.keyed,
    b.PersonEnded: _Fold.ended,
    b.Witnessed: _Fold.witnessed,
    b.NotMine: _Fold.not_mine,
    b.ClockObserved: _Fold.nothing,
    b.ClockJumped: _Fold.nothing,
}


def could_go_on(people: People, at: Instant) -> bool:
    """Whether two different people are left who together could enrol a third."""
    return any(
        registrar.initials != witness.initials
        for registrar in holders(people, REGISTRARS, at)
        for witness in holders(people, LINE, at)
    )
