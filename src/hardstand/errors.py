"""Everything that can stop a command: one tree, each class with its exit status and code.

A refusal or a damaged record is told in three lines: what happened, what is safe, what to do.
Knows nothing of the rest of the program.
"""

from __future__ import annotations


class HardstandError(Exception):
    """A stop the program can explain.

    Attributes:
        exit_status: the published exit status, see docs/reference/exit-statuses.md.
        code: a short stable word for machines.
        safe: what is known to be intact, or empty.
        hint: what to do next, or empty.
    """

    exit_status = 70
    code = "bug"

    def __init__(self, what: str, *, safe: str = "", hint: str = "") -> None:
        super().__init__(what)
        self.what = what
        self.safe = safe
        self.hint = hint

    def lines(self) -> tuple[str, ...]:
        """The sentences to print, in order: what happened, what is safe, what to do."""
        return tuple(part for part in (self.what, self.safe, self.hint) if part)


class Usage(HardstandError):
    """The command was called in a way it does not accept."""

    exit_status = 2
    code = "usage"


class NotThere(HardstandError):
    """Something named does not exist: an airframe, an entry, a walk, a list."""

    exit_status = 1
    code = "not_there"


class BadFile(HardstandError):
    """A file an operator wrote cannot be used; its findings say why."""

    exit_status = 1
    code = "bad_file"


class Refusal(HardstandError):
    """The act is refused by authority or by rule.

    Attributes:
        rule: the rule that refuses, in words.
        who_could: who could do it instead, in words, or empty.
    """

    exit_status = 10
    code = "refused"

    def __init__(
        self, what: str, *, rule: str = "", who_could: str = "", safe: str = "", hint: str = ""
    ) -> None:
        super().__init__(what, safe=safe, hint=hint)
        self.rule = rule
        self.who_could = who_could

    def lines(self) -> tuple[str, ...]:
        """What happened, the rule, who could, then what is safe and what to do."""
        rule = f"Rule: {self.rule}" if self.rule else ""
        could = f"Who could: {self.who_could}" if self.who_could else ""
        return tuple(p for p in (self.what, rule, could, self.safe, self.hint) if p)


class WrongPassphrase(Refusal):
    """The passphrase does not open the key of the person named.

    Attributes:
        again: whether the person is still there and can be asked again.
    """

    code = "wrong_passphrase"
    again = False


class NoRecord(HardstandError):
    """There is no record at the place named, or the file is not a record."""

    exit_status = 11
    code = "no_record"


class Damaged(HardstandError):
    """The record does not hold together."""

    exit_status = 12
    code = "damaged"


class Busy(HardstandError):
    """Another program holds the record for longer than the waiting time."""

    exit_status = 13
    code = "busy"


class NewerFormat(HardstandError):
    """The record was made by a newer hardstand."""

    exit_status = 14
    code = "newer_format"


class Interrupted(HardstandError):
    """The person stopped the command; what was recorded stays."""

    exit_status = 130
    code = "interrupted"

    def __init__(
        self,
        what: str,
        *,
        safe: str = "What was acknowledged is in the record.",
        hint: str = "Give the command again; a walk goes on with `hardstand walk`.",
    ) -> None:
        super().__init__(what, safe=safe, hint=hint)
