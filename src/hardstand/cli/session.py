"""The composition root: one command's record, clock, pen and way of asking."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from pathlib import Path

    import typer

    from hardstand.domain.bodies import By
    from hardstand.domain.quantity import Instant
    from hardstand.flows.pen import Pen
    from hardstand.flows.queries import Reading
    from hardstand.ports import Clock, Journal, Prompter


class Session(NamedTuple):
    """What one command works with."""

    record: str | None
    plain: bool
    passphrase_fd: int | None = None

    @property
    def path(self) -> Path:
        """Where the record is."""
        from hardstand.system.places import record_path

        return record_path(self.record)

    def reading(self, at: Instant | None = None) -> Reading:
        """The record to read from: as it is now, or as it was true at `at`."""
        if at is None:
            from hardstand.store.reads import Reads

            return Reads(self.path)
        from hardstand.flows.past import Past

        return Past(self.journal(read_only=True), at)

    def journal(self, *, read_only: bool = False) -> Journal:
        """The record through its one write path, or read-only through the same."""
        from hardstand.store.journal import SqlJournal

        return SqlJournal(self.path, read_only=read_only)

    def clock(self, reading: Reading) -> Clock:
        """The clock to ask by: the machine's, read by what the record knows of its error."""
        clock, clocks = self._stamps(reading), reading.record().clocks
        if not clocks:
            return clock
        from hardstand.domain.clocks import NEXT, offset
        from hardstand.system.clock import CorrectedClock, MachineClock

        wrong = offset(clocks, reading.device(), NEXT, clock.now())
        return CorrectedClock(clock, wrong) if wrong and isinstance(clock, MachineClock) else clock

    def _stamps(self, reading: Reading) -> Clock:
        """The clock to stamp lines by: a demo record's own starts at its last entry."""
        from hardstand.system.clock import MachineClock, demo_clock

        newest = reading.newest()
        return demo_clock(newest) if reading.record().demo and newest else MachineClock()

    def pen(self, by: By) -> Pen:
        """Who writes where, and with which keys they sign."""
        from hardstand.domain.clocks import is_trusted
        from hardstand.flows.pen import Pen
        from hardstand.system.keyring import Keyring
        from hardstand.system.passphrases import Passphrases

        reading = self.reading()
        clock, record, newest = self.clock(reading), reading.record(), reading.newest()
        return Pen(
            journal=self.journal(),
            clock=self._stamps(reading),
            author=by.doer,
            signer=Keyring(demo=record.demo, passphrases=Passphrases(self.passphrase_fd)),
            trusted=is_trusted(clock.now(), newest, record.settings.clock_grace_s),
        )

    def prompter(self) -> Prompter:
        """The way to ask the person here."""
        from hardstand.views.prompters import prompter

        return prompter(plain=self.plain)

    def someone(self) -> Prompter | None:
        """Somebody who can be asked now: only at a terminal, never a pipe meant for another."""
        import sys

        return self.prompter() if sys.stdin.isatty() else None

    def who(self, given: str | None, others: str = "") -> By:
        """Whose hands: initials from the option, HARDSTAND_PERSON, or asked for."""
        from hardstand.flows.people import by
        from hardstand.system.places import person

        return by(self.prompter, person(given), others)


def session(context: typer.Context) -> Session:
    """The session of a command, from the options before the verb."""
    given = context.find_root().obj
    return Session(
        record=given["record"], plain=given["plain"], passphrase_fd=given["passphrase_fd"]
    )


def instant(text: str | None) -> Instant | None:
    """The instant a person typed after --at.

    Raises:
        Usage: it is no time with an offset.
    """
    from hardstand.domain.quantity import parse_instant
    from hardstand.errors import Usage

    if text is None:
        return None
    found = parse_instant(text)
    if found is None:
        raise Usage(
            f"--at {text!r} is no time with an offset.",
            hint="Write it like 2027-03-08T06:00-03:00, or with Z for UTC.",
        )
    return found
