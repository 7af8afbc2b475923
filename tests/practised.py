"""Somebody who practises: says what is expected, answers what is made up, then types a list."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import pytest

from builders import IO
from hardstand.domain.asking import Ask
from hardstand.errors import Interrupted
from hardstand.flows.pen import Pen
from hardstand.flows.starting import practise
from scripted import Scripted

EXPECTED = "a soft rush"
MADE_UP = "Made up, not this aircraft."


class Trainee(Scripted):
    """Types the lines of a walk; `answer` gives O or F to what is made up, from its words."""

    def __init__(self, typed: Sequence[str], answer: Callable[[str], str] = lambda _: "F") -> None:
        super().__init__(typed)
        self._answer = answer
        self.made_up: list[Ask] = []

    def ask(self, question: Ask) -> str:
        """What is expected, what is answered to what is made up, or the next line."""
        if "What do you expect" in question.prompt:
            return self._kept(question, EXPECTED)
        if told := words(question):
            self.made_up.append(question)
            return self._kept(question, self._answer(told))
        return super().ask(question)

    def _kept(self, question: Ask, reply: str) -> str:
        self.asked.append((question, reply))
        return reply


def words(question: Ask) -> str:
    """What is made up in a question; empty in any other."""
    return next((x.text for x in question.blocks if x.text.startswith(MADE_UP)), "")


def practised(
    pen: Pen, typed: Sequence[str], answer: Callable[[str], str] = lambda _: "F"
) -> Trainee:
    """A practice that is left when the lines are used up."""
    trainee = Trainee(typed, answer)
    with pytest.raises(Interrupted):
        practise(pen, trainee, by=IO)
    return trainee
