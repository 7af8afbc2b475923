"""Who is at work: initials, until people are enrolled."""

from __future__ import annotations

from collections.abc import Callable

from hardstand.domain.bodies import By
from hardstand.domain.ids import is_initials
from hardstand.errors import Usage
from hardstand.flows.questions import words_ask
from hardstand.ports import Prompter


def by(prompter: Callable[[], Prompter], given: str, others: str = "") -> By:
    """Whose hands do it: the initials given, or asked for; `others` is `BT` or `BT,NH`.

    Raises:
        Usage: something given is no initials.
    """
    doer = given or prompter().ask(words_ask("Your initials:")).strip()
    with_ = tuple(part.strip() for part in others.split(",") if part.strip())
    for initials in (doer, *with_):
        if not is_initials(initials):
            raise Usage(f"{initials!r} is no initials.", hint="Two to four letters, such as IO.")
    return By(doer=doer.upper(), with_=tuple(w.upper() for w in with_))
