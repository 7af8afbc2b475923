"""What still verifies of a damaged record, written into a new one.

The damaged files are only ever read. A line is taken when its own digest holds, whether or not the
lines before it are there. Nothing is guessed: what is not there is listed as missing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from itertools import groupby, islice
from pathlib import Path

from sqlalchemy import (
    Column,
    Connection,
    MetaData,
    PrimaryKeyConstraint,
    Table,
    func,
    insert,
    select,
    tuple_,
)
from sqlalchemy.dialects import sqlite

from hardstand.domain.chain import Head, holds
from hardstand.domain.entry import Entry
from hardstand.errors import Damaged, HardstandError, NoRecord, Refusal
from hardstand.flows.letters import refuse_used_letter
from hardstand.store import ddl, statements
from hardstand.store.journal import SqlJournal, create
from hardstand.store.kept import LINES, ORDER, rebuild_what_folds
from hardstand.store.pages import Pages, Value
from hardstand.store.rows import COLUMNS, entry
from hardstand.store.sqlite import discard

_BATCH = 10_000
_FOUND = Table(
    "found",
    MetaData(),
    *(Column(c.name, c.type) for c in LINES),
    PrimaryKeyConstraint("device", "seq", "digest"),
    prefixes=["TEMP"],
)
"""Lines that verify, in the order in which pages come; one line may stand on several pages."""

_KEEP = str(
    insert(_FOUND).prefix_with("OR IGNORE").compile(dialect=sqlite.dialect(), column_keys=COLUMNS)
)
Place = tuple[str, int]


def save(record: Path, to: Path, device: str) -> tuple[dict[str, Head], tuple[str, ...]]:
    """Write every line of a damaged record that verifies into a new record.

    Args:
        record: the damaged record; it and its log are read as files.
        to: the new record, where nothing stands yet.
        device: who writes there.

    Returns:
        The heads of the new record; and what is missing from it, in words.

    Raises:
        NoRecord: no line of a record was found, or nothing can be read there.
        Refusal: the letter has written there already, or the new record cannot be written.
    """
    pages = Pages(record, record.with_name(record.name + "-wal"))
    try:
        create(to, device)
        return _written(pages, record, to, device)
    except Damaged as error:
        raise Refusal(
            f"Nothing was saved into {to}: {error.what.removeprefix('NOT SAVED: ')}",
            safe="The damaged record was only read.",
            hint="Name a place on a sound disk that has room for it.",
        ) from error
    finally:
        pages.close()


def _written(
    pages: Pages, record: Path, to: Path, device: str
) -> tuple[dict[str, Head], tuple[str, ...]]:
    """Fill the new record; it is gone again where that fails."""
    journal = SqlJournal(to)
    try:
        with journal.write(), journal.reading() as connection:
            spoilt, ends = _collect(connection, pages.rows())
            claimed = _take(connection)
            _set_heads(connection)
            used = _ends(connection, (*spoilt, *claimed, *ends.items()))
            _refuse_nothing(record, used)
            refuse_used_letter(device, used, safe=UNTOUCHED)
            missing = (
                *_missing(connection, spoilt, claimed, used),
                *rebuild_what_folds(connection),
            )
        heads = journal.heads()
    except HardstandError:
        journal.close()
        discard(to)
        raise
    journal.close()
    return heads, missing


UNTOUCHED = "It was only read, and no new file was made."


def _refuse_nothing(record: Path, used: Mapping[str, int]) -> None:
    if not used:
        raise NoRecord(
            f"{record} holds no line of a record.",
            safe=UNTOUCHED,
            hint="Go on with a verified backup.",
        )


def _collect(
    connection: Connection, rows: Iterable[tuple[Value, ...]]
) -> tuple[set[Place], dict[str, int]]:
    """Put aside what verifies; the places of lines that do not, and how far chains once went."""
    _FOUND.create(connection)
    spoilt, ends = set[Place](), dict[str, int]()

    def whole() -> Iterator[Entry]:
        for row in rows:
            match row:
                case (_, str(device), int(seq), int(), str(), *_) if len(row) == len(COLUMNS) + 1:
                    line = entry(row[1:])
                    if holds(line):
                        yield line
                    else:
                        spoilt.add((device, seq))
                case (str(device), int(seq), bytes(), int(), str(), str(), int()):
                    ends[device] = max(seq, ends.get(device, 0))

    lines = whole()
    while batch := [tuple(line) for line in islice(lines, _BATCH)]:
        connection.exec_driver_sql(_KEEP, batch)
    return spoilt, ends


def _take(connection: Connection) -> set[Place]:
    """Write the lines, cause before effect; the places that two of them claim stay empty."""
    place = (_FOUND.c.device, _FOUND.c.seq)
    twice = select(*place).group_by(*place).having(func.count() > 1)
    sure = (
        select(*(_FOUND.c[name] for name in COLUMNS))
        .where(tuple_(*place).not_in(twice))
        .order_by(*(_FOUND.c[column.name] for column in ORDER))
    )
    claimed = {(device, seq) for device, seq in connection.execute(twice)}
    connection.execute(insert(ddl.entry).from_select(COLUMNS, sure))
    return claimed


def _set_heads(connection: Connection) -> None:
    line = ddl.entry.c
    walks = func.sum((line.kind == "walk.started").cast(ddl.entry.c.seq.type))
    acted = func.coalesce(func.max(line.at).filter(line.airframe.is_not(None)), "")
    ends = (line.device, func.max(line.seq), func.max(line.at), acted, walks)
    for device, seq, at, newest, started in connection.execute(
        select(*ends).group_by(line.device)
    ).all():
        last = select(line.digest, line.tick).where(line.device == device, line.seq == seq)
        digest, tick = connection.execute(last).one()
        connection.exec_driver_sql(
            statements.ADVANCE, (device, seq, digest, tick, at, newest, started)
        )


def _missing(
    connection: Connection, spoilt: set[Place], claimed: set[Place], ends: Mapping[str, int]
) -> Iterator[str]:
    """What is not there, device by device, as spans of lines with the reason."""

    def why(place: Place) -> str:
        if place in claimed:
            return "two lines claim this place"
        return "changed after it was written" if place in spoilt else "cannot be read"

    for device, end in sorted(ends.items()):
        query = select(ddl.entry.c.seq).where(ddl.entry.c.device == device)
        have = set(connection.execute(query).scalars())
        gaps = [(seq, why((device, seq))) for seq in range(1, end + 1) if seq not in have]
        for (_, reason), span in groupby(enumerate(gaps), lambda g: (g[1][0] - g[0], g[1][1])):
            seqs = [seq for _, (seq, _) in span]
            first, last = f"{device}-{seqs[0]}", f"{device}-{seqs[-1]}"
            yield f"{first if first == last else f'{first} to {last}'}: {reason}"


def _ends(connection: Connection, others: Iterable[Place]) -> dict[str, int]:
    heads = connection.execute(select(ddl.head.c.device, ddl.head.c.seq))
    ends: dict[str, int] = {head.device: head.seq for head in heads}
    for device, seq in others:
        ends[device] = max(seq, ends.get(device, 0))
    return ends
