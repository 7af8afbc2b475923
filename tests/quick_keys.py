"""Keys for tests: key files with cheap parameters, and passphrases given as a list."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from hardstand.errors import Interrupted
from hardstand.system.keys import KeyFiles
from hardstand.system.passphrases import Passphrases

CHEAP = 2**4
"""N of scrypt in tests: what is tested is never how long a guess takes."""


class Spoken(Passphrases):
    """Passphrases from a list, in order; what was shown and asked is kept."""

    def __init__(self, *said: str) -> None:
        super().__init__()
        self.said = list(said)
        self.asked: list[str] = []
        self.shown: list[str] = []

    def ask(self, prompt: str, says: Sequence[str]) -> bytes:
        """The next passphrase.

        Raises:
            Interrupted: none is left.
        """
        self.asked.append(prompt)
        self.shown += says
        if not self.said:
            raise Interrupted("The passphrases ended.")
        return self.said.pop(0).encode()


def cheap_keys(folder: Path, *said: str) -> KeyFiles:
    """Key files in a folder, opened by these passphrases."""
    return KeyFiles(folder, Spoken(*said), cost=CHEAP)


@contextmanager
def descriptor(*lines: str) -> Iterator[int]:
    """A file descriptor that holds these lines."""
    read, write = os.pipe()
    os.write(write, "".join(f"{line}\n" for line in lines).encode())
    os.close(write)
    try:
        yield read
    finally:
        os.close(read)
