"""What the people of the Quennock week do outside their walks, each through its own real flow."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from hardstand.domain import bodies as b
from hardstand.domain import clearing as decisions
from hardstand.domain.bodies import By
from hardstand.domain.clearing import Looked
from hardstand.domain.facts import AirframeFacts
from hardstand.domain.flight_acts import Back
from hardstand.domain.putting_off import PutOff
from hardstand.domain.quantity import Instant, parse_instant
from hardstand.domain.unit_acts import Swap
from hardstand.errors import Refusal, Usage
from hardstand.flows import (
    attested,
    clearing,
    clock_errors,
    deferring,
    enrolling,
    flights,
    leading,
    logging_defects,
    owning,
    retesting,
    shift,
    units,
)
from hardstand.flows.adopting import lists, the_fleet
from hardstand.flows.approving import approve
from hardstand.flows.demo_answers import well
from hardstand.flows.logging_defects import Told
from hardstand.flows.papers import papers
from hardstand.flows.past import Past
from hardstand.flows.pen import Pen
from hardstand.flows.pinned import plan_of
from hardstand.flows.recording import record, write
from hardstand.flows.signing import case_on


@dataclass(frozen=True, slots=True, kw_only=True)
class Desk:
    """Where a deed is done: pen, hands, and the texts the demo was built from."""

    pen: Pen
    by: By
    texts: Sequence[tuple[str, bytes]] = ()


Does = Callable[[Desk], object]


def time(text: str) -> Instant:
    """A time of the script: `Tue 05:22` of the week, or an RFC 3339 time.

    Raises:
        Usage: it is neither.
    """
    days = ("Sun-", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
    day, _, clock = text.partition(" ")
    typed = f"2027-03-{7 + days.index(day):02d}T{clock}-03:00" if day in days else text
    found = parse_instant(typed)
    if found is None:
        raise Usage(f"{text!r} is no time of the script.")
    return found


# -- the log ---------------------------------------------------------------------------------------


def raises(tail: str, words: str, **told: str) -> Does:
    """Raise an entry."""
    return lambda d: logging_defects.raise_defect(d.pen, tail, Told(words=words, **told), by=d.by)


def acts(number: str, deed: str, *words: str) -> Does:
    """An act on an entry that takes nothing but words."""
    return lambda d: logging_defects.act(d.pen, number, deed, words, by=d.by)


def defers(number: str, item: str, *met: str, reason: str) -> Does:
    """Defer an entry by an item of the list."""
    asked = PutOff(item=item, met=met, reason=reason)
    return lambda d: deferring.defer(d.pen, number, asked, by=d.by)


def mends(
    number: str, words: str, outcome: str = "rectified", *, out: str = "", into: str = ""
) -> Does:
    """Record what was done about an entry."""
    done = logging_defects.done(words, outcome, units_out=out, units_in=into)
    return lambda d: logging_defects.acted(d.pen, number, done, by=d.by)


def retests(number: str, *steps: str) -> Does:
    """Do proving steps again for a repair, each well."""

    def does(desk: Desk) -> None:
        tail = logging_defects.tail_of(desk.pen, number)
        facts, known = desk.pen.journal.facts(tail), lists(desk.pen.journal)
        digest = next(d for d, c in known.current.items() if any(s.id == steps[0] for s in c.steps))
        plan = plan_of(desk.pen, facts, known, digest)
        serials = the_fleet(desk.pen.journal).airframes[tail].serials or {}
        for name in steps:
            answer = well(plan.fill, plan.checklist.step(name), serials)
            retesting.retested(desk.pen, number, name, answer, by=desk.by)

    return does


def clears(number: str, words: str, *, placard_off: bool = False) -> Does:
    """Clear an entry."""
    looked = clearing.looked(words, placard_off=placard_off)
    return lambda d: clearing.clear(d.pen, number, looked, by=d.by)


def clears_unseen(tail: str, number: str, words: str, known_at: str) -> Does:
    """Clear an entry by what one tablet knew at an earlier time, and no more."""

    def does(desk: Desk) -> None:
        journal = desk.pen.journal
        old = Past(journal, time(known_at)).facts(tail)
        case = case_on(desk.pen, journal.record(), old, number)
        how = Looked(text=words)
        decided = decisions.clear(old, number, how, desk.by, case, device=desk.pen.device)
        record(desk.pen, tail, lambda _: decided)

    return does


def settles(number: str, words: str) -> Does:
    """Settle what disagrees."""
    return lambda d: logging_defects.settled(d.pen, number, words, by=d.by)


def owns(number: str) -> Does:
    """Take an entry to see to."""
    return lambda d: owning.own(d.pen, number, by=d.by)


def puts_back(tail: str, *items: str) -> Does:
    """See items of an aircraft home, as found."""

    def home(desk: Desk, facts: AirframeFacts) -> tuple[b.Body, ...]:
        return tuple(
            b.LineMoved(
                item=item, title=line.title, item_kind="energy", home=line.home, from_=line.value,
                to=line.home, words="found so, switched off", by=desk.by, seen=line.heads,
            )
            for item in items
            if (line := facts.line(item)) is not None
        )  # fmt: skip

    return lambda d: record(d.pen, tail, lambda facts: home(d, facts))


def refused(does: Does) -> Does:
    """A deed that the rules refuse; what the refusal leaves in the record is all that stays."""

    def tried(desk: Desk) -> None:
        try:
            does(desk)
        except Refusal:
            return
        raise Usage("The script expected a refusal here, and the deed was done.")

    return tried


# -- flights ---------------------------------------------------------------------------------------


def accepts(tail: str, mission: str, *, paper: tuple[str, str] | None = None) -> Does:
    """Take the aircraft on the list shown; `paper` is when a printed list was made and signed."""
    printed = flights.Paper(list_of=time(paper[0]), made_at=time(paper[1])) if paper else None

    def does(desk: Desk) -> None:
        shown = flights.offered(desk.pen, tail, mission, desk.by.doer)
        flights.accept(desk.pen, shown, shown.read, by=desk.by, paper=printed)

    return does


def leaves(tail: str, mission: str, off: str = "") -> Does:
    """Off-block, now or at a time told afterwards."""
    at = time(off) if off else None
    return lambda d: flights.out(d.pen, tail, mission, d.by.doer, off=at, by=d.by)


def returns(tail: str, on: str, *, known: str = "", again: tuple[str, str] | None = None) -> Does:
    """On-block, with the entries reported, or no defect known."""
    said = Back(
        on=None, known=(known,) if known else (), again=(again,) if again else (),
        none_known=not (known or again),
    )  # fmt: skip
    return lambda d: flights.back(d.pen, tail, said, on=time(on), by=d.by)


# -- boxes -----------------------------------------------------------------------------------------


def receives(part: str, serial: str) -> Does:
    """Take a box into the serviceable store."""
    return lambda d: units.shelve(
        d.pen, b.UnitReceived(part=part, serial=serial, place="serviceable store", by=d.by)
    )


def cards(tail: str, part: str, serial: str, position: str, **told: str) -> Does:
    """Take over what a box's paper card says."""
    return lambda d: units.card(
        d.pen, tail, b.UnitCarded(part=part, serial=serial, position=position, by=d.by, **told)
    )


def swaps(tail: str, position: str, serial: str, out: str, **told: str) -> Does:
    """A box out, another in from the store."""
    asked = Swap(position=position, serial=serial, out=out, **told)  # type: ignore[arg-type]  # all are text
    return lambda d: units.fit(d.pen, tail, asked, by=d.by)


def moves(donor: str, position: str, receiver: str, serial: str, out: str, **told: str) -> Does:
    """A box out of one aircraft into another, by a lead's order."""
    asked = Swap(position=position, serial=serial, out=out, **told)  # type: ignore[arg-type]  # all are text
    return lambda d: units.move(d.pen, donor, position, receiver, asked, by=d.by)


# -- shift, people, clocks, lists ------------------------------------------------------------------


def hands_on(taker: str) -> Does:
    """Give the sheet and have it read back line by line."""

    def does(desk: Desk) -> None:
        journal, now = desk.pen.journal, desk.pen.clock.now()
        sheet = shift.prepared(journal, leading.lead_board(Past(journal, now), now))
        shift.give(desk.pen, sheet, by=desk.by)
        keys = [line.key for line in sheet.lines]
        shift.take(replace(desk.pen, author=taker), keys, by=By(doer=taker))

    return does


def marks(desk: Desk) -> object:
    """A daybook mark."""
    return attested.mark(desk.pen)


def sees_clock(device: str, showed: str, true: str, *, jumped: str = "") -> Does:
    """Hold a tablet's clock against the laptop's; it `jumped` after its last line stamped before.

    A clock that jumped is put right.
    """

    def does(desk: Desk) -> None:
        lines = (e for e in desk.pen.journal.entries() if e.device == device)
        after = max((e.seq for e in lines if e.at < time(jumped)), default=0) if jumped else -1
        seen = clock_errors.Seen(
            device=device, showed=showed, true=true, words="exchange", jumped_after=after,
            put_right=bool(jumped),
        )  # fmt: skip
        clock_errors.observe(desk.pen, seen)

    return does


def ends_authority(initials: str, at: str, reason: str) -> Does:
    """End all authority of a person."""
    return lambda d: enrolling.end(d.pen, initials, time(at), reason)


def new_key(initials: str, reason: str, witness: str) -> Does:
    """A new key for a forgotten passphrase."""
    return lambda d: enrolling.rekey(d.pen, initials, reason, witness=witness)


def revises(name: str, before: str, after: str) -> Does:
    """Adopt a list again under its next revision."""

    def does(desk: Desk) -> None:
        data = dict(desk.texts)[name]
        old, new = f"revision: {before}\n".encode(), f"revision: {after}\n".encode()
        if data.count(old) != 1:
            raise Usage(f"{name} is not revision {before}.")
        found = papers(desk.pen.journal, [(name, data.replace(old, new))])
        approve(desk.pen, found, "DQ")

    return does


def stops_at_wrong_tail(planned: str, typed: str) -> Does:
    """A walk that did not begin: the tail typed was not the one planned."""

    def does(desk: Desk) -> None:
        with desk.pen.journal.write() as writing:
            body = b.WalkRefused(planned=planned, typed=typed, by=desk.by)
            write(desk.pen, writing, (body,), tail=planned)

    return does
