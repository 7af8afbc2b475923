"""How a screen is coloured: by day, by night, or not at all.

Colours decorate, words carry. Numbers are of the 256-colour palette; each pair stands at least
4.5:1 apart, step text and warnings 7:1 (WCAG 2.1, 1.4.3 and 1.4.6), held by a test. No theme
blinks, dims or slants anything.
"""

from __future__ import annotations

from dataclasses import dataclass

OFF = "\x1b[0m"


@dataclass(frozen=True, slots=True, kw_only=True)
class Theme:
    """SGR sequences by purpose; `ground` is set for the whole screen and after each piece."""

    name: str
    ground: str = ""
    step: str = ""
    detail: str = ""
    hazard: str = ""
    fault: str = ""
    good: str = ""

    def paint(self, style: str, text: str) -> str:
        """The text in a style, back on the ground after it."""
        return f"{style}{text}{OFF}{self.ground}" if style else text


def _colours(text: int, ground: int, *, bold: bool = False) -> str:
    return f"\x1b[{'1;' if bold else ''}38;5;{text};48;5;{ground}m"


BARE = Theme(name="bare", step="\x1b[1m", hazard="\x1b[1;7m")
"""Bold and reverse only: right on any background, the choice where none is made."""

NIGHT = Theme(
    name="night", ground=_colours(255, 16), step=_colours(255, 16, bold=True),
    detail=_colours(250, 16), hazard=_colours(16, 227, bold=True), fault=_colours(16, 208),
    good=_colours(117, 16),
)  # fmt: skip

DAY = Theme(
    name="day", ground=_colours(16, 231), step=_colours(16, 231, bold=True),
    detail=_colours(238, 231), hazard=_colours(16, 227, bold=True), fault=_colours(231, 124),
    good=_colours(25, 231),
)  # fmt: skip

THEMES = {theme.name: theme for theme in (BARE, NIGHT, DAY)}
