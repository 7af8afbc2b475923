"""Where text goes: data to standard output, words to standard error; and how wide, how coloured."""

from __future__ import annotations

import os
import sys
from contextlib import suppress
from typing import TextIO


def emit(text: str) -> None:
    """Write a piece of data and a line end to standard output."""
    sys.stdout.write(text + "\n")


def tell(text: str) -> None:
    """Write words for a person to standard error, below what is on its way to standard output."""
    with suppress(OSError):
        sys.stdout.flush()
    sys.stderr.write(_wrapped(text, sys.stderr) + "\n")
    sys.stderr.flush()


def prose(text: str) -> str:
    """The text with each line wrapped at words where a terminal would break it anywhere."""
    return _wrapped(text, sys.stdout)


def harmless(text: str) -> str:
    """The text with nothing in it that a terminal would obey, whoever gave it: `⟨ESC⟩`.

    The name of a file, or a word of the command line, may hold anything.
    """
    lines = text.split("\n")
    if all(line.isprintable() for line in lines):
        return text
    from hardstand.domain.words import visible  # noqa: PLC0415  hardly ever needed

    return "\n".join(visible(line) for line in lines)


def _wrapped(text: str, stream: TextIO) -> str:
    """The text as that stream shows it: wrapped on a terminal, as it is in a pipe or a file.

    A tail, a path or a number is one word, however long, and can be copied whole.
    """
    text = harmless(text)
    if not stream.isatty():
        return text
    import textwrap  # noqa: PLC0415  it loads re, and a pipe never needs it

    wrapping = textwrap.TextWrapper(
        width(stream=stream), subsequent_indent="  ", break_long_words=False, break_on_hyphens=False
    )
    return "\n".join(part for line in text.split("\n") for part in (wrapping.wrap(line) or [""]))


def is_terminal() -> bool:
    """Whether a person sees standard output on a terminal that can draw."""
    return sys.stdout.isatty() and os.environ.get("TERM", "") not in {"", "dumb"}


def has_colour() -> bool:
    """Whether colour may be used: on a terminal, and NO_COLOR empty or unset."""
    return is_terminal() and not os.environ.get("NO_COLOR")


def width(most: int = 100, stream: TextIO | None = None) -> int:
    """Columns to write in: COLUMNS or the terminal's, else 80; never over `most`.

    The terminal is that of standard output, unless another stream is named.

    As shutil does, without loading it: the quick questions pay for every module.
    """
    named = os.environ.get("COLUMNS", "")
    if named.isdigit() and int(named) > 0:
        return min(int(named), most)
    try:
        return min(os.get_terminal_size((stream or sys.stdout).fileno()).columns or 80, most)
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
