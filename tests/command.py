"""The command line in this process: its exit status, with the interrupt key put back after it."""

from __future__ import annotations

import signal

from hardstand.cli.front import run


def command(*words: object) -> int:
    """Run `hardstand` with these words; what it prints goes where the test captures it."""
    before = signal.getsignal(signal.SIGINT)
    try:
        return run([str(word) for word in words])
    finally:
        signal.signal(signal.SIGINT, before)
