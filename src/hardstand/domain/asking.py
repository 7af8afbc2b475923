"""What is put to a person at one moment, as a value; views draw it, flows read the reply.

Keys mean one thing in the whole program. Enter, space, silence and the end of input are no reply.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

BlockKind = Literal["warning", "caution", "note", "do", "detail", "card", "say", "line"]
Typed = Literal["", "text", "number"]

KEY_WORDS = {
    "O": "OK", "F": "FAULT", "S": "SKIPPED", "N": "NOT FITTED", "U": "UNSURE",
    "B": "break", "H": "help", "R": "rescue card", "Z": "undo", "C": "confirm",
    "D": "defect elsewhere", "A": "put-back line", "E": "an ear on it",
    "M": "more or fewer words", "W": "write to the author", "V": "view other steps",
    "T": "day, night or bare screen",
}  # fmt: skip
"""The one meaning of each key. O's neighbours I P K L 9 0 stay without one for ever."""

ESCAPE = "\x1b"
"""Stands before a key that was pressed, after Esc, in place of the text asked for."""

CAME_BACK = "\x1a"
"""Stands for a key when the program was stopped and somebody came back to it."""

ASIDE_FROM_TEXT = "RB"
"""Keys that Esc opens while a text or number is being typed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """A piece of text with its purpose; a warning names who or what is at risk.

    A detail that `stays` is read whatever the room, if on a screen before the one it belongs to.
    """

    kind: BlockKind
    text: str
    stays: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """The place strip: which aircraft, where in the walk, what was last, what is next.

    `held` are steps left open with an ear on them.
    """

    tail: str
    walk: str
    zone: str
    at: str
    last: str
    next: str
    open_lines: int
    gaps: int
    draft: bool = False
    late: bool = False
    practice: bool = False
    held: tuple[str, ...] = ()
    battery: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """One question: blocks in reading order, then what may be pressed or typed.

    `choices` are picked by the digits 1 to 8. `keys` are letters with their meaning here.
    `typed` says whether a line of text or a number may be given instead. Of a `whole` question
    nothing may be left out for want of room.
    """

    blocks: tuple[Block, ...]
    strip: Strip | None = None
    choices: tuple[str, ...] = ()
    keys: str = ""
    typed: Typed = ""
    prompt: str = ""
    whole: bool = False
    words: tuple[tuple[str, str], ...] = ()

    def __hash__(self) -> int:
        """Of what tells most questions apart: all of it is compared only where that is equal."""
        last = self.blocks[-1].text if self.blocks else ""
        return hash((self.prompt, self.keys, len(self.blocks), last))

    def meaning(self, key: str) -> str:
        """What a key does here."""
        return dict(self.words).get(key, KEY_WORDS.get(key, ""))
