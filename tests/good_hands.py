"""Somebody who answers every question of a walk well, but for the steps named otherwise."""

from __future__ import annotations

import re
from collections.abc import Mapping

from builders import TAIL
from hardstand.domain.asking import Ask
from hardstand.domain.checklist import Checklist, Step

MOST = 1000
"""Questions that one walk may ask."""

_HEADING = re.compile(r"\d+\.\d\d")
_AWAY = re.compile(r"(.+): recorded (\S+) .* home is ([^.]+)\.")


class GoodHands:
    """Answers by looking at the question; `replies` keeps every line it would type.

    `odd` maps a step to the key pressed there instead of the good answer: F, S or U.
    """

    def __init__(self, checklist: Checklist, odd: Mapping[str, str], tail: str = TAIL) -> None:
        self._steps = {checklist.number(s.id): s for s in checklist.steps}
        self._odd = odd
        self._tail = tail
        self._asked = False
        self._left: set[str] = set()
        self.replies: list[str] = []

    def ask(self, question: Ask) -> str:
        """The reply, in the form the prompters give it."""
        reply = self._reply(question)
        self.replies.append(reply)
        assert len(self.replies) < MOST, f"the walk goes round in circles at {question}"
        return reply

    def show(self, text: str) -> None:
        """Nothing to say to words that ask nothing."""

    def _reply(self, question: Ask) -> str:
        if question.typed == "text":
            return self._words(question.prompt)
        step = self._step(question)
        if step is not None:
            self._asked = True
            return self._odd.get(step.id) or _well(step)
        if "see now" in question.prompt:
            return self._position(question)
        return "C" if "C" in question.keys else "1"

    def _position(self, question: Ask) -> str:
        """An item that is away: left so where a walk is gone on with, put home at its end."""
        found = _AWAY.search(question.blocks[-1].text)
        assert found is not None
        title, recorded, home = found.groups()
        stays = not self._asked and title not in self._left
        self._left.add(title)
        values = [choice.partition(":")[0] for choice in question.choices]
        return str(values.index(recorded if stays else home) + 1)

    def _words(self, prompt: str) -> str:
        if "tail" in prompt:
            return self._tail
        return "" if "Enter" in prompt else "words of somebody"

    def _step(self, question: Ask) -> Step | None:
        asks_step = "F" in question.keys and question.strip is not None
        heading = next((b.text for b in question.blocks if b.kind == "do"), "")
        found = _HEADING.match(heading)
        return self._steps[found[0]] if asks_step and found else None


def _well(step: Step) -> str:
    if step.kind == "state":
        return str(step.states.index(step.expect) + 1)
    return {"reading": "24.5", "count": "9"}.get(step.kind, "O")
