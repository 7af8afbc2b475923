"""Where text goes: data to standard output, words to standard error; and how wide, how coloured."""

from __future__ import annotations

import os
import sys


def emit(text: str) -> None:
    """Write a piece of data and a line end to standard output."""
    sys.stdout.write(text + "\n")


def tell(text: str) -> None:
    """Write words for a person to standard error."""
    sys.stderr.write(prose(text) + "\n")
    sys.stderr.flush()


def prose(text: str) -> str:
    """The text with each line wrapped at words where a terminal would break it anywhere."""
    if not sys.stdout.isatty():
        return text
    import textwrap  # noqa: PLC0415  it loads re, and a pipe never needs it

    columns = width()
    return "\n".join(
        wrapped
        for line in text.split("\n")
        for wrapped in (textwrap.wrap(line, columns, subsequent_indent="  ") or [""])
    )


def is_terminal() -> bool:
    """Whether a person sees standard output on a terminal that can draw."""
    return sys.stdout.isatty() and os.environ.get("TERM", "") not in {"", "dumb"}


def has_colour() -> bool:
    """Whether colour may be used: on a terminal, and NO_COLOR empty or unset."""
    return is_terminal() and not os.environ.get("NO_COLOR")


def width(most: int = 100) -> int:
    """Columns to write in: COLUMNS or the terminal's, else 80; never over `most`.

    As shutil does, without loading it: the quick questions pay for every module.
    """
    named = os.environ.get("COLUMNS", "")
    if named.isdigit() and int(named) > 0:
        return min(int(named), most)
    try:
        return min(os.get_terminal_size(sys.stdout.fileno()).columns or 80, most)
    except (OSError, ValueError):
        return min(80, most)


def height() -> int:
    """Rows of the terminal that a person sees: LINES or the terminal's; 0 where there is none."""
    if not sys.stdout.isatty():
        return 0
    named = os.environ.get("LINES", "")
    if named.isdigit() and int(named) > 0:
        return int(named)
    try:
        return os.get_terminal_size(sys.stdout.fileno()).lines
    except (OSError, ValueError):
        return 0
