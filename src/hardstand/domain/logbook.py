"""The defect log of one airframe while it is folded: its lives, and what ties them. Pure."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from hardstand.domain import bodies as b
from hardstand.domain.authority import Case, may
from hardstand.domain.entry import Entry
from hardstand.domain.facts import Act, OpenEntry, Watched
from hardstand.domain.ground import Ground
from hardstand.domain.life import (
    Court,
    Life,
    NeedsThePast,
    as_at,
    born,
    go_on,
    join,
    raised_again,
    reopen,
    stand_for,
    taken_up,
)
from hardstand.domain.quantity import Instant

MOST_WATCHED = 20
"""How many closings as could not duplicate are remembered of one airframe; ours."""


@dataclass(slots=True)
class Logbook:
    """Lives by entry number, in the order they were raised; mutable inside one fold.

    `goes_on` means that entries closed before are not here. `joins` maps the digest of a joining
    line to the entry it closed.
    """

    ground: Ground
    lives: dict[str, Life] = field(default_factory=dict)
    watched: list[Watched] = field(default_factory=list)
    weaker: list[str] = field(default_factory=list)
    joins: dict[str, str] = field(default_factory=dict)
    goes_on: bool = False
    court: Court = field(init=False)

    def __post_init__(self) -> None:
        self.court = Court(case_of=self.case_of, where=self.ground.days)

    def take_up(self, known: Iterable[OpenEntry]) -> None:
        """Go on from the open entries an earlier fold kept."""
        self.goes_on = True
        for item in known:
            self.lives[item.number] = taken_up(item)
            if item.successor_of:
                self.court.successors.add(item.successor_of)

    def open(self) -> tuple[OpenEntry, ...]:
        """The entries that read open, in the order they were raised."""
        states = (life.state for life in self.lives.values())
        return tuple(state for state in states if not state.closed)

    def state(self, number: str) -> OpenEntry | None:
        """The entry of that number as it reads, closed or not; None if this log never saw it."""
        life = self.lives.get(number)
        return life.now.state if life else None

    def holds(self, number: str) -> bool:
        """Whether an entry was raised under that number, closed since or not.

        Raises:
            NeedsThePast: it is not open, and what was closed before is not here.
        """
        if number not in self.lives and self.goes_on:
            raise NeedsThePast
        return number in self.lives

    def open_at(self, at: Instant) -> tuple[OpenEntry, ...]:
        """The entries that were open at an instant, as they read then.

        Raises:
            NeedsThePast: something has been done since by a log that was taken up.
        """
        states = (as_at(life, at) for life in self.lives.values())
        return tuple(state for state in states if state is not None and not state.closed)

    def case_of(self, entry: Entry, state: OpenEntry) -> Case:
        """The circumstances under which an act on an entry was made."""
        names = {*state.takes, *state.weakens, state.unit} - {""}
        before = sum(1 for w in self.watched if names & set(w.names))
        return self.ground.case_of(entry, cnd_before=before)

    def raise_(self, entry: Entry, body: b.DefectRaised) -> None:
        """Take the raising of an entry.

        Raises:
            NeedsThePast: it follows an entry that was closed before this log was taken up.
        """
        at = self.ground.corrected(entry)
        known = self.lives.get(body.number)
        if known is not None and not known.state.closed:
            raised_again(known, entry, body, at)
            return
        follows = self._followed(body.successor_of) if body.successor_of else None
        self.lives[body.number] = born(entry, body, at, self.ground.days, follows)
        if body.successor_of:
            self.court.successors.add(body.successor_of)

    def _followed(self, number: str) -> OpenEntry | None:
        """The entry that another goes on from, as it reads; None if this record has none such."""
        return self.state(number) if self.holds(number) else None

    def act(self, entry: Entry, body: Any) -> None:
        """Take any act on an entry; one whose raising is not in this record says nothing yet.

        Raises:
            NeedsThePast: the entry was closed before this log was taken up.
        """
        life = self.lives.get(body.number)
        if life is None:
            if self.goes_on:
                raise NeedsThePast
            return
        was = life.state.closed
        go_on(life, entry, body, self.ground.corrected(entry), self.court)
        if isinstance(body, b.DefectSameAs):
            self._join(entry, body, life)
        if life.state.closed and not was:
            self._closed(entry, body, life)
            if isinstance(body, b.DefectVoided) and body.other not in {"", body.number}:
                self._stand_for(entry, body, life)
        if isinstance(body, b.DefectCleared) and was.endswith("by the doer"):
            self._looked_at(entry, body, life)

    def _join(self, entry: Entry, body: b.DefectSameAs, life: Life) -> None:
        """The other entry takes over; where it was closed already, this one stays open."""
        if not life.state.closed:
            return
        other = self.lives.get(body.other)
        if other is None and self.goes_on:
            raise NeedsThePast
        if other is None or other.state.closed:
            act = _act(self.ground.corrected(entry), entry, f"same as {body.other}")
            reopen(life, act, entry.digest.hex(), f"{body.other} was closed already")
            return
        join(other, entry, life.state, self.ground.corrected(entry), self.court.where)
        self.joins[entry.digest.hex()] = body.number

    def _stand_for(self, entry: Entry, body: b.DefectVoided, life: Life) -> None:
        """What stands in place of an error keeps its days, if it is on this airframe."""
        if self.holds(body.other):
            other, at = self.lives[body.other], self.ground.corrected(entry)
            stand_for(other, entry, life.state, at, self.court.where)

    def _closed(self, entry: Entry, body: Any, life: Life) -> None:
        """What closing an entry does beside it: joined entries, watches, weaker clearances."""
        state = life.state
        unseen = [d for d in life.notes if d not in getattr(body, "seen", ())]
        for digest in unseen if state.joined else ():
            if self.goes_on and digest not in self.joins:
                raise NeedsThePast
            joined = self.lives.get(self.joins.get(digest, ""))
            if joined is not None and joined.state.closed:
                act = _act(self.ground.corrected(entry), entry, f"{state.closed} {state.number}")
                reopen(joined, act, digest, f"{state.number} was closed without sight of it")
        if state.closed.startswith("could not duplicate"):
            watched = Watched(
                number=state.number, at=self.ground.corrected(entry), look_after=body.look_after,
                names=tuple(dict.fromkeys((*state.takes, *state.weakens, state.unit))),
            )  # fmt: skip
            self.watched = [*self.watched, watched][-MOST_WATCHED:]
        if state.closed.endswith("by the doer"):
            self.weaker.append(state.number)

    def _looked_at(self, entry: Entry, body: b.DefectCleared, life: Life) -> None:
        """An inspector looked at what its doer had cleared alone: it is no longer weaker."""
        number = body.number
        case = self.court.case_of(entry, life.state)
        looked = may("clear", entry.author, case, life.state) is None
        if number in self.weaker and looked and not body.again_by_doer:
            self.weaker.remove(number)


def _act(at: Instant, entry: Entry, what: str) -> Act:
    return Act(ref=entry.ref, at=at, by=entry.author, what=what)
