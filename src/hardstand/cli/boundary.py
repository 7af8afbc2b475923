"""The one boundary where an error becomes words and an exit status. Loads no framework."""

from __future__ import annotations

import signal
import sys
from collections.abc import Callable
from types import FrameType
from typing import NoReturn

from hardstand.errors import Busy, HardstandError, Interrupted
from hardstand.views.output import tell

NO_MEMORY = Busy(
    "This machine has no memory left for the command.",
    safe="Everything acknowledged before is in the record, and the record is whole.",
    hint="Close other programs, then try again.",
)
"""Made beforehand: when it is needed there is no room to make it."""


def bounded(command: Callable[[], None]) -> int:
    """Run a command; its exit status, with every error told in words on standard error."""
    signal.signal(signal.SIGINT, _interrupted)
    try:
        command()
        sys.stdout.flush()
    except HardstandError as error:
        return _told(error)
    except MemoryError:
        return _told(NO_MEMORY)
    except BrokenPipeError:
        return _quiet()
    except SystemExit as end:
        return end.code if isinstance(end.code, int) else int(end.code is not None)
    except Exception as error:  # noqa: BLE001  the one boundary: a bug is told, never dumped
        return _told(_unforeseen(error))
    return 0


def _unforeseen(error: Exception) -> HardstandError:
    """A bug, reported; or want of memory, where that is what stands behind it."""
    if "failed to map segment" in str(error):
        return NO_MEMORY
    try:
        from hardstand.system.bug import reported

        return reported(error)
    except (MemoryError, SystemError):  # the interpreter itself, when it cannot even say so
        return NO_MEMORY


def _interrupted(_signal: int, _frame: FrameType | None) -> NoReturn:
    raise Interrupted("Interrupted.")


def _quiet() -> int:
    """The reader of a pipe went away: no more is written, and that is no fault."""
    import os

    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return 0


def _told(error: HardstandError) -> int:
    lines = "\n".join(error.lines())
    try:
        tell(lines)
    except MemoryError:
        sys.stderr.write(lines + "\n")
    return error.exit_status
