"""What was pressed when: a glove's bounce and the rest of a word are told from an answer."""

from __future__ import annotations

import time
from collections.abc import Callable

from hardstand.domain.asking import CAME_BACK
from hardstand.views.keys import RESIZED, SEVERAL

BOUNCE_S = 0.3
"""The same key again so soon is a glove's bounce or a key held down; ours, a setting."""
PAUSE_S = 0.4
"""What follows so soon on a key that means nothing is more of the same word; ours."""
RESCUE = "R"
"""Shows the rescue card in the middle of a word, too: it answers nothing, and somebody may lie."""


class Presses:
    """The keys of one person at one terminal; `bounce_s` of 0 takes each as it comes.

    A named key after a named key acts at once. After one that means nothing no other is taken
    until a pause, for a word typed by hand may hold an O.
    """

    def __init__(
        self, *, bounce_s: float = BOUNCE_S, now: Callable[[], float] = time.monotonic
    ) -> None:
        self._bounce_s = bounce_s
        self._now = now
        self._last = ("", now())
        self._in_word = False

    def taken(self, key: str) -> str | None:
        """The key as it is to be understood: None for a bounce, SEVERAL for the rest of a word."""
        if key == RESIZED:  # nobody pressed anything
            return key
        (before, at), now = self._last, self._now()
        self._last = (key, now)
        if key and key == before and now - at < self._bounce_s:
            return None
        self._in_word = self._in_word and now - at < PAUSE_S and self._bounce_s > 0
        return SEVERAL if self._in_word and key.upper() not in {RESCUE, CAME_BACK} else key

    def meant_nothing(self) -> None:
        """The last key was none of those named: what follows quickly is not taken either."""
        self._in_word = True
