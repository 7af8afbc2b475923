"""Keys and lines from a terminal, through the terminal's own line editing.

A key pressed before its question is dropped, and so is a word that comes where one key is asked
for; a line typed ahead is taken. Esc ends a line at once, so that no key is ever far away.
"""

from __future__ import annotations

import errno
import os
import select
import signal
import termios
import threading
import tty
from collections.abc import Callable

from hardstand.domain.asking import CAME_BACK
from hardstand.errors import Interrupted

ESC = b"\x1b"
ENTER = "\n"
SEVERAL = "\x18"
"""Stands for a key when several came at once: words typed or pasted too early, nothing else."""
RESIZED = "\x17"
"""Stands for a key when the window got another size while it was waited for: draw anew."""
OPENS_NOTHING = "\x19"
"""Stands for the key after Esc where it is none that Esc opens."""
LINE_BYTES = 4095
"""What a terminal's line editing holds; more is lost by the kernel, so such a line is refused."""


class _Continued(Exception):
    """The program had been stopped, and goes on."""


class _Resized(Exception):
    """The window has another size."""


class _Heeded:
    """Inside, a signal is told, as an exception, to whoever waits for a key.

    One that came since it was last listened for is told at once. It is taken once for the whole
    program: taking and giving it back costs more than a key.
    """

    def __init__(self, number: signal.Signals, told: type[Exception]) -> None:
        self._number = number
        self._told = told
        self._taken = False
        self._waits = False
        self._came = False

    def listen(self) -> None:
        """Note it from here on."""
        if not self._taken and threading.current_thread() is threading.main_thread():
            signal.signal(self._number, self._comes)
            self._taken = True

    def __enter__(self) -> None:
        self._waits = True
        if self._came:
            self._comes()

    def __exit__(self, *_: object) -> None:
        self._waits = False

    def _comes(self, *_: object) -> None:
        self._came = not self._waits
        if self._waits:
            self._waits = False
            raise self._told


_stoppable = _Heeded(signal.SIGCONT, _Continued)
"""Going on after a stop: Ctrl-Z, then fg."""
_resizable = _Heeded(signal.SIGWINCH, _Resized)
"""Another size, while nothing of an answer is typed yet."""


def left() -> Interrupted:
    """The person left, or the terminal is gone."""
    return Interrupted("Left.")


class _Mode:
    """The terminal's settings may be changed inside; they are put back after."""

    def __init__(self, handle: int) -> None:
        self._handle = handle

    def __enter__(self) -> None:
        try:
            self._before = termios.tcgetattr(self._handle)
        except termios.error as gone:
            raise left() from gone

    def __exit__(self, *_: object) -> None:
        try:
            termios.tcsetattr(self._handle, termios.TCSADRAIN, self._before)
        except termios.error as gone:
            raise left() from gone


def _read(handle: int, most: int) -> bytes:
    """Bytes from the terminal; a terminal that is gone is somebody leaving."""
    try:
        return os.read(handle, most)
    except OSError as gone:
        if gone.errno == errno.EIO:
            return b""
        raise


def key(handle: int, meanwhile: Callable[[], None] | None = None, stood: bool = False) -> str:
    """One key without Enter; what was pressed before the question is dropped.

    `meanwhile` is done first; a key pressed in that time is not lost. If the question `stood`
    already, what was pressed before it was dropped then.

    Arrow and function keys, and anything that is not a plain character, come back empty. Only
    after those is the terminal waited for: a plain key answers at once. CAME_BACK stands for a
    key when the program was stopped meanwhile, SEVERAL for a word.

    Raises:
        Interrupted: Ctrl-C, Ctrl-D, or the terminal is gone.
    """
    return key_or_number(handle, "", lambda _: None, meanwhile, stood)[0]


def _plain(pressed: bytes) -> str:
    return chr(pressed[0]) if 0x20 < pressed[0] < 0x7F else ""


def key_or_number(
    handle: int,
    starts: str,
    echo: Callable[[str], None],
    meanwhile: Callable[[], None] | None = None,
    stood: bool = False,
) -> tuple[str, str]:
    """One key, or a number that one of `starts` begins, edited here until Enter or Esc ends it.

    All in one mode of the terminal, so that no digit is lost, cut off or taken before Enter,
    however fast it comes. The second part is what ended it: empty for a plain key. RESIZED stands
    for a key when the window got another size before one was pressed.

    Raises:
        Interrupted: Ctrl-C, Ctrl-D, or the terminal is gone.
    """
    try:
        with _Mode(handle):
            tty.setcbreak(handle, termios.TCSADRAIN)
            if not stood:
                drop(handle)
            _listen(meanwhile)
            with _stoppable:
                with _resizable:
                    pressed = _read(handle, 1)
                return _pressed(handle, pressed, starts, echo)
    except _Continued:
        return CAME_BACK, ""
    except _Resized:
        return RESIZED, ""


def drop(handle: int) -> None:
    """Drop what was pressed so far; a terminal that is gone is somebody leaving."""
    try:
        termios.tcflush(handle, termios.TCIFLUSH)
    except termios.error as gone:
        raise left() from gone


def _listen(meanwhile: Callable[[], None] | None) -> None:
    """Do something; a signal that comes in that time is told after it, not in the middle of it."""
    _stoppable.listen()
    _resizable.listen()
    if meanwhile is not None:
        meanwhile()


def _pressed(
    handle: int, pressed: bytes, starts: str, echo: Callable[[str], None]
) -> tuple[str, str]:
    """What a first byte from the terminal is the beginning of; see key_or_number."""
    if pressed in {b"", b"\x04"}:
        raise left()
    first = _plain(pressed)
    if first and first in starts:
        echo(first)
        return _edited(handle, first, echo)
    if pressed[:1] == ESC or pressed[:1] >= b"\x80":
        drop_what_follows(handle)
    elif _others_came(handle, pressed):
        return SEVERAL, ""
    return first, ""


def _others_came(handle: int, pressed: bytes) -> bool:
    """Whether other keys came in the same moment, which are read away; the same again is a bounce.

    An Enter after a key, from habit or a script, is no word.
    """
    if not select.select([handle], [], [], 0)[0]:
        return False
    came = _read(handle, 64)
    if not came.strip(pressed + b"\r\n"):
        return False
    drop_what_follows(handle)
    return True


def followed(handle: int, key: str, seconds: float) -> bool:
    """Whether another key than this one comes within a time; all is read away until a pause."""
    same = f"{key.lower()}{key.upper()}\r\n".encode()
    found = False
    try:
        _stoppable.listen()
        with _Mode(handle), _stoppable:
            tty.setcbreak(handle)
            while select.select([handle], [], [], seconds)[0] and (came := _read(handle, 64)):
                found = found or bool(came.strip(same))
    except _Continued:
        return True
    return found


def _edited(handle: int, typed: str, echo: Callable[[str], None]) -> tuple[str, str]:
    """The rest of a line after its first key, in the mode of single keys."""
    while len(typed) < LINE_BYTES:
        pressed = _read(handle, 1)
        if pressed in {b"", b"\x04"}:
            raise left()
        if pressed in {b"\r", b"\n"}:
            return typed, ENTER
        if pressed == ESC:
            drop_what_follows(handle)
            return typed, "\x1b"
        if pressed in {b"\x7f", b"\b"}:
            echo("\b \b" * bool(typed))
            typed = typed[:-1]
        elif _plain(pressed) or pressed == b" ":
            typed += pressed.decode("ascii")
            echo(pressed.decode("ascii"))
    return typed, ENTER


def line(handle: int, meanwhile: Callable[[], None] | None = None) -> tuple[str, bool]:
    """A line as edited at the terminal, and whether Esc ended it instead of Enter.

    `meanwhile` is done first, while it can be typed already.

    Bytes that are no UTF-8 come back as halves of surrogate pairs, which nothing stores. CAME_BACK
    stands for the line when the program was stopped meanwhile.

    Raises:
        Interrupted: Ctrl-C, Ctrl-D on an empty line, or the terminal is gone.
    """
    try:
        with _Mode(handle):
            settings = termios.tcgetattr(handle)
            settings[6][termios.VEOL] = ESC
            termios.tcsetattr(handle, termios.TCSADRAIN, settings)
            _listen(meanwhile)
            with _stoppable:
                typed = _whole(handle)
                if typed.endswith(ESC):
                    drop_what_follows(handle)
    except _Continued:
        return CAME_BACK, False
    if not typed:
        raise left()
    text = typed.rstrip(b"\r\n").decode("utf-8", "surrogateescape")
    return text.removesuffix("\x1b"), typed.endswith(ESC)


def _whole(handle: int) -> bytes:
    """A line to its end: what was typed as the mode changed comes as a part of its own."""
    typed = part = _read(handle, LINE_BYTES + 1)
    while part and not part.endswith((b"\n", ESC)) and len(typed) < LINE_BYTES - 1:
        part = _read(handle, LINE_BYTES + 1)
        typed += part
    return typed


def drop_what_follows(handle: int) -> None:
    """Read away what came with a key: the rest of an arrow key, a bounce, a paste."""
    while select.select([handle], [], [], 0.01)[0] and _read(handle, 64):
        pass
