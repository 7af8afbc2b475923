"""The hot reads, on the standard library alone: what `status`, `open`, `why` and `walks` need.

The statements are those that SQLAlchemy Core compiles in ddl's words, kept as text so that the
reads do not pay for importing it; tests/store/test_reads.py holds the two equal.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from hardstand.domain.clocks import Clocks, corrected_at, newest_of
from hardstand.domain.facts import AirframeFacts, RecordFacts
from hardstand.domain.quantity import Instant
from hardstand.domain.walk_lines import WalkLine
from hardstand.errors import NotThere
from hardstand.store.rows import kept
from hardstand.store.sqlite import connect_reader, explained

FACTS_OF_ALL = "SELECT now.tail, now.facts \nFROM now ORDER BY now.tail"
FACTS_OF_ONE = "SELECT now.facts \nFROM now \nWHERE now.tail = ?"
DEVICES = "SELECT head.device, head.seq, head.at \nFROM head"
CLOCKS = (
    "SELECT CASE WHEN (instr(now.facts, ?) > ?) THEN json_extract(now.facts, ?) END AS clocks "
    "\nFROM now \nWHERE now.tail = ?"
)
LINES_OF_WALK = (
    "SELECT entry.kind, entry.body, entry.at, entry.author \nFROM entry \n"
    "WHERE entry.walk = ? ORDER BY entry.id"
)
LISTS = (
    "SELECT entry.body \nFROM entry \n"
    "WHERE entry.airframe IS NULL AND entry.kind = ? ORDER BY entry.tick DESC"
)
CLOCKS_OF = ('"clocks":{', 0, "$.clocks", "")
"""What CLOCKS is asked with: the observations kept of the whole record, if there are any."""
LAST_LINE = "SELECT entry.at \nFROM entry \nWHERE entry.device = ? AND entry.seq = ?"
LAST_OF_WALK = (
    "SELECT entry.device, entry.seq, entry.at \nFROM entry \nWHERE entry.walk = ? "
    "ORDER BY entry.id DESC\n LIMIT ? OFFSET ?"
)
DEVICE = "SELECT meta.value \nFROM meta \nWHERE meta.name = ?"


class Reads:
    """A record opened for reading only; see ports.Reading."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._connection = connect_reader(path, own_log=True)

    @contextmanager
    def _told(self) -> Iterator[None]:
        try:
            yield
        except sqlite3.DatabaseError as error:
            raise explained(error, self.path) from error

    def record(self) -> RecordFacts:
        """The facts of the whole record."""
        found = self._facts_text("")
        return kept(RecordFacts, found, "") if found else RecordFacts()

    def facts(self, tail: str) -> AirframeFacts:
        """The facts of one airframe.

        Raises:
            NotThere: no such airframe in the fleet.
        """
        found = self._facts_text(tail) if tail else None
        if found is None:
            raise NotThere(
                f"There is no airframe {tail or '(no tail)'} in this record.",
                hint="`hardstand fleet show` lists the tails.",
            )
        return self._told_now([(tail, found)])[0]

    def _told_now(self, found: Iterable[tuple[str, str]]) -> tuple[AirframeFacts, ...]:
        """What is kept of airframes, by tail; where another fold kept it, what this one says."""
        told = tuple(kept(AirframeFacts, text, tail) for tail, text in found)
        if not any(facts.outdated for facts in told):
            return told
        from hardstand.store.journal import SqlJournal  # noqa: PLC0415  heavy, and hardly ever

        journal = SqlJournal(self.path, read_only=True)
        try:
            return tuple(journal.facts(f.tail) if f.outdated else f for f in told)
        finally:
            journal.close()

    def _facts_text(self, tail: str) -> str | None:
        with self._told():
            found = self._connection.execute(FACTS_OF_ONE, (tail,)).fetchone()
        return found[0] if found else None

    def all_facts(self) -> tuple[AirframeFacts, ...]:
        """The facts of every airframe, by tail."""
        with self._told():
            found = self._connection.execute(FACTS_OF_ALL).fetchall()
        return self._told_now((tail, text) for tail, text in found if tail)

    def newest(self) -> Instant | None:
        """The newest time any line was made at; a clock before it is not trusted."""
        return max(self.devices().values(), default=None)

    def devices(self) -> dict[str, Instant]:
        """The newest time each device has written at, by all that is known of its clock."""
        with self._told():
            found = self._connection.execute(DEVICES).fetchall()
        clocks = self._clocks()
        return {
            device: newest_of(clocks, device, at, (seq, self._last_line(device, seq)))
            if device in clocks
            else at
            for device, seq, at in found
        }

    def _last_line(self, device: str, seq: int) -> Instant:
        with self._told():
            found: tuple[Instant] = self._connection.execute(LAST_LINE, (device, seq)).fetchone()
        return found[0]

    def _clocks(self) -> Clocks:
        """What is known of clocks: read apart, so that nobody else pays for the record's facts."""
        with self._told():
            found = self._connection.execute(CLOCKS, CLOCKS_OF).fetchone()
        if not found or not found[0]:
            return {}
        told = "".join(('{"clocks":', found[0], "}"))
        return kept(RecordFacts, told, "").clocks or {}

    def last_of_walk(self, walk: str) -> Instant | None:
        """The time of a walk's last line, by all that is known of its device's clock."""
        with self._told():
            found = self._connection.execute(LAST_OF_WALK, (walk, 1, 0)).fetchone()
        return corrected_at(self._clocks(), *found) if found else None

    def device(self) -> str:
        """The device this copy of the record was made for."""
        with self._told():
            found = self._connection.execute(DEVICE, ("device",)).fetchone()
        return found[0] if found else "A"

    def lines_of_walk(self, walk: str) -> tuple[WalkLine, ...]:
        """The lines of a walk, oldest first."""
        with self._told():
            found = self._connection.execute(LINES_OF_WALK, (walk,)).fetchall()
        return tuple(
            WalkLine(kind, json.loads(body), Instant(at), author)
            for kind, body, at, author in found
        )

    def steps_of_list(self, digest: str) -> tuple[Mapping[str, Any], ...]:
        """The steps of an adopted list, as they stand in its adoption; none if it is not here."""
        with self._told():
            for (body,) in self._connection.execute(LISTS, ("checklist.adopted",)):
                value = json.loads(body)
                if value["digest"] == digest:
                    return tuple(value["value"]["steps"])
        return ()

    def close(self) -> None:
        """Give the file back."""
        self._connection.close()
