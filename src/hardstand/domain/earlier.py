"""What a whole fold of an airframe remembers of earlier: for what is written down late. Pure."""

from __future__ import annotations

from dataclasses import dataclass, field

from hardstand.domain.facts import Act, Finished, Line
from hardstand.domain.powers import NEVER
from hardstand.domain.quantity import Instant


@dataclass(slots=True)
class Before:
    """What a whole fold remembers of earlier, so that what is entered late is judged as it was.

    `fresh` are finished preflights that no panel opened outside a walk has ended, `opened` those
    panels. `touched` is when each function was touched last.
    """

    finished: list[Finished] = field(default_factory=list)
    fresh: list[Finished] = field(default_factory=list)
    lines: list[tuple[Line, Instant]] = field(default_factory=list)
    opened: list[Act] = field(default_factory=list)
    touched: dict[str, Instant] = field(default_factory=dict)

    def close(self, done: Finished, *, late: bool) -> Finished:
        """Take a finished preflight; one written down late was ended by what was opened since."""
        ended = next((act for act in self.opened if act.at >= done.at), None) if late else None
        kept = self.fresh if ended is None else self.finished
        kept.append(done._replace(ended=ended))
        return kept[-1]

    def open(self, act: Act) -> None:
        """A panel was opened outside a walk: every preflight before it is ended."""
        self.opened.append(act)
        self.finished += [done._replace(ended=act) for done in self.fresh]
        self.fresh.clear()

    def preflight(self, by: Instant = NEVER) -> Finished | None:
        """The preflight made last until then."""
        made = [done for done in (*self.finished, *self.fresh) if done.at <= by]
        return max(made, key=lambda done: done.at, default=None)
