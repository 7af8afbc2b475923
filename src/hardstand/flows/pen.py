"""Who writes where: what every act of a command is written with."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import cast

from hardstand.domain.clocks import NEXT, corrected_at
from hardstand.domain.quantity import Instant
from hardstand.ports import Clock, Journal, Key, Signer, SteadyClock


@dataclass(frozen=True, slots=True, kw_only=True)
class Pen:
    """Who writes where: record, clock, the person who answers for it, their keys.

    `key` is unlocked for one act. `trusted` is False when the clock cannot be trusted.
    """

    journal: Journal
    clock: Clock
    author: str
    signer: Signer | None = None
    key: Key | None = None
    trusted: bool = True

    @property
    def device(self) -> str:
        """The device whose chain is written."""
        return self.journal.device

    @property
    def watched(self) -> SteadyClock | None:
        """The clock if it watches itself; asked at every append, so by its type once."""
        return cast(SteadyClock, self.clock) if _is_watched(type(self.clock)) else None

    @property
    def dates(self) -> bool:
        """Whether its clock may date a judgement: trusted at first, and left alone since."""
        watched = self.watched
        return self.trusted and not (watched is not None and watched.has_slipped())

    def now(self) -> Instant:
        """The present instant by all that is known of this device's clock, to judge by."""
        return corrected_at(self.journal.record().clocks or {}, self.device, NEXT, self.clock.now())


@cache
def _is_watched(kind: type[object]) -> bool:
    return issubclass(kind, SteadyClock)
