"""Somebody who presses anything: what a question offers, now and then nonsense, or sense."""

from __future__ import annotations

import io
import random
from collections.abc import Callable

from builders import TAIL
from good_hands import GoodHands
from hardstand.domain.asking import Ask
from hardstand.domain.checklist import Checklist
from hardstand.views.prompters import Piped
from laws import Exchange, Sitting

NONSENSE = (
    "", " ", "x", "oo", "o o", "0", "9", "99", "-1", "1e3", "9" * 5000, "NaN", "²", "١", "é",
    "雑音", "\x1b[A", "\x00", "\u202e", "[red]X[/red]", "{bay.panel}", "%s", "\t", "C C", "161",
    "'; DROP TABLE entry; --", "a" * 4001, "\udcff", "\udcff.5", "24.5 V", "QM-116",
)  # fmt: skip
WORDS = ("", "", "turns by hand", "1", "2", "161", "161", "BT at the wing tip", "[b]loud[/b]")
NUMBERS = ("9", "9", "9", "24.5", "24.5", "21", "300", "-1", "8")
MORE_OFTEN = {"O": 8, "C": 12, "B": 1, "Z": 2, "R": 1, "H": 1}
"""How many times as often as any other key."""


class Monkey:
    """A prompter that types by lot through the piped prompter, and tells what came of it.

    Args:
        dice: the lots.
        lines: how many lines are typed before the input ends.
        sense: how often, from 0 to 1, the good answer is given instead.
        checklist: the list that is walked.
        look: called before each question; gives the number of lines in the record.
    """

    def __init__(
        self,
        dice: random.Random,
        lines: int,
        *,
        sense: float,
        checklist: Checklist,
        look: Callable[[], int],
    ) -> None:
        self.sitting = Sitting(checklist)
        self.out = io.StringIO()
        self._dice, self._left, self._look, self._sense = dice, lines, look, sense
        self._hands = GoodHands(checklist, {})
        self._question: Ask | None = None
        self._piped = Piped(self, self.out)  # type: ignore[arg-type]  # all of a source that is used

    def ask(self, question: Ask) -> str:
        """Whatever is typed by lot until it is a reply.

        Raises:
            Interrupted: the input ended.
        """
        self._question = question
        before = self._look()
        reply = self._piped.ask(question)
        self.sitting.exchanges.append(Exchange(question, reply, before))
        return reply

    def show(self, text: str) -> None:
        """Print words that ask nothing."""
        self._piped.show(text)

    def ahead(self, likely: Callable[[], Ask | None]) -> None:
        """Take what makes the question after the next one."""
        self._piped.ahead(likely)

    def isatty(self) -> bool:
        """No terminal: lines come whole however long they are."""
        return False

    def readline(self) -> str:
        """One line, or nothing when the input has ended."""
        self._left -= 1
        return f"{self._typed()}\n" if self._left >= 0 else ""

    def _typed(self) -> str:
        question, dice = self._question, self._dice
        assert question is not None
        if dice.random() < self._sense:
            return self._hands.ask(question)
        if dice.random() < 0.1:
            return dice.choice(NONSENSE)
        if question.typed == "text":
            return TAIL if "tail" in question.prompt else dice.choice(WORDS)
        if question.typed == "number" and dice.random() < 0.7:
            return dice.choice(NUMBERS)
        keys = [key for key in question.keys for _ in range(MORE_OFTEN.get(key, 1))]
        digits = [str(n + 1) for n in range(len(question.choices)) for _ in range(3)]
        key = dice.choice([*keys, *digits])
        return key.lower() if dice.random() < 0.5 else key
