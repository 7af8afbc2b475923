"""Asking for a passphrase: at the terminal without echo, or from a file descriptor.

Never from arguments or the environment, where other programs and the shell's history see it. What
was given is held only as long as it takes to unlock a key; Python cannot wipe it from memory.
"""

from __future__ import annotations

import os
import sys
import unicodedata
from collections.abc import Sequence

from hardstand.domain.words import visible
from hardstand.errors import Interrupted, Refusal

LEAST = 6
"""Characters that a passphrase has at least."""

MOST_BYTES = 1024
"""A line longer than this is no passphrase."""


class Passphrases:
    """Where passphrases come from in one run of the program: one line for each that is asked."""

    def __init__(self, descriptor: int | None = None) -> None:
        self._descriptor = descriptor

    @property
    def asks_again(self) -> bool:
        """Whether somebody sits at a terminal who can be asked again."""
        return self._descriptor is None and sys.stdin.isatty()

    def ask(self, prompt: str, says: Sequence[str]) -> bytes:
        """The passphrase as UTF-8 in normal form C, after showing what it is asked for.

        Raises:
            Refusal: there is no terminal and no descriptor, or what came is no text.
            Interrupted: the person left, or the input ended.

        Source: RFC 8265 section 4.2 (normal form C, nothing trimmed or folded).
        """
        if self._descriptor is not None:
            return normal(self._line(self._descriptor))
        if not sys.stdin.isatty():
            raise Refusal(
                "There is no terminal to ask for the passphrase at.",
                rule="a passphrase is asked for each time, never taken from arguments",
                safe="Nothing was written.",
                hint="Run it at a terminal, or give a descriptor: --passphrase-fd N",
            )
        return normal(_hidden(prompt, says))

    def _line(self, descriptor: int) -> bytes:
        """One line of the descriptor, read byte by byte so that the next is left for later."""
        found = bytearray()
        while len(found) <= MOST_BYTES:
            try:
                byte = os.read(descriptor, 1)
            except OSError as error:
                raise Refusal(
                    f"--passphrase-fd {descriptor} cannot be read: {error.strerror}.",
                    safe="Nothing was written.",
                    hint="Such as: --passphrase-fd 3 3< FILE",
                ) from error
            if not byte and not found:
                raise Interrupted("The passphrases ended.", safe="Nothing was written.")
            if byte in {b"", b"\n"}:
                return bytes(found)
            found += byte
        raise Refusal("That line is too long for a passphrase.", safe="Nothing was written.")


def normal(given: bytes) -> bytes:
    """The bytes two keyboards agree on: UTF-8 in normal form C, without the line end.

    Raises:
        Refusal: it is not UTF-8.
    """
    try:
        text = given.decode("utf-8").rstrip("\r\n")
    except UnicodeDecodeError as error:
        raise Refusal("That is not UTF-8 text.", safe="Nothing was written.") from error
    return unicodedata.normalize("NFC", text).encode("utf-8")


def is_long_enough(given: bytes) -> bool:
    """Whether a passphrase has enough characters."""
    return len(given.decode("utf-8")) >= LEAST


def _hidden(prompt: str, says: Sequence[str]) -> bytes:
    import getpass  # noqa: PLC0415  only where there is a terminal
    import shutil  # noqa: PLC0415  only where there is a terminal
    import textwrap  # noqa: PLC0415  only where there is a terminal

    columns = shutil.get_terminal_size().columns
    wrapped = (part for line in says for part in textwrap.wrap(visible(line), columns) or [""])
    sys.stdout.flush()
    sys.stderr.write("".join(f"{line}\n" for line in wrapped))
    sys.stderr.flush()
    try:
        return getpass.getpass(f"{prompt} ").encode("utf-8", "surrogateescape")
    except (EOFError, KeyboardInterrupt) as left:
        raise Interrupted("Not signed.", safe="Nothing was written.") from left
