"""Who may sign, with which key, and what is known of clocks and chains, as bodies."""

from __future__ import annotations

from dataclasses import dataclass

from hardstand.domain.hands import By


@dataclass(frozen=True, slots=True, kw_only=True)
class HeadSeen:
    """The end of a device's chain as it stood: its seq and digest, hex."""

    device: str
    seq: int
    digest: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PublicKey:
    """An Ed25519 public key, 32 bytes in hex; `demo` marks one whose secret everybody knows."""

    public: str
    demo: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Granted:
    """A role held from `since` until `until` (empty: no end), on the fits named or on all.

    An empty `since` means from the line that grants it on, whatever its clock said. `categories`
    are those a shift lead may defer in; none named means B, C and D.
    """

    role: str
    fits: tuple[str, ...] = ()
    categories: tuple[str, ...] = ()
    since: str = ""
    until: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonEnrolled:
    """A person enters the register with initials, a key and first roles.

    In the first enrolment of a record `heads` names the end of every chain: lines up to there
    were made before anybody could sign.
    """

    initials: str
    name: str
    key: PublicKey
    granted: tuple[Granted, ...]
    heads: tuple[HeadSeen, ...] = ()
    by: By


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonRole:
    """A person holds a role from a time on, or no longer; it replaces what was said of it."""

    initials: str
    granted: Granted
    reason: str
    by: By


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonEnded:
    """All authority of a person ends at `at`; what they signed before stays good."""

    initials: str
    at: str
    reason: str
    by: By


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonKeyed:
    """A new key for a person: the passphrase was forgotten, or the old key may be in other hands.

    With `lost` only lines up to `heads` still count for the old key.
    """

    initials: str
    key: PublicKey
    reason: str
    lost: bool = False
    heads: tuple[HeadSeen, ...]
    by: By


@dataclass(frozen=True, slots=True, kw_only=True)
class Witnessed:
    """A person with line authority stood by when the line of that digest was made."""

    of: str
    by: By


@dataclass(frozen=True, slots=True, kw_only=True)
class NotMine:
    """A person says a line in their name is not theirs; it stays, and stands in doubt."""

    of: str
    digest: str
    words: str
    by: By


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockObserved:
    """A device's clock was held against a better one at its line `seq`, stamped `stamped`.

    `offset_s` is device minus true, seconds. Errors in between two observations lie on a line,
    unless the clock jumped after line `jumped_after`. `put_right`: later lines are true.
    """

    device: str
    seq: int
    stamped: str
    offset_s: int
    jumped_after: int = -1
    put_right: bool = False
    words: str
    by: By


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockJumped:
    """This device's clock moved against its steady one, by so many seconds, while it was used.

    The line itself and those after it are stamped by the clock as it stood then.
    """

    seconds: int
    by: By


@dataclass(frozen=True, slots=True, kw_only=True)
class DaybookMarked:
    """Ten sayable characters over the ends of all chains, to be written down on paper."""

    mark: str
    heads: tuple[HeadSeen, ...]
    by: By
