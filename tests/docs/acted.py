"""Acts a page out, as its reader would: commands, files to save, keys to press; what came back.

In a page, `console` blocks hold commands behind `$` and what they print (`console silent`: only
the commands, each of which must do what it is asked); a block that is to be
saved is saved; every <kbd>key</kbd> is pressed in the terminal that the last `hardstand walk`
opened, and a `text` block while it is open is the screen then.
"""

from __future__ import annotations

import os
import re
import sqlite3
import subprocess
import sys
import time
from collections.abc import Mapping
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path

import pexpect
import pyte

from docs.pages import TOP, Block, parts

COLUMNS, ROWS = 80, 24
PATIENCE_S = 20
"""Longest wait for a screen; only a program that hangs takes it."""

_KEY = re.compile(r"<kbd>([^<]+)</kbd>")
_NAMED = {"Ctrl-C": "\x03"}
_HAZARDS = "Keys: C read, go on"
_REFUSED = ("Nothing was answered", "Typed ")
_CLEAR = b"\x1b[2J"
_SIGNS = b"Passphrase of "
_SET = re.compile(r"\b([A-Z_]+)=")
_SITS = re.compile(r"hardstand( --record \S+)? walk\b(?!.*--(answers|help))")
_VARIES = (
    (re.compile(r"\b\d{4}-\d{2}-\d{2}\b"), "YYYY-MM-DD"),
    (re.compile(r"\b(Mon|Tue|Wed|Thu|Fri|Sat|Sun)\b"), "Day"),
    (re.compile(r"\b\d{2}:\d{2}(:\d{2}Z)?"), "hh:mm"),
    (re.compile(r"[+-]hh:mm"), "+hh:mm"),
    (re.compile(r"\b[0-9a-f]{12,64}\b"), "digest"),
)


def settled(line: str) -> str:
    """The line with everything that the machine's clock decides made the same."""
    for pattern, same in _VARIES:
        line = pattern.sub(same, line)
    return line.rstrip()


@dataclass(slots=True)
class Reader:
    """Somebody who does what a page says, in a folder like a fresh clone of the repository."""

    folder: Path
    env: dict[str, str]
    status: int = 0
    terminal: Terminal | None = None
    renewed: dict[int, tuple[str, ...]] = field(default_factory=dict)

    def does(self, part: str | Block) -> None:
        """Take in one line or block of the page."""
        if isinstance(part, str):
            for keys in _pressed(part):
                self._press(keys)
        elif part.saved_as:
            target = self.folder / part.saved_as
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_text("\n".join(part.lines) + "\n", encoding="utf-8")
        elif part.language == "console":
            self._run(part)
        elif part.language == "text" and self.terminal is not None:
            self._note(part, self.terminal.seen())

    def _press(self, keys: str) -> None:
        if self.terminal is None:
            raise AssertionError(f"{keys!r} is pressed, and no walk was begun")
        while keys != "C" and _HAZARDS in " ".join(self.terminal.seen()):
            self.terminal.press("C")  # hazards alone on their screen are read and passed
        self.terminal.press(keys)
        seen = self.terminal.seen()
        if any(line.startswith(_REFUSED) for line in seen):
            raise AssertionError(f"{keys!r} means nothing here:\n" + "\n".join(seen))

    def _run(self, block: Block) -> None:
        found: list[str] = []
        silent = "silent" in block.info.split(" ")
        for command in _commands(block.lines):
            said = self._said("\n".join([command[0][2:], *(x[2:] for x in command[1:])]))
            found += command + ([] if silent else said)
            if silent and self.status:
                raise AssertionError(f"{command[0]} exits {self.status}: {said}")
        self._note(block, tuple(found))

    def _said(self, command: str) -> list[str]:
        if command.startswith("export "):
            return self._exports(command)
        if _SITS.match(command):
            self.terminal = Terminal.opened(command, self.folder, self.env)
            return []
        self.status, printed = self._shell(f"(exit {self.status})\n{command}")
        return [line.rstrip() for line in printed.rstrip("\n").splitlines()]

    def _exports(self, command: str) -> list[str]:
        """Keep what an `export` sets, for every command after it."""
        names = _SET.findall(command)
        told = " ".join(f'"${name}"' for name in names)
        _, printed = self._shell(f"{command}\nprintf '%s\\n' {told}")
        self.env.update(zip(names, printed.splitlines(), strict=True))
        return []

    def _shell(self, script: str) -> tuple[int, str]:
        done = subprocess.run(
            ["sh", "-c", script],
            cwd=self.folder,
            env=self.env,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            check=False,
            timeout=120,
        )
        return done.returncode, done.stdout.decode()

    def _note(self, block: Block, lines: tuple[str, ...]) -> None:
        """Keep what came back, unless only the clock makes it differ from the page."""
        if list(map(settled, lines)) != list(map(settled, block.lines)):
            self.renewed[block.first] = lines


@dataclass(slots=True)
class Terminal:
    """A terminal of 80 by 24 with a walk in it."""

    child: pexpect.spawn[bytes]
    screen: pyte.Screen
    stream: pyte.ByteStream
    ended: bool = False

    @classmethod
    def opened(cls, command: str, folder: Path, env: Mapping[str, str]) -> Terminal:
        """The terminal once the command has drawn its first screen."""
        screen = pyte.Screen(COLUMNS, ROWS)
        child = pexpect.spawn(
            "sh",
            ["-c", command],
            cwd=str(folder),
            env={**env, "TERM": "xterm"},
            dimensions=(ROWS, COLUMNS),
        )
        found = cls(child=child, screen=screen, stream=pyte.ByteStream(screen))
        found.drawn()
        return found

    def press(self, keys: str) -> None:
        """Send a key, or a line of text, and wait until the next screen is drawn."""
        if self.ended:
            raise AssertionError(f"{keys!r} is pressed after the end:\n" + "\n".join(self.seen()))
        self.child.send(keys)
        self.drawn()

    def drawn(self) -> None:
        """Read until a whole screen came, or the program ended."""
        came, end = b"", time.monotonic() + PATIENCE_S
        while not _whole(came) and time.monotonic() < end and not self.ended:
            came += self._read(0.5)
        while more := self._read(0.15):
            came += more
        if not _whole(came) and not self.ended:
            raise AssertionError("no new screen was drawn:\n" + "\n".join(self.seen()))

    def _read(self, wait: float) -> bytes:
        try:
            came: bytes = self.child.read_nonblocking(65536, wait)
        except pexpect.TIMEOUT:
            return b""
        except pexpect.EOF:
            self.ended = True
            return b""
        self.stream.feed(came)
        return came

    def seen(self) -> tuple[str, ...]:
        """The lines of the screen, without the empty ones."""
        return tuple(line.rstrip() for line in self.screen.display if line.strip())


def _whole(came: bytes) -> bool:
    """Whether a screen was drawn, or somebody is asked to sign."""
    return _CLEAR in came or _SIGNS in came


def _pressed(line: str) -> list[str]:
    """What the keys of a line send, in order; Enter ends the text before it."""
    found: list[str] = []
    for key in _KEY.findall(line):
        if key == "Enter" and found:
            found[-1] += "\r"
        else:
            found.append(_NAMED.get(key, key))
    return found


def _commands(lines: tuple[str, ...]) -> list[list[str]]:
    """Each command of a console block, with the lines that continue it."""
    found: list[list[str]] = []
    for line in lines:
        if line.startswith("$ "):
            found.append([line])
        elif line.startswith("> ") and found:
            found[-1].append(line)
    return found


def clone(folder: Path, record: Path) -> dict[str, str]:
    """Make the folder look like a clone after `demo/run`; the environment of its reader."""
    (folder / "demo").mkdir(parents=True)
    (folder / "checklists").symlink_to(TOP / "checklists")
    (folder / "demo/quennock").symlink_to(TOP / "demo/quennock")
    with (
        closing(sqlite3.connect(record)) as from_,
        closing(sqlite3.connect(folder / "demo/quennock.db")) as to,
    ):
        from_.backup(to)  # the file alone would lack what its write-ahead log holds
    (folder / "bin").mkdir()
    command = folder / "bin/hardstand"
    command.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m hardstand "$@"\n')
    command.chmod(0o755)
    kept = {k: v for k, v in os.environ.items() if not k.startswith("HARDSTAND_")}
    return {
        **kept,
        "PATH": f"{folder / 'bin'}:{os.environ['PATH']}",
        "HOME": str(folder),
        "COLUMNS": str(COLUMNS),
        "TERM": "dumb",
        "HARDSTAND_BOUNCE_MS": "0",  # keys come faster here than from a finger
        "LC_ALL": "C.UTF-8",
        "PYTHONDONTWRITEBYTECODE": "1",
    }


def acted(text: str, folder: Path, record: Path) -> dict[int, tuple[str, ...]]:
    """The blocks of a page that would come out otherwise today, by their first line."""
    reader = Reader(folder=folder, env=clone(folder, record))
    for part in parts(text):
        reader.does(part)
    if reader.terminal is not None:
        reader.terminal.child.close(force=True)
    return reader.renewed
