"""Somebody who can be asked and answers from a list, as through a pipe."""

from __future__ import annotations

import contextlib
import io
from collections.abc import Callable, Sequence

from builders import IO
from hardstand.domain.asking import Ask
from hardstand.errors import Interrupted
from hardstand.flows.pen import Pen
from hardstand.flows.starting import walk
from hardstand.views.prompters import Piped


class Scripted:
    """The piped prompter over typed lines; keeps what it printed and what it was asked."""

    def __init__(self, typed: Sequence[str]) -> None:
        self.out = io.StringIO()
        self.asked: list[tuple[Ask, str]] = []
        self._piped = Piped(io.StringIO("".join(f"{line}\n" for line in typed)), self.out)

    def ask(self, question: Ask) -> str:
        """The next typed line that can be a reply.

        Raises:
            Interrupted: the lines are used up.
        """
        reply = self._piped.ask(question)
        self.asked.append((question, reply))
        return reply

    def show(self, text: str) -> None:
        """Print words that ask nothing."""
        self._piped.show(text)

    def ahead(self, likely: Callable[[], Ask | None]) -> None:
        """Take what makes the question after the next one."""
        self._piped.ahead(likely)

    def at_once(self) -> None:
        """Print what was made so, before it is put."""
        self._piped.at_once()

    @property
    def said(self) -> str:
        """Everything printed so far."""
        return self.out.getvalue()

    @staticmethod
    def until_left(pen: Pen, typed: Sequence[str], *, planned: str = "") -> Scripted:
        """Walk until the lines are used up, or the walk is closed or left."""
        prompter = Scripted(typed)
        with contextlib.suppress(Interrupted):
            walk(pen, prompter, planned=planned, by=IO)
        return prompter
