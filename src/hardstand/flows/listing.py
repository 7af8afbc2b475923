"""What is open, worst first, narrowed by what is asked for. Writes nothing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from hardstand.domain.facts import OpenEntry, RecordFacts
from hardstand.domain.quantity import Instant
from hardstand.domain.symbols import ORDER
from hardstand.errors import Usage
from hardstand.flows.queries import Reading, board


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenList:
    """Open entries in order, and how many a filter hides."""

    as_of: Instant
    record: RecordFacts
    items: tuple[tuple[str, OpenEntry, str], ...]
    hidden: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Filter:
    """What a person narrows an open list by; an empty field narrows nothing."""

    fit: str = ""
    unit: str = ""
    symbol: str = ""
    person: str = ""
    words: str = ""
    state: str = ""
    older_than_days: int | None = None

    def takes(self, fit: str, entry: OpenEntry, symbol: str, now: Instant) -> bool:
        """Whether the entry passes every narrowing that was named."""
        from hardstand.domain.quantity import seconds_between  # noqa: PLC0415  only when asked
        from hardstand.domain.words import sought  # noqa: PLC0415  only when asked

        days = self.older_than_days
        text = sought(f"{entry.text} {entry.unit} {entry.serial} {entry.number}")
        return (
            self.fit in {"", fit}
            and self.unit in {"", entry.unit}
            and self.symbol in {"", symbol}
            and (not self.person or self.person in {entry.found_by, *entry.doers})
            and sought(self.words) in text
            and self.state in {"", entry.state}
            and (days is None or seconds_between(entry.found_at, now) > days * 86400)
        )


def narrowed(given: Mapping[str, str | int | None]) -> Filter:
    """The filter of what a person typed.

    Raises:
        Usage: a word is none of those accepted.
    """
    known = {"symbol": {"", *ORDER}, "state": {"", "open", "ruled", "deferred", "action_recorded"}}
    for name, accepted in known.items():
        if given.get(name, "") not in accepted:
            words = ", ".join(sorted(accepted - {"", "clear"}))
            raise Usage(f"--{name} {given[name]!r} is not known.", hint=f"One of: {words}")
    person = str(given.get("person") or "").upper()
    return Filter(**{**given, "person": person})  # type: ignore[arg-type]  # fields by name


def open_list(
    reading: Reading, now: Instant, tail: str = "", only: Filter | None = None
) -> OpenList:
    """Open entries: worst first, then oldest, then by number; the same order every time."""
    stand = board(reading, now, tail, missions=False)
    every = [(v.tail, v.fit, s.entry, s.symbol) for v in stand.verdicts for s in v.open]
    wanted = only or Filter()
    kept = [(t, e, s) for t, fit, e, s in every if wanted.takes(fit, e, s, now)]
    kept.sort(key=lambda x: (ORDER.index(x[2]), x[1].found_at, x[1].number))
    return OpenList(
        as_of=now, record=stand.record, items=tuple(kept), hidden=len(every) - len(kept)
    )
