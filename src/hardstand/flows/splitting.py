"""Several faults told in one line: parted by offer, never by force, with the words as told."""

from __future__ import annotations

from collections.abc import Callable

from hardstand.domain.asking import Ask, Block
from hardstand.ports import Prompter


def parts(words: str) -> tuple[str, ...]:
    """The parts of a line between semicolons; the line itself where there are none."""
    found = tuple(part for piece in words.split(";") if (part := piece.strip()))
    return found if len(found) > 1 else (words,)


def wanted(ask: Callable[[Ask], str], words: str) -> bool:
    """Whether a person wants an entry for each part of a line; not asked of a single part."""
    found = parts(words)
    if len(found) == 1:
        return False
    told = (Block(kind="line", text=part) for part in found)
    blocks = (Block(kind="do", text="More than one fault?"), *told)
    whole, each = "one entry, as told", f"{len(found)} entries, each with the words as told"
    return ask(Ask(blocks=blocks, choices=(whole, each), prompt="Which?")) == "2"


def wanted_of(someone: Prompter | None, words: str) -> bool | None:
    """The same, asked of whoever is there; None where nobody can be asked."""
    return None if someone is None else wanted(someone.ask, words)
