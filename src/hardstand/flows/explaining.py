"""Why an airframe or an entry stands as it does. Writes nothing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from hardstand.domain.facts import OpenEntry, RecordFacts
from hardstand.domain.flight_facts import flown_of
from hardstand.domain.ids import bearers
from hardstand.domain.quantity import Instant
from hardstand.domain.recurrence import Report, before, did_not_hold
from hardstand.domain.verdict import Verdict
from hardstand.errors import NotThere
from hardstand.flows.queries import Reading, board


@dataclass(frozen=True, slots=True, kw_only=True)
class Why:
    """Why an airframe stands as it does, or one entry of it with all that was done about it.

    `before` are earlier reports of what the entry reports; `held` is False where the last of them
    was cleared less than five flights before.
    """

    record: RecordFacts
    verdict: Verdict
    entry: OpenEntry | None = None
    before: tuple[Report, ...] = ()
    held: bool = True


def _with_before(why: Why, reports: Sequence[Report]) -> Why:
    number = why.entry.number if why.entry else ""
    held = number not in {later for _, later in did_not_hold(reports)}
    return replace(why, before=before(reports, number), held=held)


def reasons(reading: Reading, now: Instant, what: str) -> Why:
    """The reasons of an airframe, by tail; or of one open entry, by its number.

    Raises:
        NotThere: neither is known.
    """
    number = what.strip().upper()
    for tail in bearers(number, reading.record().tails):
        entry = reading.facts(tail).entry(number)
        if entry is not None:
            stand = board(reading, now, tail)
            return _with_before(
                Why(record=stand.record, verdict=stand.verdicts[0], entry=entry),
                flown_of(reading.facts(tail)).reports,
            )
    try:
        stand = board(reading, now, what)
    except NotThere as unknown:
        raise NotThere(
            f"{what!r} is neither a tail nor an open entry of this record.",
            hint="`hardstand open` lists open entries; `hardstand record history ENTRY` tells "
            "closed ones.",
        ) from unknown
    return Why(record=stand.record, verdict=stand.verdicts[0])
