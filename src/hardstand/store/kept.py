"""The kept fold: one row an airframe, gone on with at each append, folded anew when that is due.

The rows can be dropped at any time. `stale` folds everything anew and compares, which is how
`record verify` proves that going on and folding anew say the same.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

from sqlalchemy import Connection, delete, func, select

from hardstand.domain.airframe import Ground, fold_on, folded
from hardstand.domain.entry import Entry
from hardstand.domain.facts import AirframeFacts, Folded, Line, RecordFacts
from hardstand.domain.fleet import Fleet
from hardstand.domain.ground import judged_alike
from hardstand.domain.people import NOT_ENROLLED
from hardstand.domain.plain import to_plain
from hardstand.domain.quantity import Instant
from hardstand.domain.record import fold_record, ground, ground_on
from hardstand.errors import Damaged, NotThere
from hardstand.store import ddl, statements
from hardstand.store.rows import COLUMNS, entry, kept

Heads = Mapping[str, tuple[Any, ...]]

LINES = [ddl.entry.c[name] for name in COLUMNS]
ORDER = (ddl.entry.c.tick, ddl.entry.c.device, ddl.entry.c.seq)
_WHOLE = select(*LINES).where(ddl.entry.c.airframe.is_(None)).order_by(*ORDER)


class Kept:
    """The kept fold as this process last saw it: good for as long as the chains have not grown."""

    def __init__(self) -> None:
        self._heads: Heads | None = None
        self._record: RecordFacts | None = None
        self._folded = dict[str, Folded]()
        self._texts = dict[str, _Text]()

    def seen_at(self, heads: Heads) -> None:
        """Forget what was seen at other ends of the chains than these."""
        if heads != self._heads:
            self.forget()
            self._heads = heads

    def has(self, heads: Heads, tail: str) -> bool:
        """Whether the facts of that tail, or of the record, were seen at these ends."""
        seen = tail in self._folded if tail else self._record is not None
        return seen and heads == self._heads

    def grown_to(self, heads: Heads) -> None:
        """The chains have grown by what this process adds; what was seen stays good."""
        self._heads = heads

    def forget(self) -> None:
        """Read everything anew the next time."""
        self._heads, self._record = None, None
        self._folded.clear()
        self._texts.clear()

    def record(self, connection: Connection) -> RecordFacts:
        """The facts of the whole record."""
        if self._record is None:
            row = _row(connection, "")
            self._record = kept(RecordFacts, row[0], "") if row else RecordFacts()
        return self._record

    def facts(self, connection: Connection, tail: str) -> AirframeFacts:
        """The facts of one airframe.

        Raises:
            NotThere: no such airframe in the fleet.
        """
        found = self._known(connection, tail) if tail else None
        if found is None:
            raise NotThere(
                f"There is no airframe {tail or '(no tail)'} in this record.",
                hint="`hardstand fleet show` lists the tails.",
            )
        return found.facts

    def _known(self, connection: Connection, tail: str) -> Folded | None:
        """What this fold says of an airframe: anew where an earlier one kept it."""
        known = self._held(connection, tail)
        if known is not None and known.facts.outdated:
            known = self._folded[tail] = _of_all(connection, tail) or known
        return known

    def _held(self, connection: Connection, tail: str) -> Folded | None:
        """What is kept of an airframe, by whichever fold."""
        if tail not in self._folded:
            row = _row(connection, tail)
            if row is None:
                return None
            rest = kept(_Rest, row[1], tail)
            facts = kept(AirframeFacts, row[0], tail)
            self._folded[tail] = Folded(facts=facts, line_heads=rest.line_heads)
        return self._folded[tail]

    def take(
        self, connection: Connection, tail: str, lines: Sequence[Entry], *, last: bool
    ) -> None:
        """Go on with the fold of an airframe.

        Args:
            connection: an open write, the lines already in it.
            tail: the airframe; one that is not in the fleet keeps nothing.
            lines: its new lines that bear on status.
            last: they come after every line that was there before.
        """
        before = self._held(connection, tail)
        if before is None:
            return
        described = ground_on(before.facts, self.record(connection))
        goes_on = last and not before.facts.outdated
        after = fold_on(before, lines, described) if goes_on else None
        after = after or _of_all(connection, tail)
        if after is not None:
            self._keep(connection, tail, after)

    def _keep(self, connection: Connection, tail: str, now: Folded) -> None:
        text = self._texts.setdefault(tail, _Text()).of(now.facts)
        heads = {"line_heads": now.line_heads}
        row = (tail, text, _json(heads))  # as `_dumped` makes it of _Rest
        statements.run(connection, statements.KEEP, row)
        self._folded[tail] = now

    def renew(self, connection: Connection, before: Before) -> None:
        """Fold the whole record anew, and each airframe that it now describes otherwise.

        Args:
            connection: an open write, the new lines already in it.
            before: the record before them.
        """
        record, fleet = whole(connection)
        _store(connection, "", record, _Rest())
        self._record = record
        was, now = _grounds(before.record, before.fleet), _grounds(record, fleet)
        for tail in was.keys() - now.keys():
            statements.run(connection, statements.DROP_KEPT, (tail,))
            self._folded.pop(tail, None)
        for tail, described in now.items():
            earlier = was.get(tail)
            if earlier is None or not self._stays(connection, earlier, described, before.newest):
                self._keep(connection, tail, _anew(connection, described))

    def _stays(
        self, connection: Connection, was: Ground, now: Ground, newest: Instant | None
    ) -> bool:
        """Whether what is kept of an airframe is what a fold on its new ground would be."""
        if was == now or newest is None:
            return was == now
        row = _row(connection, now.tail)
        alike = judged_alike(was, now, newest)
        return alike and row is not None and NOT_ENROLLED not in row[0]


@dataclass(frozen=True, slots=True, kw_only=True)
class Before:
    """The record before an append: its facts, its fleet, the newest time of a line of airframes.

    `newest` is None when lines are added that others were written after.
    """

    record: RecordFacts
    fleet: Fleet | None
    newest: Instant | None


def before(connection: Connection, *, last: bool) -> Before:
    """The record before an append whose lines come last in it, or do not."""
    record, fleet = whole(connection)
    at: str = connection.execute(select(func.max(ddl.head.c.acted))).scalar() or ""
    return Before(record=record, fleet=fleet, newest=Instant(at) if last else None)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Rest:
    """What a fold needs beside its facts to be gone on with."""

    line_heads: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


def rebuild(connection: Connection) -> None:
    """Drop every kept fold and fold all of them anew."""
    connection.execute(delete(ddl.now))
    for tail, facts, rest in _fresh(connection):
        _store(connection, tail, facts, rest)


def rebuild_what_folds(connection: Connection) -> Iterator[str]:
    """The same, but for an airframe with a line that no fold can take: why, for each such one."""
    connection.execute(delete(ddl.now))
    try:
        record, fleet = whole(connection)
    except Damaged as error:
        yield error.what
        return
    _store(connection, "", record, _Rest())
    for tail, described in _grounds(record, fleet).items():
        try:
            anew = _anew(connection, described)
        except Damaged as error:
            yield f"{tail} has no status: {error.what}"
        else:
            _store(connection, tail, anew.facts, _Rest(line_heads=anew.line_heads))


def stale(connection: Connection) -> tuple[str, ...]:
    """The tails whose kept fold is not what a fold of all their lines is.

    What an earlier fold kept is no fault: it is folded anew before anybody reads it.
    """
    wanted = {tail: (_dumped(facts), _dumped(rest)) for tail, facts, rest in _fresh(connection)}
    query = select(ddl.now.c.tail, ddl.now.c.facts, ddl.now.c.rest)
    held = {tail: (facts, rest) for tail, facts, rest in connection.execute(query)}
    differ = [
        t
        for t in wanted.keys() | held.keys()
        if wanted.get(t) != held.get(t) and not (t and t in held and _is_outdated(t, held[t][0]))
    ]
    return tuple(sorted(t or "the whole record" for t in differ))


def _is_outdated(tail: str, facts: str) -> bool:
    try:
        return kept(AirframeFacts, facts, tail).outdated
    except Damaged:
        return False


def _fresh(connection: Connection) -> Iterator[tuple[str, RecordFacts | AirframeFacts, _Rest]]:
    """Every fold there should be, folded anew."""
    record, fleet = whole(connection)
    yield "", record, _Rest()
    for tail, described in _grounds(record, fleet).items():
        anew = _anew(connection, described)
        yield tail, anew.facts, _Rest(line_heads=anew.line_heads)


def _grounds(record: RecordFacts, fleet: Fleet | None) -> dict[str, Ground]:
    return {tail: ground(fleet, tail, record) for tail in fleet.airframes} if fleet else {}


def whole(connection: Connection) -> tuple[RecordFacts, Fleet | None]:
    """The record's facts and its fleet, folded from the entries of no airframe."""
    return fold_record(entry(values) for values in connection.execute(_WHOLE))


def _of_all(connection: Connection, tail: str) -> Folded | None:
    """The fold of all lines of an airframe; None if the fleet does not list it."""
    record, fleet = whole(connection)
    if fleet is None or tail not in fleet.airframes:
        return None
    return _anew(connection, ground(fleet, tail, record))


def _anew(connection: Connection, described: Ground) -> Folded:
    found = statements.run(connection, statements.BEARING, (described.tail,))
    return folded(described, (Entry(*values) for values in found))


def _row(connection: Connection, tail: str) -> tuple[str, str] | None:
    found: tuple[str, str] | None
    found = statements.run(connection, statements.KEPT, (tail,)).fetchone()
    return found


def _store(connection: Connection, tail: str, facts: object, rest: _Rest) -> None:
    statements.run(connection, statements.KEEP, (tail, _dumped(facts), _dumped(rest)))


def _dumped(facts: object) -> str:
    return _json(to_plain(facts))


def _json(tree: object) -> str:
    return json.dumps(tree, ensure_ascii=False, separators=(",", ":"))


class _Text:
    """The facts of one airframe as they are kept, field by field: few change at one append."""

    def __init__(self) -> None:
        self._parts = dict[str, tuple[object, str]]()

    def of(self, facts: AirframeFacts) -> str:
        """The same text that `_dumped` makes of them."""
        found = []
        for name, value in zip(AirframeFacts._fields, facts, strict=True):
            if name in _DEFAULTS and value == _DEFAULTS[name]:
                continue
            known = self._parts.get(name)
            if known is None or known[0] != value:
                text = _of_lines(facts.lines) if name == "lines" else _json(to_plain(value))
                known = self._parts[name] = (value, f'"{name}":{text}')
            found.append(known[1])
        return f"{{{','.join(found)}}}"


_DEFAULTS = AirframeFacts._field_defaults


def _of_lines(lines: Sequence[Line]) -> str:
    return f"[{','.join(_of_line(line) for line in lines)}]"


@lru_cache(maxsize=256)
def _of_line(line: Line) -> str:
    return _dumped(line)
